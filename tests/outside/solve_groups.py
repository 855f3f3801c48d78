"""Solves the random groups with CP-SAT, the small ones by enumeration too, and writes them down.

`python -m tests.outside.solve_groups [seconds [lifters ...]]`; with numbers of lifters only groups of
those are solved again, and the others stay as they were written down. Each group says how many
seconds of the processor the solver had: a run stopped early leaves a whole file.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tests.outside.exhaustive import optimum
from tests.outside.random_groups import COUNT, Group, group, solve

EXHAUSTED = 3
"""Up to so many lifters, everything is looked at too, and the optimum is known."""
FILE = Path(__file__).parent / "best_known.json"


def main() -> None:
    """Every group with its best known finish time, one a line."""
    import ortools

    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 40.0
    many = [int(word) for word in sys.argv[2:]]
    known: dict[int, Group] = {}
    if many and FILE.exists():
        known = {one["number"]: one for one in json.loads(FILE.read_text(encoding="utf-8"))["groups"]}
    made = [group(number) for number in range(COUNT)]
    todo = [one for one in made if not many or len(one["lifters"]) in many]
    for one in sorted(todo, key=lambda one: len(one["lifters"])):
        finish, bound, proven = solve(one, seconds)
        solved: Group = {"finish": finish, "bound": bound, "proven": proven, "seconds": seconds}
        if len(one["lifters"]) <= EXHAUSTED:
            solved["optimum"] = optimum(one, finish)
        known[one["number"]] = {**one, **solved}
        print(one["number"], len(one["lifters"]), finish, bound, proven, flush=True)
        lines = [json.dumps(known[number], separators=(",", ":")) for number in sorted(known)]
        head = json.dumps({"solver": f"OR-tools CP-SAT {ortools.__version__}, one worker"})
        FILE.write_text(f'{{"made_with": {head},\n"groups": [\n' + ",\n".join(lines) + "\n]}\n", encoding="utf-8")


if __name__ == "__main__":
    main()

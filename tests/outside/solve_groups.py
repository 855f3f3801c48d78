"""Solves the random groups with CP-SAT, the small ones by enumeration too, and writes them down.

`python -m tests.outside.solve_groups [seconds]`; about half an hour at 20 seconds each.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tests.outside.exhaustive import optimum
from tests.outside.random_groups import COUNT, group, solve

EXHAUSTED = 3
"""Up to so many lifters, everything is looked at too, and the optimum is known."""
FILE = Path(__file__).parent / "best_known.json"


def main() -> None:
    """Every group with its best known finish time, one a line."""
    import ortools

    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 20.0
    lines = []
    for number in range(COUNT):
        made = group(number)
        finish, bound, proven = solve(made, seconds)
        known: dict[str, object] = {"finish": finish, "bound": bound, "proven": proven}
        if len(made["lifters"]) <= EXHAUSTED:
            known["optimum"] = optimum(made, finish)
        lines.append(json.dumps({**made, **known}, separators=(",", ":")))
        print(number, len(made["lifters"]), finish, bound, proven, flush=True)
        head = {"solver": f"OR-tools CP-SAT {ortools.__version__}, one worker", "seconds": seconds}
        body = ",\n".join(lines)
        FILE.write_text(f'{{"made_with": {json.dumps(head)},\n"groups": [\n{body}\n]}}\n', encoding="utf-8")


if __name__ == "__main__":
    main()

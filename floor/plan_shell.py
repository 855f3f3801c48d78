"""`floor plan FILE.json`: the described evening planned, beside what people do without a plan."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from floor.core.planner import REFINED, Plan, Turn, by_rising, by_rotation, eyes_share, plan
from floor.located_json import BadFile
from floor.plan_file import read_evening


def run_plan(path: Path, as_json: bool) -> int:
    """Print the plan of one file; 1 with the line and the reason when the file is bad."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        print(f"{path} can't be read: {error}.", file=sys.stderr)
        return 1
    try:
        evening = read_evening(text)
    except BadFile as error:
        print(f"{path}, {error}", file=sys.stderr)
        return 1
    made = plan(evening, REFINED)
    peers = {
        "rising bar": by_rising(evening),
        "rising bar, who is not rested passes": by_rising(evening, passing=True),
        "strict rotation": by_rotation(evening),
    }
    print(json.dumps(_as_json(made, peers), indent=1) if as_json else _as_words(made, peers))
    return 0


def _clock(seconds: int) -> str:
    """Hours, minutes and seconds as a stopwatch shows them: 75 is "1:15", 3675 "1:01:15"."""
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"


def _as_words(made: Plan, peers: dict[str, Plan]) -> str:
    lines = []
    for station, place in enumerate(made.evening.places):
        lines.append(f"Station {place.name}")
        lines += [_turn_words(made, turn) for turn in made.at(station)] or ["  nobody"]
    lines.append("")
    wide = max(len(name) for name in peers)
    lines.append(f"{'':{wide}}  {'finish':>8}  {'waits':>8}  {'set-ups':>8}  {'plates':>6}  {'eyes on':>7}")
    for name, one in {"plan": made, **peers}.items():
        share = eyes_share(one)
        seen = "-" if share is None else f"{100 * share:.0f} %"
        lines.append(
            f"{name:{wide}}  {_clock(one.finish):>8}  {_clock(one.waited):>8}  {_clock(one.set_up):>8}"
            f"  {one.moved:>6}  {seen:>7}"
        )
    lines.append(
        f"Nothing can finish before {_clock(made.least)}."
        + (" No order finishes earlier than the plan." if made.proven else "")
    )
    closing = made.evening.closing
    if closing is not None:
        left = closing - made.finish
        by = f"{_clock(left)} before" if left >= 0 else f"{_clock(-left)} after"
        lines.append(f"The plan ends {by} closing at {_clock(closing)}.")
    ends = {turn.lifter: turn.end for turn in made.turns}
    for n, chain in enumerate(made.evening.chains):
        if chain.leaves is not None and ends.get(n, 0) > chain.leaves:
            over = _clock(ends[n] - chain.leaves)
            lines.append(f"{chain.name} lifts {over} past the time to leave, {_clock(chain.leaves)}.")
    lines.append("Waits are past the longest sensible rest, added up over the lifters. Times are h:mm:ss or m:ss.")
    return "\n".join(lines)


def _turn_words(made: Plan, turn: Turn) -> str:
    chain = made.evening.chains[turn.lifter]
    which = f"set {turn.no + 1} of {len(chain.sets)}"
    words = f"  {_clock(turn.start):>8}  {chain.name}, {which}, {turn.end - turn.start} s"
    if turn.set_up:
        words += f", set-up {turn.set_up} s"
    if turn.waited:
        words += f", waited {_clock(turn.waited)} too long"
    return words


def _as_json(made: Plan, peers: dict[str, Plan]) -> dict[str, object]:
    evening = made.evening
    return {
        "plan": _sums(made),
        "least_finish": made.least,
        "proven": made.proven,
        "closing": evening.closing,
        "turns": [
            {
                "station": evening.places[turn.station].name,
                "lifter": evening.chains[turn.lifter].name,
                "set": turn.no + 1,
                "start": turn.start,
                "end": turn.end,
                "set_up": turn.set_up,
                "plates": turn.moved,
                "waited": turn.waited,
            }
            for turn in made.turns
        ],
        "peers": {name: _sums(one) for name, one in peers.items()},
    }


def _sums(one: Plan) -> dict[str, object]:
    return {
        "finish": one.finish, "waited": one.waited, "overdue": one.overdue, "set_up": one.set_up, "plates": one.moved,
        "eyes_on": eyes_share(one),
    }  # fmt: skip

"""The marks on the screens of the evening and what they mean, in one table: the list of keys ends with it."""

from __future__ import annotations

from floor.tui.present_proposal import SEEN
from floor.tui.present_running import SEVERITY_SIGN
from floor.tui.widgets.cardparts import REP_SIGNS

MARKS: tuple[tuple[str, str], ...] = (
    ("▶", "the station in hand; in a list the line under the cursor"),
    (" ".join(REP_SIGNS[made][0] for made in (True, False, None)), "a rep made, missed, to come; drawn large: ■ ✕ ▁"),
    ("a  ×2", "a letter at a rep: its fault; ×2 at a fault: seen twice"),
    (SEVERITY_SIGN["fix"], "behind a fault: to fix before more load"),
    (SEVERITY_SIGN["lighten"], "behind a fault: asks for less load now"),
    (SEVERITY_SIGN["end"], "behind a fault: ends the lift for today"),
    ("3 rough?", "the grade suggested by reps and faults; yours to give"),
    ("+ = -", "each key with its load; ? behind a load: it asks first"),
    (SEEN.strip(), "what the reason above rests on"),
    ("20 15 +5", "one sleeve's plates from the inside; + comes on now"),
    ("5T", "a thin full-size disc: right height from the floor, lowered by hand"),
    ("├─┤ ╞═╡", "a set in the next ten minutes; double: to be watched"),
    ("···", "there: the bar waits for a rest; ! before a name: a set before the rest is over"),
    ("build", "sets whose load rises step by step while the form holds"),
    ("back-off", "lighter sets after the top set"),
    ("form holds", "to the load up to which 8 reps in 10 were seen free of faults: the form limit"),
)
"""(mark, what it means), in the order they are met on the floor."""

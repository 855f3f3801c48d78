"""The gym file of a shell command: where it is, how it is opened, and that it is closed again."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

from floor.clock import WallClock, local_zone
from floor.core.definitions import DOCUMENTS, Problems, parse_gym
from floor.core.gym import Gym
from floor.journal.fresh import Fresh
from floor.journal.log import Journal
from floor.session import BadDefinitions, Session
from floor.templates import templates


class OtherUnit(Exception):
    """The gym file is there already, in another unit than the one asked for."""


def default_gym() -> Path:
    """Where a coach's own gym file is kept: the user's data directory."""
    import platformdirs

    return Path(platformdirs.user_data_dir("floor", appauthor=False)) / "gym.duckdb"


def gym_path(options: argparse.Namespace) -> Path:
    """The gym file a command is about."""
    named: Path | None = options.gym
    return named or default_gym()


def open_session(path: Path, unit: str | None = None) -> Session:
    """Open a coach's own gym file, or make it in `unit` (kg when None).

    Raises the journal's errors, BadDefinitions, and OtherUnit for a gym that was made in another unit.
    """
    clock = WallClock()
    new = unit or "kg"
    journal = Journal.open(path, now=clock.now(), zone=local_zone(), unit=new, templates=templates(unit=new))
    session = Session(journal, clock)
    kept = session.state.gym.unit
    if unit is not None and kept != unit:
        journal.close()
        raise OtherUnit(f"{path} is in {kept}, and stays so: a gym's unit is set when its file is made.")
    return session


def new_gym(unit: str | None = None) -> Gym:
    """What a gym made now in `unit` (kg when None) would own and teach. Raises BadDefinitions."""
    texts = {name: text for name, text in templates(unit=unit or "kg").items() if name in DOCUMENTS}
    gym = parse_gym(texts, dict.fromkeys(texts, 1), unit or "kg")
    if isinstance(gym, Problems):
        raise BadDefinitions(gym.sentences())
    return gym


def with_gym(
    options: argparse.Namespace, body: Callable[[Session], int], *, made: bool = True, empty: bool = True
) -> int:
    """Open the gym, do `body` with it, close it; the exit status.

    Without `made` the gym has to be there: what only reads makes no new file.
    Without `empty` a file made for `body`, which then put nothing into it, goes again.
    """
    path = gym_path(options)
    if not made and not path.exists():
        return no("There is no gym file at " + str(path) + "; `floor` makes one.")
    fresh = Fresh(path)
    session = open_session(path, options.unit)
    try:
        return body(session)
    finally:
        if empty:
            session.journal.close()
        else:
            fresh.drop_if_unused(session.journal)


def agreed(question: str, do: str) -> bool:
    """Whether the coach types yes. Where nobody is asked, as in a script, it says that --yes would `do` it."""
    if not sys.stdin.isatty():
        print(f"Say --yes to {do}.", file=sys.stderr)
        return False
    try:
        return input(f"{question} Type yes: ").strip().lower() in ("yes", "y")
    except EOFError:
        return False
    except KeyboardInterrupt:
        print()
        return False


def no(words: str) -> int:
    """Say why it was not done, on the standard error; the exit status."""
    print(shown(words.splitlines()), file=sys.stderr)
    return 1


def shown(lines: Iterable[str]) -> str:
    """Lines that may quote a file, without anything a terminal would act on."""
    from floor.asking import printable

    return "\n".join(map(printable, lines))

"""What the rules need from the past, read once as a lifter arrives and carried by the command from there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from floor.core.commands import Arrive, Command
from floor.core.limits import form_lifts
from floor.core.state import State
from floor.journal.form import read_form
from floor.journal.log import Journal


def with_evidence(command: Command, state: State, journal: Journal, today: date) -> Command:
    """A check-in with the lifter's watched reps of the lifts that form holds; any other command as it is.

    `today` is the gym's own date. Someone who never came before has no record to
    read. Raises JournalError.
    """
    if not isinstance(command, Arrive) or not state.open or command.seen:
        return command
    lifter = state.lifters.get(command.lifter)
    lifts = form_lifts(state.gym, lifter) if lifter and lifter.sessions else ()
    if not lifts or command.lifter in state.evening.here:
        return command
    cursor = journal.cursor()
    try:
        return replace(command, seen=read_form(cursor, command.lifter, lifts, today))
    finally:
        cursor.close()

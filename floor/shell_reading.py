"""`floor ask`, `stack`, `ramps`, `card`, `plan`: the commands that only read. None of them makes a gym file."""

from __future__ import annotations

import argparse
import sys

from floor.session import Session
from floor.shell_gym import with_gym


def ask_gym(options: argparse.Namespace) -> int:
    """Ask one question in SQL."""
    from floor.shell_ask import ask

    def body(session: Session) -> int:
        sql = sys.stdin.read() if options.sql == "-" else options.sql
        return ask(session, sql, options.kind or "", options.parquet)

    return with_gym(options, body, made=False)


def stack_of(options: argparse.Namespace) -> int:
    """The plates for one load."""
    from floor.shell_stack import finish, tell

    def body(session: Session) -> int:
        gym = session.state.gym
        return tell(finish(gym, options.load, options.bar, options.lift, options.now), options.json)

    return with_gym(options, body, made=False)


def ramps_of(options: argparse.Namespace) -> int:
    """Shared ramp loads that mostly add."""
    from floor.shell_ramps import print_ramps

    return with_gym(options, lambda session: print_ramps(session.state), made=False)


def card_of(options: argparse.Namespace) -> int:
    """A lifter's card, or the evening's summary."""
    from floor.shell_card import print_card

    return with_gym(options, lambda session: print_card(session, options.lifter, options.form, options.out), made=False)


def plan_of(options: argparse.Namespace) -> int:
    """Plan an evening described in a file; no gym file is needed."""
    from floor.plan_shell import run_plan

    return run_plan(options.file, options.json)

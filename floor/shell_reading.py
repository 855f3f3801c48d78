"""`floor ask`, `stack`, `ramps`, `card`, `plan`: the commands that only read. None of them makes a gym file."""

from __future__ import annotations

import argparse
import sys

from floor.core.gym import Gym
from floor.session import Session
from floor.shell_gym import gym_path, new_gym, with_gym


def ask_gym(options: argparse.Namespace) -> int:
    """Ask one question in SQL."""
    from floor.shell_ask import ask

    def body(session: Session) -> int:
        sql = sys.stdin.buffer.read().decode(errors="surrogateescape") if options.sql == "-" else options.sql
        return ask(session, sql, options.kind or "", options.parquet)

    return with_gym(options, body, made=False)


def stack_of(options: argparse.Namespace) -> int:
    """The plates for one load."""
    from floor.shell_stack import finish, tell

    def answer(gym: Gym) -> int:
        return tell(finish(gym, options.load, options.bar, options.lift, options.now), options.json)

    if options.gym is None and not gym_path(options).exists():
        print("no gym file yet: with the plates a new gym begins with", file=sys.stderr)
        return answer(new_gym(options.unit))
    return with_gym(options, lambda session: answer(session.state.gym), made=False)


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

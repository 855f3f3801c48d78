"""`floor show`, `floor adopt`: the gym's documents."""

from __future__ import annotations

import argparse
import sys

from floor.session import Done, Session
from floor.shell_gym import no, with_gym


def show(options: argparse.Namespace) -> int:
    """Print one of the gym's documents."""

    def body(session: Session) -> int:
        print(session.journal.read().definitions[options.document][1], end="")
        return 0

    return with_gym(options, body, made=False)


def adopt(options: argparse.Namespace) -> int:
    """Adopt an edited document, if it can be read."""
    try:
        text = options.file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        return no(f"{options.file} can't be read: {error}. Nothing was changed.")

    def body(session: Session) -> int:
        outcome = session.adopt(options.document, text, options.file.name)
        print(outcome.words, file=sys.stdout if isinstance(outcome, Done) else sys.stderr)
        return 0 if isinstance(outcome, Done) else 1

    return with_gym(options, body, empty=False)

"""`floor export`: the whole gym in a folder of Parquet files."""

from __future__ import annotations

import argparse
from pathlib import Path

from floor.session import Session
from floor.shell_gym import with_gym


def export(options: argparse.Namespace) -> int:
    """Write the gym to a new folder."""
    from floor.journal.leaving import write_export

    folder: Path = options.folder

    def body(session: Session) -> int:
        written = write_export(session.journal, folder, names=options.names)
        print(f"{written.events:,} events of {written.months} months in {folder}; schema.json says what a column is.")
        if options.names:
            print("It holds names and notes: keep it as you keep the gym file.")
        else:
            print("Names, notes and kept questions are left out. With --names it can come back as the same gym.")
        return 0

    return with_gym(options, body, made=False)

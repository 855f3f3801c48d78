"""Files that name people: for the eyes of whoever wrote them, until they hand them on."""

from __future__ import annotations

from pathlib import Path

OWN = 0o600
"""Read and written by their owner alone."""


def write_own(path: Path, text: str) -> None:
    """Write the text, in place of an older file, so that nobody else on this computer may read it. Raises OSError."""
    path.touch(mode=OWN)
    path.chmod(OWN)
    path.write_text(text, encoding="utf-8")

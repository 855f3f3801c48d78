"""Work so large that it ends only where every letter is looked at a few times: a pass for each would take hours."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

TOP = Path(__file__).parent.parent


def ends(code: str) -> None:
    """Run the Python in a process of its own. Raises when it fails or does not come to an end."""
    subprocess.run([sys.executable, "-c", code], cwd=TOP, check=True, timeout=60)

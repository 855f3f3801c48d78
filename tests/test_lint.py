"""The linter and the type checker find nothing."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent


@pytest.mark.parametrize("tool", [["ruff", "check", "floor", "tests"], ["mypy"]], ids=["ruff", "mypy"])
def test_the_code_is_clean(tool: list[str]) -> None:
    done = subprocess.run([sys.executable, "-m", *tool], cwd=TOP, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr

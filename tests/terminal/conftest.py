"""The demo gym, made once by the app itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.terminal.evening_keys import copy_gym, run_floor


@pytest.fixture(scope="session")
def made_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo gym nobody has opened yet."""
    path = tmp_path_factory.mktemp("demo") / "demo.duckdb"
    made = run_floor("demo", "--keep", path, "--make-only")
    assert made.returncode == 0, made.stderr
    return path


@pytest.fixture
def demo(made_demo: Path, tmp_path: Path) -> Path:
    """A copy of the demo gym for one test."""
    return copy_gym(made_demo, tmp_path)

"""The rules of the house, held by reading the code."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from floor.tui.keys import KEYS, MORE
from tests import readme_keys

TOP = Path(__file__).parent.parent
CODE = sorted((TOP / "floor").rglob("*.py"))
TESTS = sorted((TOP / "tests").rglob("*.py"))
CAP = 400


def _imports(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def _room(path: Path) -> str:
    return path.relative_to(TOP / "floor").parts[0]


def _breaches(paths: list[Path], forbidden: tuple[str, ...]) -> list[str]:
    return [
        f"{path.relative_to(TOP)} imports {name}"
        for path in paths
        for name in sorted(_imports(path))
        if any(name == banned or name.startswith(banned + ".") for banned in forbidden)
    ]


def test_core_knows_only_the_standard_library_and_itself() -> None:
    core = [p for p in CODE if _room(p) == "core"]
    allowed = sys.stdlib_module_names
    strange = [
        f"{p.relative_to(TOP)} imports {name}"
        for p in core
        for name in sorted(_imports(p))
        if not name.startswith("floor.core") and name != "floor" and name.split(".")[0] not in allowed
    ]
    assert core and strange == []


def test_core_has_no_clock_no_file_and_no_random_number() -> None:
    core = [p for p in CODE if _room(p) == "core"]
    assert _breaches(core, ("time", "random", "os", "pathlib", "secrets", "subprocess", "socket")) == []
    clocks = re.compile(r"\.now\(|\.today\(|\.utcnow\(|(?<!def )\bopen\(")
    assert [p.name for p in core if clocks.search(p.read_text(encoding="utf-8"))] == []


def test_duckdb_and_pyarrow_are_imported_in_the_journal_alone() -> None:
    others = [p for p in CODE if _room(p) != "journal"]
    assert _breaches(others, ("duckdb", "pyarrow")) == []


def test_textual_and_rich_are_imported_in_the_screens_alone() -> None:
    others = [p for p in CODE if _room(p) != "tui"]
    assert _breaches(others, ("textual", "rich")) == []


def test_imports_go_one_way() -> None:
    def of(room: str) -> list[Path]:
        return [p for p in CODE if _room(p) == room]

    assert _breaches(of("core"), ("floor.journal", "floor.tui", "floor.session", "floor.sim")) == []
    assert _breaches(of("journal"), ("floor.tui", "floor.session", "floor.sim", "floor.cli")) == []
    assert _breaches(of("sim"), ("floor.journal", "floor.tui", "floor.session", "floor.cli")) == []
    assert _breaches(of("session.py"), ("floor.tui", "floor.cli", "floor.sim")) == []
    assert _breaches(of("tui"), ("floor.cli", "floor.sim")) == []


def test_the_clock_is_read_in_one_place() -> None:
    clocks = re.compile(r"datetime\.now\(|datetime\.utcnow\(|date\.today\(|time\.time\(|perf_counter\(|monotonic\(")
    readers = [p.relative_to(TOP).as_posix() for p in CODE if clocks.search(p.read_text(encoding="utf-8"))]
    assert readers == ["floor/clock.py"]


@pytest.mark.parametrize("path", CODE + TESTS, ids=lambda p: p.relative_to(TOP).as_posix())
def test_no_file_is_longer_than_the_cap(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= CAP


def test_the_app_stays_within_160_lines() -> None:
    assert len((TOP / "floor/tui/app.py").read_text(encoding="utf-8").splitlines()) <= 160


def test_the_top_level_holds_what_it_should_and_nothing_else() -> None:
    tracked = subprocess.run(["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=False).stdout
    if not tracked:
        pytest.skip("not a git checkout")
    top = {line.split("/")[0] for line in tracked.splitlines()}
    visible = {name for name in top if not name.startswith(".")}
    assert visible <= {"README.md", "DEVELOPERS.md", "pyproject.toml", "floor", "tests", "data", "screenshots"}


def test_the_readmes_key_table_is_the_key_table() -> None:
    assert readme_keys.in_readme().strip() == readme_keys.table().strip()


def test_no_two_keys_of_a_screen_are_the_same() -> None:
    for where in {key.where for key in KEYS}:
        keys = [key.key for key in KEYS if key.where == where]
        assert len(keys) == len(set(keys)), where
    letters = [more.letter for more in MORE]
    assert len(letters) == len(set(letters))


def test_bare_letters_on_the_floor_belong_to_faults() -> None:
    assert [k.key for k in KEYS if k.where == "floor" and len(k.key) == 1 and k.key.isalpha()] == []


def test_the_readme_starts_with_one_paragraph_that_states_the_job() -> None:
    readme = (TOP / "README.md").read_text(encoding="utf-8")
    first = readme.split("\n\n")[1]
    assert "coach" in first and "\n" not in first


def test_ci_runs_the_readmes_own_test_line() -> None:
    readme = (TOP / "README.md").read_text(encoding="utf-8")
    line = readme.split("**Test it**")[1].split("```")[1].strip()
    script = (TOP / ".ci/run").read_text(encoding="utf-8")
    assert "pytest" in line and "README.md" in script and "pytest" not in script

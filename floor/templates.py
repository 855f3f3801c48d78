"""Finds the template documents and reads them.

They ship inside the package as `floor/data`; in a working copy they lie beside
it in `data`. A new gym starts from the templates; the demo gym from the same,
with its own document wherever `data/demo` has one of that name; a gym in
pounds with those of `data/lb`.
"""

from __future__ import annotations

from pathlib import Path

from floor.core.definitions import DOCUMENTS
from floor.core.questions import DOCUMENT, Kept, parse_questions
from floor.core.units import UNITS

_PACKAGE = Path(__file__).resolve().parent


class TemplatesMissing(Exception):
    """The installation is not whole: the templates are not where they belong."""


def data_folder(package: Path = _PACKAGE) -> Path:
    """The folder with the templates: inside `package` first, then beside it.

    Raises TemplatesMissing naming both places.
    """
    places = (package / "data", package.parent / "data")
    for place in places:
        if all((place / f"{name}.toml").is_file() for name in DOCUMENTS):
            return place
    raise TemplatesMissing(f"The templates are missing. Looked in {places[0]} and {places[1]}. Install floor again.")


def templates(demo: bool = False, folder: Path | None = None, unit: str = "kg") -> dict[str, str]:
    """Document id -> TOML text for a new gym in `unit`, or for the demo gym, which is in kg, if `demo`.

    `folder` is where the templates are, when that is known. Raises ValueError
    for a unit that has none, and for a demo gym that is not in kg.
    """
    if unit not in UNITS or (demo and unit != "kg"):
        raise ValueError(f"there are no {'demo ' if demo else ''}templates in {unit!r}")
    base = folder or data_folder()
    own = base / ("demo" if demo else unit)
    texts = {}
    for name in DOCUMENTS:
        special = own / f"{name}.toml"
        texts[name] = (special if special.is_file() else base / f"{name}.toml").read_text(encoding="utf-8")
    return texts


def ready_questions(folder: Path | None = None) -> tuple[Kept, ...]:
    """The questions that are shipped, in their order. ValueError with a sentence when they can't be read."""
    path = (folder or data_folder()) / f"{DOCUMENT}.toml"
    try:
        return parse_questions(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise ValueError(f"The ready questions are missing: {path}.") from error

"""Finds the template documents and reads them.

They ship inside the package as `floor/data`; in a working copy they lie beside
it in `data`. A new gym starts from the templates; the demo gym from the same,
with its own document wherever `data/demo` has one of that name.
"""

from __future__ import annotations

from pathlib import Path

from floor.core.definitions import DOCUMENTS
from floor.core.questions import DOCUMENT, Kept, parse_questions

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


def templates(demo: bool = False, folder: Path | None = None) -> dict[str, str]:
    """Document id -> TOML text for a new gym, or for the demo gym if `demo`. All in kg.

    `folder` is where the templates are, when that is known.
    """
    base = folder or data_folder()
    texts = {}
    for name in DOCUMENTS:
        own = base / "demo" / f"{name}.toml"
        texts[name] = (own if demo and own.is_file() else base / f"{name}.toml").read_text(encoding="utf-8")
    return texts


def ready_questions(folder: Path | None = None) -> tuple[Kept, ...]:
    """The questions that are shipped, in their order. ValueError with a sentence when they can't be read."""
    path = (folder or data_folder()) / f"{DOCUMENT}.toml"
    try:
        return parse_questions(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise ValueError(f"The ready questions are missing: {path}.") from error

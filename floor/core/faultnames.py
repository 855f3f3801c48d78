"""What the faults of a lift are called, over all versions of the lifts document. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from contextlib import suppress
from typing import Any


def fault_names(texts: Iterable[str]) -> dict[tuple[str, str], str]:
    """The name by (lift id, fault id); `texts` are the versions, oldest first, and the latest name stands.

    A fault that has left the document keeps the name it had. A text that can't be read names nothing.
    """
    found: dict[tuple[str, str], str] = {}
    for text in texts:
        with suppress(tomllib.TOMLDecodeError):
            for lift in _entries(tomllib.loads(text), "lift"):
                for fault in _entries(lift, "faults"):
                    key, name = (lift.get("id"), fault.get("id")), fault.get("name")
                    if isinstance(key[0], str) and isinstance(key[1], str) and isinstance(name, str):
                        found[key[0], key[1]] = name
    return found


def _entries(of: Mapping[str, Any], name: str) -> list[Mapping[str, Any]]:
    entries = of.get(name, [])
    return [one for one in entries if isinstance(one, dict)] if isinstance(entries, list) else []

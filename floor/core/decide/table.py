"""The shape every module of commands shares: a table from a command's type to its function."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from floor.core.commands import Command, Refusal
from floor.core.events import Event
from floor.core.state import State

Events = tuple[Event, ...]
Table = dict[type[Command], Callable[[State, Any, datetime], Events | Refusal]]

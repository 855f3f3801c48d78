"""The SQL pane: a question typed by the coach, its answer in a table.

The question runs in a child process on a snapshot, so no key waits for it.
"""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from rich.text import Text
from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import DataTable, Static, TextArea

from floor.asking import (
    KG_OR_LB,
    VIEWS,
    Asker,
    count_words,
    first_question,
    header,
    is_number,
    place_of,
    pointed,
    printable,
    shown,
)  # fmt: skip
from floor.background import Answer, Question, Refused, Stopped, Table
from floor.core.state import State
from floor.tui.draw.spans import cut, wrap
from floor.tui.keys import bindings, keys_of
from floor.tui.screens.base import EveningScreen
from floor.tui.widgets.lines import Lines

LOOK_EVERY = 0.1
"""Seconds between two looks for the answer."""

CELL = 60
"""Columns of one cell; a longer one is cut and the cut is shown."""


class Questions(EveningScreen):
    """Ask the gym a question. View state only: the typed question, and the answer on show."""

    CSS_PATH = "questions.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("questions")

    def __init__(self) -> None:
        super().__init__()
        self.asker: Asker | None = None
        self.question: Question | None = None
        self._asked: datetime | None = None
        self._sql = ""

    def compose(self) -> ComposeResult:
        """The question, what it can use, what came of it, the answer, the keys."""
        session = self.state.evening.session if self.state.open else self.state.sessions
        yield Lines(id="title")
        with Horizontal(id="both"):
            with Vertical(id="left"):
                yield TextArea.code_editor(
                    first_question(session), language="sql", tab_behavior="focus", show_line_numbers=False, id="sql"
                )
                yield Lines(id="said")
                yield DataTable(id="answer", zebra_stripes=True, cursor_type="row")
            with VerticalScroll(id="tables"):
                yield Static(id="tables-words")
        yield Lines(id="message")
        yield Lines(id="keys")

    def on_mount(self) -> None:
        """Ready to type or to run."""
        self.query_one("#title", Lines).show(
            [Content.assemble((" ASK THE GYM ", "bold"), " one SELECT; it reads a copy and changes nothing")]
        )
        self.query_one("#keys", Lines).show([self._keys()])
        self.query_one("#answer").display = False
        self.query_one("#sql", TextArea).focus()
        self.set_interval(LOOK_EVERY, self.look)

    def on_resize(self) -> None:
        """The tables' words again, for the new width."""
        self.call_after_refresh(self._list_tables)

    def on_unmount(self) -> None:
        """Whatever way the screen goes, the child and the copies go with it."""
        self._forget()

    def _forget(self) -> None:
        if self.asker is not None:
            self.asker.close()
        self.asker, self.question, self._asked = None, None, None

    # --- keys

    def action_run(self) -> None:
        """Run what is typed; a second time while one runs does nothing."""
        if self._asked is not None:
            return
        sql = self.query_one("#sql", TextArea).text
        self._sql, self._asked = sql, self.house.session.clock.now()
        self.asker = self.asker or Asker(self.house.session)
        self._show_running(self._asked)
        self._start(self.asker, sql, self._asked)

    @work(thread=True, exit_on_error=True)
    def _start(self, asker: Asker, sql: str, asked: datetime) -> None:
        """Take the snapshot and start the child, beside the keys."""
        started = asker.ask(sql)
        self.app.call_from_thread(self._started, started, asked)

    def _started(self, started: Question | Refused, asked: datetime) -> None:
        if self._asked != asked:
            if isinstance(started, Question):
                started.stop()
        elif isinstance(started, Refused):
            self._asked = None
            self.show_answer(started)
        else:
            self.question = started

    def look(self) -> None:
        """Show the answer when it has come."""
        if self.question is None:
            return
        answer = self.question.poll()
        if answer is None:
            self._show_running(self.house.session.clock.now())
            return
        self.question, self._asked = None, None
        self.show_answer(answer)

    def action_stop_or_leave(self) -> None:
        """Stop what runs; when nothing runs, back."""
        if self._asked is None:
            self.action_leave()
            return
        if self.question is not None:
            self.question.stop()
        self.question, self._asked = None, None
        self.show_answer(Stopped())

    def action_leave(self) -> None:
        """Back to the screen below; what runs is stopped."""
        if self.app.screen is self:
            self._forget()
            self.dismiss()

    def action_tables(self) -> None:
        """The list of tables beside the question, or instead of the answer where it is narrow."""
        self.toggle_class("-tables")
        self.call_after_refresh(self._list_tables)

    def action_edit(self) -> None:
        """Back to the question's text: nothing of the evening is undone from here."""
        self.query_one("#sql", TextArea).focus()

    # --- what is shown

    def show_state(self, state: State, now: datetime) -> None:
        """Only what was said changes here, and the time a question has run."""
        if not self.is_mounted:
            return
        self.query_one("#message", Lines).show([self.said()])
        self._show_running(now)

    def _show_running(self, now: datetime) -> None:
        if self._asked is None:
            return
        ran = max(0, int((now - self._asked).total_seconds()))
        self._say([Content.styled(f"running {ran // 60}:{ran % 60:02d} · Esc stops", "bold")])

    def _say(self, lines: list[Content]) -> None:
        said = self.query_one("#said", Lines)
        said.styles.height = max(1, len(lines))
        said.show(lines)

    def show_answer(self, answer: Answer) -> None:
        """The table, or why there is none and where in the question."""
        table: DataTable[Text] = self.query_one("#answer", DataTable)
        table.clear(columns=True)
        table.display = isinstance(answer, Table)
        if isinstance(answer, Table):
            self._fill(table, answer)
            self._say([Content.styled(count_words(answer), "bold")])
        elif isinstance(answer, Refused):
            self._refused(answer)
        else:
            self._say([Content.styled("stopped", "bold")])

    def _fill(self, table: DataTable[Text], answer: Table) -> None:
        unit = self.state.gym.unit
        sides = ["right" if is_number(column) else "left" for column in answer.columns]
        for column, side in zip(answer.columns, sides, strict=True):
            table.add_column(_text(printable(header(column, unit)), side))
        table.add_rows(
            [[_text(shown(cell), side) for cell, side in zip(row, sides, strict=True)] for row in answer.rows]
        )

    def _refused(self, answer: Refused) -> None:
        width = max(20, self.query_one("#said", Lines).size.width)
        lines = [Content.styled(line, "bold $error") for line in wrap(printable(answer.sentence), width, 3)]
        if answer.place is not None:
            line, mark = pointed(self._sql, answer.place, width)
            lines += [Content(line), Content.styled(mark, "bold $error")]
            editor = self.query_one("#sql", TextArea)
            if editor.text == self._sql:
                editor.move_cursor(place_of(self._sql, answer.place))
        self._say(lines)

    def _list_tables(self) -> None:
        words = self.query_one("#tables-words", Static)
        width = self.query_one("#tables", VerticalScroll).scrollable_content_region.width
        if width > 10:
            words.update(Content("\n").join(tables_lines(self.state.gym.unit, width, spaced=self.size.height >= 40)))

    def _keys(self) -> Content:
        parts: list[str | tuple[str, str]] = []
        for key in keys_of("questions"):
            if key.short and key.key != "f12":
                parts += [(f" {key.shown}", "bold $accent"), f" {key.short} "]
        return Content.assemble(*parts)


def tables_lines(unit: str, width: int, spaced: bool = False) -> list[Content]:
    """The tables a question can use: name and what a row is, then the columns, each with its unit."""
    lines: list[Content] = []
    for view in VIEWS:
        if lines and spaced:
            lines.append(Content(""))
        head, *more = wrap(f"{view.name}  {view.row}", width, 2)
        lines.append(Content.assemble((view.name, "bold $accent"), head[len(view.name) :]))
        lines += [Content(line) for line in more]
        columns = " ".join(
            f"{name}({unit if what == KG_OR_LB else what})" if what else name for name, what in view.columns
        )
        lines += [Content.styled(f"  {line}", "dim") for line in wrap(columns, width - 2, 9)]
    return lines


def _text(words: str, side: str) -> Text:
    return Text(cut(words, CELL), justify="right" if side == "right" else "left")

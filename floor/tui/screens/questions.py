"""The SQL pane: a question typed by the coach, its answer in a table or a chart.

The question runs in a child process on a snapshot, so no key waits for it.
"""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from floor.asking import Asker, place_of, pointed, printable
from floor.background import Answer, Question, Refused, Stopped, Table
from floor.completing import misspelt, refusal_words
from floor.core.state import State
from floor.tui.draw.spans import wrap
from floor.tui.keys import bindings, keys_of
from floor.tui.keysline import keys_lines
from floor.tui.screens.questionkeys import LATEST, QuestionKeys
from floor.tui.tableswords import tables_lines
from floor.tui.widgets.answer import AnswerTable
from floor.tui.widgets.choices import Choices
from floor.tui.widgets.editor import QuestionEditor
from floor.tui.widgets.lines import Lines

LOOK_EVERY = 0.1
"""Seconds between two looks for the answer."""
TABLES, LEAST = 56, 36
"""Columns of the list of tables on a wide screen, and the fewest in which it can be read beside an answer."""
EDGES = 2
"""Columns of a scroll bar."""


class Questions(QuestionKeys):
    """Ask the gym a question. View state only: the typed question, and the page of the answer on show."""

    CSS_PATH = "questions.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("questions")

    def compose(self) -> ComposeResult:
        """The question, what it can use, what came of it, the answer, the keys."""
        yield Lines(id="title")
        with Horizontal(id="both"):
            with Vertical(id="left"):
                yield Choices(id="choices")
                yield QuestionEditor.code_editor(
                    LATEST.sql, language="sql", tab_behavior="focus", show_line_numbers=False,
                    soft_wrap=True, id="sql",
                )  # fmt: skip
                yield Lines(id="said")
                yield AnswerTable(id="answer", zebra_stripes=True, cursor_type="cell")
            with VerticalScroll(id="tables"):
                yield Static(id="tables-words")
        yield Lines(id="message")
        yield Lines(id="keys")

    def on_mount(self) -> None:
        """Ready to type or to run; the snapshot is taken meanwhile."""
        self.query_one("#title", Lines).show(
            [Content.assemble((" ASK THE GYM ", "bold"), " Enter asks; its SQL stands below, Tab goes in to change it")]
        )
        self.editor.names = self.names
        self.list_questions()
        self.choices.focus()
        self.asker = Asker(self.house.session, tell=self._say_later)
        self._prepare(self.asker)
        self.set_interval(LOOK_EVERY, self.look)

    def on_resize(self) -> None:
        """The tables' words and the keys again, for the new width."""
        acting = frozenset(key.action for key in keys_of("questions"))
        lines = keys_lines("questions", self.size.width, acting, always=())
        self.query_one("#keys", Lines).styles.height = len(lines)
        self.query_one("#keys", Lines).show(lines)
        self.call_after_refresh(self.fit_tables)

    def on_unmount(self) -> None:
        """Whatever way the screen goes, the child and the copies go with it."""
        self.forget()

    def _say_later(self, words: str) -> None:
        """A sentence for the message line, from another thread."""
        self.call_later(self.house.say, words)

    @work(thread=True, exit_on_error=True, group="copy", exclusive=True)
    def _prepare(self, asker: Asker) -> None:
        """Take the snapshot before it is asked for, beside the keys."""
        self.unready = not asker.prepare()

    # --- running

    def action_run(self) -> None:
        """Run what is typed; a second time while one runs says how to stop that."""
        if self.asker is None or self.still_runs():
            return
        sql = self.editor.text
        self.sql, self.asked = sql, self.house.session.clock.now()
        if self.has_class("-narrow"):
            self.remove_class("-tables")
        self.remember(sql)
        self._show_running(self.asked)
        self._start(self.asker, sql, self.asked)

    def run_typed(self) -> None:
        """Run what is typed."""
        self.action_run()

    @work(thread=True, exit_on_error=True)
    def _start(self, asker: Asker, sql: str, asked: datetime) -> None:
        """Start the child, with a new snapshot if something was recorded, beside the keys."""
        started = asker.ask(sql)
        self.app.call_from_thread(self._started, started, asked)

    def _started(self, started: Question | Refused, asked: datetime) -> None:
        if self.asked != asked:
            if isinstance(started, Question):
                started.stop()
        elif isinstance(started, Refused):
            self.asked = None
            self.show_answer(started)
        else:
            self.question = started

    def look(self) -> None:
        """Show the answer when it has come; keep the snapshot fresh."""
        if self.asker is not None and not self.asker.fresh and not self.unready and not self._copying():
            self._prepare(self.asker)
        if self.question is None:
            return
        answer = self.question.poll()
        if answer is None:
            self._show_running(self.house.session.clock.now())
            return
        answered, self.question, self.asked = self.question, None, None
        self.keep_answer(answered if isinstance(answer, Table) else None)
        self.rows_of = self.sql
        self.show_answer(answer)

    def _copying(self) -> bool:
        return any(worker.group == "copy" and worker.is_running for worker in self.workers)

    def action_stop_or_leave(self) -> None:
        """Stop what runs; when nothing runs, close the list of tables that F3 opened; without one, back."""
        if self.asked is None:
            if self._tables_opened:
                self.action_tables()
            else:
                self.action_leave()
            return
        if self.question is not None:
            self.question.stop()
        self.question, self.asked = None, None
        self.show_answer(Stopped())

    def action_leave(self) -> None:
        """Back to the screen below; what runs is stopped."""
        if self.app.screen is self:
            self.forget()
            self.dismiss()

    @property
    def _tables_opened(self) -> bool:
        """Whether the list of tables stands where something else would: beside it, it is there by itself."""
        shown = self.has_class("-tables") if self.has_class("-narrow") else not self.has_class("-tables")
        return shown and (self.has_class("-narrow") or self.crowded)

    def action_tables(self) -> None:
        """The list of tables beside the question, or instead of the answer where it is narrow."""
        self.toggle_class("-tables")
        if self.has_class("-narrow"):
            (self.query_one("#tables") if self.has_class("-tables") else self.editor).focus()
        self.call_after_refresh(self._list_tables)

    # --- what is shown

    def show_state(self, state: State, now: datetime) -> None:
        """Only what was said changes here, and the time a question has run."""
        if not self.is_mounted:
            return
        self.query_one("#message", Lines).show([self.said()])
        self._show_running(now)

    def _show_running(self, now: datetime) -> None:
        if self.asked is None:
            return
        ran = max(0, int((now - self.asked).total_seconds()))
        below = " · the rows are of the question before" if self.has_class("-answered") else ""
        self.tell([Content.styled(f"running {ran // 60}:{ran % 60:02d} · Esc stops{below}", "bold")])

    def show_answer(self, answer: Answer, column: int = 0) -> None:
        """The table, the cursor in that column; or why there is none and where in the question."""
        self.drop_chart()
        self.set_class(isinstance(answer, Table), "-answered")
        self.page = answer if isinstance(answer, Table) else None
        if isinstance(answer, Table):
            table = self.query_one(AnswerTable)
            table.fill(answer, self.state.gym.unit, self.sort, column, self.size.width - EDGES)
            self.note_answer(answer)
            self.hint = misspelt(self.sql, self.names) if not answer.rows else ""
            self.tell_rows()
        elif isinstance(answer, Refused):
            self._refused(answer)
        else:
            self.tell([Content.styled("stopped", "bold")])
        self.fit_tables()

    def fit_tables(self) -> None:
        """The list of tables keeps the width that the answer beside it leaves; none where that is too little."""
        wide = self.has_class("-wide")
        answer = self.query_one(AnswerTable).needed + EDGES if self.has_class("-answered") else 0
        left = self.size.width - answer
        self.query_one("#tables").styles.width = min(TABLES, max(left, LEAST)) if wide else "1fr"
        if (wide and left < LEAST) != self.crowded:
            self.crowded = not self.crowded
            self.set_class(self.crowded, "-tables")
        self.call_after_refresh(self._list_tables)

    def _refused(self, answer: Refused) -> None:
        width = max(20, self.query_one("#said", Lines).size.width)
        sentence = printable(refusal_words(answer.sentence, self.sql, answer.place, self.names))
        lines = [Content.styled(line, "bold $error") for line in wrap(sentence, width, 3)]
        if answer.place is not None:
            line, mark = pointed(self.sql, answer.place, width)
            lines += [Content(line), Content.styled(mark, "bold $error")]
            if self.editor.text == self.sql:
                self.editor.move_cursor(place_of(self.sql, answer.place))
        self.tell(lines)

    def _list_tables(self) -> None:
        words = self.query_one("#tables-words", Static)
        width = self.query_one("#tables", VerticalScroll).scrollable_content_region.width
        if width > 10:
            words.update(Content("\n").join(tables_lines(self.state.gym.unit, width)))

"""The keys of the SQL pane for an answer that its child holds: pages, sorting, files, the chart."""

from __future__ import annotations

from textual import work

from floor.asking import LIMIT
from floor.background import Answer, Question, Refused, Table
from floor.charting import chart_of
from floor.saving import Tried, free_name, save_to
from floor.tui.dialogs.ask import AskText
from floor.tui.screens.base import EveningScreen
from floor.tui.widgets.answer import AnswerTable


class AnswerKeys(EveningScreen):
    """The answer that is held, the page of it on show, and what the keys do with them."""

    def __init__(self) -> None:
        super().__init__()
        self.answered: Question | None = None
        self.page: Table | None = None
        self.starts: list[int] = [0]
        self.sort: tuple[int, bool] | None = None
        self._writing = False

    def show_answer(self, answer: Answer, column: int = 0) -> None:
        """Show an answer or a page of it."""
        raise TypeError(f"{type(self).__name__} shows no answer")

    def keep_answer(self, answered: Question | None) -> None:
        """Another answer, or none, in place of the one held up to now."""
        if self.answered is not None:
            self.answered.stop()
        self.answered, self.starts, self.sort = answered, [0], None

    def on_answer_table_turn(self, event: AnswerTable.Turn) -> None:
        """PgUp or PgDn past an end of the page."""
        self.action_turn(event.by)

    def action_turn(self, by: int) -> None:
        """The next page or the one before, where there is one."""
        page = self.page
        if page is None or self.answered is None:
            return
        if by > 0 and page.first + len(page.rows) < page.total:
            self._fetch(self.answered, [*self.starts, page.first + len(page.rows)], self.sort)
        elif by < 0 and len(self.starts) > 1:
            self._fetch(self.answered, self.starts[:-1], self.sort)

    def action_sort(self) -> None:
        """By the column in hand, smallest first; again, largest first; a third time, as it came."""
        table = self.query_one(AnswerTable)
        if self.page is None or self.answered is None or not self.has_class("-answered"):
            return
        column = table.cursor_column
        was = self.sort if self.sort is not None and self.sort[0] == column else None
        sort = (column, False) if was is None else (column, True) if not was[1] else None
        self._fetch(self.answered, [0], sort)

    @work(thread=True, exit_on_error=True, group="page", exclusive=True)
    def _fetch(self, question: Question, starts: list[int], sort: tuple[int, bool] | None) -> None:
        """A page from the child, beside the keys."""
        at, descending = sort if sort is not None else (None, False)
        answer = question.page(starts[-1], LIMIT, at, descending)
        self.app.call_from_thread(self._turned, question, answer, starts, sort)

    def _turned(self, question: Question, answer: Answer, starts: list[int], sort: tuple[int, bool] | None) -> None:
        if question is not self.answered:
            return
        if isinstance(answer, Table):
            self.starts, self.sort = starts, sort
            self.show_answer(answer, self.query_one(AnswerTable).cursor_column)
        elif isinstance(answer, Refused):
            self.house.say(answer.sentence)

    def action_save(self) -> None:
        """Save the whole answer as a file."""
        if self.answered is None:
            self.house.say("There is no answer to save: F5 runs the question.")
            return
        hint = "All rows, in the order shown: .csv, .parquet, .arrow or .json. It holds names: keep it safe."
        asking = AskText(
            "Save the answer in which file?", hint, free_name("answer.csv"), selected=True,
            take=lambda typed: self._save_as(typed, asking),
        )
        self.app.push_screen(asking)

    def _save_as(self, typed: str, asking: AskText) -> str:
        """Write the file beside the keys; the dialog stays until it is written."""
        if self.answered is None:
            return "The answer is gone."
        if not self._writing:
            self._writing = True
            self._save(self.answered, typed, self.sort, asking)
        return "It is being written …"

    @work(thread=True, exit_on_error=True, group="file")
    def _save(self, question: Question, typed: str, sort: tuple[int, bool] | None, asking: AskText) -> None:
        at, descending = sort if sort is not None else (None, False)
        self.app.call_from_thread(self._saved, save_to(question, typed, at, descending), asking)

    def _saved(self, tried: Tried, asking: AskText) -> None:
        """What could not be written is said under its name, which stays; without the dialog on the message line."""
        self._writing = False
        if asking.is_current and not tried.done:
            asking.tell(tried.words)
            return
        asking.action_leave()
        self.house.say(tried.words)

    # --- the chart

    def action_chart(self) -> None:
        """Draw the page on show, or go back to its table."""
        if self.drop_chart():
            return
        if self.page is None:
            self.house.say("There is no answer to draw: F5 runs the question.")
            return
        table = self.query_one(AnswerTable)
        chart = chart_of(self.page, table.cursor_column, self.state.gym.unit)
        if isinstance(chart, str):
            self.house.say(chart)
            return
        from floor.tui.widgets.chartview import ChartView

        self.add_class("-charted")
        self.query_one("#left").mount(ChartView(chart, id="chart"))

    def drop_chart(self) -> bool:
        """Take the chart away; whether there was one."""
        charts = self.query("#chart")
        found = bool(charts)
        charts.remove()
        self.remove_class("-charted")
        return found

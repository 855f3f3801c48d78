"""The keys of the SQL pane that need no child: the list of questions, those asked before, those kept."""

from __future__ import annotations

from datetime import datetime

from textual.content import Content

from floor.asking import FIRST_QUESTION, Asker, count_words, in_one_line, printable
from floor.background import Question, Table
from floor.completing import Names, gym_names
from floor.core.questions import Kept
from floor.session import Done, Failed
from floor.templates import TemplatesMissing, ready_questions
from floor.tui.dialogs.ask import AskText
from floor.tui.dialogs.questionlist import Chosen, QuestionList
from floor.tui.draw.spans import cut, wrap
from floor.tui.screens.answerkeys import AnswerKeys
from floor.tui.widgets.choices import Choices, asks
from floor.tui.widgets.editor import QuestionEditor
from floor.tui.widgets.lines import Lines

KEEP_HINT = "It is kept in the gym file; F2 lists it, and there W puts its answer on the week screen."

TITLE = 36
"""Columns of the words for the question that rows answer."""

LATEST = Kept("faults of the latest evening", FIRST_QUESTION)
"""The question that leads the list."""

QUOTES = ("'", '"')
"""How words begin that start with a name."""


class QuestionKeys(AnswerKeys):
    """What the pane holds while it is open, and what its keys do with it."""

    def __init__(self) -> None:
        super().__init__()
        self.asker: Asker | None = None
        self.question: Question | None = None
        self.asked: datetime | None = None
        self.sql = ""
        self.rows_of = ""
        self.hint = ""
        self.unready = False
        self.kept_as = ""
        self.crowded = False
        self._back = 0
        self._draft = ""

    @property
    def editor(self) -> QuestionEditor:
        """The question's text."""
        return self.query_one(QuestionEditor)

    @property
    def choices(self) -> Choices:
        """The questions in plain words."""
        return self.query_one(Choices)

    def list_questions(self) -> None:
        """The list anew: the latest evening's, those kept, the ready ones. What can't be read is said."""
        try:
            kept, ready = self.house.session.kept_questions(), ready_questions()
        except (ValueError, TemplatesMissing) as error:
            self.house.say(str(error))
            kept, ready = (), ()
        self.choices.fill((LATEST, *kept, *ready))

    def on_choices_moved(self) -> None:
        """The SQL of the question under the cursor; words typed meanwhile are an arrow up from it."""
        marked = self.choices.marked
        if marked is None:
            return
        typed = self.editor.text
        if typed.strip() and typed not in {q.sql for q in self.choices.questions}:
            self.remember(typed)
        self.kept_as = marked.name
        self.editor.put(marked.sql)
        self.editor.move_cursor((0, 0))

    def action_ask_marked(self) -> None:
        """Ask the question under the cursor, as it stands in the list."""
        marked = self.choices.marked
        if marked is not None and not self.still_runs():
            if self.editor.text != marked.sql:
                self.on_choices_moved()
            self.run_typed()

    def still_runs(self) -> bool:
        """Whether a question runs; it is said how to stop it."""
        if self.asked is not None:
            self.house.say("A question is running: Esc stops it.")
        return self.asked is not None

    def tell_rows(self) -> None:
        """Under the question: which question the rows on show answer, and how many they are."""
        if self.page is None or not self.has_class("-answered"):
            return
        whose = next((q.name for q in self.choices.questions if q.sql == self.rows_of), "") or asks(self.rows_of)
        whose = cut(whose or printable(self.rows_of.strip().partition("\n")[0]), TITLE)
        if self.editor.text != self.rows_of:
            whose = f"of the question before, {whose}"
        words = " · ".join(filter(None, (count_words(self.page), self.hint)))
        width = max(20, self.query_one("#said", Lines).size.width)
        self.tell([Content.styled(line, "bold") for line in wrap(f"{whose}: {words}", width, 2)])

    def on_text_area_changed(self) -> None:
        """Rows are not taken for those of another question than their own."""
        if self.asked is None:
            self.tell_rows()

    def run_typed(self) -> None:
        """Run what is typed."""
        raise TypeError(f"{type(self).__name__} runs nothing")

    def fit_tables(self) -> None:
        """Give the list of tables the width that is left."""
        raise TypeError(f"{type(self).__name__} lists no tables")

    def note_answer(self, page: Table) -> None:
        """The first row of an answer stands in the list beside its question, if that was asked as it is."""
        asked = next((q for q in self.choices.questions if q.sql == self.sql), None)
        if asked is not None and not page.first:
            self.choices.answered(asked.name, in_one_line(page))

    @property
    def names(self) -> Names:
        """What can stand between quotes."""
        return gym_names(self.state.gym, self.house.session.names.values())

    def tell(self, lines: list[Content]) -> None:
        """Say what came of the question, under it."""
        said = self.query_one("#said", Lines)
        said.styles.height = max(1, len(lines))
        said.show(lines)

    def forget(self) -> None:
        """Stop what runs, drop the answer and the copies."""
        if self.asker is not None:
            self.asker.close()
        self.asker, self.question, self.asked, self.answered = None, None, None, None

    # --- history and questions by name

    def remember(self, sql: str) -> None:
        """The question goes to the end of those asked since the app was opened."""
        asked = self.house.questions_asked
        if sql in asked:
            asked.remove(sql)
        asked.append(sql)
        self._back, self._draft = 0, sql

    def action_earlier(self) -> None:
        """The question asked before the one in the editor."""
        asked = self.house.questions_asked
        if self._back == 0:
            self._draft = self.editor.text
            if asked and asked[-1] == self._draft:
                self._back = 1
        if self._back < len(asked):
            self._back += 1
            self.editor.put(asked[-self._back])

    def action_later(self) -> None:
        """The question asked after it; after the latest, what was being typed."""
        if self._back > 0:
            self._back -= 1
            self.editor.put(self.house.questions_asked[-self._back] if self._back else self._draft)

    def on_question_editor_earlier(self) -> None:
        """Up on the first line."""
        self.action_earlier()

    def on_question_editor_later(self) -> None:
        """Down on the last line."""
        self.action_later()

    def action_fresh(self) -> None:
        """An empty editor for a question of one's own; the one that stood there is an arrow up."""
        self.remember(self.editor.text)
        self.editor.put("")
        self.editor.focus()

    def action_complete(self) -> None:
        """Take the grey end of the word."""
        self.editor.take()

    def action_edit(self) -> None:
        """Back to the question's text: nothing of the evening is undone from here."""
        self.editor.focus()

    def action_questions(self) -> None:
        """The questions kept and the ready ones."""
        try:
            dialog = QuestionList(self.house.session.kept_questions(), ready_questions())
        except (ValueError, TemplatesMissing) as error:
            self.house.say(str(error))
            return
        self.app.push_screen(dialog, self._chosen)

    def _chosen(self, chosen: Chosen | None) -> None:
        if chosen is None:
            return
        if chosen.turn:
            self._outcome(self.house.session.show_on_week(chosen.question, not chosen.question.week))
        elif chosen.drop:
            self._outcome(self.house.session.drop_question(chosen.question.name))
        else:
            self._put(chosen.question)

    def _put(self, question: Kept) -> None:
        self.kept_as = question.name
        self.choices.take(question.name)
        self.editor.put(question.sql)
        self.drop_chart()
        self.remove_class("-answered")
        self.fit_tables()
        self.tell([Content.styled(f"{question.name} · F5 runs it", "bold")])
        self.editor.focus()

    def action_keep(self) -> None:
        """Keep the question in the editor under a name: its own, if it was kept before."""
        try:
            mine = {question.name for question in self.house.session.kept_questions()}
        except ValueError as error:
            self.house.say(str(error))
            return
        lines = [line for line in self.editor.text.splitlines() if line.strip()]
        what = f"It begins: {printable(lines[0].strip(' -'))} · " if lines else ""
        name = self.kept_as if self.kept_as in mine else ""
        title = "Keep this question under which name?"
        self.app.push_screen(AskText(title, what + KEEP_HINT, name, selected=True, take=self._keep))

    def _keep(self, name: str) -> str:
        """Keep it; why not, "" when it is kept."""
        outcome = self.house.session.keep_question(name, self.editor.text)
        if not isinstance(outcome, Done):
            return outcome.words
        self.kept_as = name
        self._outcome(outcome)
        return ""

    def _outcome(self, outcome: object) -> None:
        words = getattr(outcome, "words", "")
        if isinstance(outcome, Done):
            words = f"The question {words if words.startswith(QUOTES) else 'is ' + words}."
            self.list_questions()
        self.house.say(words, isinstance(outcome, Failed))

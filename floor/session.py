"""The seam: a command is decided, written down, applied; only then is it shown.

Nothing above this file changes a state, nothing below it decides anything.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from floor.clock import Clock
from floor.core.apply import fold
from floor.core.commands import Command, Refusal
from floor.core.decide import decide
from floor.core.definitions import Problems, parse_gym
from floor.core.events import Event
from floor.core.gym import Gym
from floor.core.moments import clock_words
from floor.core.outlook import NO_OUTLOOK, Outlook
from floor.core.pace import NO_PACE, Pace
from floor.core.people import Person, PersonChange
from floor.core.questions import DOCUMENT as QUESTIONS
from floor.core.questions import Kept, parse_questions, with_kept, with_week, without, write_questions, wrong_name
from floor.core.restock import why_not_now
from floor.core.state import State
from floor.core.takingback import asked_before
from floor.core.words import command_words
from floor.journal.errors import JournalError
from floor.journal.log import Journal
from floor.journal.paces import read_pace
from floor.journal.reading import Reading
from floor.seen import Seen

AN_EVENING = timedelta(hours=12)
"""A closed session can be opened again by undo for so long; after that it is put right, not undone."""


@dataclass(frozen=True, slots=True)
class Done:
    """Written and applied. `words` says what was done."""

    events: tuple[Event, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Refused:
    """An expected no: nothing was written. `unless_sure`: the command is done when it says the coach is `sure`."""

    words: str
    unless_sure: bool = False


@dataclass(frozen=True, slots=True)
class Failed:
    """The commit failed: nothing was written and nothing changed. It stays on screen."""

    words: str


Outcome = Done | Refused | Failed


@dataclass(frozen=True, slots=True)
class Step:
    """One standing command of tonight and the state before it: what undo goes back to."""

    cmd: int
    events: tuple[Event, ...]
    before: State
    noted: bool = True
    """Whether people may have changed with it: then undo reads them again."""


class BadDefinitions(Exception):
    """The gym file's own documents can't be read; `sentences` say where and what to do."""

    def __init__(self, sentences: Sequence[str]) -> None:
        """Keep the sentences and join them for the message."""
        super().__init__("\n".join(sentences))
        self.sentences = tuple(sentences)


class Session:
    """A gym file that is open: its state now, its people, and the way to change them."""

    def __init__(self, journal: Journal, clock: Clock) -> None:
        """Read the gym file and fold what happened into the state it left.

        Raises BadDefinitions when a document of the gym can't be read, and the
        journal's errors when the file can't.
        """
        self.journal = journal
        self.clock = clock
        self.state = State()
        self.people: Mapping[int, Person] = {}
        self.zone = "UTC"
        self.latest = 0
        """The number of the latest command, an undo included: it names the state a plan is for."""
        self._seen = Seen(journal)
        self._steps: list[Step] = []
        self._load(journal.read())

    def _load(self, reading: Reading) -> None:
        self.people = reading.people
        self.zone = reading.zone
        gym = gym_of(reading)
        state = _with_counts(fold(State(gym=gym), reading.past), reading)
        for recorded in reading.tonight:
            if all(e.definition == QUESTIONS and e.kind == "definition_adopted" for e in recorded.events):
                continue  # a question kept under a name is no step of the evening: undo passes it by
            self._steps.append(Step(recorded.cmd, recorded.events, state))
            state = fold(state, recorded.events)
            self.latest = recorded.cmd
        self.state = state

    @property
    def names(self) -> dict[int, str]:
        """Board name by lifter number."""
        return {person.id: person.board for person in self.people.values()}

    def pace_reader(self) -> Callable[[], Pace]:
        """What reads, once and in any thread, how long sets take in this gym: it has a connection of its own.

        Nothing is learned when the record can't be read, or is not there any more.
        """
        try:
            cursor = self.journal.cursor()
        except JournalError:
            return lambda: NO_PACE

        def read() -> Pace:
            try:
                return read_pace(cursor)
            except JournalError:
                return NO_PACE
            finally:
                cursor.close()

        return read

    def evidence_reader(self, lifters: Sequence[int]) -> Callable[[Callable[[], bool]], None] | None:
        """What reads ahead, in any thread, what checking these lifters in will ask of the record; see `Seen.reader`."""
        try:
            return self._seen.reader(self.state, lifters, self._today())
        except JournalError:
            return None

    def _today(self) -> date:
        """The gym's own date."""
        return self.clock.now().astimezone(ZoneInfo(self.zone)).date()

    def free_number(self) -> int:
        """A number nobody in the gym has had."""
        return max([0, *self.people, *self.state.lifters]) + 1

    def do(
        self, command: Command, people: Sequence[PersonChange] = (), outlook: Outlook = NO_OUTLOOK
    ) -> Outcome:
        """Decide, write, apply. The state is the new one when Done comes back, else unchanged.

        An outlook of an older state counts as none.
        """
        before = self.state
        try:
            command = self._seen.with_evidence(command, before, self._today())
        except JournalError as error:
            return Failed(str(error))
        current = outlook if outlook.cmd == self.latest else NO_OUTLOOK
        answer = decide(before, command, self.clock.now(), current)
        if isinstance(answer, Refusal):
            return Refused(self._named(answer, people), answer.unless_sure)
        cmd = self._append(answer, people)
        if isinstance(cmd, Failed):
            return cmd
        self.state = fold(before, answer)
        self._steps.append(Step(cmd, answer, before, noted=bool(people)))
        return Done(answer, command_words(answer, before.gym, self.names, before))

    def undo(self) -> Outcome:
        """Take back the latest command that stands; itself a command, as often as wanted."""
        step = self._undoable()
        if step is None:
            return Refused(self._no_further())
        event = Event(
            kind="undone", happened=self.clock.now(), undoes=step.cmd,
            session=self.state.evening.session if self.state.open else None,
        )
        words = command_words(step.events, self.state.gym, self.names, step.before)
        cmd = self._append((event,), ())
        if isinstance(cmd, Failed):
            return cmd
        self._steps.pop()
        if not self._steps:  # before the first step read at opening only what is carried is known: read the rest
            self._load(self.journal.read())
            self.latest = cmd
            return Done((event,), f"Undone: {words}.")
        self.state = replace(step.before, gym=self.state.gym)
        if step.noted:
            self.people = self.journal.people()
        return Done((event,), f"Undone: {words}.")

    def undo_asks(self) -> str:
        """What is asked before the next undo: it is done on a yes alone. "" where nothing is."""
        step = self._undoable()
        return asked_before(step.events, self.state.gym, self.names) if step is not None else ""

    @property
    def tonight(self) -> tuple[Event, ...]:
        """The events of every command that stands since the latest session was opened, oldest first.

        Days of the past brought in since then are no part of it.
        """
        steps = (step for step in self._steps if step.events[0].kind != "history_brought")
        return tuple(event for step in steps for event in step.events)

    def _undoable(self) -> Step | None:
        """The latest standing command, unless it made the gym or belongs to an evening long over."""
        if not self._steps or any(e.kind == "definition_adopted" for e in self._steps[-1].events):
            return None
        step = self._steps[-1]
        over = not self.state.open and self.clock.now() - step.events[0].happened > AN_EVENING
        return None if over else step

    def _no_further(self) -> str:
        """Why nothing is undone: a changed document, with which the states before it would be wrong, or the end."""
        latest = self._steps[-1].events if self._steps else ()
        changed = next((e for e in latest if e.kind == "definition_adopted" and (e.count or 0) > 1), None)
        if changed is None:
            return "Nothing left to undo."
        be = "was" if changed.definition == "equipment" else "were"
        return f"Undo stops where the {changed.definition} {be} changed."

    def adopt(self, document: str, text: str, called: str = "") -> Outcome:
        """Adopt a new version of a document, if it can be read; in an open session only the plates may change.

        `called` is the name of the file it stands in, for what is wrong with it. The text
        that stands already makes no new version: that is done with no events.
        """
        if self.state.open and document != "equipment":
            return Refused("A session is open: close it before changing the gym's documents.")
        reading = self.journal.read()
        texts, versions = documents(reading)
        if texts.get(document) == text:
            return Done((), f"The same as {document} version {versions[document]}: nothing was changed.")
        texts[document] = text
        version = versions.get(document, 0) + 1
        gym = parse_gym(texts, versions | {document: version}, reading.unit)
        if isinstance(gym, Problems):
            return Refused("\n".join(gym.sentences({document: called} if called else None)))
        if wrong := why_not_now(self.state, gym):
            return Refused(wrong)
        event = Event(kind="definition_adopted", happened=self.clock.now(), definition=document, count=version)
        try:
            cmd = self.journal.adopt(document, text, event)
        except JournalError as error:
            return Failed(str(error))
        self.latest = cmd
        self._steps.append(Step(cmd, (event,), self.state, noted=False))
        self.state = replace(self.state, gym=gym)
        return Done((event,), f"{document} version {version} adopted.")

    def kept_questions(self) -> tuple[Kept, ...]:
        """The questions kept in this gym, by name. ValueError with a sentence when they can't be read."""
        return parse_questions(self.journal.document(QUESTIONS))

    def keep_question(self, name: str, sql: str) -> Outcome:
        """Keep a question under a name, in place of one of that name. An evening may be going on."""
        name = name.strip()
        wrong = wrong_name(name) or ("" if sql.strip() else "There is no question to keep.")
        if wrong:
            return Refused(wrong)
        return self._keep(lambda kept: with_kept(kept, Kept(name, sql)), f"kept as {name!r}")

    def drop_question(self, name: str) -> Outcome:
        """Keep a question no longer; the versions before still have it."""
        return self._keep(lambda kept: without(kept, name), f"{name!r} is no longer kept")

    def show_on_week(self, question: Kept, on: bool) -> Outcome:
        """Keep a question with its answer on the week screen, or keep it without."""
        words = "on the week screen now" if on else "no longer on the week screen"
        return self._keep(lambda kept: with_week(kept, question, on), f"{question.name!r} is {words}")

    def _keep(self, change: Callable[[tuple[Kept, ...]], tuple[Kept, ...]], words: str) -> Outcome:
        try:
            text, count = write_questions(change(self.kept_questions())), self.journal.next_version(QUESTIONS)
            event = Event(kind="definition_adopted", happened=self.clock.now(), definition=QUESTIONS, count=count)
            self.journal.adopt(QUESTIONS, text, event)
        except ValueError as error:
            return Refused(str(error))
        except JournalError as error:
            return Failed(str(error))
        return Done((event,), words)

    def _append(self, events: Sequence[Event], people: Sequence[PersonChange]) -> int | Failed:
        try:
            cmd = self.journal.append(events, people)
        except JournalError as error:
            return Failed(str(error))
        self.latest = cmd
        self._seen.recorded(events)
        if people:
            self.people = self.journal.people()
        return cmd

    def _named(self, refusal: Refusal, people: Sequence[PersonChange]) -> str:
        why = refusal.why
        if refusal.at is not None:
            why = why.replace("{at}", clock_words(refusal.at, ZoneInfo(self.zone)))
        if refusal.lifter is None:
            return why
        new = {change.id: change.board for change in people if hasattr(change, "board")}
        name = (self.names | new).get(refusal.lifter, f"lifter {refusal.lifter}")
        return why.replace("{lifter}", name)


def _with_counts(state: State, reading: Reading) -> State:
    """The folded past with the visits and the session numbers that the reading only counted."""
    lifters = {
        number: replace(lifter, sessions=lifter.sessions + reading.visits.get(number, 0))
        for number, lifter in state.lifters.items()
    }
    return replace(state, lifters=lifters, sessions=max(state.sessions, reading.sessions))


def documents(reading: Reading) -> tuple[dict[str, str], dict[str, int]]:
    """Text and version of the documents a gym is made of; the questions kept in it are no part of it."""
    made_of = {name: pair for name, pair in reading.definitions.items() if name != QUESTIONS}
    return {name: text for name, (_, text) in made_of.items()}, {name: no for name, (no, _) in made_of.items()}


def gym_of(reading: Reading) -> Gym:
    """The gym its documents describe. Raises BadDefinitions with every problem found."""
    gym = parse_gym(*documents(reading), reading.unit)
    if isinstance(gym, Problems):
        raise BadDefinitions(gym.sentences())
    return gym

"""Fast entry from the paper sheet: one key a set."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import Key as KeyPress

from floor.core.gym import Grade
from floor.core.papers import EMPTY, Draft, PaperSet, lifted, record, to_enter
from floor.core.sheet import role_words
from floor.core.state import State
from floor.core.teaching import role_of
from floor.core.units import show_with_unit
from floor.tui.draw.spans import cell
from floor.tui.keys import bindings, keys_of
from floor.tui.keysline import keys_lines
from floor.tui.present_running import fault_lines
from floor.tui.screens.base import EveningScreen
from floor.tui.widgets.lines import Lines


class SheetEntry(EveningScreen):
    """The sets still to enter, in sheet order. View state only: the cursor and what was typed for that set."""

    CSS_PATH = "sheetentry.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("sheetentry"),
        *(Binding(str(n), f"grade('{grade}')", show=False) for n, grade in enumerate(Grade, 1) if n > 1),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._key: tuple[int, int] | None = None
        self._draft = EMPTY

    def compose(self) -> ComposeResult:
        """Header, the sets, the faults of the set in hand, the message, the keys."""
        yield Lines(id="header")
        yield Lines(id="sets")
        yield Lines(id="typed")
        yield Lines(id="message")
        yield Lines(id="keys")

    # --- what is shown

    def _here(self, papers: tuple[PaperSet, ...]) -> int:
        """The cursor's place: on its set, or where that one stood."""
        if self._key is None:
            return 0
        order = [p.key for p in papers]
        if self._key in order:
            return order.index(self._key)
        after = [i for i, key in enumerate(order) if key > self._key]
        return after[0] if after else 0

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the sets around the cursor."""
        if not self.is_mounted or not self.size.width:
            return
        papers = to_enter(state, now)
        left = f"{len(papers)} sets still to enter" if len(papers) != 1 else "1 set still to enter"
        self._put("#header", [Content.assemble((" From the paper sheet ", "bold"), f" {left}")])
        self._put("#message", [self.said()])
        every = frozenset(k.action for k in keys_of("sheetentry"))
        acting = every if papers else frozenset({"back", "leave"})
        self._put("#keys", keys_lines("sheetentry", self.size.width, acting, always=(("a-z", "fault"), ("F1", "keys"))))
        if not papers:
            self._put("#sets", ["", "  Every set of everyone here is entered. Esc goes back."])
            self._put("#typed", [])
            return
        at = self._here(papers)
        rows = self.query_one("#sets", Lines).size.height or self.size.height
        first = min(max(0, at - rows // 3), max(0, len(papers) - rows))
        self._put("#sets", [self._row(state, papers[i], i == at) for i in range(first, min(first + rows, len(papers)))])
        self._put("#typed", self._typed(state, papers[at]))

    def _put(self, where: str, lines: list[Content] | list[str]) -> None:
        self.query_one(where, Lines).show(lines)

    def _row(self, state: State, paper: PaperSet, in_hand: bool) -> Content:
        names = self.house.session.names
        gym, s = state.gym, paper.set
        draft = self._draft if in_hand else EMPTY
        load = show_with_unit(lifted(state, paper, draft), gym.unit)
        name = names.get(paper.lifter, f"lifter {paper.lifter}")
        what = gym.lifts[s.lift].name + role_words(role_of(gym.lifts[s.lift], s))
        line = f"{'▶' if in_hand else ' '}{paper.no:>4}  {cell(name, 15)}{cell(what, 20)}{load:>9} × {s.reps}"
        if state.lifters[paper.lifter].held:
            line += "   held"
        if not draft.empty:
            line += "   " + self._said(state, paper, draft)
        return Content.styled(line, "bold reverse" if in_hand else "")

    def _said(self, state: State, paper: PaperSet, draft: Draft) -> str:
        lift = state.gym.lifts[paper.set.lift]
        parts = [f"{paper.set.reps - draft.missed} made"] if draft.missed else []
        parts += [fault.name for i in draft.faults if (fault := lift.fault(i)) is not None]
        return " · ".join(parts)

    def _typed(self, state: State, paper: PaperSet) -> list[Content]:
        s = paper.set
        lift = state.gym.lifts[s.lift]
        name = self.house.session.names.get(paper.lifter, f"lifter {paper.lifter}")
        load = show_with_unit(lifted(state, paper, self._draft), state.gym.unit)
        said = self._said(state, paper, replace(self._draft, missed=0))
        made = f"{name} · {lift.name} {load} · {s.reps - self._draft.missed} of {s.reps} made"
        hint = said if self._draft.faults else "a letter marks a fault on the last rep"
        head = Content.assemble((f" {made} ", "bold"), f" {hint}")
        grades = Content(" " + "  ".join(f"{n} {grade}" for n, grade in enumerate(Grade, 1)))
        typed = tuple((s.reps, fault) for fault in self._draft.faults)
        return [head, grades, *fault_lines(lift.faults, replace(s, faults=typed), self.size.width)]

    # --- keys

    def _papers(self) -> tuple[PaperSet, ...]:
        return to_enter(self.state, self.house.session.clock.now())

    def _in_hand(self) -> PaperSet | None:
        papers = self._papers()
        return papers[self._here(papers)] if papers else None

    def typed(self, event: KeyPress) -> bool:
        """A letter marks a fault on the last rep; again takes it off."""
        letter = (event.character or "").lower()
        paper = self._in_hand()
        if paper is None or len(letter) != 1 or not letter.isalpha():
            return False
        lift = self.state.gym.lifts[paper.set.lift]
        fault = lift.fault_at(letter)
        if fault is None:
            self.house.say(f'The {lift.name} has no fault "{letter}".')
            return True
        seen = self._draft.faults
        kept = tuple(f for f in seen if f != fault.id) if fault.id in seen else (*seen, fault.id)
        self._type(paper, Draft(self._draft.missed, self._draft.steps, kept))
        return True

    def _type(self, paper: PaperSet, draft: Draft) -> None:
        self._key, self._draft = paper.key, draft
        self.house.say("")

    def action_missed(self) -> None:
        """One rep fewer made; after none, all again."""
        paper = self._in_hand()
        if paper is not None:
            missed = (self._draft.missed + 1) % (paper.set.reps + 1)
            self._type(paper, Draft(missed, self._draft.steps, self._draft.faults))

    def action_load(self, by: int) -> None:
        """A step more or less than planned was lifted."""
        paper = self._in_hand()
        if paper is None:
            return
        draft = Draft(self._draft.missed, self._draft.steps + by, self._draft.faults)
        if by < 0 and lifted(self.state, paper, draft) == lifted(self.state, paper, self._draft):
            self.house.say("Nothing lighter can be built.")
            return
        self._type(paper, draft)

    def action_grade(self, grade: str) -> None:
        """The set as shown, with that grade; on to the next."""
        paper = self._in_hand()
        if paper is None:
            self.house.say("Every set is entered.")
            return
        order = self._papers()
        at = self._here(order)
        self._key = paper.key

        def entered() -> None:
            left = {p.key for p in self._papers()}
            later = [p.key for p in (*order[at + 1 :], *order[:at]) if p.key in left]
            self._key, self._draft = (later[0] if later else None), EMPTY
            self.house.show()

        self.act_if_sure(record(self.state, paper, self._draft, Grade(grade)), "enter it", entered)

    def action_step(self, by: int) -> None:
        """Skip to another set; what was typed for this one is off."""
        papers = self._papers()
        if papers:
            self._key, self._draft = papers[(self._here(papers) + by) % len(papers)].key, EMPTY
            self.house.say("")

    def action_back(self) -> None:
        """What was typed for this set off; with nothing typed, undo, and back to the set that is open again."""
        if not self._draft.empty:
            self._draft = EMPTY
            self.house.say("")
            return
        before = {p.key for p in self._papers()}
        self.house.action_undo()
        again = [p.key for p in self._papers() if p.key not in before]
        if again:
            self._key = again[-1]
            self.house.show()

    def action_leave(self) -> None:
        """Back."""
        self.house.say("")
        self.app.pop_screen()

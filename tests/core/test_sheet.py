"""The evening on paper: everything a coach needs when the laptop is off, and nothing private."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

from floor.core import commands as c
from floor.core.gym import Grade, Severity
from floor.core.papers import Draft, record, to_enter
from floor.core.sheet import NO_LIFTS, WIDTH, Sheet, make_sheet, page, text
from floor.core.stacks import NOT_TO_DROP
from floor.core.state import DROPPED
from tests.core.evenings import NAMES, NOW, Told, three_lifters


def sheet_of(told: Told, names: dict[int, str] | None = None) -> Sheet:
    return make_sheet(told.state, names or NAMES, NOW, "Wed 25 Nov 2026 18:00")


def text_of(told: Told) -> str:
    return text(sheet_of(told), told.state.gym)


def here(*lifters: int) -> Told:
    told = three_lifters().do(c.OpenSession())
    return told.do(*(c.Arrive(i, 1) for i in lifters))


def test_every_set_has_its_load_its_reps_and_the_bar_in_words() -> None:
    said = text_of(here(1))
    assert "squat                62.5 kg × 5   20 kg bar + 20, 1.25 each side" in said
    assert "power clean ramp     30 kg × 2     20 kg bar + 5T each side" in said


def test_there_is_a_box_for_every_rep_of_every_set() -> None:
    told = here(1, 2)
    rows = [row for block in sheet_of(told).blocks for row in block.rows]
    assert text_of(told).count("[ ]") == sum(row.reps for row in rows) > 0
    assert page(sheet_of(told), told.state.gym).count("☐") == sum(row.reps for row in rows)


def test_no_line_is_wider_than_the_paper() -> None:
    told = here(1, 2, 3)
    told.do(
        c.SetHeights(1, "squat", rack=12, safety=4), c.SetStage(1, "clean", 2, sure=True),
        c.ChangeLoad(1, 5775, sure=True),
    )
    assert max(len(line) for line in text_of(told).splitlines()) <= WIDTH


def test_twenty_reps_get_twenty_boxes_over_two_lines() -> None:
    told = here(1)
    present = told.state.evening.here[1]
    long = replace(present, sets=(replace(present.sets[0], reps=20),))
    evening = replace(told.state.evening, here={1: long})
    lifters = {1: told.state.lifters[1]}
    said = text(
        make_sheet(replace(told.state, evening=evening, lifters=lifters), NAMES, NOW, ""), told.state.gym
    )
    assert said.count("[ ]") == 20
    assert max(len(line) for line in said.splitlines()) <= WIDTH


def test_sets_are_numbered_from_one_without_a_gap() -> None:
    numbers = [row.no for block in sheet_of(here(2, 1)).blocks for row in block.rows]
    assert numbers == list(range(1, len(numbers) + 1))


def test_numbers_on_paper_stay_when_somebody_else_comes() -> None:
    told = three_lifters()
    before = _numbers(told)
    told.do(c.OpenSession(), c.Arrive(2, 1))
    assert _numbers(told) == before
    told.do(c.Arrive(1, 2), c.Arrive(4, 1, new=True), c.SwapLifts(2))
    assert _numbers(told)[: len(before)] == before


def _numbers(told: Told) -> list[tuple[int, int, int]]:
    return [(row.no, row.lifter, row.set_no) for block in sheet_of(told).blocks for row in block.rows]


def test_those_not_here_yet_are_on_it_as_well() -> None:
    assert "Cleo · youth · not here yet" in text_of(here(1))


def test_a_held_lifter_has_no_lifts_and_nothing_says_why() -> None:
    told = here(1).do(c.ReportPain(2))
    said = text_of(told)
    block = said[said.index("Bo · not here yet") :].split("-" * 20)[0]
    assert "No lifts tonight: speak to the coach first." in block
    assert "[ ]" not in block and "held" not in block and "pain" not in block


def test_a_lifter_who_reports_pain_while_here_gets_no_set_on_it_and_others_keep_their_numbers() -> None:
    told = here(1, 2)
    before = {(row.lifter, row.set_no): row.no for block in sheet_of(told).blocks for row in block.rows}
    told.do(c.ReportPain(1))
    sheet = sheet_of(told)
    held, other = sheet.blocks[0], sheet.blocks[1]
    assert held.rows == () and other.rows
    assert all(before[row.lifter, row.set_no] == row.no for row in other.rows)
    said = text(sheet, told.state.gym)
    assert NO_LIFTS in said[said.index("Ada") : said.index("Bo ·")]
    assert [entry.no for entry in to_enter(told.state, NOW) if entry.lifter == 2] == [row.no for row in other.rows]


def test_the_sets_that_a_dangerous_fault_ended_are_not_on_it() -> None:
    told = here(1).do(c.StartSet(1))
    lift = told.state.evening.here[1].running().lift
    letter = next(f.letter for f in told.state.gym.lifts[lift].faults if f.severity == Severity.END)
    told.do(c.CountRep(1, True), c.SeeFault(1, letter), c.EndSet(1, Grade.BROKEN))
    off = [s.no for s in told.state.evening.here[1].sets if s.status == DROPPED]
    rows = {row.set_no for row in sheet_of(told).blocks[0].rows}
    assert off and rows and not rows & set(off)


def test_a_height_nobody_has_set_is_a_gap_to_write_in() -> None:
    told = here(1).do(c.SetHeights(1, "squat", rack=12))
    assert "squat: rack 12 · safeties ____" in text_of(told)


def test_a_thin_disc_is_said_once_for_a_load() -> None:
    told = three_lifters().do(c.OpenSession(), c.Arrive(3, 1))
    block = sheet_of(told).blocks[2]
    cleans = [row for row in block.rows if row.lift == "clean" and row.role != "ramp"]
    assert cleans[0].role == "walk" and cleans[0].care == "Blocks or hang. No full-size plate on."
    cleans = cleans[1:]
    assert cleans[0].care == NOT_TO_DROP
    assert [row.care for row in cleans[1:] if row.load == cleans[0].load] == [""] * (len(cleans) - 1)


def test_the_fault_letters_and_the_cautions_are_on_it() -> None:
    said = text_of(here(1))
    assert "a arms bent early" in said
    assert "! Young lifters: light, supervised" in said
    assert "! Know the bail. Not spotted, area clear." in said


def test_a_name_cannot_break_the_page() -> None:
    names = {**NAMES, 1: "<b>Ada & \"Co\"</b>"}
    made = page(sheet_of(here(1), names), here(1).state.gym)
    assert "<b>Ada" not in made
    assert "&lt;b&gt;Ada &amp; &quot;Co&quot;&lt;/b&gt;" in made


def test_the_page_is_whole_and_asks_the_network_for_nothing() -> None:
    told = here(1)
    made = page(sheet_of(told), told.state.gym)
    assert not any(word in made for word in ("http", "src=", "href", "<script", "@import", "url("))
    checker = _Closed()
    checker.feed(made)
    assert checker.open == []


class _Closed(HTMLParser):
    """Every tag that opens is closed in turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


# --- and back from the paper


def test_entry_follows_the_sheet_number_by_number() -> None:
    told = here(3, 1)
    on_paper = [row for row in _numbers(told) if row[1] != 2]
    assert [(p.no, p.lifter, p.set.no) for p in to_enter(told.state, NOW)] == on_paper


def test_a_set_that_is_entered_is_off_the_list_and_the_other_numbers_stay() -> None:
    told = here(1)
    first, second, *_ = to_enter(told.state, NOW)
    told.do(record(told.state, first, Draft(), Grade.SHARP))
    assert to_enter(told.state, NOW)[0].no == second.no == 2


def test_sets_of_someone_who_went_home_can_still_be_entered() -> None:
    told = here(1).do(c.Leave(1))
    first = to_enter(told.state, NOW)[0]
    told.do(record(told.state, first, Draft(missed=1, faults=("arms-bent-early",)), Grade.ROUGH))
    done = told.state.evening.here[1].sets[0]
    assert (done.made, done.missed, done.grade, done.faults) == (
        first.set.reps - 1, 1, Grade.ROUGH, ((first.set.reps, "arms-bent-early"),)
    )  # fmt: skip


def test_the_load_entered_is_the_printed_one_whatever_stands_on_the_other_bars() -> None:
    told = here(1, 2)
    paper = next(p for p in to_enter(told.state, NOW) if p.set.lift == "squat" and p.set.role == "work")
    told.do(record(told.state, paper, Draft(), Grade.SOUND))
    done = told.state.evening.here[1].set(paper.set.no)
    assert done is not None and done.load == 6250

"""Cards: board-safe, one page, in three forms that say the same; the coach's summary."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from html.parser import HTMLParser

import pytest

from floor.core import commands as c
from floor.core.card import CAREFUL, HEALTH, cues, evening_page, make_card
from floor.core.gym import Entry, Grade, Programme
from floor.core.pages import WIDTH, Page, Part, as_html, as_markdown, as_text
from floor.core.past import LifterPast
from floor.core.sheet import NO_LIFTS
from floor.core.state import NextPlan, State
from tests.core.evenings import NAMES, NOW, Told, three_lifters
from tests.core.test_week import lifted

WHEN = "Wed 25 Nov 2026"
VOID = {"meta", "br"}


class Strict(HTMLParser):
    """Every tag opened is closed, in order; nothing is fetched or run."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: set[str] = set()
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        assert {name for name, _ in attrs} <= {"lang", "charset", "class"}, (tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.words.append(data)


def html_words(page: Page) -> str:
    reader = Strict()
    reader.feed(as_html(page))
    reader.close()
    assert reader.open == [] and not reader.seen & {"script", "link", "img", "iframe"}
    return " ".join(" ".join(reader.words).split())


def card(state: State, lifter: int = 1, **more: object) -> Page:
    page = make_card(state, lifter, NAMES, NOW, WHEN, **more)  # type: ignore[arg-type]
    assert isinstance(page, Page), page
    return page


def with_rule(rule: str, load: int = 6000, was: int = 6250) -> State:
    state = three_lifters().state
    ada = state.lifters[1]
    plan = NextPlan("squat", 3, 5, load, rule, 0, was=was)
    return replace(state, lifters={**state.lifters, 1: replace(ada, plans={"squat": plan})})


def test_it_says_what_to_lift_with_what_on_the_bar_and_why() -> None:
    text = as_text(card(with_rule("all-made", 6250, 6000)))
    assert text.startswith("Ada: next session\n")
    assert "work  62.5 kg  3 × 5  20 kg bar + 20, 1.25 each side" in text
    assert "why: all reps made, form held: one step more (was 60)" in text
    assert "ramp" in text and "safeties not set" in text
    assert WHEN in text


@pytest.mark.parametrize("form", [as_text, as_markdown, as_html])
@pytest.mark.parametrize("rule", list(HEALTH))
def test_nothing_about_pain_or_health_is_on_a_card(rule: str, form: object) -> None:
    page = card(with_rule(rule))
    about = replace(page, cautions=())  # the gym's general cautions speak of pain, never of this lifter's
    words = form(about).casefold()  # type: ignore[operator]
    assert not [w for w in ("pain", "cleared", "clearance", "held", "note") if w in words]
    assert "ask the coach" in words


def test_a_held_lifter_has_no_lifts_and_the_card_does_not_say_why() -> None:
    told = three_lifters().do(c.ReportPain(1))
    page = card(told.state)
    assert page.parts == () and NO_LIFTS in page.about
    words = as_text(replace(page, cautions=())).casefold()
    assert "pain" not in words and "held" not in words and "clear" not in words


def test_every_form_says_the_same_loads_and_cautions() -> None:
    page = card(three_lifters().state)
    text, mark, html = as_text(page), as_markdown(page), html_words(page)
    loads = [row[1] for part in page.parts for row in part.rows]
    assert len(loads) > 4
    for said in (text, mark, html):
        assert all(load in said for load in loads)
        flat = " ".join(said.replace("\\", "").split())
        assert all(" ".join(caution.split()) in flat for caution in page.cautions)
    assert page.cautions[: len(CAREFUL)] == CAREFUL
    assert max(map(len, text.splitlines())) <= WIDTH


def test_a_card_fits_one_page_of_paper() -> None:
    assert len(as_text(card(three_lifters().state)).splitlines()) <= 66


def test_words_that_look_like_marks_stay_words() -> None:
    nasty = "<b>A|d*a_ [x](y) & `c` </section>"
    page = Page(nasty, (nasty,), (Part(nasty, ("set", "load"), (("work", nasty),), (nasty,)),), (nasty,))
    assert html_words(page).count(nasty) == 7, "title twice, about, heading, cell, line, caution"
    table = next(line for line in as_markdown(page).splitlines() if line.startswith("| work"))
    assert table.replace("\\|", "").count("|") == 3
    assert "<b>" not in as_markdown(page).replace("\\<", "")


def test_for_someone_here_tonight_it_is_what_closing_now_would_bring() -> None:
    told = _evening()
    page = card(told.state)
    told.do(c.CloseSession())
    closed = card(told.state)
    assert page.parts == closed.parts
    assert "still open" in page.about[-1] and "still open" not in closed.about[-1]
    assert "65 kg" in as_text(page)


def test_while_they_lift_there_is_no_card_and_the_reason_is_said() -> None:
    told = _evening().do(c.StartSet(1))
    answer = make_card(told.state, 1, NAMES, NOW, WHEN)
    assert isinstance(answer, c.Refusal) and "is lifting" in answer.why


def test_a_lay_off_is_said_and_lightens() -> None:
    state = with_rule("all-made")
    away = replace(state.lifters[1], last_came=NOW - timedelta(days=30))
    page = card(replace(state, lifters={**state.lifters, 1: away}))
    assert "why: back after a while: eased in" in as_text(page)
    assert "work  54 kg" in as_text(page)


def test_a_light_day_says_of_what() -> None:
    state = with_rule("all-made", 10000, 9750)
    light = Programme("p", "Two days", ((Entry("squat", 2, 5, percent=80),), (Entry("squat", 3, 5),)))
    gym = replace(state.gym, programmes={"p": light})
    ada = replace(state.lifters[1], programme="p")
    text = as_text(card(replace(state, gym=gym, lifters={**state.lifters, 1: ada})))
    assert "Two days, day 1 of 2" in text
    assert "work  80 kg" in text and "why: a light day: 80 % of the full 100 kg" in text


def test_a_load_that_came_down_says_why_on_sets_that_build_too() -> None:
    state = with_rule("stopped-eases", 5400, 6000)
    build = Programme("p", "One day", ((Entry("squat", 4, 3, role="build"),),))
    ada = replace(state.lifters[1], programme="p")
    gym = replace(state.gym, programmes={"p": build})
    text = as_text(card(replace(state, gym=gym, lifters={**state.lifters, 1: ada})))
    assert "the lift was stopped: lighter next time (was 60)" in text and "up step by step" not in text


def test_the_one_cue_is_that_of_the_worst_fault_of_the_latest_evening() -> None:
    gym = three_lifters().state.gym
    squat = gym.lifts["squat"]
    mild, bad = min(squat.faults, key=lambda f: f.severity.rank), max(squat.faults, key=lambda f: f.severity.rank)
    old = lifted(9, 6000, faults=((1, bad.id),))
    new = lifted(0, 6000, faults=((1, mild.id), (2, mild.id)))
    assert cues(LifterPast(1, sets=(old, new)), gym) == {"squat": mild.cue}
    worse = replace(new, faults=((1, mild.id), (2, mild.id), (3, bad.id)))
    assert cues(LifterPast(1, sets=(worse,)), gym) == {"squat": bad.cue}
    assert f"one thing: {bad.cue}" in as_text(card(three_lifters().state, cues={"squat": bad.cue}))


def test_no_fault_on_the_latest_evening_is_no_cue() -> None:
    gym = three_lifters().state.gym
    fault = gym.lifts["squat"].faults[0].id
    assert cues(LifterPast(1, sets=(lifted(9, 6000, faults=((1, fault),)), lifted(0, 6000))), gym) == {}


def _evening() -> Told:
    told = three_lifters().do(c.OpenSession(), c.Arrive(1, 1), c.Arrive(2, 1))
    for s in told.state.evening.here[1].of_lift("squat"):
        if s.role != "ramp":
            told.do(c.RecordWhole(1, s.no, 5, grade=Grade.SHARP))
    return told


def test_the_evenings_summary_is_for_the_coach_and_says_all_of_it() -> None:
    told = _evening().do(c.ReportPain(2), c.CloseSession())
    page = evening_page(told.state, told.events, NAMES, WHEN)
    assert isinstance(page, Page)
    for said in (as_text(page), as_markdown(page), html_words(page)):
        flat = " ".join(said.replace("\\", "").split())
        assert "For the coach, not for the board" in flat
        assert "3 of 3 work sets · 15 of 15 reps · top 62.5 kg × 5 · sharp 3" in flat
        assert "52 kg 2×5 (light day: 80 % of the full 65 kg, up from 62.5): all reps made, form held: one" in flat
        assert "held until cleared: Bo" in flat


def test_an_open_evening_is_a_preview_and_none_is_said() -> None:
    told = _evening()
    page = evening_page(told.state, told.events, NAMES, WHEN)
    assert isinstance(page, Page) and "preview" in page.about[0]
    none = evening_page(three_lifters().state, (), NAMES, WHEN)
    assert isinstance(none, c.Refusal)

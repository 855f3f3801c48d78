"""A set seen late, and an older one put right."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floor.core.gym import Fault, Grade, Severity
from floor.tui.dialogs.setform import SetAnswer, SetForm, SetRow
from tests.tui.dialog_bench import UNANSWERED, ask, flat

KNEES = Fault("knees", "k", "knees caving in", "way up", Severity.LIGHTEN, "Knees out.")
DEEP = Fault("deep", "d", "not deep enough", "bottom", Severity.FIX, "Lower.")
ARMS = Fault("arms", "a", "arms bent early", "second pull", Severity.FIX, "Long arms.")
SQUAT = (DEEP, KNEES)

PLANNED = [
    SetRow(1, "BEN", 4, "squat", "work 2 of 3", 5, 6000, fault_keys=SQUAT),
    SetRow(2, "ALMA", 3, "power clean", "work 1 of 5", 3, 4250, fault_keys=(ARMS,)),
    SetRow(3, "YUSUF", 1, "squat", "ramp", 5, 2000, fault_keys=SQUAT),
]
DONE = [
    SetRow(1, "BEN", 4, "squat", "work 2 of 3", 5, 6000, ((2, "knees"), (5, "deep")), SQUAT, 4, 1, Grade.ROUGH),
    SetRow(2, "ALMA", 3, "power clean", "work 1 of 5", 3, 4250, (), (ARMS,), 3, 0, Grade.SHARP),
]


def late() -> SetForm:
    return SetForm("A set seen late", PLANNED, "kg", "late")


def right() -> SetForm:
    return SetForm("Put a set right", DONE, "kg", "right")


async def recorded(make, *keys: str) -> SetAnswer:
    answer = (await ask(make, *keys)).answer
    assert isinstance(answer, SetAnswer)
    return answer


# --- seen late


async def test_enter_records_the_first_set_as_done_and_unseen() -> None:
    assert await recorded(late, "enter") == SetAnswer(1, 4, 5, 0, 6000, Grade.UNSEEN, (), 0)


async def test_the_arrows_choose_the_set() -> None:
    assert (await recorded(late, "down", "enter")).lifter == 2
    assert (await recorded(late, "up", "enter")).lifter == 3
    words = (await ask(late, "down")).last_words
    assert "▶ ALMA   power clean  work 1 of 5  42.5 kg × 3" in words


@pytest.mark.parametrize("key,grade", zip("12345", Grade, strict=True))
async def test_a_digit_grades_and_records(key: str, grade: Grade) -> None:
    assert (await recorded(late, key)).grade is grade


async def test_a_rep_missed_is_one_of_the_planned_ones() -> None:
    answer = await recorded(late, "full_stop", "enter")
    assert (answer.made, answer.missed) == (4, 1)


async def test_a_rep_fewer_was_not_tried_and_one_more_was() -> None:
    answer = await recorded(late, "minus", "enter")
    assert (answer.made, answer.missed) == (4, 0)
    answer = await recorded(late, "plus", "enter")
    assert (answer.made, answer.missed) == (6, 0)
    answer = await recorded(late, "minus", "minus", "full_stop", "enter")
    assert (answer.made, answer.missed) == (3, 1)


async def test_a_miss_is_taken_back() -> None:
    answer = await recorded(late, "full_stop", "full_stop", "comma", "enter")
    assert (answer.made, answer.missed) == (4, 1)
    assert "No rep was missed." in (await ask(late, "comma")).last_words


async def test_a_letter_marks_the_last_rep_and_the_same_letter_withdraws_it() -> None:
    bench = await ask(late, "k")
    assert "k [x] knees caving in" in bench.last_words
    assert "d [ ] not deep enough" in bench.last_words
    assert (await recorded(late, "k", "3")).faults == ((5, "knees"),)
    assert (await recorded(late, "k", "k", "3")).faults == ()
    assert (await recorded(late, "K", "3")).faults == ((5, "knees"),)


async def test_a_fault_on_the_last_rep_stays_on_the_last_rep() -> None:
    assert (await recorded(late, "k", "minus", "3")).faults == ((4, "knees"),)
    assert (await recorded(late, "k", "plus", "3")).faults == ((6, "knees"),)
    assert (await recorded(late, "left", "right", "k", "plus", "3")).faults == ((6, "knees"),)
    assert (await recorded(late, "left", "k", "plus", "3")).faults == ((4, "knees"),)


async def test_another_rep_is_marked_by_going_to_it() -> None:
    bench = await ask(late, "left", "left")
    assert "faults on rep 3" in bench.last_words
    assert (await recorded(late, "left", "left", "k", "right", "right", "d", "3")).faults == ((3, "knees"), (5, "deep"))
    assert "faults on rep 5, the last" in (await ask(late, "left", "right", "right")).last_words
    assert "faults somewhere in the set" in (await ask(late, *["left"] * 9)).last_words
    assert (await recorded(late, *["left"] * 9, "k", "3")).faults == ((0, "knees"),)


async def test_a_letter_without_a_fault_says_so() -> None:
    bench = await ask(late, "q")
    assert bench.answer == UNANSWERED
    assert 'The squat has no fault on the key "q".' in bench.last_words


async def test_every_set_has_the_faults_of_its_own_lift() -> None:
    words = (await ask(late, "down")).last_words
    assert "a [ ] arms bent early" in words and "knees caving in" not in words


async def test_the_bar_was_down_some_minutes_ago() -> None:
    assert (await recorded(late, "less_than_sign", "less_than_sign", "enter")).minutes == 2
    assert (await recorded(late, "less_than_sign", "greater_than_sign", "enter")).minutes == 0
    assert (await recorded(late, *["less_than_sign"] * 33, "enter")).minutes == 30
    assert "0 to 30 minutes ago" in (await ask(late, "greater_than_sign")).last_words


async def test_a_line_says_what_will_be_recorded() -> None:
    words = flat((await ask(late)).last_words)
    assert "Enter records: BEN squat 60 kg: 5 made, 0 missed, unseen, bar down just now" in words
    words = flat((await ask(late, "full_stop", "k", "less_than_sign", "less_than_sign")).last_words)
    assert "BEN squat 60 kg: 4 made, 1 missed, unseen, knees caving in on rep 5, bar down 2 min ago" in words


@pytest.mark.parametrize("key", ["f7", "equals_sign"])
async def test_another_load_is_typed(key: str) -> None:
    assert (await recorded(late, key, *"62.5", "enter", "enter")).load == 6250
    assert (await recorded(late, key, "minus", "5", "enter", "enter")).load == 5500


async def test_a_load_not_typed_changes_nothing() -> None:
    answer = await recorded(late, "full_stop", "f7", *"70", "escape", "enter")
    assert (answer.load, answer.missed) == (6000, 1)


async def test_backspace_starts_the_set_afresh_and_undoes_nothing() -> None:
    bench = await ask(late, "full_stop", "k", "less_than_sign", "f7", *"70", "enter", "backspace")
    assert "5 made, 0 missed, unseen, bar down just now" in flat(bench.last_words)
    assert bench.undone == 0


async def test_what_was_changed_on_one_set_is_not_recorded_on_another() -> None:
    assert await recorded(late, "full_stop", "down", "enter") == SetAnswer(2, 3, 3, 0, 4250, Grade.UNSEEN, (), 0)


async def test_a_set_without_a_rep_is_not_recorded() -> None:
    for last in ("enter", "1"):
        bench = await ask(late, *["minus"] * 5, last)
        assert bench.answer == UNANSWERED
        assert "Not one rep made or missed: say at least one." in bench.last_words


async def test_reps_stay_within_what_can_be_recorded() -> None:
    bench = await ask(late, *["minus"] * 6)
    assert "No rep was made." in bench.last_words
    assert (await recorded(late, *["plus"] * 7, "enter")).made == 10
    assert "No more reps than that: at most twice as many as planned." in (await ask(late, *["plus"] * 6)).last_words


async def test_a_set_that_went_past_its_reps_says_so_before_it_is_recorded() -> None:
    words = flat((await ask(late, "plus")).last_words)
    assert "BEN squat 60 kg: 6 made, 0 missed, 6 of 5: one more than planned, unseen" in words
    assert "more than planned" not in flat((await ask(late, "minus")).last_words)


async def test_a_rep_more_made_is_first_one_that_was_missed() -> None:
    two = [SetRow(1, "BEN", 4, "squat", "work 2 of 3", 5, 6000, (), SQUAT, 2, 3, Grade.ROUGH)]

    def form() -> SetForm:
        return SetForm("Put a set right", two, "kg", "right")

    pressed = (("+", 3, 2), ("+++", 5, 0), ("++++", 6, 0), ("+++,,,", 5, 0), ("+.", 2, 3), (",,", 4, 1))
    for keys, made, missed in pressed:
        named = {"+": "plus", ",": "comma", ".": "full_stop"}
        answer = await recorded(form, *(named[key] for key in keys), "enter")
        assert (answer.made, answer.missed) == (made, missed), keys


async def test_no_more_reps_are_missed_than_were_planned() -> None:
    bench = await ask(late, *["full_stop"] * 6)
    assert "Every rep was missed." in bench.last_words
    assert "0 made, 5 missed" in flat(bench.last_words)


async def test_escape_records_nothing() -> None:
    assert (await ask(late, "full_stop", "escape")).answer is None
    assert (await ask(right, "k", "escape")).answer is None


async def test_no_set_is_said() -> None:
    none = SetForm("A set seen late", [], "kg", "late")
    bench = await ask(lambda: none, "enter", "1", "k", "down", "left", "f7", "backspace")
    assert bench.answer == UNANSWERED
    assert "No set to record." in bench.last_words


# --- put right


async def test_the_latest_set_is_chosen_as_it_is_recorded() -> None:
    bench = await ask(right)
    assert "▶ BEN   squat        work 2 of 3  60 kg: 4 of 5, rough (k rep 2, d rep 5)" in bench.last_words
    words = flat(bench.last_words)
    assert (
        "Enter records: BEN squat 60 kg: 4 made, 1 missed, rough, knees caving in on rep 2, not deep enough on rep 5"
        in words
    )
    assert "bar down" not in words


async def test_enter_keeps_the_grade_as_it_was() -> None:
    assert await recorded(right, "full_stop", "enter") == SetAnswer(
        1, 4, 3, 2, 6000, Grade.ROUGH, ((2, "knees"), (5, "deep")), 0
    )
    assert (await recorded(right, "down", "a", "enter")).grade is Grade.SHARP


async def test_a_digit_puts_the_grade_right() -> None:
    assert (await recorded(right, "4")).grade is Grade.BROKEN


async def test_the_list_says_on_which_rep_a_fault_is() -> None:
    one = [replace(DONE[0], faults=((4, "knees"),))]
    bench = await ask(lambda: SetForm("Put a set right", one, "kg", "right"))
    assert "60 kg: 4 of 5, rough (k rep 4)" in bench.last_words


async def test_a_rep_not_made_was_missed_unless_it_was_not_tried() -> None:
    fewer = [replace(DONE[0], faults=(), missed=0)]
    words = (await ask(lambda: SetForm("Put a set right", fewer, "kg", "right"))).last_words
    assert "60 kg: 4 of 5, none missed, rough" in words


async def test_the_first_rep_with_a_fault_is_in_hand_and_its_letter_withdraws_it() -> None:
    bench = await ask(right)
    assert "faults on rep 2" in bench.last_words
    assert "k [x] knees caving in" in bench.last_words and "d [ ] not deep enough (rep 5)" in bench.last_words
    assert (await recorded(right, "k", "enter")).faults == ((5, "deep"),)
    somewhere = [replace(DONE[0], faults=((0, "knees"),))]
    assert (await recorded(lambda: SetForm("Put a set right", somewhere, "kg", "right"), "k", "enter")).faults == ()


async def test_a_fault_on_another_rep_is_withdrawn_by_going_to_it() -> None:
    assert (await recorded(right, "right", "right", "right", "d", "enter")).faults == ((2, "knees"),)


async def test_a_fault_past_the_reps_that_were_done_counts_on_the_last() -> None:
    assert (await recorded(right, "minus", "enter")).faults == ((2, "knees"), (4, "deep"))


async def test_minutes_are_not_asked_of_an_older_set() -> None:
    bench = await ask(right, "less_than_sign", "enter")
    assert bench.answer.minutes == 0
    assert "earlier, later" not in (await ask(right)).last_words


# --- on the screen


async def test_every_key_is_shown() -> None:
    words = (await ask(late)).last_words
    for part in (
        "↑ ↓ set", "+ - reps made", ". a rep missed", ", not missed", "letter fault", "← → its rep",
        "< > down earlier, later", "= F7 load", "Backspace as it was", "Enter records",
        "1 sharp 2 sound 3 rough 4 broken 5 unseen", "Esc leave",
    ):  # fmt: skip
        assert part in words, part


async def test_a_long_evening_fits_80x24() -> None:
    faults = tuple(Fault(f"f{n}", chr(97 + n), f"fault number {n}", "way up", Severity.FIX, "Cue.") for n in range(26))
    rows = [SetRow(n, f"LIFTER {n}", n, "bench press", "work 1 of 3", 5, 4000, (), faults) for n in range(14)]
    words = (await ask(lambda: SetForm("A set seen late", rows, "kg", "late"), *["down"] * 7, "z", "a", "?")).last_words
    assert "▶ LIFTER 7" in words
    assert "↑" in words and "more" in words
    assert all(f"{fault.letter} [" in words for fault in faults)
    assert 'no fault on the key "?"' in words and "Esc leave" in words and "A set seen late" in words
    assert "fault number 0 on rep 5, fault number 25 on rep 5, bar down just now" in flat(words)

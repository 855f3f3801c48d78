"""An outlook in words: the hour in the room there is, where to stand, one line for several things."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from textual.content import Content

from floor.core.commands import HoldOrder, Leave
from floor.core.gym import Gym
from floor.core.outlook import NO_OUTLOOK, Offer, Outlook, Trim, Watch
from floor.core.rests import rest_left
from floor.tui.present import card
from floor.tui.present_plan import EACH, hour, offer, own, plan_line, stand, trim_words, trims_title
from floor.tui.widgets.cardview import Status
from tests.core.scenes import RACK, SIX, Scene, a_set, came, evening, ready

NAMES = {1: "Ada", 2: "Bo", 3: "Cleo"}
ZONE = "Europe/Lisbon"


def plain(content: Content | None) -> str:
    return content.plain if content is not None else ""


def three() -> Scene:
    return evening(ready(1, squat=40), ready(2, squat=60), ready(3, squat=80)).later(seconds=240)


def ends(minutes: float, closing: float = 60, trims: bool = True) -> Outlook:
    """An evening that is done so many minutes after six and closes at seven; a strict rotation ends at 19:11."""
    trim = Trim("set", "one work set less", 300)
    return Outlook(
        1, SIX, True, finish=SIX + timedelta(minutes=minutes), closing=SIX + timedelta(minutes=closing),
        rotation=SIX + timedelta(minutes=71), trims=(trim,) if trims else (),
    )  # fmt: skip


def test_the_hour_says_late_and_by_how_much_and_what_a_strict_rotation_gives() -> None:
    assert plain(hour(ends(63.5), ZONE, 99)) == "done 19:03, 4 min over · 8 trims it; strict rotation 19:11"
    assert plain(hour(ends(64, trims=False), ZONE, 99)) == "done 19:04, 4 min over; strict rotation 19:11"
    assert plain(hour(ends(60), ZONE, 99)) == "done 19:00; strict rotation 19:11"
    assert plain(hour(ends(41), ZONE, 99)) == "done 18:41; strict rotation 19:11"


def test_the_hour_takes_no_more_room_than_there_is_and_never_loses_the_minutes_over() -> None:
    assert plain(hour(ends(64), ZONE, 40)) == "done 19:04, 4 min over · 8 trims it"
    assert plain(hour(ends(64), ZONE, 24)) == "done +4 min · 8 trims it"
    assert plain(hour(ends(64), ZONE, 23)) == "done 19:04, 4 min over"
    assert plain(hour(ends(64, trims=False), ZONE, 25)) == "done 19:04, 4 min over"
    assert hour(ends(64), ZONE, 20) is None
    assert hour(NO_OUTLOOK, ZONE, 99) is None


def watching(scene: Scene, *seen: tuple[int, int, int]) -> Outlook:
    """Sets to be watched as (station, lifter, seconds from now), forty seconds each."""
    watches = [
        Watch(
            station, lifter, scene.coming(lifter).no, scene.now + timedelta(seconds=at),
            scene.now + timedelta(seconds=at + 40), "a new stage",
        )
        for station, lifter, at in seen
    ]  # fmt: skip
    return Outlook(1, scene.now, True, watch=tuple(watches))


def test_stand_here_now_then_there_in_so_many_minutes() -> None:
    scene = three()
    outlook = watching(scene, (2, 1, 0), (2, 2, 45), (1, 3, 50))
    words = plain(stand(scene.state, outlook, NAMES, scene.now))
    assert words == "stand at Platform now (Ada, a new stage), then Rack in 0:50"
    later = plain(stand(scene.state, outlook, NAMES, scene.now + timedelta(seconds=41)))
    assert later == "stand at Platform in 0:04 (Bo, a new stage), then Rack in 0:09"
    assert stand(scene.state, outlook, NAMES, scene.now + timedelta(seconds=90)) is None


def test_stations_that_are_told_apart_by_number_go_by_it() -> None:
    scene = three()
    stations = tuple(replace(s, name=f"Platform {s.id}") for s in scene.state.gym.stations)
    gym: Gym = replace(scene.state.gym, stations=stations)
    outlook = watching(scene, (2, 1, 0), (1, 3, 50))
    words = plain(stand(replace(scene.state, gym=gym), outlook, NAMES, scene.now))
    assert words == "stand at 2 now (Ada, a new stage), then 1 in 0:50"


def test_a_set_that_is_done_or_whose_lifter_left_is_not_to_be_stood_at() -> None:
    scene = three()
    outlook = watching(scene, (1, 1, 0), (1, 2, 300))
    done = scene.given(a_set())
    assert "Bo" in plain(stand(done.state, outlook, NAMES, scene.now))
    assert stand(done.given(Leave(2)).state, outlook, NAMES, scene.now) is None


def test_whoever_is_up_before_the_rest_is_over_stands_on_the_card_with_the_rest_not_as_up() -> None:
    scene = evening(ready(1, squat=60)).later(seconds=240).given(a_set(RACK))
    shown = card(scene.state, RACK, NAMES, scene.now, False)
    assert (shown.name, shown.status) == ("Ada", Status.RESTING)
    least = rest_left(scene.state.gym, scene.state.evening.here[1], scene.now)
    assert least > 60 and shown.rest_text == f"{least // 60}:{least % 60:02d}"
    later = scene.later(seconds=least)
    assert card(later.state, RACK, NAMES, later.now, False).status is Status.UP


def test_an_offer_is_in_words_only_while_it_can_be_taken() -> None:
    scene = three()
    offered = Offer(RACK, (3, 1, 2), 3, 180, 4, "{lifter} before {other}: 4 plates fewer", 1)
    outlook = Outlook(1, scene.now, True, offers=(offered,))

    def words(at: Scene, station: int = RACK) -> str:
        return plain(offer(at.state, outlook, station, NAMES, at.now))

    assert words(scene) == "9 takes the offer: Cleo before Ada: 4 plates fewer; then Ada, Bo"
    assert words(scene, 2) == "" and words(scene.given(Leave(3))) == "" and words(scene.given(HoldOrder(RACK))) == ""
    assert plain(own(scene.given(HoldOrder(RACK)).state, RACK)) == "own order held: 0 goes back to the rising bar"
    assert own(scene.state, RACK) is None and own(evening(came(1)).state, RACK) is None


def test_what_fits_stands_together_and_what_does_not_takes_turns_in_order() -> None:
    parts = (Content("the offer"), None, Content("where to stand"), Content("the cue"))
    assert plain(plan_line(parts, 80, SIX)) == "the offer   where to stand   the cue"
    turns = [plain(plan_line(parts, 24, SIX + timedelta(seconds=EACH * n))) for n in range(4)]
    assert turns == ["the offer", "where to stand   the cue"] * 2
    still = {plain(plan_line(parts, 24, SIX + timedelta(seconds=n))) for n in range(EACH)}
    assert len(still) == 1
    assert plan_line((None, None), 80, SIX) is None


def test_trims_are_offered_with_their_minutes_under_where_the_finish_stands() -> None:
    state, less = three().state, "one work set less"
    assert trim_words(state, ends(50), Trim("set", less, 290, ((1, 4),)), NAMES)[:2] == (less, "5 min earlier")
    assert trims_title(ends(64), ZONE) == "Done 19:04, 4 min over: leave something out?"
    assert trims_title(ends(50), ZONE) == "Done 18:50, in time: leave something out?"
    assert trims_title(NO_OUTLOOK, ZONE) == "Leave something out?"


def test_a_trim_says_what_it_costs_and_whom() -> None:
    state = three().state
    last = {n: present.sets[-1].no for n, present in state.evening.here.items()}
    twice = Trim("set", "one work set less", 290, ((1, last[1] - 1), (1, last[1]), (2, last[2])))
    assert trim_words(state, ends(64), twice, NAMES)[2] == "3 sets: squat Ada 2, Bo"
    moved = Trim("move", "2 lifters to another station", 60, moves=((1, 2), (3, 2)))
    assert trim_words(state, ends(64), moved, NAMES)[2] == "no set lost: Ada to Platform, Cleo to Platform"


def test_a_trim_that_alone_ends_the_evening_in_time_is_marked() -> None:
    state, free = three().state, Trim("move", "1 lifter to another station", 1500, moves=((1, 2),))
    assert trim_words(state, ends(71), free, NAMES)[1] == "25 min earlier: in time"
    assert trim_words(state, ends(71), replace(free, seconds=600), NAMES)[1] == "10 min earlier"
    assert trim_words(state, ends(50), free, NAMES)[1] == "25 min earlier", "it ends in time as it is"

"""The running class on the phone: started, marked, left, taken; refusals stand on the page."""

from __future__ import annotations

from datetime import timedelta

import pytest
from floor_cast import CLASS_KEY, ROW, TERMINAL, at

from heftwright.domain.floor.terms import FloorTerms
from heftwright.domain.sheet.planned import FloorDraft
from heftwright.store import floor_rows
from heftwright.store.gym_rows import find_gym
from heftwright.usecases import clock, floor_terms
from heftwright.usecases.live_class import DatedClass, get_class_clock, start_class


def floor(house):
    return house.class_url + "floor/"


def of(house):
    return DatedClass(ROW, CLASS_KEY, house.on)


def put_draft(house, **changes):
    planned = of(house).planned()
    draft = FloorDraft(
        of(house).key, planned, "Tove to platform B", ("Tove moves from platform A to B.",),
        "A round: 4 plate moves more, 12 s of changing more; done 0.5 min later.",
        planned.sheet.plan_version,
    )  # fmt: skip
    floor_rows.write(find_gym(ROW), draft)


def test_the_coach_starts_the_class_and_every_platform_has_its_clock(assistant, house):
    page = assistant.post(floor(house) + "start", follow=True).content.decode()
    assert "Running since" in page
    assert page.count("data-until") >= 3
    assert "Round 1 over" in page
    assert get_class_clock(of(house)) is not None


def test_a_second_start_is_refused_in_words(assistant, house):
    start_class(of(house), by=TERMINAL)
    answer = assistant.post(floor(house) + "start")
    assert answer.status_code == 422
    assert "runs already" in answer.content.decode()


def test_a_class_of_another_day_is_not_started(assistant, house):
    with clock.held_at(at(house.on - timedelta(days=1), 18)):
        answer = assistant.post(floor(house) + "start")
    assert answer.status_code == 422
    assert "This class is on Monday 23 November, and today is Sunday" in answer.content.decode()
    assert get_class_clock(of(house)) is None


def test_the_start_can_be_taken_back(assistant, house):
    start_class(of(house), by=TERMINAL)
    assistant.post(floor(house) + "start-back")
    assert get_class_clock(of(house)) is None


def test_a_round_that_is_over_sets_the_platforms_clock(assistant, house):
    start_class(of(house), by=TERMINAL)
    assistant.post(floor(house) + "round", {"platform": "A", "done_sets": "4"})
    page = assistant.get(floor(house)).content.decode()
    assert 'set <span class="figure">5</span> of 12' in page
    assert get_class_clock(of(house)).mark_of("A").done_sets == 4


def test_a_round_that_was_marked_by_a_slip_is_taken_back(assistant, house):
    start_class(of(house), by=TERMINAL)
    assistant.post(floor(house) + "round", {"platform": "A", "done_sets": "4"})
    page = assistant.get(floor(house)).content.decode()
    assert "Round 4 is not over" in page
    assistant.post(floor(house) + "round", {"platform": "A", "done_sets": "3"})
    page = assistant.get(floor(house)).content.decode()
    assert 'set <span class="figure">4</span> of 12' in page


def test_a_round_of_no_platform_is_not_there(assistant, house):
    start_class(of(house), by=TERMINAL)
    answer = assistant.post(floor(house) + "round", {"platform": "Z", "done_sets": "4"})
    assert answer.status_code == 404


def test_the_board_follows_the_coachs_start(anyone, assistant, house):
    with clock.held_at(at(house.on, 18, 50)):
        assistant.post(floor(house) + "start")
    with clock.held_at(at(house.on, 18, 51)):
        page = anyone.get(f"/board/{house.board_secret}/floor").content.decode()
    assert "1/12" in page


def test_a_change_is_shown_with_its_cost_before_it_is_taken(assistant, house):
    put_draft(house)
    page = assistant.get(floor(house)).content.decode()
    assert "Tove moves from platform A to B." in page
    assert "done 0.5 min later" in page
    assert "Take it" in page
    assert of(house).planned().sheet.plan_version == 1


def test_taking_it_makes_the_next_plan_and_back_makes_one_more(assistant, house):
    put_draft(house)
    page = assistant.post(floor(house) + "take", follow=True).content.decode()
    assert "Take it" not in page
    assert of(house).planned().sheet.plan_version == 2
    assert "Back to the plan before" in page
    assistant.post(floor(house) + "put-back")
    assert of(house).planned().sheet.plan_version == 3


def test_leaving_it_leaves_the_plan(assistant, house):
    put_draft(house)
    page = assistant.post(floor(house) + "leave", follow=True).content.decode()
    assert "Tove to platform B" not in page
    assert of(house).planned().sheet.plan_version == 1


def test_nothing_to_take_is_said(assistant, house):
    answer = assistant.post(floor(house) + "take")
    assert answer.status_code == 422
    assert "No change waits" in answer.content.decode()


@pytest.mark.parametrize(
    ("act", "values", "words"),
    [
        ("broken", {"band": "nylon"}, "No platform of this plan uses"),
        ("scheme", {"sets": "3", "reps": "3", "rest_s": "60"}, "none of the ways"),
        ("lift", {"lift": "deadlift"}, "Tick who"),
        ("lift", {"lift": "juggling", "who": "a7"}, "no bar lift"),
    ],
)
def test_what_cannot_be_is_refused_on_the_page(assistant, house, act, values, words):
    answer = assistant.post(floor(house) + act, values)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_every_name_can_be_moved_without_dragging(assistant, house):
    page = assistant.get(floor(house)).content.decode()
    assert page.count("To platform") >= 10
    assert "To turn 2" in page
    assert page.count('draggable="true"') == 10


def test_whoever_has_no_bar_can_be_put_on_a_platform(assistant, house):
    page = assistant.get(floor(house)).content.decode()
    gwil = page.split('id="person-a40"')[1].split("</details>")[0]
    assert gwil.count("To platform") == len(house.sheet.platforms)
    assert "Missed set" not in gwil


def test_the_gyms_times_are_a_form_that_refuses_what_nobody_means(head, house):
    page = head.get(f"/gym/{ROW}/settings/floor/").content.decode()
    assert "One plate on" in page
    assert "too few to learn times from" in page
    good = {
        "plate_on_s": "5", "plate_off_s": "4.5", "collars_s": "12", "set_up_s": "8", "fixed_s": "4",
        "per_rep_s": "3", "warm_up_min": "15", "change_weight": "1", "finish_weight": "2",
        "stack_order": "heavy_inside", "coach_platforms": "",
    }  # fmt: skip
    assert head.post(f"/gym/{ROW}/settings/floor/", good).status_code == 302
    assert floor_terms.get_floor_terms(gym=ROW).plate_off_s == 4.5
    bad = head.post(f"/gym/{ROW}/settings/floor/", {**good, "plate_on_s": "500"})
    assert bad.status_code == 422
    assert "outside 0.5–60 s" in bad.content.decode()
    lost = head.post(f"/gym/{ROW}/settings/floor/", {**good, "coach_platforms": "Z9"})
    assert "There is no platform Z9" in lost.content.decode()


def test_times_of_too_few_turns_cannot_be_taken(head, house):
    answer = head.post(f"/gym/{ROW}/settings/floor/times")
    assert answer.status_code == 422
    assert floor_terms.get_floor_terms(gym=ROW) == FloorTerms()


def test_whom_somebody_lifts_with_is_noted_and_shown(assistant, house):
    url = f"/gym/{ROW}/squad/a7/company"
    saved = assistant.post(url, {"together": "a12", "apart": "a3", "is_beginner": "yes"})
    assert saved.status_code == 302
    wish = floor_terms.get_floor_wish(gym=ROW, athlete="a7")
    assert (wish.together, wish.apart, wish.is_beginner) == (("a12",), ("a3",), True)
    page = assistant.get(url).content.decode()
    assert page.count("checked") == 3


def test_somebody_cannot_be_both_wanted_and_not(assistant, house):
    answer = assistant.post(f"/gym/{ROW}/squad/a7/company", {"together": "a12", "apart": "a12"})
    assert answer.status_code == 422
    assert "both together with and apart" in answer.content.decode()


def test_an_assistant_runs_the_class_but_does_not_change_the_gyms_times(assistant, stranger, house):
    assert assistant.get(f"/gym/{ROW}/settings/floor/").status_code == 403
    assert stranger.post(floor(house) + "start").status_code == 404

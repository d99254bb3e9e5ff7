"""The athlete's card: tonight's work, and the phone's facts answered one by one."""

import json
from datetime import timedelta
from uuid import uuid4

import pytest
from floor_cast import ROW, at, save_plan
from sheets import make_class_sheet

from heftwright.domain.strain.reports import FIVE_ITEMS, Report
from heftwright.usecases import clock, readiness
from heftwright.usecases import log as logs
from heftwright.usecases.actor import Actor


def fact(house, **changes):
    return {
        "id": str(uuid4()), "class_key": house.dated_key, "set_number": 1, "load": "97.5",
        "unit": "kg", "reps_done": 2, "outcome": "done", "reps_in_reserve": None,
        "plan_version": 1, "logged_at": "2026-11-23T18:40:00+00:00", **changes,
    }  # fmt: skip


def send(client, house, *facts):
    return client.post(
        f"/card/{house.card_secret}/log",
        json.dumps({"sets": facts}),
        content_type="application/json",
    )


def test_the_card_shows_its_athletes_work(anyone, house):
    page = anyone.get(f"/card/{house.card_secret}/").content.decode()
    for words in ("Tove", "97.5", "12 × 2", "Why", "Turn 1 of 3"):
        assert words in page


def test_a_logged_set_is_answered_as_kept_at_the_gym(anyone, house):
    sent = fact(house)
    assert send(anyone, house, sent).json()["answers"] == [
        {"id": sent["id"], "state": "gym", "why": ""}
    ]
    kept = logs.get_log(gym=ROW)
    assert [(item.athlete, item.set_number, item.reps_done) for item in kept] == [
        (house.card_athlete, 1, 2)
    ]


def test_sending_the_same_set_again_keeps_it_once(anyone, house):
    sent = fact(house)
    send(anyone, house, sent)
    assert send(anyone, house, sent).json()["answers"][0]["state"] == "gym"
    assert len(logs.get_log(gym=ROW)) == 1


def test_the_same_id_with_other_content_is_a_conflict_that_is_kept(anyone, house):
    sent = fact(house)
    send(anyone, house, sent)
    assert send(anyone, house, sent | {"reps_done": 1}).json()["answers"][0]["state"] == "conflict"
    assert len(logs.get_conflicts(gym=ROW)) == 1


@pytest.mark.parametrize(
    "wrong",
    [
        {"load": "97,5"}, {"load": 97.5}, {"load": "1e3"}, {"unit": "stone"}, {"set_number": 0},
        {"set_number": True}, {"reps_done": 101}, {"outcome": "great"}, {"id": "7"},
        {"logged_at": "2026-11-23T18:40:00"}, {"logged_at": "now"}, {"class_key": "2026-11-30/x"},
        {"class_key": "nonsense"}, {"reps_in_reserve": 11},
    ],
)  # fmt: skip
def test_a_fact_that_cannot_be_true_is_refused_alone(anyone, house, wrong):
    good, bad = fact(house), fact(house, **wrong)
    answers = send(anyone, house, bad, good).json()["answers"]
    states = {answer["id"]: answer["state"] for answer in answers}
    assert states.pop(good["id"]) == "gym"
    assert list(states.values()) == ["refused"]
    assert len(logs.get_log(gym=ROW)) == 1


@pytest.mark.parametrize("body", ["", "[]", "{}", '{"sets": 1}', '{"sets": [1]}', "\x00"])
def test_a_batch_that_is_none_is_refused_whole(anyone, house, body):
    url = f"/card/{house.card_secret}/log"
    answer = anyone.post(url, body, content_type="application/json")
    assert answer.status_code == 400
    assert answer.json()["why"]


def test_a_set_sent_the_next_day_counts_for_its_own_class(anyone, house):
    send(anyone, house, fact(house))
    (kept,) = logs.get_log(gym=ROW)
    assert kept.lift == "block_deadlift"
    assert kept.class_key == house.dated_key


def test_pain_goes_to_the_coach(anyone, house):
    url = f"/card/{house.card_secret}/pain"
    answer = anyone.post(url, {"place": "knee", "score": "6", "class_key": house.dated_key})
    assert (answer.status_code, answer.json()["why"]) == (200, "")


@pytest.mark.parametrize(
    "typed", [{"place": "knee"}, {"score": "3"}, {"place": "x", "score": "11"}]
)
def test_half_a_pain_note_says_what_is_missing(anyone, house, typed):
    answer = anyone.post(f"/card/{house.card_secret}/pain", typed)
    assert answer.status_code == 422
    assert answer.json()["why"]


def test_a_new_plan_is_announced_with_the_difference_never_swapped(anyone, house):
    url = f"/card/{house.card_secret}/plan"
    assert anyone.get(url, {"have": "1"}).status_code == 204
    changed = make_class_sheet(on=house.on, plan_version=2)
    save_plan(changed, (house.card_athlete,))
    words = anyone.get(url, {"have": "1"}).json()["words"]
    assert "Plan 2" in words
    assert "97.5 kg" in words


def test_the_worker_is_served_inside_the_cards_own_scope(anyone, house):
    answer = anyone.get(f"/card/{house.card_secret}/worker.js")
    assert answer["Content-Type"] == "text/javascript"


def test_the_next_visit_knows_what_the_gym_already_has(anyone, house):
    send(anyone, house, fact(house, outcome="missed", reps_done=0))
    page = anyone.get(f"/card/{house.card_secret}/").content.decode()
    assert "&quot;outcome&quot;: &quot;missed&quot;" in page


def test_readiness_is_shown_to_its_athlete_in_words_and_never_kept_on_the_phone(anyone, house):
    url = f"/card/{house.card_secret}/readiness"
    assert anyone.get(url).json()["words"] == []
    for days in range(6):
        said = Report(
            house.card_athlete, house.on - timedelta(days=days), FIVE_ITEMS,
            (2, 2, 2, 2, 2) if days == 0 else (4, 4, 4, 4, 4),
        )  # fmt: skip
        readiness.report_readiness(gym=ROW, by=Actor.at_terminal(), report=said)
    answer = anyone.get(url)
    assert answer.json()["words"] == [
        "You said on 23 Nov: 10 of 25, higher is better; worse than your own middle."
    ]
    assert answer["Cache-Control"] == "no-store"
    page = anyone.get(f"/card/{house.card_secret}/").content.decode()
    assert "10 of 25" not in page  # the page is kept on the phone for bad signal, this is not


def test_a_card_of_another_days_class_says_so_and_its_sets_are_refused(anyone, house):
    with clock.held_at(at(house.on - timedelta(days=1), 20)):
        page = anyone.get(f"/card/{house.card_secret}/").content.decode()
        assert "This class is on Monday 23 November, not today" in page
        assert 'role="status" hidden><span>This class' not in page
        assert 'data-is-today="no"' in page
        (answer,) = send(anyone, house, fact(house)).json()["answers"]
        assert answer["state"] == "refused"
        assert "Monday 23 November" in answer["why"]
    assert logs.get_log(gym=ROW) == ()


def test_a_set_of_the_day_is_kept_also_when_it_comes_after_midnight(anyone, house):
    page = anyone.get(f"/card/{house.card_secret}/").content.decode()
    assert 'id="not-today" role="status" hidden' in page
    with clock.held_at(at(house.on + timedelta(days=1), 0, 20)):
        late = fact(house, logged_at="2026-11-23T23:59:00+00:00", set_number=1)
        later = fact(house, logged_at="2026-11-24T00:05:00+00:00", set_number=2)
        answers = send(anyone, house, late, later).json()["answers"]
    assert [answer["state"] for answer in answers] == ["gym", "gym"]

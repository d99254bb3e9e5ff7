"""After a max-effort class: what the cards logged is proposed, by itself, when the coach looks."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest
from floor_cast import CLASS_KEY, ROW, TERMINAL, at
from sheets import make_class_sheet

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Slot
from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass
from heftwright.domain.season import SlotWork
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.store import plan_rows
from heftwright.usecases import maxes
from heftwright.usecases.maxes import ProposalState

LADDER = tuple(Mass.kg(kg) for kg in (60, 100, 120, 140, 150, 155, 160))
BASE = f"/gym/{ROW}/"
LIFT = LiftKey("block_deadlift")


@pytest.fixture
def max_effort(house):
    """Tonight is a max-effort day: the card's athlete works up to a single of 160 kg."""
    sheet = make_class_sheet(on=house.on, plan_version=2)
    first = sheet.platforms[0]
    mine, *others = first.lifters
    mine = replace(
        mine, lift_name="Block deadlift, 10 cm", scheme=Scheme(7, 1, 150), load=LADDER[-1],
        ladder=LADDER, rig="",
    )  # fmt: skip
    sheet = replace(
        sheet, platforms=(replace(first, lifters=(mine, *others)), *sheet.platforms[1:])
    )
    monday = sheet.on - timedelta(days=sheet.on.weekday())
    work = SlotWork(Slot.MAX_EFFORT_LOWER, monday, LIFT, max_effort=MaxEffortScheme.SINGLE)
    people = tuple(line.athlete for line in (mine, *others))
    plan_rows.save_class_plan(
        gym=ROW, class_key=CLASS_KEY, on=sheet.on,
        plan=PlannedClass(sheet, None, (work,), people), kind=PlannedClass, made_by="test",
    )  # fmt: skip
    test = Evidence(
        house.card_athlete, LIFT, EvidenceKind.TEST, Mass.kg(150), house.on - timedelta(days=21)
    )
    maxes.record_max(gym=ROW, by=TERMINAL, evidence=test, is_confirmed=True)
    return house


def a_fact(house, number, kg, **more):
    return {
        "id": str(uuid4()), "class_key": house.dated_key, "set_number": number, "load": kg,
        "unit": "kg", "reps_done": 1, "outcome": "done", "reps_in_reserve": None,
        "plan_version": 2, "logged_at": at(house.on, 18, 40 + number).isoformat(),
        "is_max_attempt": True, **more,
    }  # fmt: skip


def post(client, house, fact):
    body = json.dumps({"sets": [fact]})
    return client.post(f"/card/{house.card_secret}/log", body, content_type="application/json")


def send(client, house, number, kg, **more):
    answer = post(client, house, a_fact(house, number, kg, **more))
    assert answer.json()["answers"][0]["state"] == "gym"


def words_of(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(text.replace("\u202f", " ").replace("&#8239;", " ").split())


def waiting():
    return maxes.get_proposals(gym=ROW)


def test_a_top_single_logged_on_the_card_waits_for_the_coach(anyone, head, max_effort):
    send(anyone, max_effort, 6, "155", is_max_attempt=False)
    send(anyone, max_effort, 7, "160")
    assert waiting() == ()
    assert "160 kg on" in words_of(head.get(f"{BASE}strength/"))
    (found,) = waiting()
    assert (found.athlete, found.lift) == (max_effort.card_athlete, LIFT)
    assert (found.load, found.on) == (Mass.kg(160), max_effort.on)
    way = f"{BASE}squad/{found.athlete}/strength/{found.key}"
    head.post(way, {"decision": "accept"})
    assert maxes.get_beliefs(gym=ROW)[found.athlete, LIFT].last_test.load == Mass.kg(160)
    head.get(f"{BASE}strength/")
    assert waiting() == ()


def test_what_comes_later_is_seen_at_the_next_look(anyone, head, max_effort):
    send(anyone, max_effort, 6, "155")
    head.get(f"{BASE}strength/")
    send(anyone, max_effort, 7, "160")
    head.get(f"{BASE}squad/{max_effort.card_athlete}/strength")
    assert [item.load for item in waiting()] == [Mass.kg(160)]


def test_a_load_that_nobody_lifts_is_refused_on_the_card_and_stops_no_page(
    anyone, head, max_effort
):
    fact = a_fact(max_effort, 7, "1600")
    (answer,) = post(anyone, max_effort, fact).json()["answers"]
    assert answer["state"] == "refused"
    assert "1600 kg is no load that was lifted" in answer["why"]
    assert head.get(f"{BASE}strength/").status_code == 200


def test_a_slip_on_the_card_stops_and_is_not_accepted_unasked(anyone, head, max_effort):
    send(anyone, max_effort, 7, "352.5")
    said = words_of(head.get(f"{BASE}strength/"))
    assert "Was it 352.5 lb?" in said
    (found,) = waiting()
    way = f"{BASE}squad/{found.athlete}/strength/{found.key}"
    answer = head.post(way, {"decision": "accept"})
    assert answer.status_code == 422
    assert waiting() == (found,)


def test_an_adjusted_load_is_held_against_the_known_max_too(anyone, head, max_effort):
    send(anyone, max_effort, 7, "160")
    head.get(f"{BASE}strength/")
    (found,) = waiting()
    way = f"{BASE}squad/{found.athlete}/strength/{found.key}"
    typed = {"decision": "adjust", "load": "16", "load_unit": "kg"}
    asked = head.post(way, typed)
    assert asked.status_code == 422
    assert "Was it 160 kg?" in words_of(asked)
    assert 'value="16"' in asked.content.decode()
    assert waiting() == (found,)
    head.post(way, {**typed, "is_confirmed": "yes"})
    (decided,) = maxes.get_proposals(gym=ROW, state=ProposalState.ADJUSTED)
    assert decided.key == found.key


def test_an_assistant_who_may_only_look_changes_nothing_by_looking(anyone, assistant, max_effort):
    send(anyone, max_effort, 7, "160")
    assert assistant.get(f"{BASE}strength/").status_code == 200

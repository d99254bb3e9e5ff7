"""The pages of maxes, waves, settings, work-ups, circuits and bar speed: each act, its undo."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from floor_cast import ROW, TERMINAL, at

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.usecases import bar_speed, dose_settings, log, maxes
from heftwright.usecases.maxes import ProposalState

A7 = AthleteId("a7")
PULL = LiftKey("axle_deadlift")
BASE = f"/gym/{ROW}/"
MINE = f"{BASE}squad/a7/strength"


def known(house, kg="150"):
    test = Evidence(A7, PULL, EvidenceKind.TEST, Mass.kg(kg), house.on - timedelta(days=21))
    return maxes.record_max(gym=ROW, by=TERMINAL, evidence=test, is_confirmed=True)


@pytest.fixture
def waiting(house) -> int:
    """A proposal of 160 kg after a tested 150 kg."""
    known(house)
    return lifted(house, 160)


def lifted(house, kg) -> int:
    fact = LoggedSet(
        uuid4(), A7, PULL, house.dated_key, 1, EnteredMass(kg * 1000, MassUnit.KG), 1,
        SetOutcome.DONE, 0.0, 1, at(house.on, 18, 40), is_max_attempt=True,
    )  # fmt: skip
    log.log_sets(gym=ROW, by=TERMINAL, sets=[fact])
    maxes.propose_from_log(gym=ROW, by=TERMINAL)
    return maxes.get_proposals(gym=ROW)[-1].key


def words_of(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(text.replace("\u202f", " ").replace("&#8239;", " ").split())


def state_of(key) -> ProposalState:
    return next(
        state for state in ProposalState
        if any(item.key == key for item in maxes.get_proposals(gym=ROW, state=state))
    )  # fmt: skip


def decide(client, key, **more):
    return client.post(f"{MINE}/{key}", more, follow=True)


def undo_button(answer) -> str:
    """The latest offer to take something back."""
    return re.findall(r'action="(/gym/[^"]+(?:/back|/undo/[^"]+))"', answer.content.decode())[-1]


# what is seen


def test_the_squads_page_shows_what_waits_with_its_figures(head, waiting):
    said = words_of(head.get(f"{BASE}strength/"))
    assert "160 kg" in said
    assert "Records of the squad" in said


def test_the_athletes_page_shows_the_test_and_what_would_change(head, waiting):
    said = words_of(head.get(MINE))
    assert "What would change if you accept it" in said
    assert "150 kg tested" in said
    assert "What to test next" in said


def test_a_squad_without_any_evidence_has_pages_that_say_so(head):
    assert "Nothing." in words_of(head.get(f"{BASE}strength/"))
    assert "Two days with efforts" in words_of(head.get(MINE))


def test_an_assistant_sees_but_is_offered_no_decision(assistant, waiting):
    page = assistant.get(MINE).content.decode()
    assert "Accept" not in page
    assert assistant.post(f"{MINE}/{waiting}", {"decision": "accept"}).status_code == 403
    assert state_of(waiting) is ProposalState.PROPOSED


# accept, adjust, ignore, undo


@pytest.mark.parametrize(
    ("posted", "state"),
    [({"decision": "accept"}, ProposalState.ACCEPTED),
     ({"decision": "adjust", "load": "155", "load_unit": "kg"}, ProposalState.ADJUSTED),
     ({"decision": "ignore"}, ProposalState.IGNORED)],
)  # fmt: skip
def test_every_decision_can_be_taken_back_by_its_button(head, waiting, posted, state):
    answer = decide(head, waiting, **posted)
    assert state_of(waiting) is state
    back = head.post(undo_button(answer), follow=True)
    assert "the proposal waits again" in words_of(back)
    assert state_of(waiting) is ProposalState.PROPOSED


@pytest.mark.parametrize("decision", ["accept", "leave"])
def test_a_decision_on_the_athletes_own_page_is_taken_back_there(head, waiting, decision):
    url = reverse("proposal_decide", args=[ROW, "a7", waiting])
    answer = head.post(url, {"decision": decision}, follow=True)
    assert state_of(waiting) is not ProposalState.PROPOSED
    (back,) = re.findall(r'action="(/gym/[^"]+/back[^"]*)"', answer.content.decode())
    answer = head.post(back, follow=True)
    assert answer.redirect_chain[-1][0] == reverse("athlete", args=[ROW, "a7"])
    assert state_of(waiting) is ProposalState.PROPOSED


def test_from_the_squads_page_the_coach_stays_on_it(head, waiting):
    answer = decide(head, waiting, decision="ignore", **{"from": "squad"})
    assert answer.redirect_chain[-1][0] == f"{BASE}strength/"


def test_an_adjusted_load_is_what_is_kept(head, waiting):
    decide(head, waiting, decision="adjust", load="155", load_unit="kg")
    latest = maxes.get_evidence(gym=ROW, athlete=A7)[-1].evidence
    assert latest.load == Mass.kg(155)
    assert "adjusted by Hal" in latest.note


@pytest.mark.parametrize("load", ["", "155,5", "1e3", "-5", "99999"])
def test_a_load_that_is_no_number_is_asked_for_again(head, waiting, load):
    answer = decide(head, waiting, decision="adjust", load=load, load_unit="kg")
    assert answer.status_code == 422
    assert state_of(waiting) is ProposalState.PROPOSED


def test_a_max_far_from_the_known_one_stops_until_it_is_confirmed(head, house):
    known(house)
    key = lifted(house, 240)
    answer = decide(head, key, decision="accept")
    assert answer.status_code == 422
    assert "If it is right as it stands, confirm it" in words_of(answer)
    decide(head, key, decision="accept", is_confirmed="yes")
    assert state_of(key) is ProposalState.ACCEPTED


def test_deciding_nothing_or_twice_says_so(head, waiting):
    assert decide(head, waiting, decision="shrug").status_code == 422
    decide(head, waiting, decision="ignore")
    assert decide(head, waiting, decision="accept").status_code == 404


def test_a_proposal_of_somebody_else_is_not_here(head, waiting):
    answer = head.post(f"{BASE}squad/a9/strength/{waiting}", {"decision": "accept"})
    assert answer.status_code == 404


def test_withdrawn_evidence_comes_back_with_undo(head, house):
    key = known(house)
    answer = head.post(f"{BASE}squad/a7/evidence/{key}/withdraw", follow=True)
    assert maxes.get_evidence(gym=ROW) == ()
    head.post(undo_button(answer))
    assert [kept.key for kept in maxes.get_evidence(gym=ROW)] == [key]
    assert head.post(f"{BASE}squad/a9/evidence/{key}/withdraw").status_code == 404


# waves


def wave_fields(**more):
    steps = {1: (50, 25, 24), 2: (55, 25, 24), 3: (60, 25, 20)}
    posted = {"name": "Lower day with bands", "was_seen": "", "do": "save"}
    for week, (bar, top, reps) in steps.items():
        posted |= {f"bar_{week}": bar, f"top_{week}": top, f"reps_{week}": reps}
    return posted | more


WAVE = f"{BASE}strength/waves/lower_banded/"


def own_wave():
    return dose_settings.get_wave(gym=ROW, key="lower_banded")


def test_every_wave_opens(head):
    page = head.get(f"{BASE}strength/waves/").content.decode()
    ways = re.findall(r'href="(/gym/[^"]+/waves/[^"/]+/)"', page)
    assert len(ways) == 7
    assert {head.get(way).status_code for way in ways} == {200}


def test_a_saved_wave_is_the_gyms_own_and_undo_and_reset_bring_back_what_ships(head):
    answer = head.post(WAVE, wave_fields(bar_1="47.5"), follow=True)
    assert own_wave().wave.steps[0].bar_ratio == 0.475
    head.post(undo_button(answer))
    assert not own_wave().is_own
    head.post(WAVE, wave_fields(bar_1="47.5"))
    head.post(f"{WAVE}reset")
    assert not own_wave().is_own


def test_working_it_out_first_keeps_nothing(head):
    answer = head.post(WAVE, wave_fields(bar_3="65", do="look"))
    said = words_of(answer)
    assert "Worked out below, not saved yet" in said
    assert "65 % + 25 % at the top = 90 %" in said
    assert not own_wave().is_own


@pytest.mark.parametrize(
    ("typed", "words"),
    [({"bar_2": ""}, "Week 2 needs its share"), ({"bar_1": "5o"}, "5o"),
     ({"bar_2": "45"}, "gets lighter"), ({"bar_5": "70", "reps_5": "10"}, "week 4 is not"),
     ({"top_1": "0", "top_2": "0", "top_3": "0"}, "above 0"), ({"bar_3": "96"}, "outside")],
)  # fmt: skip
def test_a_wave_that_cannot_be_is_refused_and_nothing_typed_is_lost(head, typed, words):
    answer = head.post(WAVE, wave_fields(name="Typed name", **typed))
    assert answer.status_code == 422
    assert words in words_of(answer)
    assert 'value="Typed name"' in answer.content.decode()
    assert not own_wave().is_own


def test_the_slower_coach_keeps_what_they_typed(head):
    head.post(WAVE, wave_fields(bar_1="47.5"))
    answer = head.post(WAVE, wave_fields(name="Mine", was_seen="an older mark"))
    assert answer.status_code == 412
    assert 'value="Mine"' in answer.content.decode()


def test_an_assistant_looks_at_waves_and_settings_and_changes_neither(assistant):
    for url, posted in ((WAVE, wave_fields()), (f"{BASE}strength/settings", settings_fields())):
        assert '<form class="form wide mat"' not in assistant.get(url).content.decode()
        assert assistant.post(url, posted).status_code == 403
    assert not own_wave().is_own


# settings


def settings_fields(**more):
    return {
        "zones": "B", "tolerance": "2.5", "top_slack": "5", "wide": "12", "easy": "85",
        "minor": "85", "beginner_weeks": "12", "ask_from": "4", "stop_from": "6",
        "sd": "population", "seed": "first_load",
    } | more  # fmt: skip


def test_the_form_holds_what_stands_and_saving_it_changes_nothing(head):
    url = f"{BASE}strength/settings"
    page = head.get(url).content.decode()
    for name, value in settings_fields().items():
        if name not in ("zones", "sd", "seed"):
            assert f'name="{name}" value="{value}"' in page
    head.post(url, settings_fields())
    assert dose_settings.get_settings(gym=ROW) == dose_settings.CoachSettings()


def test_a_setting_is_saved_and_taken_back(head):
    answer = head.post(
        f"{BASE}strength/settings", settings_fields(zones="A", easy="80"), follow=True
    )
    own = dose_settings.get_settings(gym=ROW)
    assert (own.zone_table, own.policy.easy_week_factor) == ("A", 0.8)
    head.post(undo_button(answer))
    assert dose_settings.get_settings(gym=ROW) == dose_settings.CoachSettings()


@pytest.mark.parametrize(
    ("typed", "words"),
    [({"easy": "120"}, "50 to 100 %"), ({"tolerance": "6"}, "0 to 5 %"),
     ({"ask_from": "7"}, "must rise"),
     ({"minor": ""}, "is missing"), ({"zones": "Z"}, "not one of the choices")],
)  # fmt: skip
def test_a_setting_outside_what_makes_sense_is_refused(head, typed, words):
    answer = head.post(f"{BASE}strength/settings", settings_fields(**typed))
    assert answer.status_code == 422
    assert words in words_of(answer)
    assert dose_settings.get_settings(gym=ROW) == dose_settings.CoachSettings()


# work-up, circuit


def test_a_work_up_without_the_bar_says_what_to_do(head, house):
    known(house)
    answer = head.get(f"{BASE}strength/work-up?athlete=a7&lift=axle_deadlift&scheme=single")
    assert "The stock has no axle" in words_of(answer)


def test_a_work_up_shows_loads_chances_and_stop_rules(head, house):
    from measure_cast import fit_out

    fit_out(house.on)
    known(house, "100")
    answer = head.get(f"{BASE}strength/work-up?athlete=a7&lift=back_squat&scheme=triple")
    said = words_of(answer)
    assert answer.status_code == 200, said
    assert "Stop when" in said
    assert "Never tested in this lift" in said


def test_a_circuit_is_built_at_once_and_rebuilt_by_wish(head):
    assert "rounds, 20 min" in words_of(head.get(f"{BASE}strength/circuit"))
    wish = "minutes=8&work_s=30&rest_s=30&stations=4&class_key=mon-1830&spare_grip=yes"
    said = words_of(head.get(f"{BASE}strength/circuit?{wish}"))
    assert "round" in said
    assert "30 s work, 30 s to change over" in said
    assert "grip" not in said.partition("One lifter's exposure")[2].partition("Your coach")[0]
    assert (
        head.get(f"{BASE}strength/circuit?{wish.replace('work_s=30', 'work_s=5')}").status_code
        == 422
    )


# bar speed


SPEEDS = b"athlete,lift,date,set,load,mean speed\n" + b"".join(
    f"7,bench,2026-11-20,{n},{kg},{v}\n".encode() for n, kg, v in ((1, 40, 0.7), (2, 70, 0.4))
)


def look(client, content=SPEEDS, **more):
    sent = {"file": SimpleUploadedFile("speeds.csv", content), **more}
    return client.post(f"{BASE}strength/speed/preview", sent)


def fields_of(answer) -> dict[str, str]:
    """What the preview's form would send back."""
    page = answer.content.decode()
    found = dict(re.findall(r'<input type="hidden" name="(mark)" value="([^"]+)"', page))
    for name, body in re.findall(
        r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', page, re.DOTALL
    ):
        chosen = re.findall(r'value="([^"]*)" selected', body)
        found[name] = chosen[0] if chosen else ""
    return found


def accept(client, looked, content=SPEEDS, **more):
    sent = {"file": SimpleUploadedFile("speeds.csv", content), **fields_of(looked), **more}
    return client.post(f"{BASE}strength/speed/accept", sent)


def sets():
    return bar_speed.get_athlete_speeds(gym=ROW, athlete=A7)


def test_a_file_is_looked_at_mapped_and_kept_only_then(head):
    looked = look(head)
    assert "2 sets would be kept" in words_of(looked)
    assert sets() == ()
    answer = accept(head, looked)
    assert answer.headers["HX-Redirect"] == f"{BASE}strength/speed/"
    kept = head.get(f"{BASE}strength/speed/")
    assert "2 new sets kept" in words_of(kept)
    assert "points at 100 kg" in words_of(head.get(f"{BASE}squad/a7/speed"))
    head.post(undo_button(kept))
    assert sets() == ()


def test_what_the_file_does_not_say_is_asked_for(head):
    bare = b"kg,velocity\n70,0.5\n"
    looked = look(head, bare)
    assert "Still to say: Load on the bar, Athlete, Lift, Day" in words_of(looked)
    more = fields_of(looked) | {
        "col_load": "0", "all_athlete": "a7", "all_lift": "bench", "all_on": "2026-11-20"
    }  # fmt: skip
    assert "1 set would be kept" in words_of(look(head, bare, **more))


def test_another_file_than_the_one_looked_at_is_not_kept(head):
    looked = look(head)
    answer = accept(head, looked, SPEEDS.replace(b"0.7", b"0.8"))
    assert answer.status_code == 412
    assert sets() == ()


@pytest.mark.parametrize("content", [b"%PDF-1.7", b"", b"\x00\x01"])
def test_what_is_no_table_is_refused_in_words(head, content):
    answer = look(head, content)
    assert answer.status_code == 422
    assert "refusal" in answer.content.decode()


def test_a_speed_max_is_taken_with_its_undo_and_a_missing_one_is_refused(head):
    accept(head, look(head))
    answer = head.post(f"{BASE}squad/a7/speed/take", {"lift": "bench"}, follow=True)
    assert [k.evidence.kind for k in maxes.get_evidence(gym=ROW)] == [EvidenceKind.BAR_SPEED]
    head.post(undo_button(answer))
    assert maxes.get_evidence(gym=ROW) == ()
    assert head.post(f"{BASE}squad/a7/speed/take", {"lift": "deadlift"}).status_code == 422

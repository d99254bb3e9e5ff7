"""Every verb leaves a trail, and what was entered can be put back."""

from __future__ import annotations

import importlib
import pkgutil
from dataclasses import replace
from datetime import UTC, date, datetime
from importlib import resources
from uuid import uuid4

import pytest
from coaching_scenarios import coaching_scenarios
from floor_scenarios import floor_scenarios
from season_scenarios import season_scenarios
from yard_cast import (
    OTHER,
    PASSWORD,
    TERMINAL,
    YARD,
    athlete,
    logged,
    monday_class,
    spring_contest,
)

from heftwright import usecases
from heftwright.domain.catalogue import Implement, KitKey, LiftKey
from heftwright.domain.height import Length
from heftwright.domain.log import PainReport
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId, Restriction
from heftwright.domain.stock import Band, BandReading, Bar, Stock
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.store import models as rows
from heftwright.store.records import RecordKind
from heftwright.usecases import (
    accounts,
    attendance,
    clock,
    contests,
    erasure,
    export,
    gym,
    imports,
    jobs,
    log,
    maxes,
    pain,
    squad,
    stock,
    timetable,
    trail,
)
from heftwright.usecases.actor import GymKey
from heftwright.usecases.changes import VERBS
from heftwright.usecases.permissions import Right, Role

ADA = AthleteId("ada")
BAR = Bar("bar", "Bar", Implement.STRAIGHT_BAR, Mass.kg(20))
BAND = Band("grey", "grey", 2, Length.cm(104))
READING = BandReading(Length.cm(80), Mass.kg(20), date(2026, 11, 1))
RULE = Restriction("overhead", date(2026, 11, 1))
PRESS = LiftKey("log_clean_press")
SQUAD_FILE = imports.UploadedFile("squad.csv", b"Number,Name,Sex\n9,Dot Example,woman\n")
IN_YARD = {"gym": YARD, "by": TERMINAL}

# One look at health notes reads two kinds; a max taken from bar speed is recorded as any other.
AUDITED_AS = {
    "read_health": {"read_pain", "read_readiness"},
    "take_speed_max": {"record_max"},
}

# Planning verbs have scenarios of their own, since they need a whole season.
PLANNED_ELSEWHERE = {
    "heftwright.usecases.season",
    "heftwright.usecases.season_after",
    "heftwright.usecases.season_editing",
    "heftwright.usecases.what_if",
    "heftwright.usecases.classes",
    "heftwright.usecases.floor_drafts",
    "heftwright.usecases.floor_times",
    "heftwright.usecases.live_class",
}


@jobs.job_kind("nothing", Right.PLAN_CLASS)
def do_nothing(handle, arguments):
    return arguments


def top_single(**more):
    facts = {"lift": PRESS, "is_max_attempt": True, "reps_done": 1, "reps_in_reserve": 0.0, **more}
    return logged(logged_at=clock.now(), **facts)


def evidence(kg=100):
    return Evidence(ADA, PRESS, EvidenceKind.TEST, Mass.kg(kg), date(2026, 11, 1))


def propose():
    log.log_sets(**IN_YARD, sets=[top_single()])
    maxes.propose_from_log(**IN_YARD)
    return maxes.get_proposals(gym=YARD)[0].key


def accepted():
    key = propose()
    maxes.accept_proposal(**IN_YARD, proposal=key)
    return key


def conflict():
    fact = logged()
    log.log_sets(**IN_YARD, sets=[fact, replace(fact, reps_done=9)])
    return log.get_conflicts(gym=YARD)[0].key


def link():
    accounts.make_board_link(**IN_YARD)
    return accounts.get_links(gym=YARD)[0].key


def olga():
    secret = accounts.make_first_sign_in_link(**IN_YARD)
    return accounts.redeem_first_sign_in(secret=secret, name="Olga", password=PASSWORD)


def asa():
    olga()
    secret = accounts.make_first_sign_in_link(**IN_YARD, role=Role.ASSISTANT)
    return accounts.redeem_first_sign_in(secret=secret, name="Asa", password=PASSWORD).account


def job():
    return jobs.start_job(**IN_YARD, kind="nothing")


def scenarios():
    """Verb -> (something that must be there first, the act itself)."""
    return {
        "create_gym": (None, lambda _: gym.create_gym(gym=GymKey("x"), name="X", by=TERMINAL)),
        "change_gym": (None, lambda _: gym.change_gym(**IN_YARD, name="New")),
        "add_athlete": (None, lambda _: squad.add_athlete(**IN_YARD, athlete=athlete("dot", 9))),
        "change_athlete": (
            None,
            lambda _: squad.change_athlete(**IN_YARD, athlete=athlete("ada", 7)),
        ),
        "remove_athlete": (None, lambda _: squad.remove_athlete(**IN_YARD, athlete=ADA)),
        "restore_athlete": (
            lambda: squad.remove_athlete(**IN_YARD, athlete=ADA),
            lambda _: squad.restore_athlete(**IN_YARD, athlete=ADA),
        ),
        "add_restriction": (
            None,
            lambda _: squad.add_restriction(**IN_YARD, athlete=ADA, restriction=RULE),
        ),
        "clear_restriction": (
            lambda: squad.add_restriction(**IN_YARD, athlete=ADA, restriction=RULE),
            lambda _: squad.clear_restriction(
                **IN_YARD,
                athlete=ADA,
                restriction=RULE,
                cleared_on=RULE.since,
                cleared_by="Head coach",
            ),
        ),
        "add_item": (None, lambda _: stock.add_item(**IN_YARD, item=BAR)),
        "change_item": (
            lambda: stock.add_item(**IN_YARD, item=BAR),
            lambda _: stock.change_item(**IN_YARD, item=replace(BAR, count=3)),
        ),
        "remove_item": (
            lambda: stock.add_item(**IN_YARD, item=BAR),
            lambda _: stock.remove_item(**IN_YARD, kind=RecordKind.BAR, key="bar"),
        ),
        "set_kit": (None, lambda _: stock.set_kit(**IN_YARD, key=KitKey("box"), units=3)),
        "replace_stock": (None, lambda _: stock.replace_stock(**IN_YARD, stock=Stock(bars=(BAR,)))),
        "add_band_reading": (
            lambda: stock.add_item(**IN_YARD, item=BAND),
            lambda _: stock.add_band_reading(**IN_YARD, band="grey", reading=READING),
        ),
        "add_contest": (None, lambda _: contests.add_contest(**IN_YARD, contest=spring_contest())),
        "change_contest": (
            lambda: contests.add_contest(**IN_YARD, contest=spring_contest()),
            lambda _: contests.change_contest(**IN_YARD, contest=spring_contest(importance=1)),
        ),
        "remove_contest": (
            lambda: contests.add_contest(**IN_YARD, contest=spring_contest()),
            lambda _: contests.remove_contest(**IN_YARD, contest=spring_contest().id),
        ),
        "add_class_time": (
            None,
            lambda _: timetable.add_class_time(**IN_YARD, class_time=monday_class()),
        ),
        "change_class_time": (
            lambda: timetable.add_class_time(**IN_YARD, class_time=monday_class()),
            lambda _: timetable.change_class_time(**IN_YARD, class_time=monday_class(minutes=60)),
        ),
        "remove_class_time": (
            lambda: timetable.add_class_time(**IN_YARD, class_time=monday_class()),
            lambda _: timetable.remove_class_time(**IN_YARD, key="mon-1830"),
        ),
        "mark_attendance": (
            None,
            lambda _: attendance.mark_attendance(
                **IN_YARD, class_key="d/c", states={ADA: attendance.AttendanceState.HERE}
            ),
        ),
        "log_sets": (None, lambda _: log.log_sets(**IN_YARD, sets=[logged()])),
        "settle_conflict": (conflict, lambda key: log.settle_conflict(**IN_YARD, conflict=key)),
        "record_max": (None, lambda _: maxes.record_max(**IN_YARD, evidence=evidence())),
        "withdraw_max": (
            lambda: maxes.record_max(**IN_YARD, evidence=evidence()),
            lambda key: maxes.withdraw_max(**IN_YARD, key=key),
        ),
        "propose_from_log": (
            lambda: log.log_sets(**IN_YARD, sets=[top_single()]),
            lambda _: maxes.propose_from_log(**IN_YARD),
        ),
        "accept_proposal": (
            propose,
            lambda key: maxes.accept_proposal(**IN_YARD, proposal=key, is_confirmed=True),
        ),
        "adjust_proposal": (
            propose,
            lambda key: maxes.adjust_proposal(**IN_YARD, proposal=key, load=Mass.kg(90)),
        ),
        "ignore_proposal": (propose, lambda key: maxes.ignore_proposal(**IN_YARD, proposal=key)),
        "report_pain": (
            None,
            lambda _: pain.report_pain(
                **IN_YARD, report=PainReport(ADA, "d/c", "knee", 4, datetime.now(UTC))
            ),
        ),
        "read_pain": (None, lambda _: pain.read_pain(**IN_YARD, athlete=ADA)),
        "make_first_sign_in_link": (None, lambda _: accounts.make_first_sign_in_link(**IN_YARD)),
        "redeem_first_sign_in": (
            lambda: accounts.make_first_sign_in_link(**IN_YARD),
            lambda secret: accounts.redeem_first_sign_in(
                secret=secret, name="Olga", password=PASSWORD
            ),
        ),
        "change_password": (
            olga,
            lambda who: accounts.change_password(by=who, old=PASSWORD, new="tacky-and-kegs-9"),
        ),
        "change_role": (
            asa,
            lambda key: accounts.change_role(**IN_YARD, account=key, role=Role.HEAD_COACH),
        ),
        "suspend_coach": (asa, lambda key: accounts.suspend_coach(**IN_YARD, account=key)),
        "make_board_link": (None, lambda _: accounts.make_board_link(**IN_YARD)),
        "make_card_link": (None, lambda _: accounts.make_card_link(**IN_YARD, athlete=ADA)),
        "revoke_link": (link, lambda key: accounts.revoke_link(**IN_YARD, link=key)),
        "start_job": (None, lambda _: job()),
        "cancel_job": (job, lambda key: jobs.cancel_job(**IN_YARD, job=key)),
        "accept_import": (None, lambda _: imports.accept_import(**IN_YARD, files=[SQUAD_FILE])),
        "export_athlete": (None, lambda _: export.export_athlete(**IN_YARD, athlete=ADA)),
        "erase_athlete": (
            None,
            lambda _: erasure.erase_athlete(**IN_YARD, athlete=ADA, typed_name="Ada"),
        ),
        "undo_import": (
            lambda: imports.accept_import(**IN_YARD, files=[SQUAD_FILE]),
            lambda line: imports.undo_import(**IN_YARD, batch=line.key),
        ),
        "undo": (
            lambda: squad.remove_athlete(**IN_YARD, athlete=ADA),
            lambda _: trail.undo(**IN_YARD, act=trail.get_trail(gym=YARD)[0].act),
        ),
        **coaching_scenarios(accepted, propose),
        **season_scenarios(),
        **floor_scenarios(),
    }


def every_verb():
    folder = resources.files(usecases)
    for module in pkgutil.iter_modules(usecases.__path__):
        name = f"{usecases.__name__}.{module.name}"
        has_verbs = "\n@verb\n" in (folder / f"{module.name}.py").read_text(encoding="utf-8")
        if has_verbs and name not in PLANNED_ELSEWHERE:
            importlib.import_module(name)
    return sorted(name for name, act in VERBS.items() if act.__module__ not in PLANNED_ELSEWHERE)


@pytest.mark.parametrize("name", sorted(scenarios()))
def test_a_verb_leaves_who_what_and_when(yard, name):
    before, act = scenarios()[name]
    needed = before() if before else None
    known = set(rows.AuditRow.objects.values_list("pk", flat=True))
    act(needed)
    found = list(rows.AuditRow.objects.exclude(pk__in=known))
    assert found, f"{name} left no audit row"
    assert {row.verb for row in found} == AUDITED_AS.get(name, {name})
    assert all(row.who and row.via and row.subject and row.at for row in found)


def test_no_verb_is_without_a_scenario():
    assert every_verb() == sorted(scenarios())


def test_a_refused_act_leaves_no_trail(yard):
    rows.AuditRow.objects.all().delete()
    with pytest.raises(squad.SquadError, match="Number 2"):
        squad.add_athlete(**IN_YARD, athlete=athlete("dot", 2))
    assert not rows.AuditRow.objects.exists()


def test_an_act_that_changes_nothing_leaves_no_trail(yard):
    rows.AuditRow.objects.all().delete()
    squad.change_athlete(**IN_YARD, athlete=squad.get_athlete(gym=YARD, athlete=ADA))
    assert not rows.AuditRow.objects.exists()


def test_passwords_and_secrets_are_not_in_the_trail(yard):
    secret = accounts.make_first_sign_in_link(**IN_YARD)
    accounts.redeem_first_sign_in(secret=secret, name="Olga", password=PASSWORD)
    for row in rows.AuditRow.objects.all():
        assert secret not in f"{row.before}{row.after}"
        assert PASSWORD not in f"{row.before}{row.after}"


def test_what_hurts_is_not_in_the_trail_only_that_it_was_said_and_read(yard):
    said = PainReport(ADA, "d/c", "left knee", 7, datetime.now(UTC), "since Sunday")
    pain.report_pain(**IN_YARD, report=said)
    assert pain.read_pain(**IN_YARD, athlete=ADA) == (said,)
    lines = trail.get_trail(gym=YARD, limit=2)
    assert [line.subject.partition("/")[0] for line in lines] == ["health", "pain"]
    assert "knee" not in str(lines)


def latest():
    return trail.get_trail(gym=YARD, limit=1)[0]


def test_the_trail_shows_the_latest_first_and_can_be_asked_by_subject(yard):
    squad.change_athlete(**IN_YARD, athlete=athlete("ada", 7))
    lines = trail.get_trail(gym=YARD, subject="athlete/ada")
    assert [line.verb for line in lines] == ["change_athlete", "add_athlete"]
    assert (lines[0].before["number"], lines[0].after["number"]) == (1, 7)


def test_every_kind_of_record_comes_back_after_a_removal(yard):
    grey = replace(BAND, readings=(READING,))
    stock.replace_stock(**IN_YARD, stock=Stock(bars=(BAR,), bands=(grey,)))
    contests.add_contest(**IN_YARD, contest=spring_contest())
    timetable.add_class_time(**IN_YARD, class_time=monday_class())
    key = maxes.record_max(**IN_YARD, evidence=evidence())

    def everything():
        return (
            squad.get_squad(gym=YARD),
            stock.get_stock(gym=YARD),
            contests.get_contests(gym=YARD),
            timetable.get_timetable(gym=YARD),
            maxes.get_evidence(gym=YARD),
        )

    before = everything()
    removals = [
        lambda: squad.remove_athlete(**IN_YARD, athlete=ADA),
        lambda: stock.replace_stock(**IN_YARD, stock=Stock()),
        lambda: contests.remove_contest(**IN_YARD, contest=spring_contest().id),
        lambda: timetable.remove_class_time(**IN_YARD, key="mon-1830"),
        lambda: maxes.withdraw_max(**IN_YARD, key=key),
    ]
    for remove in removals:
        remove()
        assert everything() != before
        trail.undo(**IN_YARD, act=latest().act)
        assert everything() == before


def test_an_undo_can_be_undone(yard):
    squad.change_athlete(**IN_YARD, athlete=athlete("ada", 7))
    trail.undo(**IN_YARD, act=latest().act)
    trail.undo(**IN_YARD, act=latest().act)
    assert squad.get_athlete(gym=YARD, athlete=ADA).number == 7


def test_an_addition_is_undone_by_removal(yard):
    stock.add_item(**IN_YARD, item=BAR)
    trail.undo(**IN_YARD, act=latest().act)
    assert stock.get_stock(gym=YARD) == Stock()


def test_what_was_changed_since_is_not_undone_over_it(yard):
    squad.change_athlete(**IN_YARD, athlete=athlete("ada", 7))
    act = latest().act
    squad.change_athlete(**IN_YARD, athlete=athlete("ada", 8))
    with pytest.raises(trail.UndoError, match="athlete/ada changed since"):
        trail.undo(**IN_YARD, act=act)
    assert squad.get_athlete(gym=YARD, athlete=ADA).number == 8


def test_facts_of_the_log_cannot_be_taken_back(yard):
    log.log_sets(**IN_YARD, sets=[logged()])
    assert not latest().can_undo
    with pytest.raises(trail.UndoError, match="facts and sign-ins stand"):
        trail.undo(**IN_YARD, act=latest().act)


def test_an_act_of_another_gym_is_not_there(yard):
    with pytest.raises(NotFoundError, match="no such act"):
        trail.undo(gym=OTHER, by=TERMINAL, act=latest().act)
    with pytest.raises(NotFoundError, match="no such act"):
        trail.undo(**IN_YARD, act=uuid4())

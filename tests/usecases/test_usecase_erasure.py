"""Who is erased is in no table, no document and no byte of the database's files."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.core import serializers
from django.db import connection
from yard_cast import TERMINAL, YARD, athlete, logged, monday_class, spring_contest

from heftwright.domain.contest import Entry
from heftwright.domain.log import PainReport
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId, Restriction
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.store import plan_rows
from heftwright.usecases import (
    accounts,
    attendance,
    contests,
    erasure,
    imports,
    log,
    maxes,
    pain,
    squad,
    timetable,
)

IN_YARD = {"gym": YARD, "by": TERMINAL}
ZOE = AthleteId("zoe-canary")
CANARIES = [f"Canary{n:02}x" for n in range(8)] + ["zoe-canary"]
NAME, GUARDIAN, SUPERVISOR, RULE, PLACE, PAIN, NOTE, BOARD = CANARIES[:8]


def leave_traces():
    """Put something of Zoe into every place that keeps things."""
    zoe = athlete(
        ZOE, 40, name=NAME, guardian=GUARDIAN, supervisor=SUPERVISOR,
        restrictions=(Restriction("overhead", date(2026, 11, 1), None, RULE),),
    )  # fmt: skip
    squad.add_athlete(**IN_YARD, athlete=zoe)
    squad.change_athlete(**IN_YARD, athlete=replace(zoe, priority=2.0))
    file = imports.UploadedFile("squad.csv", f"Number,Name,Sex\n40,{NAME},man\n".encode())
    imports.accept_import(**IN_YARD, files=[file], leave_waiting_out=True)
    single = {"is_max_attempt": True, "reps_done": 1, "reps_in_reserve": 0.0}
    fact = logged(ZOE, logged_at=datetime.now(UTC), **single)
    log.log_sets(**IN_YARD, sets=[fact, replace(fact, set_number=2)])
    pain.report_pain(**IN_YARD, report=PainReport(ZOE, "d/c", PLACE, 5, datetime.now(UTC), PAIN))
    pain.read_pain(**IN_YARD, athlete=ZOE)
    test = Evidence(ZOE, fact.lift, EvidenceKind.TEST, Mass.kg(90), date(2026, 11, 1), note=NOTE)
    maxes.record_max(**IN_YARD, evidence=test)
    maxes.propose_from_log(**IN_YARD)
    attendance.mark_attendance(
        **IN_YARD, class_key="d/c", states={ZOE: attendance.AttendanceState.HERE}
    )
    timetable.add_class_time(**IN_YARD, class_time=monday_class(members=(ZOE, AthleteId("bo"))))
    contests.add_contest(**IN_YARD, contest=spring_contest(entries=(Entry(ZOE),)))
    accounts.make_card_link(**IN_YARD, athlete=ZOE)
    plan = {"lines": (f"{NAME} lifts 90 kg", "Bo lifts 100 kg"), "who": (ZOE,)}
    kind = dict[str, tuple[str, ...]]
    for on in (date(2026, 11, 23), date(2026, 11, 30)):
        plan_rows.save_class_plan(
            gym=YARD, class_key="mon-1830", on=on, plan=plan, kind=kind, made_by="Hal"
        )
    plan_rows.save_season_plan(gym=YARD, plan=plan, kind=kind, problem_digest="", made_by="Hal")


def every_row():
    models = apps.get_app_config("store").get_models()
    return "".join(serializers.serialize("json", model.objects.all()) for model in models)


def found_in(text):
    return [canary for canary in CANARIES if canary in text]


def erase():
    erasure.erase_athlete(**IN_YARD, athlete=ZOE, typed_name=NAME)


def test_the_traces_are_there_before(yard):
    leave_traces()
    assert found_in(every_row()) == [item for item in CANARIES if item != BOARD]


def test_nothing_is_left_in_any_table(yard):
    leave_traces()
    erase()
    assert found_in(every_row()) == []


def test_the_others_and_the_plans_stay(yard):
    leave_traces()
    erase()
    assert [item.id for item in squad.get_squad(gym=YARD)] == ["ada", "bo", "cy"]
    assert timetable.get_class_time(gym=YARD, key="mon-1830").members == ("bo",)
    dated = {"class_key": "mon-1830", "on": date(2026, 11, 30)}
    kept = plan_rows.get_class_plan(gym=YARD, kind=dict[str, tuple[str, ...]], **dated)
    assert kept.plan["lines"] == ("erased athlete lifts 90 kg", "Bo lifts 100 kg")
    assert kept.version == 1


def test_a_slip_erases_nobody(yard):
    with pytest.raises(erasure.ErasureError, match="type the athlete's name exactly"):
        erasure.erase_athlete(**IN_YARD, athlete=AthleteId("ada"), typed_name="Bo")
    with pytest.raises(NotFoundError, match="no athlete"):
        erasure.erase_athlete(**IN_YARD, athlete=AthleteId("x"), typed_name="X")
    assert len(squad.get_squad(gym=YARD)) == 3


@pytest.mark.django_db(transaction=True)
def test_nothing_is_left_in_the_files_of_the_database(request):
    request.getfixturevalue("yard")
    leave_traces()
    if connection.vendor != "sqlite":
        erase()
        return
    file = Path(settings.DATABASES["default"]["NAME"])

    def bytes_of_the_database():
        parts = [file, file.with_name(file.name + "-wal")]
        return b"".join(part.read_bytes() for part in parts if part.exists())

    assert any(canary.encode() in bytes_of_the_database() for canary in CANARIES)
    erase()
    raw = bytes_of_the_database()
    assert [canary for canary in CANARIES if canary.encode() in raw] == []

"""Files in and out: nothing is saved unseen, and thirty days long everything can be taken back."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import StringIO

import pytest
from yard_cast import OTHER, TERMINAL, YARD, athlete, logged, monday_class, spring_contest

from heftwright.domain.catalogue import Implement, LiftKey
from heftwright.domain.dose.waves import WaveStep, WaveTemplate
from heftwright.domain.height import Length
from heftwright.domain.log import PainReport
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.resistance import TopShareMeaning, take_apart
from heftwright.domain.squad import AthleteId
from heftwright.domain.stock import Band, Bar, PlatePair, Stock
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.imports.preview import read_files
from heftwright.usecases import (
    clock,
    contests,
    dose_settings,
    export,
    imports,
    log,
    maxes,
    pain,
    squad,
    stock,
    timetable,
    trail,
)
from heftwright.usecases.actor import Actor
from heftwright.usecases.changes import ChangedMeanwhileError
from heftwright.usecases.imports import ImportAcceptError, UploadedFile
from heftwright.usecases.permissions import ForbiddenError

IN_YARD = {"gym": YARD, "by": TERMINAL}
ADA = AthleteId("ada")
PULL = LiftKey("axle_deadlift")
SQUAD = UploadedFile(
    "squad.csv", b"Number,Name,Sex,Body mass (lb)\n1,Ada,woman,181.5\n9,Dot,man,220\n"
)
MAXES = UploadedFile("maxes.csv", b"Athlete,Lift,Max (kg),Date\nAda,Axle deadlift,150,2026-11-02\n")
BARS = UploadedFile("bars.csv", b"Bar,Implement,Mass (kg)\nAchse,axle,15\n")
FILES = [SQUAD, MAXES, BARS]


def everything(gym=YARD):
    return (
        squad.get_squad(gym=gym),
        stock.get_stock(gym=gym),
        contests.get_contests(gym=gym),
        timetable.get_timetable(gym=gym),
        tuple(kept.evidence for kept in maxes.get_evidence(gym=gym)),
    )


def accept(files=FILES, **more):
    return imports.accept_import(**IN_YARD, files=files, **more)


def test_a_preview_saves_nothing(yard):
    before = everything()
    preview = imports.preview_upload(**IN_YARD, files=FILES)
    assert preview.records.count == 4
    assert preview.problems == ()
    assert everything() == before


def test_accepting_saves_what_the_preview_showed(yard):
    preview = imports.preview_upload(**IN_YARD, files=FILES)
    line = accept(was_seen=imports.preview_mark(preview))
    assert line.files == ("squad.csv", "maxes.csv", "bars.csv")
    assert [item.name for item in squad.get_squad(gym=YARD)] == ["Ada", "Bo", "Cy", "Dot"]
    assert squad.get_athlete(gym=YARD, athlete=ADA).body_mass == Mass.lb("181.5")
    assert maxes.get_evidence(gym=YARD)[0].evidence.load == Mass.kg(150)
    assert stock.get_stock(gym=YARD).bars[0].implement is Implement.AXLE


def test_an_import_that_is_taken_back_leaves_everything_as_it_was(yard):
    stock.add_item(**IN_YARD, item=Bar("bar", "Bar", Implement.STRAIGHT_BAR, Mass.kg(20)))
    contests.add_contest(**IN_YARD, contest=spring_contest())
    timetable.add_class_time(**IN_YARD, class_time=monday_class())
    before = everything()
    line = accept()
    assert everything() != before
    imports.undo_import(**IN_YARD, batch=line.key)
    assert everything() == before
    (listed,) = imports.get_imports(gym=YARD)
    assert listed.undone_at is not None
    assert listed.can_undo_until is None


def test_an_import_can_come_again_after_it_was_taken_back(yard):
    line = accept()
    after = everything()
    imports.undo_import(**IN_YARD, batch=line.key)
    accept()
    assert everything() == after


def test_an_import_is_taken_back_once_and_within_thirty_days(yard):
    start = datetime(2026, 11, 23, 18, tzinfo=UTC)
    with clock.held_at(start):
        line = accept()
    too_late = clock.held_at(start + timedelta(days=30, minutes=1))
    with too_late, pytest.raises(ImportAcceptError, match="older than 30 days"):
        imports.undo_import(**IN_YARD, batch=line.key)
    with clock.held_at(start + timedelta(days=29)):
        imports.undo_import(**IN_YARD, batch=line.key)
        with pytest.raises(ImportAcceptError, match="taken back already"):
            imports.undo_import(**IN_YARD, batch=line.key)


def test_what_was_changed_after_the_import_is_not_overwritten_by_taking_it_back(yard):
    line = accept()
    ada = squad.get_athlete(gym=YARD, athlete=ADA)
    squad.change_athlete(**IN_YARD, athlete=replace(ada, priority=2.0))
    with pytest.raises(trail.UndoError, match="athlete/ada changed since"):
        imports.undo_import(**IN_YARD, batch=line.key)
    assert squad.get_athlete(gym=YARD, athlete=ADA).priority == 2.0


def test_another_gyms_import_is_not_there(yard):
    line = accept()
    with pytest.raises(NotFoundError, match="no such import"):
        imports.undo_import(gym=OTHER, by=TERMINAL, batch=line.key)


def test_a_gym_that_changed_after_the_preview_is_looked_at_again(yard):
    mark = imports.preview_mark(imports.preview_upload(**IN_YARD, files=FILES))
    squad.change_athlete(**IN_YARD, athlete=athlete("ada", 1, guardian="Olga"))
    with pytest.raises(ChangedMeanwhileError, match="look at it once more"):
        accept(was_seen=mark)


def test_open_questions_are_answered_or_left_out(yard):
    odd = UploadedFile(
        "maxes.csv", b"Athlete,Lift,Max (kg),Date\nAda,Axel deadlift,150,2026-11-02\n"
    )
    preview = imports.preview_upload(**IN_YARD, files=[odd])
    (question,) = preview.questions
    with pytest.raises(ImportAcceptError, match="questions are open"):
        accept([odd])
    with pytest.raises(ImportAcceptError, match="nothing to save"):
        accept([odd], leave_waiting_out=True)
    accept([odd], answers={question.key: "axle_deadlift"})
    assert maxes.get_evidence(gym=YARD)[0].evidence.lift == "axle_deadlift"


def test_a_refused_file_is_named_and_the_others_are_read(yard):
    hostile = UploadedFile("bomb.xlsx", b"PK\x03\x04 not a workbook")
    preview = imports.preview_upload(**IN_YARD, files=[hostile, SQUAD])
    assert [problem.file for problem in preview.problems] == ["bomb.xlsx"]
    assert accept([hostile, SQUAD]).records == 2


def test_two_athletes_do_not_get_one_number(yard):
    swapped = UploadedFile("squad.csv", b"Number,Name,Sex\n2,Ada,woman\n")
    preview = imports.preview_upload(**IN_YARD, files=[swapped])
    assert preview.questions or preview.problems or preview.witnesses
    before = everything()
    with pytest.raises((ImportAcceptError, squad.SquadError), match=r"Number 2|questions|nothing"):
        accept([swapped])
    assert everything() == before


def test_the_number_of_somebody_who_left_does_not_hand_their_log_over(yard):
    accept([SQUAD])
    log.log_sets(**IN_YARD, sets=[logged("athlete-9")])
    squad.remove_athlete(**IN_YARD, athlete=AthleteId("athlete-9"))
    other = UploadedFile("squad.csv", b"Number,Name,Sex\n9,Eve,woman\n")
    with pytest.raises(ImportAcceptError, match="Number 9 was Dot's, who left"):
        accept([other])


def test_an_assistant_imports_and_exports_nothing(people):
    asa = people.assistant
    with pytest.raises(ForbiddenError, match="may not import files"):
        imports.preview_upload(gym=YARD, by=asa, files=FILES)
    with pytest.raises(ForbiddenError, match="may not import files"):
        imports.accept_import(gym=YARD, by=asa, files=FILES)
    with pytest.raises(ForbiddenError, match="may not export everything"):
        export.export_workbook(gym=YARD, by=asa)


@pytest.fixture
def full(yard):
    """A gym with something of everything."""
    plates = (PlatePair("p20", Mass.kg(20), 4), PlatePair("p45", Mass.lb(45), 2))
    bands = (Band("grey", "grey", 2, Length.inches(41)),)
    axle = Bar("axle", "Axle", Implement.AXLE, Mass.kg("15.35"))
    stock.replace_stock(**IN_YARD, stock=Stock(bars=(axle,), plates=plates, bands=bands))
    timetable.add_class_time(**IN_YARD, class_time=monday_class())
    contests.add_contest(**IN_YARD, contest=spring_contest())
    single = Evidence(ADA, PULL, EvidenceKind.TEST, Mass.lb("330.5"), date(2026, 11, 2))
    maxes.record_max(**IN_YARD, evidence=single)
    log.log_sets(**IN_YARD, sets=[logged(), logged("bo", class_key="=1+1")])
    meaning = TopShareMeaning.TOTAL_AT_TOP
    parts = [take_apart(1, load, 0.25, meaning) for load in (0.75, 0.8, 0.85)]
    steps = tuple(WaveStep(part.bar_kg, part.band_kg, 24) for part in parts)
    own = WaveTemplate("lower_banded", "Low wave", steps, meaning)
    dose_settings.change_wave(**IN_YARD, wave=own)
    return yard


def test_the_template_to_fill_in_leaves_nothing_out(yard):
    empty = UploadedFile("template.xlsx", imports.get_import_template(gym=YARD))
    preview = imports.preview_upload(**IN_YARD, files=[empty])
    assert preview.records.count == 0
    assert not any(problem.is_blocking for problem in preview.problems)


@pytest.mark.parametrize("form", ["workbook", "csv"])
def test_what_is_exported_imports_again_without_any_change(full, form):
    if form == "workbook":
        files = [UploadedFile("gym.xlsx", export.export_workbook(**IN_YARD))]
    else:
        texts = export.export_csv_files(**IN_YARD)
        files = [UploadedFile(name, text.encode()) for name, text in texts.items()]
    before = everything()
    preview = read_files(files, known=imports.known_gym(gym=YARD))
    assert preview.problems == ()
    assert preview.records.count > 0
    assert preview.to_save == 0
    with pytest.raises(ImportAcceptError, match="knows all of it already"):
        accept(files)
    assert everything() == before


def test_a_wave_from_a_sheet_is_used_until_the_import_is_taken_back(yard):
    rows = ["Wave,Week,Load (%),Bands (%),Share of,Total reps at most"]
    rows += [f"lower_banded,{at},{70 + at},25,max_inside,24" for at in (1, 2, 3)]
    files = [UploadedFile("waves.csv", "\n".join(rows).encode())]
    shipped = dose_settings.get_waves(gym=YARD)["lower_banded"]
    line = accept(files)
    (undoing,) = line.undoing
    assert undoing == "removes 1 wave"
    own = dose_settings.get_waves(gym=YARD)["lower_banded"]
    assert [round(step.bar_ratio, 4) for step in own.steps] == [0.46, 0.47, 0.48]
    assert own.written_as is TopShareMeaning.MAX_INSIDE
    assert "inside the written load" in dose_settings.get_wave(gym=YARD, key=own.key).converted_from
    imports.undo_import(**IN_YARD, batch=line.key)
    assert dose_settings.get_waves(gym=YARD)["lower_banded"] == shipped


def test_the_log_is_exported_whole_and_calculates_nothing(full):
    lines = list(csv.DictReader(StringIO("".join(export.export_log(**IN_YARD)), newline="")))
    assert [line["class"] for line in lines].count("'=1+1") == 1
    assert {(line["load"], line["unit"]) for line in lines} == {("97.5", "kg")}
    assert {line["athlete"] for line in lines} == {"ada", "bo"}


def test_an_athlete_gets_everything_about_them_and_about_nobody_else(full):
    said = PainReport(ADA, "d/c", "left knee", 7, datetime.now(UTC))
    pain.report_pain(**IN_YARD, report=said)
    card = Actor.card_of(ADA, "Ada", YARD)
    document = export.export_athlete(gym=YARD, by=card, athlete=ADA)
    assert (document["athlete"]["name"], len(document["log"])) == ("Ada", 1)
    assert document["pain"][0]["place"] == "left knee"
    assert document["evidence"][0]["load"] == "330.5 lb"
    assert document["read_and_changed_by"][0]["verb"] == "add_athlete"
    with pytest.raises(ForbiddenError, match="Ada's card"):
        export.export_athlete(gym=YARD, by=card, athlete=AthleteId("bo"))

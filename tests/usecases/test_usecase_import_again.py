"""A list that comes in a second time: what the gym knows is known, and nothing is saved twice."""

from datetime import UTC, datetime, timedelta

import pytest
from yard_cast import TERMINAL, YARD

from heftwright.domain.strength import EvidenceKind
from heftwright.usecases import clock, imports, maxes
from heftwright.usecases.imports import ImportAcceptError, UploadedFile

IN_YARD = {"gym": YARD, "by": TERMINAL}
MONDAY = datetime(2026, 11, 23, 12, tzinfo=UTC)
WIDE = UploadedFile(
    "maxes.csv", b"Name,Axle deadlift (kg),Bench press (kg)\nAda,150,72.5\nBo,180,105\n"
)


@pytest.fixture
def monday(yard):
    with clock.held_at(MONDAY):
        yield


def tomorrow():
    return clock.held_at(MONDAY + timedelta(days=1))


def ask(file):
    (question,) = imports.preview_upload(**IN_YARD, files=[file]).questions
    return question


def preview(file=WIDE, weeks="6"):
    return imports.preview_upload(**IN_YARD, files=[file], answers={ask(file).key: weeks})


def accept(file=WIDE, weeks="6"):
    return imports.accept_import(**IN_YARD, files=[file], answers={ask(file).key: weeks})


def days():
    return {item.evidence.on for item in maxes.get_evidence(gym=YARD)}


@pytest.mark.usefixtures("monday")
@pytest.mark.parametrize("weeks", ["6", "16"])
def test_a_sheet_of_maxes_without_days_is_known_whole_on_another_day(weeks):
    accept()
    first = days()
    with tomorrow():
        again = preview(weeks=weeks)
        assert [str(one) for one in again.tallies] == ["maxes: 4 known already"]
        assert {one.on for one in again.records.maxes} == first
        with pytest.raises(ImportAcceptError, match="knows all of it already"):
            accept(weeks=weeks)
    assert days() == first
    assert len(maxes.get_evidence(gym=YARD)) == 4


@pytest.mark.usefixtures("monday")
def test_a_new_max_on_a_sheet_without_days_is_the_only_one_saved():
    accept()
    better = UploadedFile(WIDE.name, WIDE.content.replace(b"180", b"185"))
    with tomorrow():
        assert [str(one) for one in preview(better).tallies] == ["maxes: 1 new, 3 known already"]
        assert accept(better).records == 1


@pytest.mark.usefixtures("monday")
def test_of_the_same_max_on_several_days_the_latest_stands_for_the_one_without_a_day():
    dated = UploadedFile(
        "dated.csv",
        b"Athlete,Lift,Max (kg),Date\n"
        b"Ada,Axle deadlift,150,2026-11-02\nAda,Axle deadlift,150,2026-09-07\n",
    )
    imports.accept_import(**IN_YARD, files=[dated])
    told = preview(UploadedFile("maxes.csv", b"Name,Axle deadlift (kg)\nAda,150\n"), "0")
    assert [one.on.isoformat() for one in told.records.maxes] == ["2026-11-02"]
    assert not told.has_something_to_save


@pytest.mark.usefixtures("monday")
@pytest.mark.parametrize(
    "cells",
    [
        b"Bo,Axle deadlift,150,1,test",
        b"Ada,Bench press,150,1,test",
        b"Ada,Axle deadlift,152.5,1,test",
        b"Ada,Axle deadlift,150,2,rep set",
        b"Ada,Axle deadlift,150,1,contest",
    ],
)
def test_another_athlete_lift_load_reps_or_source_is_another_max(cells):
    header = b"Athlete,Lift,Max (kg),Reps,Kind\n"
    accept(UploadedFile("maxes.csv", header + b"Ada,Axle deadlift,150,1,test\n"))
    (kept,) = maxes.get_evidence(gym=YARD)
    assert kept.evidence.kind is EvidenceKind.TEST
    with tomorrow():
        assert preview(UploadedFile("maxes.csv", header + cells + b"\n")).has_something_to_save


@pytest.mark.usefixtures("monday")
def test_a_max_with_its_day_is_another_one_on_another_day():
    header = b"Athlete,Lift,Max (kg),Date\n"
    for day in (b"2026-11-02", b"2026-11-09"):
        dated = UploadedFile("dated.csv", header + b"Ada,Axle deadlift,150," + day + b"\n")
        imports.accept_import(**IN_YARD, files=[dated])
    assert len(maxes.get_evidence(gym=YARD)) == 2


LIST = b"Number,Name,Sex\n1,Ada,woman\n9,Dot,man\n"


@pytest.fixture
def kept(monday):
    imports.accept_import(**IN_YARD, files=[UploadedFile("squad.csv", LIST)])


@pytest.mark.usefixtures("kept")
class TestAKnownList:
    """Known is a list of which every row was read and nothing is new, whatever its file's name."""

    def looked_at(self, name="squad.csv", content=LIST):
        return imports.preview_upload(**IN_YARD, files=[UploadedFile(name, content)])

    def refused(self, *files, **more):
        with pytest.raises(ImportAcceptError) as refusal:
            imports.accept_import(**IN_YARD, files=[UploadedFile(*file) for file in files], **more)
        return str(refusal.value)

    def test_under_another_name_it_is_still_known_though_how_it_was_read_is_noted(self):
        again = self.looked_at("our-people.csv")
        (note,) = again.problems
        assert "is read as Squad" in note.sentence
        assert again.is_known
        assert "knows all of it already" in self.refused(("our-people.csv", LIST))

    def test_a_row_that_is_left_out_may_be_new(self):
        spoiled = LIST + b"x,Eve,woman\n"
        assert not self.looked_at(content=spoiled).is_known
        assert "see the questions and problems named" in self.refused(("squad.csv", spoiled))

    def test_a_row_that_waits_may_be_new(self):
        waits = b"Number,Name,Sex,Body mass\n1,Ada,woman,\n9,Dot,man,\n12,Eve,woman,64\n"
        again = self.looked_at(content=waits)
        assert again.questions
        assert not again.is_known
        assert "questions are open" in self.refused(("squad.csv", waits))
        words = self.refused(("squad.csv", waits), leave_waiting_out=True)
        assert "see the questions and problems named" in words

    def test_a_new_row_is_to_be_saved(self):
        assert not self.looked_at(content=LIST + b"12,Eve,woman\n").is_known

    def test_an_empty_list_is_not_known_but_empty(self):
        assert not self.looked_at(content=b"Number,Name,Sex\n").is_known

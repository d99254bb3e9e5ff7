"""A fuzz of the door: nothing crashes, nothing changes silently (trust.md H1)."""

import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from import_cast import NEW_GYM, TODAY, csv_file, preview_of

sys.path.append(str(Path(__file__).parents[2]))

from bench.import_fuzz import fuzz_cells, sloppy_reader
from bench.import_fuzz_files import fuzz_bytes, fuzz_files

from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.imports import squad_rows
from heftwright.imports.cells import Cell, CellKind, number_text
from heftwright.imports.findings import Findings, Place, WaitingError
from heftwright.imports.grammar import Reading, read_cell
from heftwright.imports.lists import join_list, split_list
from heftwright.imports.sheets import MAXES, SHEETS


@pytest.mark.slow
def test_a_hundred_thousand_cells_neither_crash_nor_change_silently():
    done = fuzz_cells(100_000, seed=1)
    assert (done.crashes, done.silent_changes) == (0, 0), done.faults
    assert min(done.accepted, done.named, done.asked) > 1_000


def test_the_control_arm_of_a_float_parser_is_caught():
    assert fuzz_cells(5_000, 1, sloppy_reader).silent_changes > 100


@pytest.mark.slow
def test_rows_of_whole_files_are_records_problems_or_questions():
    done = fuzz_files(120, seed=2)
    assert (done.crashes, done.silent_changes) == (0, 0), done.faults
    assert min(done.accepted, done.named, done.asked) > 100


@pytest.mark.slow
def test_damaged_files_are_read_or_refused_and_never_crash():
    done = fuzz_bytes(300, seed=3)
    assert done.crashes == 0, done.faults
    assert min(done.accepted, done.named) > 10


def reading(column, unit=""):
    return Reading(column, Place("f", "s", 0, "A"), unit, Findings({}), TODAY)


LOAD = MAXES.column("load")


@given(st.integers(1_000, 600_000))
def test_every_load_in_thousandths_is_read_exactly(thousandths):
    whole, part = divmod(thousandths, 1000)
    for text in (f"{whole}.{part:03d}", number_text(thousandths / 1000)):
        found = read_cell(Cell(text, CellKind.NUMBER), reading(LOAD, "kg"))
        assert found == EnteredMass(thousandths, MassUnit.KG)


@given(st.floats(1, 600))
def test_a_float_is_read_as_its_shortest_form_or_named(value):
    cell = Cell(number_text(value), CellKind.NUMBER)
    try:
        found = read_cell(cell, reading(LOAD, "kg"))
    except Refusal:
        assert round(value, 3) != value
    else:
        assert found.thousandths / 1000 == value


@given(st.text(max_size=20), st.sampled_from(tuple(CellKind)), st.data())
def test_any_text_in_any_column_has_a_value_or_a_sentence(text, kind, data):
    column = data.draw(st.sampled_from([one for sheet in SHEETS for one in sheet.columns]))
    here = reading(column)
    said = ""
    try:
        read_cell(Cell(text.strip() or "?", kind), here)
    except WaitingError:
        said = next(iter(here.findings.questions.values())).sentence
    except Refusal as error:
        said = str(error)
    assert said == "" or len(said) > 15


@given(st.lists(st.text(max_size=12).map(str.strip).filter(bool), max_size=6))
def test_lists_come_back_as_they_were_joined(parts):
    assert split_list(join_list(parts)) == parts


@given(st.lists(st.integers(0, 12), min_size=1, max_size=20))
def test_every_squad_row_has_an_athlete_or_a_sentence_even_when_the_numbers_run_out(numbers):
    rows = [(str(one or ""), f"Athlete {at}", "woman") for at, one in enumerate(numbers)]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(squad_rows, "LAST_NUMBER", 8)
        found = preview_of(csv_file("squad.csv", ("Number", "Name", "Sex"), *rows), known=NEW_GYM)
    named = {problem.row for problem in found.problems if problem.is_blocking}
    asked = {question.row for question in found.questions}
    assert len(found.records.athletes) + len(named | asked) >= len(rows)
    given_out = [one.number for one in found.records.athletes]
    assert len(given_out) == len(set(given_out))


def test_more_new_athletes_than_there_are_squad_numbers_end_in_a_sentence():
    rows = [(f"Athlete {at}", "woman") for at in range(squad_rows.LAST_NUMBER + 2)]
    found = preview_of(csv_file("squad.csv", ("Name", "Sex"), *rows), known=NEW_GYM)
    assert len(found.records.athletes) == squad_rows.LAST_NUMBER
    refused = [problem for problem in found.problems if problem.is_blocking]
    assert len(refused) == 2
    assert "All squad numbers up to 9999 are taken" in refused[0].sentence

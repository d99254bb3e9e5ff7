"""Maxes with a column a lift, as many coaches keep them."""

from datetime import date

from import_cast import KIM, ROBIN, csv_file, preview_of, sentences

from heftwright.domain.mass import Mass

HEADER = ("Name", "Date", "Conventional deadlift (kg)", "Bench press (kg)", "Mood")


def wide(*rows, header=HEADER, answers=None):
    return preview_of(csv_file("maxes.csv", header, *rows), answers=answers)


def test_every_filled_lift_cell_is_a_max():
    preview = wide(
        ("Robin Example", "2026-09-14", "215", "92.5", "good"),
        ("Kim Probe", "2026-09-14", "", "130", ""),
    )
    found = {(one.athlete, one.lift, one.load, one.on) for one in preview.records.maxes}
    day = date(2026, 9, 14)
    assert found == {
        (ROBIN.id, "deadlift", Mass.kg(215), day),
        (ROBIN.id, "bench", Mass.kg("92.5"), day),
        (KIM.id, "bench", Mass.kg(130), day),
    }
    assert not preview.problems
    assert [one.header for one in preview.skipped] == ["Mood"]


def test_a_bad_cell_is_named_where_it_stands_and_the_others_stay():
    preview = wide(("Robin Example", "2026-09-14", "215", "92.5.1", ""))
    (problem,) = preview.problems
    assert (problem.row, problem.column[0], problem.cell) == (2, "D", "92.5.1")
    assert len(preview.records.maxes) == 1


def test_a_bad_date_is_named_once_for_the_row():
    preview = wide(("Robin Example", "soon", "215", "92.5", ""))
    assert len(preview.problems) == 1
    assert not preview.records.maxes


def test_the_guards_ask_about_the_cell_of_the_lift():
    row = ("Robin Example", "2026-09-14", "475", "", "")
    (question,) = wide(row).questions
    assert question.column == "C, Conventional deadlift (kg)"
    told = wide(row, answers={question.key: "other"})
    assert told.records.maxes[0].load == Mass.lb(475)


def test_two_odd_cells_of_one_row_are_two_questions():
    row = ("Robin Example", "2026-09-14", "21.5", "", "")
    header = ("Name", "Date", "Conventional deadlift (kg)", "deadlift (kg)", "Mood")
    preview = wide((*row[:3], "21.5", ""), header=header)
    assert len(preview.questions) == 2


def test_each_lift_column_without_a_unit_asks_for_its_own():
    header = ("Name", "Date", "Conventional deadlift", "Bench press")
    row = ("Robin Example", "2026-09-14", "215", "92.5")
    questions = wide(row, header=header).questions
    assert [question.column[0] for question in questions] == ["C", "D"]
    answers = {questions[0].key: "kg", questions[1].key: "kg"}
    assert len(wide(row, header=header, answers=answers).records.maxes) == 2


def test_a_wide_sheet_still_needs_its_date():
    preview = wide(("Robin Example", "215"), header=("Name", "Conventional deadlift (kg)"))
    assert "needs the column “Date”" in sentences(preview)[0]


def test_a_value_under_no_header_still_leaves_its_row_out():
    preview = wide(("Robin Example", "2026-09-14", "215", "", "", "7"))
    assert "under no header" in sentences(preview)[0]
    assert not preview.records.maxes

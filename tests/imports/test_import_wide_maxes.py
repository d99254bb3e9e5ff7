"""Maxes with a column a lift, as many coaches keep them."""

from datetime import date, timedelta

from import_cast import KIM, ROBIN, TODAY, csv_file, preview_of, sentences

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


def test_a_sheet_without_a_day_is_asked_once_how_old_it_is():
    header = ("Name", "Conventional deadlift (kg)", "Bench press (kg)")
    rows = (("Robin Example", "215", "92.5"), ("Kim Probe", "180", "130"))
    preview = wide(*rows, header=header)
    (question,) = preview.questions
    assert "How old are they?" in question.sentence
    assert not preview.records.maxes
    assert [(one.good, one.waiting) for one in preview.counts] == [(0, 4)]
    told = wide(*rows, header=header, answers={question.key: "6"})
    assert {one.on for one in told.records.maxes} == {TODAY - timedelta(weeks=6)}
    assert len(told.records.maxes) == 4


def test_a_max_of_unknown_age_is_old_enough_to_set_no_top_load():
    header = ("Name", "Lift", "Max (kg)")
    row = ("Robin Example", "Bench press", "92.5")
    (question,) = wide(row, header=header).questions
    oldest = max(question.choices, key=lambda choice: int(choice.value))
    assert "not known" in oldest.label
    (one,) = wide(row, header=header, answers={question.key: oldest.value}).records.maxes
    # trust.md: no automatic top target from a max of 26 weeks or more
    assert TODAY - one.on > timedelta(weeks=26)


def test_a_header_that_may_be_several_lifts_is_asked_as_a_cell_is():
    header = ("Name", "Date", "Conventional deadlift (kg)", "Squat (kg)")
    row = ("Robin Example", "2026-09-14", "215", "160")
    (question,) = wide(row, header=header).questions
    assert "“Squat” is not in the catalogue. Which lift is it?" in question.sentence
    told = wide(row, header=header, answers={question.key: "back_squat"})
    assert {one.lift for one in told.records.maxes} == {"deadlift", "back_squat"}
    left = wide(row, header=header, answers={question.key: "leave"})
    assert {one.lift for one in left.records.maxes} == {"deadlift"}


def test_a_column_of_words_or_of_lengths_is_no_lift_column():
    header = ("Name", "Date", "Deadlift (kg)", "Squats", "Bench pres (cm)")
    preview = wide(("Robin Example", "2026-09-14", "215", "felt easy", "45"), header=header)
    assert not preview.questions
    assert [one.header for one in preview.skipped] == ["Squats", "Bench pres (cm)"]


def test_a_value_under_no_header_still_leaves_its_row_out():
    preview = wide(("Robin Example", "2026-09-14", "215", "", "", "7"))
    assert "under no header" in sentences(preview)[0]
    assert not preview.records.maxes

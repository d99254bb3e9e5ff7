"""What a coach sees before saying yes: records, problems by place, questions, three witnesses."""

from dataclasses import replace
from datetime import date, time

import pytest
from import_cast import (
    GYM,
    KIM,
    NEW_GYM,
    ROBIN,
    TODAY,
    csv_file,
    max_preview,
    preview_of,
    sentences,
    xlsx_file,
)

from heftwright.domain.catalogue import Slot, WeakPoint
from heftwright.domain.height import EnteredLength, Length, LengthUnit
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Restriction, Sex, Weekday
from heftwright.domain.strength.evidence import EvidenceKind
from heftwright.imports.hardening import UploadedFile
from heftwright.imports.preview import read_files


def test_a_good_max_becomes_evidence_with_its_load_as_written():
    preview = max_preview(("Robin Example", "Conventional deadlift", "212.5", "2026-09-14"))
    (found,) = preview.records.maxes
    assert (found.athlete, found.lift, found.on) == (ROBIN.id, "deadlift", date(2026, 9, 14))
    assert (found.kind, found.load) == (EvidenceKind.TEST, Mass.kg("212.5"))
    (written,) = preview.records.written
    assert written.value == EnteredMass(212_500, MassUnit.KG)
    assert not preview.problems
    assert not preview.questions


def test_pounds_stay_the_pounds_that_were_written():
    header = ("Athlete", "Lift", "Max (lb)", "Date")
    preview = max_preview((7, "deadlift", "475", "2026-09-14"), header=header)
    assert preview.records.maxes[0].load == Mass.lb(475)
    assert str(preview.records.written[0].value) == "475 lb"


def test_a_problem_names_file_sheet_row_column_and_cell():
    preview = max_preview((7, "deadlift", "215", "2026-09-14"), (7, "bench", "abc", "2026-09-14"))
    (problem,) = preview.problems
    assert (problem.file, problem.sheet, problem.row) == ("maxes.csv", "maxes", 3)
    assert (problem.column, problem.cell) == ("C, Max (kg)", "abc")
    assert "97.5" in problem.sentence
    assert problem.is_blocking


def test_a_bad_row_is_left_out_and_the_good_ones_stay():
    preview = max_preview(
        (7, "deadlift", "215", "2026-09-14"), (7, "bench", "", "2026-09-14"),
        ("Nobody", "bench", "100", "2026-09-14"),
    )  # fmt: skip
    assert len(preview.records.maxes) == 1
    (count,) = preview.counts
    assert (count.good, count.left_out, count.waiting) == (1, 2, 0)
    assert {problem.row for problem in preview.problems} == {3, 4}


def test_every_bad_cell_of_a_row_is_named_not_only_the_first():
    preview = max_preview((7, "deadlift", "x", "tomorrow"))
    assert [problem.column for problem in preview.problems] == ["C, Max (kg)", "D, Date"]


def test_a_column_without_a_unit_asks_once_and_the_answer_reads_it():
    rows = ((7, "deadlift", "215", "2026-09-14"), (7, "squat", "180", "2026-09-14"))
    header = ("Athlete", "Lift", "Max", "Date")
    asked = max_preview(*rows[:1], (*rows[0][:2], "200", "2026-09-15"), header=header)
    (question,) = asked.questions
    assert [choice.value for choice in question.choices] == ["kg", "lb"]
    assert not asked.records.maxes
    assert asked.counts[0].waiting == 2
    told = max_preview(*rows[:1], header=header, answers={question.key: "kg"})
    assert told.records.maxes[0].load == Mass.kg(215)
    assert not told.questions


def test_an_answer_that_was_not_offered_is_no_answer():
    header = ("Athlete", "Lift", "Max", "Date")
    row = (7, "deadlift", "215", "2026-09-14")
    (question,) = max_preview(row, header=header).questions
    assert max_preview(row, header=header, answers={question.key: "stone"}).questions


def test_a_unit_in_every_cell_needs_no_question():
    header = ("Athlete", "Lift", "Max", "Date")
    preview = max_preview((7, "deadlift", "475 lb", "2026-09-14"), header=header)
    assert preview.records.maxes[0].load == Mass.lb(475)


def test_a_cell_that_contradicts_its_header_is_named():
    preview = max_preview((7, "deadlift", "475 lb", "2026-09-14"))
    assert "says lb but the header says kg" in sentences(preview)[0]


def test_a_decimal_comma_gets_one_question_and_is_never_guessed():
    rows = ((7, "deadlift", "212,5", "2026-09-14"), (7, "deadlift", "210,0", "2026-09-15"))
    asked = max_preview(*rows)
    (question,) = asked.questions
    assert not asked.records.maxes
    told = max_preview(*rows, answers={question.key: "point"})
    assert [found.load for found in told.records.maxes] == [Mass.kg("212.5"), Mass.kg(210)]
    left = max_preview(*rows, answers={question.key: "leave"})
    assert len(left.problems) == 2
    thousands = max_preview(*rows, answers={question.key: "thousands"})
    assert len(thousands.problems) == 2  # 212,5 cannot be thousands


@pytest.mark.parametrize(("answer", "day"), [("day", (2026, 4, 3)), ("month", (2026, 3, 4))])
def test_a_date_with_two_readings_asks_which_is_the_day(answer, day):
    row = (7, "deadlift", "215", "03/04/2026")
    (question,) = max_preview(row).questions
    assert "day or the month" in question.sentence
    assert max_preview(row, answers={question.key: answer}).records.maxes[0].on == date(*day)


@pytest.mark.parametrize(
    "text", ["2026-04-23", "23/04/2026", "4/23/2026", "23.4.2026", "23 Apr 2026", "April 23, 2026"]
)
def test_a_date_with_one_reading_is_read(text):
    assert max_preview((7, "deadlift", "215", text)).records.maxes[0].on == date(2026, 4, 23)


@pytest.mark.parametrize(
    ("text", "said"),
    [("2026-11-26", "after today"), ("23.04.26", "year-month-day"), ("2026-02-30", "no day"),
     ("46135", "year-month-day"), ("1826-04-23", "outside 1900–2100"), ("3 Foo 2026", "no month")],
)  # fmt: skip
def test_a_date_that_cannot_be_is_named(text, said):
    assert said in sentences(max_preview((7, "deadlift", "215", text)))[0]


def test_an_unknown_lift_asks_with_the_nearest_names_once():
    rows = [(7, "Conv. deadlift", "215", "2026-09-14"), (8, "Conv. deadlift", "200", "2026-09-14")]
    asked = max_preview(*rows)
    (question,) = asked.questions
    assert "Conventional deadlift" in [choice.label for choice in question.choices]
    told = max_preview(*rows, answers={question.key: "deadlift"})
    assert {found.lift for found in told.records.maxes} == {"deadlift"}
    left = max_preview(*rows, answers={question.key: "leave"})
    assert len(left.problems) == 2


def test_a_lift_that_is_like_nothing_is_named():
    assert "no lift of the catalogue" in sentences(max_preview((7, "zzzz", "215", "2026-09-14")))[0]


def test_unknown_columns_are_named_and_not_read():
    header = ("Athlete", "Lift", "Max (kg)", "Date", "Shoe size")
    preview = max_preview((7, "deadlift", "215", "2026-09-14", "44"), header=header)
    assert [(one.column, one.header) for one in preview.skipped] == [("E", "Shoe size")]
    assert preview.records.maxes


def test_aliases_and_word_order_of_headers_do_not_matter():
    header = ("tested on", "1RM, kg", "exercise", "lifter")
    preview = max_preview(("2026-09-14", "215", "deadlift", "7"), header=header)
    assert preview.records.maxes[0].load == Mass.kg(215)


def test_a_missing_needed_column_leaves_the_sheet_unread_with_a_sentence():
    preview = max_preview((7, "deadlift", "2026-09-14"), header=("Athlete", "Lift", "Date"))
    assert sentences(preview) == ["Maxes needs the column “Max”: add it; the sheet is not read."]


def test_one_column_twice_is_never_resolved_by_order():
    header = ("Athlete", "Lift", "Max (kg)", "Weight (kg)", "Date")
    preview = max_preview((7, "deadlift", "215", "200", "2026-09-14"), header=header)
    assert "one column twice" in sentences(preview)[0]
    assert not preview.records.maxes


def test_a_unit_that_the_house_does_not_know_is_named():
    header = ("Athlete", "Lift", "Max (st)", "Date")
    preview = max_preview((7, "deadlift", "30", "2026-09-14"), header=header)
    assert "“st” is no unit of “Max”" in sentences(preview)[0]
    assert not preview.records.maxes


def test_a_title_above_the_headers_is_named_and_passed_over():
    title = ("Our maxes 2026",)
    rows = (("Athlete", "Lift", "Max (kg)", "Date"), (7, "deadlift", "215", "2026-09-14"))
    preview = preview_of(csv_file("maxes.csv", title, *rows))
    assert len(preview.records.maxes) == 1
    assert "above the headers" in sentences(preview)[0]


def test_a_value_beyond_the_headers_leaves_its_row_out():
    preview = max_preview((7, "deadlift", "215", "2026-09-14", "5"))
    assert "under no header" in sentences(preview)[0]
    assert not preview.records.maxes


def test_blank_rows_are_passed_over_and_row_numbers_stay_the_spreadsheets():
    preview = max_preview(("", "", "", ""), ("", "", "", ""), (7, "deadlift", "x", "2026-09-14"))
    assert preview.problems[0].row == 4


def test_a_new_athlete_gets_the_next_free_number_and_is_told_so():
    header = ("Name", "Sex", "Body mass (kg)")
    preview = preview_of(csv_file("squad.csv", header, ("Sam New", "m", "90")))
    (athlete,) = preview.records.athletes
    assert (athlete.number, athlete.id, athlete.sex) == (1, "athlete-1", Sex.MAN)
    assert "gets the squad number 1" in sentences(preview)[0]
    assert not preview.problems[0].is_blocking


def test_an_empty_cell_keeps_what_the_gym_knows():
    header = ("Number", "Name", "Body mass (kg)", "Stature (cm)")
    preview = preview_of(csv_file("squad.csv", header, (7, "Robin Example", "83", "")))
    (athlete,) = preview.records.athletes
    assert athlete.body_mass == Mass.kg(83)
    assert (athlete.id, athlete.stature, athlete.born_on) == (
        ROBIN.id,
        ROBIN.stature,
        ROBIN.born_on,
    )


def test_every_squad_column_is_read():
    header = (
        "Number", "Name", "Sex", "Born", "Body mass (lb)", "Stature (in)", "Pull lockout (cm)",
        "Weak points", "Restrictions", "Priority", "Away since", "Back on", "Guardian", "Joined",
    )  # fmt: skip
    row = (
        12, "Sam New", "woman", "2010-05-01", "150", "65", "78.5", "lockout; grip: 0.5",
        "overhead until 2026-12-20; Axle deadlift from 2026-11-01: coach's words", "1.5",
        "2026-10-01", "2026-11-20", "Pat New", "2026-01-02",
    )  # fmt: skip
    (athlete,) = preview_of(csv_file("squad.csv", header, row)).records.athletes
    assert athlete.body_mass == Mass.lb(150)
    assert athlete.stature == Length.inches(65)
    assert athlete.heights.pull_lockout == Length.cm("78.5")
    assert athlete.weak_points == {WeakPoint.LOCKOUT: 1.0, WeakPoint.GRIP: 0.5}
    assert athlete.restrictions == (
        Restriction("overhead", TODAY, date(2026, 12, 20)),
        Restriction("axle_deadlift", date(2026, 11, 1), None, "coach's words"),
    )
    assert (athlete.priority, athlete.guardian) == (1.5, "Pat New")
    assert (athlete.away_since, athlete.back_on) == (date(2026, 10, 1), date(2026, 11, 20))


OPEN = Restriction("overhead", date(2026, 10, 1), date(2026, 11, 1), "her words")


def restrictions_after(cell):
    """Robin's restrictions after a squad row with this cell; ``OPEN`` was known before."""
    known = replace(GYM, athletes=(replace(ROBIN, restrictions=(OPEN,)), KIM))
    row = csv_file("squad.csv", ("Number", "Name", "Restrictions"), (7, "Robin Example", cell))
    (athlete,) = preview_of(row, known=known).records.athletes
    return athlete.restrictions


def test_a_file_that_leaves_a_restriction_out_does_not_clear_it():
    assert restrictions_after("deadlift") == (OPEN, Restriction("deadlift", TODAY))


def test_a_file_clears_a_restriction_only_by_name_and_day():
    cleared = replace(OPEN, cleared_on=date(2026, 11, 20), cleared_by="A. Physio", note="")
    cell = "overhead from 2026-10-01 until 2026-11-01 cleared 2026-11-20 by A. Physio"
    assert restrictions_after(cell) == (cleared,)


def test_a_restriction_told_anew_keeps_its_first_day():
    assert restrictions_after("overhead") == (Restriction("overhead", OPEN.since),)


def test_squad_and_maxes_of_one_upload_know_each_other():
    squad = csv_file("squad.csv", ("Number", "Name", "Sex"), (21, "Sam New", "man"))
    maxes = csv_file(
        "maxes.csv",
        ("Athlete", "Lift", "Max (kg)", "Date"),
        ("Sam New", "deadlift", "180", "2026-09-01"),
    )
    preview = preview_of(maxes, squad)
    assert preview.records.maxes[0].athlete == "athlete-21"


def test_a_max_of_an_athlete_whose_row_is_out_says_where_to_look():
    squad = csv_file("squad.csv", ("Number", "Name", "Sex"), (21, "Sam New", "neither"))
    maxes = csv_file(
        "maxes.csv", ("Athlete", "Lift", "Max (kg)", "Date"), (21, "deadlift", "180", "2026-09-01")
    )
    assert "see row 2 of the Squad sheet" in sentences(preview_of(squad, maxes))[-1]


def test_classes_get_members_from_squad_and_timetable_alike():
    squad = csv_file(
        "squad.csv", ("Number", "Name", "Classes"), (7, "Robin Example", "mon-1830"),
        (8, "Kim Probe", "Mon 1830; tue-0600"),
    )  # fmt: skip
    timetable = csv_file(
        "timetable.csv", ("Class", "Day", "Starts", "Minutes", "Slot", "Members"),
        ("mon-1830", "Mon", "18:30", "90", "Dynamic-effort lower", "9 Lou Sample"),
        ("tue-0600", "Tuesday", "6:00 am", "75", "max effort upper", ""),
    )  # fmt: skip
    monday, tuesday = preview_of(squad, timetable).records.classes
    assert (monday.weekday, monday.starts_at, monday.slot) == (
        Weekday.MONDAY, time(18, 30), Slot.DYNAMIC_LOWER,
    )  # fmt: skip
    assert monday.members == ("a-lou", "a-robin", "a-kim")
    assert tuesday.members == ("a-kim",)


def test_a_class_nobody_knows_is_named_and_the_athlete_stays():
    header = ("Number", "Name", "Classes")
    preview = preview_of(csv_file("squad.csv", header, (7, "Robin Example", "mon-1830")))
    assert "There is no class “mon-1830”" in sentences(preview)[0]
    assert preview.records.athletes


CONTEST = ("Contest", "Date", "Importance", "Squad tapers")
EVENT = ("Contest", "Event", "Family", "Style", "Load men (kg)", "Time cap (min)", "Course (m)")


def contest_files(*events, entries=()):
    return (
        csv_file("contests.csv", CONTEST, ("Harbour Stones", "2027-03-13", "2", "yes")),
        csv_file("events.csv", EVENT, *events),
        csv_file("entries.csv", ("Contest", "Athlete", "Class", "Needs"), *entries),
    )


def test_a_contest_comes_from_its_three_sheets():
    event = ("Harbour Stones", "Axle for reps", "press reps", "reps", "110", "1.5", "")
    run = ("harbour stones", "Yoke run", "yoke", "run", "300", "", "20")
    entry = ("Harbour Stones", "Robin Example", "u82", "Axle for reps: 1.5")
    (contest,) = preview_of(*contest_files(event, run, entries=(entry,))).records.contests
    assert (contest.id, contest.importance, contest.squad_taper) == ("harbour-stones-2027", 2, True)
    axle, yoke = contest.events
    assert (axle.load_men, axle.time_cap_s, yoke.course_m) == (Mass.kg(110), 90, 20.0)
    assert contest.entries[0].athlete == ROBIN.id
    assert contest.entries[0].need == {"Axle for reps": 1.5}


def test_a_contest_without_events_is_named():
    assert "no events" in sentences(preview_of(*contest_files()))[-1]


def test_an_event_twice_does_not_silently_replace_the_first():
    event = ("Harbour Stones", "Yoke run", "yoke", "run", "300", "", "20")
    preview = preview_of(*contest_files(event, (*event[:4], "340", "", "20")))
    assert "already" in sentences(preview)[0]
    assert preview.records.contests[0].events[0].load_men == Mass.kg(300)


def test_an_entry_that_needs_an_unknown_event_is_named():
    event = ("Harbour Stones", "Yoke run", "yoke", "run", "300", "", "20")
    entry = ("Harbour Stones", 7, "open", "Stones: 1.5")
    assert (
        "no event of this contest"
        in sentences(preview_of(*contest_files(event, entries=(entry,))))[0]
    )


def test_stock_sheets_become_stock_with_readings_on_their_bands():
    bars = csv_file(
        "bars.csv",
        ("Bar", "Implement", "Mass (lb)", "Collar (kg)"),
        ("Axle 1", "axle", "20", "2.5"),
    )
    bands = csv_file("bands.csv", ("Band", "Pairs", "Rest length (in)"), ("Grey", "4", "41"))
    readings = csv_file(
        "readings.csv", ("Band", "Length (cm)", "Force (kgf)", "Date", "Direction"),
        ("grey", "140", "21.4", "2026-08-30", "up"), ("Gray", "180", "40", "2026-08-30", "up"),
    )  # fmt: skip
    kit = csv_file("kit.csv", ("Kit", "Count"), ("box", "4"), ("boxx", "4"))
    preview = preview_of(bars, bands, readings, kit)
    stock = preview.records.stock
    assert (stock.bars[0].key, stock.bars[0].mass, stock.bars[0].collar) == (
        "axle-1",
        Mass.lb(20),
        Mass.kg("2.5"),
    )
    assert stock.bands[0].rest_length == Length.inches(41)
    assert stock.bands[0].readings[0].force == Mass.kg("21.4")
    assert stock.kit == {"box": 4}
    assert "did you mean “Grey”?" in sentences(preview)[0]
    assert "did you mean “box”?" in sentences(preview)[1]


def test_peg_heights_are_a_list_of_exact_lengths():
    header = ("Platform", "Rack", "Peg heights (cm)", "Peg offset")
    preview = preview_of(csv_file("platforms.csv", header, ("P1", "yes", "8; 22.5", "5 in")))
    (platform,) = preview.records.stock.platforms
    assert platform.peg_heights == (Length.cm(8), Length.cm("22.5"))
    assert platform.peg_offset == EnteredLength(5000, LengthUnit.IN).length


def test_a_sheet_is_known_by_its_columns_when_its_name_says_nothing():
    header = ("Athlete", "Lift", "Max (kg)", "Date")
    file = csv_file("export (3).csv", header, (7, "deadlift", "215", "2026-09-14"))
    preview = preview_of(file)
    assert preview.records.maxes
    assert "read as Maxes, by its columns" in sentences(preview)[0]


def test_a_sheet_that_could_be_anything_asks_what_it_is():
    file = csv_file("things.csv", ("Hello", "World"), ("a", "b"))
    (question,) = preview_of(file).questions
    assert "What does the sheet “things” hold?" in question.sentence
    assert preview_of(file, answers={question.key: "skip"}).files[0].unread == ("",)


@pytest.mark.parametrize(
    ("encoding", "shown"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"), ("cp1252", "Windows-1252")],
)
@pytest.mark.parametrize(
    ("delimiter", "word"), [(",", "commas"), (";", "semicolons"), ("\t", "tabs")]
)
def test_encodings_and_delimiters_are_found_and_declared(encoding, shown, delimiter, word):
    file = csv_file(
        "squad.csv",
        ("Number", "Name", "Sex"),
        (5, "Zoë Größe", "woman"),
        delimiter=delimiter,
        encoding=encoding,
    )
    preview = preview_of(file)
    assert preview.records.athletes[0].name == "Zoë Größe"
    assert (preview.files[0].encoding, preview.files[0].delimiter) == (shown, word)


def test_a_spreadsheets_sep_line_says_the_delimiter():
    preview = preview_of(
        UploadedFile("squad.csv", b"sep=;\r\nNumber;Name;Sex\r\n5;Sam New;man\r\n")
    )
    assert preview.records.athletes[0].number == 5


def test_three_known_athletes_are_shown_before_and_after():
    header = ("Number", "Name", "Body mass (kg)", "Stature (cm)")
    rows = (
        (7, "Robin Example", "83", "178"),
        (8, "Kim Probe", "98", "185"),
        (21, "Sam New", "90", "180"),
    )
    first = preview_of(csv_file("squad.csv", header, *rows)).witnesses[0]
    assert (first.number, first.name) == (7, "Robin Example")
    changes = {change.column: (change.before, change.after) for change in first.changes}
    assert changes["Body mass"] == ("82.5 kg", "83 kg")
    assert changes["Stature"] == ("178 cm", "178 cm")


def test_the_whole_door_reads_through_the_child_process():
    file = xlsx_file(
        {"Maxes": [("Athlete", "Lift", "Max (kg)", "Date"), (7, "deadlift", 212.5, TODAY)]}
    )
    preview = read_files([file], known=GYM)
    assert preview.records.maxes[0].load == Mass.kg("212.5")
    assert preview.has_something_to_save


def test_the_same_file_twice_is_read_once():
    file = csv_file("squad.csv", ("Number", "Name", "Sex"), (5, "Sam New", "man"))
    preview = preview_of(file, file, known=NEW_GYM)
    assert len(preview.records.athletes) == 1
    assert "came twice" in sentences(preview)[0]


def test_an_empty_upload_has_nothing_to_save():
    assert not preview_of(known=NEW_GYM).has_something_to_save


def test_kims_number_with_another_name_is_refused():
    preview = max_preview(("8 Robin Example", "deadlift", "215", "2026-09-14"))
    assert f"Number 8 is {KIM.name}" in sentences(preview)[0]

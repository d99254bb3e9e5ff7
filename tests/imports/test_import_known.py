"""An import into a gym that already has records: merged by key, nothing lost, nothing doubled."""

from dataclasses import replace
from datetime import date, time

import pytest
from import_cast import GYM, KIM, LOU, ROBIN, csv_file, preview_of, sentences

from heftwright.domain.catalogue import EventFamily, Implement, Slot
from heftwright.domain.contest import Contest, ContestEvent, Entry, EventStyle
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.squad import ClassTime, Weekday
from heftwright.domain.stock import Band, BandReading, Bar, Stock

READING = BandReading(Length.cm(140), Mass.kg(21), date(2026, 8, 30))
GREY = Band("grey", "Grey", 4, Length.cm(104), (READING,))
BAR = Bar("bar-1", "Platform bar", Implement.STRAIGHT_BAR, Mass.kg(20), Mass.kg("2.5"), count=4)
YOKE = ContestEvent("Yoke run", EventFamily.YOKE, EventStyle.RUN, load_men=Mass.kg(300))
STONES = Contest(
    "harbour-stones-2027", "Harbour Stones", date(2027, 3, 13), 2, True, (YOKE,),
    (Entry(ROBIN.id, "u82"),),
)  # fmt: skip
MONDAY = ClassTime(
    "mon-1830", Weekday.MONDAY, time(18, 30), 90, Slot.DYNAMIC_LOWER, "Coach Example",
    (ROBIN.id, KIM.id),
)  # fmt: skip
HOUSE = replace(GYM, stock=Stock(bars=(BAR,), bands=(GREY,)), contests=(STONES,), classes=(MONDAY,))
EVENTS = ("Contest", "Event", "Family", "Style", "Load men (kg)")
ENTRIES = ("Contest", "Athlete", "Class")


def one_event(*row):
    return preview_of(csv_file("events.csv", EVENTS, row), known=HOUSE)


def test_a_known_bar_keeps_what_the_file_does_not_say():
    header = ("Bar", "Implement", "Mass (kg)")
    row = ("platform BAR", "straight bar", "20.1")
    (bar,) = preview_of(csv_file("bars.csv", header, row), known=HOUSE).records.stock.bars
    assert bar == replace(BAR, name="platform BAR", mass=Mass.kg("20.1"))


def test_a_reading_of_a_known_band_is_added_to_those_it_has():
    header = ("Band", "Length (cm)", "Force (kg)", "Date")
    rows = (("grey", "180", "40", "2026-08-30"), ("Grey", "140", "21", "2026-08-30"))
    (band,) = preview_of(csv_file("readings.csv", header, *rows), known=HOUSE).records.stock.bands
    assert [reading.length for reading in band.readings] == [Length.cm(140), Length.cm(180)]


def test_two_bands_of_one_name_are_told_apart_by_key():
    known = replace(HOUSE, stock=Stock(bands=(GREY, replace(GREY, key="grey-2"))))
    header = ("Band", "Length (cm)", "Force (kg)", "Date")
    rows = (("Grey", "180", "40", "2026-08-30"), ("grey-2", "180", "40", "2026-08-30"))
    preview = preview_of(csv_file("readings.csv", header, *rows), known=known)
    assert [band.key for band in preview.records.stock.bands] == ["grey-2"]
    known = replace(HOUSE, stock=Stock(bands=(replace(GREY, key="a"), replace(GREY, key="b"))))
    preview = preview_of(csv_file("readings.csv", header, rows[0]), known=known)
    assert "names 2 bands" in sentences(preview)[0]


def test_a_bar_twice_in_the_file_is_named():
    header, row = ("Bar", "Implement", "Mass (kg)"), ("New bar", "axle", "11")
    preview = preview_of(csv_file("bars.csv", header, row, row), known=HOUSE)
    assert len(preview.records.stock.bars) == 1
    assert "give each its own key" in sentences(preview)[0]


def test_a_name_without_letters_needs_a_key():
    header = ("Bar", "Implement", "Mass (kg)")
    preview = preview_of(csv_file("bars.csv", header, ("漢", "axle", "11")), known=HOUSE)
    assert "fill in the Key column" in sentences(preview)[0]


def test_kit_counted_twice_is_named():
    preview = preview_of(csv_file("kit.csv", ("Kit", "Count"), ("box", 1), ("Box", 2)))
    assert "counted twice" in sentences(preview)[0]


def test_an_event_is_added_to_a_known_contest():
    preview = one_event("Harbour Stones", "Stones", "stones", "reps", "120")
    (contest,) = preview.records.contests
    assert [event.name for event in contest.events] == ["Yoke run", "Stones"]
    assert contest.entries == STONES.entries


def test_a_known_event_keeps_what_the_file_does_not_say():
    (contest,) = one_event("harbour-stones-2027", "Yoke run", "yoke", "run", "").records.contests
    assert contest.events == (YOKE,)


@pytest.mark.parametrize(
    ("name", "said"), [("Harbor Stones", "did you mean"), ("zzz", "add it to the Contests sheet")]
)
def test_an_event_of_an_unknown_contest_is_named(name, said):
    assert said in sentences(one_event(name, "Stones", "stones", "reps", "120"))[0]


def test_a_contest_name_of_two_years_needs_its_key():
    known = replace(HOUSE, contests=(STONES, replace(STONES, id="harbour-stones-2028")))
    row = ("Harbour Stones", "Stones", "stones", "reps", "120")
    preview = preview_of(csv_file("events.csv", EVENTS, row), known=known)
    assert "several contests" in sentences(preview)[0]


def test_an_entry_changes_only_its_class():
    row = ("Harbour Stones", "7 Robin Example", "open")
    (contest,) = preview_of(csv_file("entries.csv", ENTRIES, row), known=HOUSE).records.contests
    assert contest.entries == (Entry(ROBIN.id, "open"),)


def test_a_need_outside_its_range_is_named():
    header = ("Contest", "Athlete", "Needs")
    row = ("Harbour Stones", 7, "Yoke run: 2.5")
    assert "must be 0.3–2" in sentences(preview_of(csv_file("e.csv", header, row), known=HOUSE))[-1]


def test_the_same_contest_next_year_is_a_new_one_and_a_past_one_is_said_to_be():
    header = ("Contest", "Date", "Importance")
    events = csv_file("events.csv", EVENTS, ("harbour-stones-2026", "Yoke", "yoke", "run", "300"))
    past = csv_file("contests.csv", header, ("Harbour Stones", "2026-03-14", "1"))
    preview = preview_of(past, events, known=HOUSE)
    (contest,) = preview.records.contests
    assert contest.id == "harbour-stones-2026"
    assert "in the past" in sentences(preview)[0]


def test_a_contest_twice_in_the_file_is_named():
    header, row = ("Contest", "Date", "Importance"), ("Harbour Stones", "2027-03-13", "3")
    preview = preview_of(csv_file("contests.csv", header, row, row), known=HOUSE)
    assert preview.records.contests[0].importance == 3
    assert "stands twice" in sentences(preview)[0]


def test_a_classes_cell_moves_an_athlete_from_one_class_to_another():
    timetable = csv_file(
        "timetable.csv", ("Class", "Day", "Starts", "Minutes", "Slot"),
        ("tue-1830", "Tuesday", "18:30", "90", "max effort upper"),
    )  # fmt: skip
    squad = csv_file("squad.csv", ("Number", "Name", "Classes"), (7, ROBIN.name, "tue-1830"))
    tuesday, monday = preview_of(timetable, squad, known=HOUSE).records.classes
    assert (tuesday.members, monday.members) == ((ROBIN.id,), (KIM.id,))


def test_a_known_class_keeps_its_members_and_coach_when_only_its_time_changes():
    header = ("Class", "Day", "Starts", "Minutes", "Slot")
    row = ("mon-1830", "Monday", "19:00", "90", "dynamic effort lower")
    preview = preview_of(csv_file("timetable.csv", header, row, row), known=HOUSE)
    assert preview.records.classes == (replace(MONDAY, starts_at=time(19)),)
    assert "stands twice" in sentences(preview)[0]


def test_a_member_twice_is_named():
    header = ("Class", "Day", "Starts", "Minutes", "Slot", "Members")
    row = ("x", "Friday", "19:00", "90", "implement day", "7; Robin Example")
    assert (
        "twice among the members"
        in sentences(preview_of(csv_file("timetable.csv", header, row)))[0]
    )


@pytest.mark.parametrize(
    ("column", "cell", "said"),
    [
        ("Weak points", "grip: 1.5", "must be 0–1"),
        ("Weak points", "grip; grip", "twice"),
        ("Weak points", "gripp", "did you mean “grip”?"),
        ("Restrictions", "jumping", "neither a lift nor one of"),
        ("Restrictions", "overhead until soon", "is not a restriction"),
        ("Restrictions", "overhead until 2026-13-40", "not a date"),
        ("Restrictions", "overhead from 2026-12-20 until 2026-12-01", "ends before it starts"),
        ("Priority", "5", "must be 0.5–3"),
        ("Stature (cm)", "5'11\"", "71 in"),
        ("Stature (cm)", "178 ft", "is no unit of this column"),
        ("Overhead (cm)", "170", "must be above the stature"),
        ("Front rack (cm)", "185", "must be below the stature"),
        ("Name", "Robin\u200b Example", "invisible character"),
        ("Number", "7.5", "not a whole number"),
        ("Sex", "other", "write one of: woman, man"),
        ("Born", "18:30", "not a date"),
    ],
)
def test_a_squad_cell_that_cannot_be_is_named(column, cell, said):
    row = {"Number": 7, "Name": "Robin Example"} | {column: cell}
    preview = preview_of(csv_file("squad.csv", tuple(row), tuple(row.values())))
    assert not preview.records.athletes
    assert said in sentences(preview)[0]


@pytest.mark.parametrize(
    ("column", "cell", "said"),
    [
        ("Colour", "url(evil)", "no colour"),
        ("Pairs", "-3", "not a number"),
        ("Mass (kg)", "0", "must be 0.05–60 kg"),
    ],
)
def test_a_plate_cell_that_cannot_be_is_named(column, cell, said):
    row = {"Plate": "25", "Mass (kg)": "25", "Pairs": "4"} | {column: cell}
    preview = preview_of(csv_file("plates.csv", tuple(row), tuple(row.values())))
    assert said in sentences(preview)[0]


def test_a_time_that_is_none_is_named():
    header = ("Class", "Day", "Starts", "Minutes", "Slot")
    for starts in ("18.30", "25:00", "13:00 pm", "18:30:30"):
        row = ("x", "Friday", starts, "90", "implement day")
        assert "time of day" in sentences(preview_of(csv_file("timetable.csv", header, row)))[0]


def test_two_people_of_one_name_may_join_and_are_said_to_be_two():
    header = ("Number", "Name", "Sex")
    rows = ((31, "Sam New", "man"), (32, "Sam New", "woman"))
    preview = preview_of(csv_file("squad.csv", header, *rows), known=HOUSE)
    assert len(preview.records.athletes) == 2
    assert "Two athletes are called Sam New" in sentences(preview)[0]
    assert not preview.problems[0].is_blocking


def test_one_number_for_two_people_of_the_file_is_named():
    header = ("Number", "Name", "Sex")
    rows = ((31, "Sam New", "man"), (31, "Ann New", "woman"))
    preview = preview_of(csv_file("squad.csv", header, *rows), known=HOUSE)
    assert [athlete.name for athlete in preview.records.athletes] == ["Sam New"]
    assert "give Ann New another number" in sentences(preview)[0]


def test_a_name_of_two_known_athletes_needs_the_number():
    known = replace(HOUSE, athletes=(ROBIN, replace(LOU, name=ROBIN.name)))
    header = ("Name", "Body mass (kg)")
    preview = preview_of(csv_file("squad.csv", header, (ROBIN.name, 83)), known=known)
    assert "write the number (7, 9)" in sentences(preview)[0]


def test_a_max_waits_as_long_as_its_athlete_waits():
    squad = csv_file("squad.csv", ("Number", "Name", "Sex", "Body mass"), (31, "Sam New", "m", 80))
    header = ("Athlete", "Lift", "Max (kg)", "Date")
    maxes = csv_file("maxes.csv", header, (31, "bench", "90", "2026-09-14"))
    preview = preview_of(squad, maxes, known=HOUSE)
    assert not preview.problems
    assert [count.waiting for count in preview.counts] == [1, 1]


def test_nobody_has_the_number():
    header = ("Athlete", "Lift", "Max (kg)", "Date")
    preview = preview_of(csv_file("maxes.csv", header, (99, "bench", "90", "2026-09-14")))
    assert "Nobody has the squad number 99" in sentences(preview)[0]


def test_a_row_with_values_only_in_unread_columns_is_named():
    header = ("Athlete", "Lift", "Max (kg)", "Date", "Shoe size")
    preview = preview_of(csv_file("maxes.csv", header, ("", "", "", "", "44")))
    assert "only in columns that are not read" in sentences(preview)[0]


def test_witnesses_show_weak_points_and_restrictions_in_words():
    header = ("Number", "Name", "Weak points", "Restrictions", "Front rack (cm)")
    row = (7, ROBIN.name, "lockout", "overhead", "146")
    (witness,) = preview_of(csv_file("squad.csv", header, row)).witnesses
    after = {change.column: change.after for change in witness.changes}
    assert (after["Weak points"], after["Restrictions"]) == ("lockout", "overhead")
    assert after["Front rack"] == "146 cm"

"""A bar-speed device's CSV: columns are said, never guessed; every row is read or named."""

from __future__ import annotations

import csv
from datetime import date
from io import StringIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.imports.bar_speed_file import (
    DayOrder,
    DecimalMark,
    SpeedColumn,
    SpeedMapping,
    SpeedUnit,
    guess_columns,
    preview_speeds,
    read_day,
)
from heftwright.imports.separated import read_separated

CATALOGUE = load_catalogue()
ADA, BO = AthleteId("ada"), AthleteId("bo")
SQUAD = (
    Athlete(ADA, "Ada Lind", 1, Sex.WOMAN, born_on=date(1990, 5, 1)),
    Athlete(BO, "Bo Marsh", 2, Sex.MAN, born_on=date(1991, 5, 1)),
)
ALL = {column: place for place, column in enumerate(SpeedColumn)}
HEAD = "athlete,lift,date,set,load,mean speed\n"


def look(text, **more):
    mapping = SpeedMapping(**({"columns": ALL} | more))
    return preview_speeds(read_separated(text.encode()), mapping, SQUAD, CATALOGUE)


def one(row, **more):
    found = look(HEAD + row + "\n", **more)
    assert found.problems == ()
    (item,) = found.sets
    return item


def why(row, **more):
    found = look(HEAD + row + "\n", **more)
    assert found.sets == ()
    return found.problems[0].why


def test_columns_are_offered_by_their_heads():
    heads = "Lifter;Exercise;Date;Set;Rep;Weight [kg];Peak velocity;Mean velocity (m/s)\n"
    found = guess_columns(read_separated(heads.encode()))
    assert found == {
        SpeedColumn.ATHLETE: 0, SpeedColumn.LIFT: 1, SpeedColumn.DAY: 2, SpeedColumn.SET: 3,
        SpeedColumn.LOAD: 5, SpeedColumn.SPEED: 7,
    }  # fmt: skip


def test_a_peak_speed_is_never_taken_for_a_mean_speed():
    assert SpeedColumn.SPEED not in guess_columns(read_separated(b"load,peak velocity\n"))


def test_what_no_column_says_must_be_answered_for_the_whole_file():
    columns = {SpeedColumn.LOAD: 0, SpeedColumn.SPEED: 1}
    found = look("kg,v\n70,0.5\n", columns=columns)
    assert found.missing == ("Athlete", "Lift", "Day")
    answered = look("kg,v\n70,0.5\n", columns=columns, athlete=ADA, lift=LiftKey("bench"),
                    on=date(2026, 11, 23))  # fmt: skip
    (item,) = answered.sets
    assert (item.athlete, item.lift, item.load) == (ADA, LiftKey("bench"), Mass.kg(70))


def test_rows_that_follow_each_other_alike_are_one_set():
    rows = "Ada Lind,Bench press,2026-11-23,1,70,0.50\n" * 3
    rows += "Ada Lind,Bench press,2026-11-23,2,70,0.45\n"
    found = look(HEAD + rows)
    assert [len(item.speeds_m_s) for item in found.sets] == [3, 1]


def test_without_set_numbers_a_new_load_begins_a_new_set():
    rows = "Ada Lind,Bench press,2026-11-23,,70,0.5\nAda Lind,Bench press,2026-11-23,,80,0.4\n"
    assert [item.set_number for item in look(HEAD + rows).sets] == [1, 2]


def test_a_squad_number_names_an_athlete_too():
    assert one("2,bench,2026-11-23,1,70,0.5").athlete == BO


@pytest.mark.parametrize(
    ("unit", "text"), [(SpeedUnit.M_S, "0.52"), (SpeedUnit.CM_S, "52"), (SpeedUnit.MM_S, "520")]
)
def test_a_speed_is_the_same_in_every_unit(unit, text):
    item = one(f"1,bench,2026-11-23,1,70,{text}", speed_unit=unit)
    assert item.speeds_m_s == pytest.approx((0.52,))


@pytest.mark.parametrize("unit", [SpeedUnit.CM_S, SpeedUnit.MM_S])
def test_speeds_read_in_the_wrong_unit_are_refused(unit):
    assert "look at the unit" in why("1,bench,2026-11-23,1,70,0.52", speed_unit=unit)
    assert "below 4 m/s" in why(f"1,bench,2026-11-23,1,70,{0.52 * unit.per_m_s}")


def test_pounds_stay_pounds():
    assert one("1,bench,2026-11-23,1,225,0.5", load_unit=MassUnit.LB).load == Mass.lb(225)
    assert one("1,bench,2026-11-23,1,225 lb,0.5").load == Mass.lb(225)


def test_a_comma_is_read_only_where_the_coach_says_so():
    row = '1,bench,2026-11-23,1,"72,5","0,52"'
    assert "comma" in why(row)
    item = one(row, decimals=DecimalMark.COMMA)
    assert (item.load, item.speeds_m_s) == (Mass.kg("72.5"), (0.52,))
    assert "read with commas" in why("1,bench,2026-11-23,1,72.5,52", decimals=DecimalMark.COMMA)


def test_a_device_may_print_more_places_than_a_bar_can_tell():
    assert one("1,bench,2026-11-23,1,70,0.5234567").speeds_m_s == (0.523,)


@pytest.mark.parametrize(
    ("row", "words"),
    [("Zoe,bench,2026-11-23,1,70,0.5", "Nobody in the squad"),
     ("1,twirl,2026-11-23,1,70,0.5", "no lift of the catalogue"),
     ("1,bench,23.11.2026,1,70,0.5", "no day like 2026"),
     ("1,bench,2026-11-23,1.5,70,0.5", "not whole"),
     ("1,bench,2026-11-23,1,,0.5", "Load on the bar is empty"),
     ("1,bench,2026-11-23,1,70,", "Mean speed of the repetition is empty"),
     ("1,bench,2026-11-23,1,-70,0.5", "-70"),
     ("1,bench,2026-11-23,1,70,5.2", "below 4 m/s"),
     ("1,bench,2026-11-23,61,70,0.5", "outside 1–60")],
)  # fmt: skip
def test_a_row_that_cannot_be_read_is_named_with_the_reason(row, words):
    assert words in why(row)


@pytest.mark.parametrize(
    ("text", "order"),
    [("2026-11-23", DayOrder.YEAR_FIRST), ("23.11.2026", DayOrder.DAY_FIRST),
     ("11/23/2026", DayOrder.MONTH_FIRST), ("2026-11-23T18:40:05", DayOrder.YEAR_FIRST),
     ("2026/11/23 18:40", DayOrder.YEAR_FIRST)],
)  # fmt: skip
def test_days_are_read_in_the_order_that_was_said(text, order):
    assert read_day(text, order) == date(2026, 11, 23)


@pytest.mark.parametrize("text", ["2026-13-01", "2026-02-30", "26-11-23", "yesterday", "", "1-1-1"])
def test_what_is_no_day_is_refused(text):
    with pytest.raises(Refusal, match="is no day like"):
        read_day(text, DayOrder.YEAR_FIRST)


def test_only_so_many_problems_are_listed_but_all_are_counted():
    found = look(HEAD + "Zoe,bench,2026-11-23,1,70,0.5\n" * 60)
    assert (len(found.problems), found.rows_left_out) == (40, 60)


cells = st.one_of(
    st.sampled_from(["Ada Lind", "1", "bench", "2026-11-23", "70", "0.5", "70 kg", "155 lb", "0,5",
                     "", "=1+1", "1e3", "٣", "70.5555555", "inf", "nan", "-1", "1 000"]),
    st.text(max_size=12),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(st.lists(cells, min_size=6, max_size=6), max_size=6), st.sampled_from(DecimalMark),
       st.sampled_from(SpeedUnit))  # fmt: skip
def test_any_file_is_read_or_named_row_by_row_and_never_crashes(rows, decimals, unit):
    paper = StringIO(newline="")
    csv.writer(paper).writerow(ALL)
    csv.writer(paper).writerows(rows)
    try:
        raw = read_separated(paper.getvalue().encode("utf-8", "replace"))
    except ValueError:  # no text file at all: refused at the door before this
        return
    mapping = SpeedMapping(ALL, decimals=decimals, speed_unit=unit)
    found = preview_speeds(raw, mapping, SQUAD, CATALOGUE)
    read = sum(len(item.speeds_m_s) for item in found.sets)
    assert read + found.rows_left_out == len(raw.sheets[0].rows) - 1
    for item in found.sets:
        assert all(0 < speed < 4 for speed in item.speeds_m_s)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 3999), st.integers(30, 3999)), min_size=1, max_size=20))
def test_what_was_written_is_what_is_kept(pairs):
    rows = [f"1,bench,2026-11-23,{n % 60 + 1},{load / 10},{speed / 1000}"
            for n, (load, speed) in enumerate(pairs)]  # fmt: skip
    found = look(HEAD + "\n".join(rows) + "\n")
    assert found.problems == ()
    speeds = [speed for item in found.sets for speed in item.speeds_m_s]
    assert speeds == pytest.approx([speed / 1000 for _, speed in pairs])
    loads = [item.load for item in found.sets for _ in item.speeds_m_s]
    assert loads == [Mass.kg(str(load / 10)) for load, _ in pairs]


def test_a_day_that_is_yet_to_come_is_a_misread_one():
    # trust.md, columns swapped and dates misread: 3 December read as 12 March, or the reverse.
    mapping = SpeedMapping(columns=ALL, days=DayOrder.MONTH_FIRST)
    raw = read_separated((HEAD + "1,bench,12/03/2026,1,70,0.5\n").encode())
    found = preview_speeds(raw, mapping, SQUAD, CATALOGUE, date(2026, 11, 25))
    assert found.sets == ()
    assert "2026-12-03 is yet to come" in found.problems[0].why


def test_a_name_that_two_people_share_is_never_guessed():
    # trust.md, wrong athlete.
    twins = (*SQUAD, Athlete(AthleteId("ada2"), "ada  lind", 3, Sex.WOMAN))
    mapping = SpeedMapping(columns=ALL)
    raw = read_separated((HEAD + "Ada Lind,bench,2026-11-23,1,70,0.5\n").encode())
    found = preview_speeds(raw, mapping, twins, CATALOGUE)
    assert found.sets == ()
    assert "write the squad number" in found.problems[0].why

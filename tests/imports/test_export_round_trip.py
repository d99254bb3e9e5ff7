"""Export reads back the same, and no spreadsheet takes its texts for formulas."""

import csv
import string
from dataclasses import replace
from datetime import date, time, timedelta
from io import BytesIO, StringIO

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from import_cast import GYM, KIM, LOU, NEW_GYM, ROBIN, TODAY, preview_of

from heftwright.demo.spreadsheets import write_spreadsheets
from heftwright.domain.catalogue import EventFamily, Implement, Slot, WeakPoint, load_catalogue
from heftwright.domain.contest import Contest, ContestEvent, Entry, EventStyle
from heftwright.domain.height import Length, LengthUnit
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.squad import (
    Athlete,
    AthleteId,
    BarHeights,
    ClassTime,
    Restriction,
    Sex,
    Weekday,
)
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ImplementUnit,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
    Stock,
)
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.imports.export import (
    Exporter,
    ExportError,
    neutral,
    write_csv,
    write_csv_files,
    write_workbook,
)
from heftwright.imports.export_rows import entered_length, entered_mass
from heftwright.imports.hardening import UploadedFile
from heftwright.imports.preview import KnownGym
from heftwright.imports.records import ImportRecords
from heftwright.imports.sheets import SQUAD

LIFTS = tuple(load_catalogue())
TEXT = st.text(string.ascii_letters + "äß漢'=+-@\"; ,", min_size=1, max_size=14).map(str.strip)
WORDS = TEXT.filter(lambda text: any(ch.isalpha() for ch in text))
DAYS = st.dates(date(2020, 1, 1), TODAY)


def masses(low, high):
    return st.builds(
        lambda value, unit: Mass(value * unit.ticks // 1000),
        st.integers(low * 1000, high * 1000),
        st.sampled_from(MassUnit),
    )


def lengths(low_cm, high_cm):
    return st.integers(low_cm * 10, high_cm * 10).map(Length.mm)


def open_or_cleared(rule):
    cleared = st.builds(
        lambda days, who: replace(
            rule, cleared_on=rule.since + timedelta(days=days), cleared_by=who
        ),
        st.integers(0, 60),
        st.sampled_from(("Head coach", "A. Physio, county clinic")),
    )
    return st.just(rule) | cleared


athletes = st.builds(
    Athlete,
    id=st.just(AthleteId("x")),
    name=WORDS,
    number=st.integers(1, 999),
    sex=st.sampled_from(Sex),
    born_on=st.none() | st.dates(date(1950, 1, 1), date(2015, 1, 1)),
    body_mass=st.none() | masses(60, 110),
    stature=st.none() | lengths(150, 200),
    heights=st.builds(
        BarHeights,
        squat_bottom=st.none() | lengths(60, 80),
        squat_top=st.none() | lengths(120, 140),
    ),
    weak_points=st.dictionaries(
        st.sampled_from(WeakPoint), st.integers(0, 1000).map(lambda n: n / 1000), max_size=3
    ),
    restrictions=st.lists(
        st.builds(
            Restriction,
            st.sampled_from(("overhead", "spine_heavy", *LIFTS)),
            DAYS,
            st.none() | st.dates(TODAY, date(2030, 1, 1)),
            WORDS | st.just(""),
        ).flatmap(open_or_cleared),
        max_size=2,
    ).map(tuple),
    priority=st.integers(500, 3000).map(lambda n: n / 1000),
    away_since=st.none() | DAYS,
    guardian=st.just("") | WORDS,
    joined_on=st.none() | DAYS,
)
squads = st.lists(
    athletes,
    min_size=1,
    max_size=4,
    unique_by=(lambda one: one.number, lambda one: one.name.casefold()),
).map(lambda found: tuple(replace(one, id=AthleteId(f"athlete-{one.number}")) for one in found))


@st.composite
def evidence(draw):
    kind = draw(st.sampled_from((EvidenceKind.TEST, EvidenceKind.CONTEST, EvidenceKind.REP_SET)))
    return Evidence(
        athlete=draw(st.sampled_from((ROBIN, KIM, LOU))).id,
        lift=draw(st.sampled_from(LIFTS)),
        kind=kind,
        load=draw(masses(140, 240)),
        on=draw(DAYS),
        reps=1 if kind is EvidenceKind.TEST else draw(st.integers(1, 30)),
        reps_in_reserve=draw(st.integers(0, 20)) / 2,
        note=draw(st.just("") | WORDS),
    )


def both_ways(records, known, mass_unit, length_unit=LengthUnit.CM):
    """What comes back by XLSX and by CSV, with what was said on the way."""
    squad = known.athletes
    book = write_workbook(records, squad=squad, mass_unit=mass_unit, length_unit=length_unit)
    files = write_csv_files(Exporter(records, squad, mass_unit, length_unit))
    by_csv = [UploadedFile(name, text.encode()) for name, text in files.items()]
    return confirmed(UploadedFile("gym.xlsx", book), known=known), confirmed(*by_csv, known=known)


def confirmed(*files, known):
    """The preview once the coach has said that every odd value is right."""
    asked = preview_of(*files, known=known).questions
    answers = {question.key: "keep" for question in asked}
    return preview_of(*files, known=known, answers=answers)


def without_written(records):
    return replace(records, written=())


@settings(max_examples=40)
@given(squads, st.sampled_from(MassUnit), st.sampled_from((LengthUnit.CM, LengthUnit.IN)))
def test_any_squad_comes_back_the_same(squad, mass_unit, length_unit):
    records = ImportRecords(athletes=squad)
    for back in both_ways(records, NEW_GYM, mass_unit, length_unit):
        assert not [problem for problem in back.problems if problem.is_blocking]
        assert without_written(back.records) == records


@settings(max_examples=40)
@given(
    st.lists(evidence(), max_size=5, unique_by=lambda one: (one.athlete, one.lift)),
    st.sampled_from(MassUnit),
)
def test_any_maxes_come_back_the_same(found, mass_unit):
    records = ImportRecords(maxes=tuple(found))
    for back in both_ways(records, KnownGym(TODAY, GYM.athletes), mass_unit):
        assert without_written(back.records) == records


READING = BandReading(
    Length.cm(140),
    Mass.lb("47.25"),
    date(2026, 8, 30),
    Side.LEFT,
    ReadingDirection.UP,
    RigKind.DOUBLED,
)
STOCK = Stock(
    bars=(
        Bar(
            "axle-1",
            "=Axle 1",
            Implement.AXLE,
            Mass.kg("11.3"),
            Mass.kg("0.5"),
            Length.cm(45),
            2,
            Mass.lb(1000),
        ),
    ),
    plates=(
        PlatePair(
            "25 red", Mass.kg("25.02"), 8, Length.cm(45), Length.mm(54), "#c8102e", Mass.kg(25)
        ),
        PlatePair("45 lb", Mass.lb("44.9"), 6),
    ),
    bands=(
        Band(
            "grey",
            "Grey",
            4,
            Length.inches(41),
            (READING, replace(READING, length=Length.inches(70))),
            Mass.kg(30),
            Length.cm(208),
            date(2026, 8, 1),
            date(2028, 1, 1),
        ),
        Band("grey-2", "Grey", 1, Length.cm(104), (READING,)),
    ),
    chains=(Chain("long", "Long chain", 3, Mass.kg("5.5"), Length.cm(180), Mass.kg("0.6")),),
    blocks=(Block("Block 10", Length.cm(10), 2, Mass.kg(600)),),
    implements=(
        ImplementUnit("stone", "Stone", Implement.STONES, None),
        ImplementUnit(
            "yoke-1",
            "Yoke",
            Implement.YOKE,
            Mass.lb(245),
            1,
            Length.cm(120),
            date(2026, 1, 1),
            takes_plates=True,
        ),
    ),
    platforms=(
        Platform("P1", True, (Length.cm(8), Length.inches("8.5")), Length.cm(12)),
        Platform("P2", has_rack=False),
    ),
    kit={"box": 4, "bench": 3},
)
CONTEST = Contest(
    "harbour-stones-2027",
    "Harbour Stones",
    date(2027, 3, 13),
    2,
    squad_taper=True,
    events=(
        ContestEvent(
            "Axle: reps; heavy",
            EventFamily.PRESS_REPS,
            EventStyle.REPS,
            Implement.AXLE,
            None,
            "thick",
            Mass.kg(110),
            Mass.lb(155),
            60,
        ),
        ContestEvent(
            "Yoke 2",
            EventFamily.YOKE,
            EventStyle.RUN,
            Implement.YOKE,
            Length.cm(46),
            course_m=15.24,
        ),
    ),
    entries=(Entry(ROBIN.id, "u82", {"Axle: reps; heavy": 1.5, "Yoke 2": 0.3}), Entry(KIM.id)),
)
LAST_YEAR = replace(CONTEST, id="harbour-stones-2026", on=date(2026, 3, 14))
CLASSES = (
    ClassTime(
        "mon-1830",
        Weekday.MONDAY,
        time(18, 30),
        90,
        Slot.DYNAMIC_LOWER,
        "+Coach",
        (KIM.id, ROBIN.id),
    ),
    ClassTime("sat-0900", Weekday.SATURDAY, time(9, 0), 120, Slot.IMPLEMENT),
)


@pytest.mark.parametrize("mass_unit", list(MassUnit))
@pytest.mark.parametrize("length_unit", [LengthUnit.CM, LengthUnit.IN])
def test_stock_contests_and_timetable_come_back_the_same(mass_unit, length_unit):
    records = ImportRecords(
        athletes=GYM.athletes, stock=STOCK, contests=(CONTEST, LAST_YEAR), classes=CLASSES
    )
    for back in both_ways(records, GYM, mass_unit, length_unit):
        assert not [problem for problem in back.problems if problem.is_blocking]
        assert without_written(back.records) == records


def test_a_second_round_keeps_the_units_that_people_wrote():
    first, _ = both_ways(ImportRecords(stock=STOCK, contests=(CONTEST,)), GYM, MassUnit.KG)
    second, by_csv = both_ways(first.records, GYM, MassUnit.LB)
    assert second.records == by_csv.records == first.records


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@cmd", "＝1", "'=1", "=cmd|' /C calc'!A0"])
def test_no_exported_text_is_a_formula(start):
    # OWASP, CSV injection: = + - @ tab and carriage return, and their full-width forms.
    athlete = replace(ROBIN, name=start)
    records = ImportRecords(athletes=(athlete,))
    sheet = openpyxl.load_workbook(BytesIO(write_workbook(records)))["Squad"]
    assert sheet["B2"].data_type == "s"
    assert sheet["B2"].quotePrefix
    (_, row) = csv.reader(StringIO(write_csv(SQUAD, Exporter(records))))
    assert row[1] == f"'{start}"
    for back in both_ways(records, NEW_GYM, MassUnit.KG):
        assert back.records.athletes[0].name == start


def test_an_ordinary_text_is_left_alone():
    assert neutral("Robin O'Example") == "Robin O'Example"


def test_texts_that_look_like_spreadsheet_escapes_come_back():
    records = ImportRecords(athletes=(replace(ROBIN, id="athlete-7", name="a_x0041_b"),))
    for back in both_ways(records, NEW_GYM, MassUnit.KG):
        assert back.records == replace(records, written=back.records.written)


def test_a_note_of_several_lines_comes_back():
    found = Evidence(
        ROBIN.id, "deadlift", EvidenceKind.TEST, Mass.kg(215), date(2026, 9, 14), note="a\nb"
    )
    for back in both_ways(ImportRecords(maxes=(found,)), GYM, MassUnit.KG):
        assert back.records.maxes == (found,)


def test_a_mass_of_no_door_is_refused_not_rounded():
    with pytest.raises(ExportError, match="weigh it again"):
        entered_mass(Mass(1), MassUnit.KG)
    with pytest.raises(ExportError, match="measure it again"):
        entered_length(Length(1), LengthUnit.M)


def test_an_athlete_outside_the_given_squad_is_refused():
    with pytest.raises(ExportError, match="not in the squad"):
        write_workbook(ImportRecords(contests=(CONTEST,)))


def test_nothing_on_record_still_is_a_workbook():
    book = openpyxl.load_workbook(BytesIO(write_workbook(ImportRecords())))
    assert book.sheetnames == ["Notes"]


@pytest.mark.parametrize("mass_unit", list(MassUnit))
def test_the_demo_gyms_spreadsheets_come_back_the_same(tmp_path, mass_unit):
    files = [
        UploadedFile(path.name, path.read_bytes()) for path in write_spreadsheets(tmp_path, TODAY)
    ]
    records = preview_of(*files, known=NEW_GYM).records
    assert records.count > 200
    for back in both_ways(records, NEW_GYM, mass_unit):
        assert back.records == records

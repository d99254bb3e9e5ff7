"""The demo gym as the spreadsheets its coach would have kept, with some cells wrong on purpose.

Three workbooks and one CSV file, so that the demo really comes in through the import door: the
squad and its classes, the stock, the contests, and the maxes typed up after testing days.
"""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

from openpyxl import Workbook

from heftwright.demo import stock
from heftwright.demo.history import WEEKS
from heftwright.demo.squad import CONTESTS, DAY_LETTERS, SEED, SQUAD, TIMETABLE, DemoAthlete
from heftwright.demo.truth import true_maxes
from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.squad import Sex

Row = tuple[object, ...]
TESTED = (
    "deadlift", "back_squat", "bench", "strict_press", "log_clean_press", "axle_deadlift",
    "front_squat", "close_grip_bench",
)  # fmt: skip

# What is wrong on purpose, and where; the tutorial walks through each of them.
WRONG_MAXES: tuple[tuple[int, str, str, int, str], ...] = (
    (10, "Conventional deadlift", "2950", 20, "out by ten"),
    (14, "Bench press", "147,5", 27, "a comma"),
    (6, "Back squat", "401", 34, "pounds in a kg column"),
    (3, "Conventional dedlift", "265", 41, "a lift that is not in the catalogue"),
    (77, "Strict standing press", "60", 48, "nobody has this number"),
    (12, "Back squat", "about 215", 55, "words in a number"),
)


def write_spreadsheets(folder: Path, today: date) -> tuple[Path, ...]:
    """Write the demo's four files into ``folder`` and return their paths.

    Parameters
    ----------
    folder : Path
        Made if missing; files of the same names are replaced.
    today : date
        The demo's first day; the history ends before its week.
    """
    folder.mkdir(parents=True, exist_ok=True)
    squad, gear, contests = (
        folder / "squad-and-classes.xlsx", folder / "stock.xlsx", folder / "contests.xlsx",
    )  # fmt: skip
    _save(squad, {"Timetable": _timetable(), "Squad": _squad(today)})
    _save(gear, _stock(today))
    _save(contests, _contests(today))
    maxes = folder / "maxes.csv"
    maxes.write_text(_csv(_maxes(today)), encoding="utf-8")
    return squad, gear, contests, maxes


def _save(path: Path, sheets: dict[str, list[Row]]) -> None:
    book = Workbook(write_only=True)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append([None if cell == "" else cell for cell in row])
    book.save(path)


def _csv(rows: list[Row]) -> str:
    buffer = io.StringIO()
    csv.writer(buffer, lineterminator="\n").writerows(rows)
    return buffer.getvalue()


def _timetable() -> list[Row]:
    return [("Class", "Day", "Starts", "Minutes", "Slot", "Coach"), *TIMETABLE]


def _squad(today: date) -> list[Row]:
    head = (
        "Number", "Name", "Sex", "Born", "Body mass (kg)", "Stature (cm)", "Pull lockout (cm)",
        "Squat top (cm)", "Squat bottom (cm)", "Bench top (cm)", "Bench bottom (cm)",
        "Weak points", "Restrictions", "Classes", "Priority", "Away since", "Back on",
        "Guardian", "Supervisor", "Joined", "Shirt size",
    )  # fmt: skip
    return [head, *(_squad_row(athlete, today) for athlete in SQUAD)]


def _squad_row(athlete: DemoAthlete, today: date) -> Row:
    classes = "; ".join(DAY_LETTERS[letter] for letter in athlete.days)
    restriction = (
        f"overhead until {today + timedelta(weeks=4)}" if athlete.note == "no overhead" else ""
    )
    away = (today - timedelta(days=75), today - timedelta(days=9))
    away_since, back_on = away if athlete.note == "lay-off" else ("", "")
    is_minor = athlete.note == "minor"
    joined = today - timedelta(weeks=9 if athlete.note == "novice" else 60 + 7 * athlete.number)
    return (
        athlete.number, athlete.name, athlete.sex.value, athlete.born_on,
        athlete.body_mass_kg or "", athlete.stature_cm or "", *_heights(athlete),
        athlete.weak_points, restriction, classes, 1.5 if athlete.number in (1, 2, 6) else 1,
        away_since, back_on, "Ruth Aldous" if is_minor else "", "Hilde Marsh" if is_minor else "",
        joined, "MLSX"[athlete.number % 4],
    )  # fmt: skip


def _heights(athlete: DemoAthlete) -> tuple[object, ...]:
    """Pull lockout, squat top and bottom, bench top and bottom as taped [cm]."""
    stature = athlete.stature_cm or 0.0
    draw = random.Random(SEED + 31 * athlete.number)
    bench_top = round(76 + 0.19 * stature + draw.gauss(0, 1.2), 1) if stature else 108.5
    bench_bottom = 74.0 if athlete.sex is Sex.MAN else 71.5
    if not stature:
        squat = (133.0, 84.5)
        return ("", *squat, bench_top, bench_bottom)
    lockout = round(0.4929 * stature - 8.0 + draw.gauss(0, 2.2), 1)
    squat_top = round(0.80 * stature + draw.gauss(0, 1.5), 1)
    squat_bottom = round(squat_top - 0.31 * stature + draw.gauss(0, 1.5), 1)
    has_lockout = athlete.number % 3 != 0
    return (lockout if has_lockout else "", squat_top, squat_bottom, bench_top, bench_bottom)


def _stock(today: date) -> dict[str, list[Row]]:
    def dated(row: stock.Row, place: int) -> Row:
        offset = row[place]
        day = today - timedelta(days=int(offset)) if offset != "" else ""
        return (*row[:place], day, *row[place + 1 :])

    return {
        "Bars": [
            ("Key", "Bar", "Implement", "Mass (kg)", "Collar (kg)", "Sleeve (mm)", "Count",
             "Rating (kg)"),
            *stock.BARS,
        ],
        "Plates": [
            ("Plate", "Mass (kg)", "Pairs", "Diameter (mm)", "Thickness (mm)", "Colour"),
            *stock.PLATES,
        ],
        "Bands": [
            ("Key", "Band", "Pairs", "Rest length (cm)", "Guessed top force (kg)",
             "Safe length (cm)", "Inspected"),
            *(dated(row, 6) for row in stock.BANDS),
        ],
        "Band readings": [
            ("Band", "Length (cm)", "Force (kg)", "Date", "Side", "Direction", "Rig"),
            *(dated(row, 3) for row in stock.BAND_READINGS),
        ],
        "Chains": [
            ("Key", "Chain", "Pairs", "Mass per metre (kg)", "Length (m)", "Leader (kg)",
             "Known on"),
            *(dated(row, 6) for row in stock.CHAINS),
        ],
        "Blocks": [("Block", "Height (cm)", "Pairs", "Rating (kg)"), *stock.BLOCKS],
        "Implements": [
            ("Key", "Name", "Implement", "Mass (kg)", "Count", "Pick height (cm)", "Weighed on",
             "Takes plates"),
            *(dated(row, 6) for row in stock.IMPLEMENTS),
        ],
        "Platforms": [("Platform", "Rack", "Peg heights (cm)", "Peg offset (cm)"),
                      *stock.PLATFORMS],
        "Kit": [("Kit", "Count"), *stock.KIT],
    }  # fmt: skip


def _contests(today: date) -> dict[str, list[Row]]:
    names = {athlete.number: athlete.name for athlete in SQUAD}
    events: list[Row] = [
        ("Contest", "Event", "Family", "Style", "Implement", "Start height (cm)", "Grip",
         "Load men (kg)", "Load women (kg)", "Time cap (s)", "Course (m)")
    ]  # fmt: skip
    entries: list[Row] = [("Contest", "Athlete", "Class")]
    calendar: list[Row] = [("Contest", "Date", "Importance", "Squad tapers")]
    for contest in CONTESTS:
        tapers = "yes" if contest.squad_taper else "no"
        calendar.append((contest.name, contest.on(today), contest.importance, tapers))
        events.extend((contest.name, *map(_number_or_text, event)) for event in contest.events)
        entries.extend((contest.name, names[number], "open") for number in contest.entrants)
    return {"Contests": calendar, "Events": events, "Entries": entries}


def _number_or_text(cell: str) -> object:
    return int(cell) if cell.isdigit() else cell.replace("_", " ")


def _maxes(today: date) -> list[Row]:
    rows: list[Row] = [("Athlete", "Lift", "Max (kg)", "Date", "Kind", "Reps", "Note")]
    rows.extend(_tests(today))
    for number, lift, written, days_ago, _ in WRONG_MAXES:
        rows.append((number, lift, written, today - timedelta(days=days_ago), "test", 1, ""))
    return rows


def _tests(today: date) -> Iterator[Row]:
    catalogue = load_catalogue()
    draw = random.Random(SEED + 7)
    for athlete in SQUAD:
        maxes = true_maxes(athlete)
        for place, lift in enumerate(TESTED[: _tests_of(athlete)]):
            weeks_ago = 2 + (5 * place + athlete.number) % (WEEKS - 2)
            if athlete.note == "lay-off":
                weeks_ago += 10
            tested = maxes[LiftKey(lift)] * (1 - 0.0022 * weeks_ago) * (1 - 0.02 * draw.random())
            day = today - timedelta(weeks=weeks_ago, days=today.weekday())
            load = 2.5 * int(tested / 2.5)
            yield (athlete.number, catalogue[LiftKey(lift)].name, load, day, "test", 1, "")


def _tests_of(athlete: DemoAthlete) -> int:
    if athlete.note == "minor":
        return 0
    return 4 if athlete.note == "novice" else 5 + athlete.number % 4

"""Fuzz of the import door, shared by the suite (10^5 cells) and `make trust` (10^6).

Every cell must end as the value that was written, as a problem with a sentence, or as a question.
What "the value that was written" means is worked out here anew, with `Decimal` and by counting
digits, not with the door's own grammar. A sloppy reader is kept as the control arm.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal, InvalidOperation
from typing import Any

from heftwright.domain.height import EnteredLength
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.imports.cells import Cell, CellKind, number_text
from heftwright.imports.columns import UNITS, ColumnKind, ColumnSpec
from heftwright.imports.findings import Findings, Place, WaitingError
from heftwright.imports.grammar import Reading, read_cell
from heftwright.imports.sheets import SHEETS

TODAY = date(2026, 11, 25)
CellReader = Callable[[Cell, Reading], Any]
_ODD = (
    "", " ", "-", "–", "n/a", "NaN", "inf", "-inf", "1e3", "1E400", "0x10", "1_000", "+5", "-5",
    "−5", "٣", "１２", "½", "97½", "1.2.3", ".5", "5.", "00012", "12345", "1.2345", "1,5",
    "1.234,5", "1,234.5", "12,345", "1,234", "1'000", "1 000", "1\u00a0000", "100%",
    "=1+1", "@sum", "+1-1",
    "#REF!", "#N/A", "TRUE", "null", "None", "<b>1</b>", "'; drop table athlete; --", "100kg kg",
    "100 KG", "100 lbs", "100 st", "100 kgs", "100 pood", "5'11\"", "5 ft 11 in", "2 m", "200 mm",
    "97.50", "097.5", "9999.999", "10000", "0", "0.001", "0.0001", "1e-3", "5 kg/m", "90 s",
    "1.5 min", "1:30", "2026-02-30", "2026-13-01", "03/04/2026", "31/12/2025", "12/31/2025",
    "3 Apr 2026", "April 3, 2026", "3 Sept 2026", "03.04.26", "1899-12-31", "2101-01-01",
    "20260403",
    "25:00", "18:30", "6:30 pm", "18:30:30", "18.30", "1830", "yes", "no", "y", "x", "1",
    "woman", "Man", "f", "M", "straight bar", "Straight_Bar", "tire", "stright bar", "lockout",
    "lockout: 0.5; grip", "lockout: 0,5", "grip: 2", "grip; grip", "a:b:0.3", "\\;;\\\\; x",
    "overhead until 2026-12-20", "overhead from 2026-12-20 until 2026-12-01", "overhead until soon",
    "#c8102e", "red", "url(x)", "\u202e5.79", "\u200b97.5", "97.5\u0000", "97.5\n", "é", "👍",
    "mon-1830; tue-1830", ";", ";;", "Robin Example", "7 Robin Example", "8; 22", "8, 22",
)  # fmt: skip
_UNITS = (
    "",
    "",
    "",
    " kg",
    " lb",
    "kg",
    "lbs",
    " cm",
    " in",
    " m",
    " mm",
    " s",
    " min",
    " st",
    "%",
)
_NOISE = tuple("0123456789.,;:/-+ eE'\"=@%kglbcmin\t\n\u00a0\u200b\u0660\uff11ßÄ漢")


@dataclass(slots=True)
class FuzzCount:
    """How a fuzz ended; ``faults`` holds the first few crashes and silent changes."""

    cells: int = 0
    accepted: int = 0
    named: int = 0
    asked: int = 0
    crashes: int = 0
    silent_changes: int = 0
    faults: list[str] = field(default_factory=list)

    def fault(self, what: str, cell: Cell, column: ColumnSpec, outcome: object) -> None:
        """Keep an example."""
        if len(self.faults) < 20:
            self.faults.append(f"{what}: {column.kind} {cell!r} -> {outcome!r}")


def fuzz_cells(count: int, seed: int, reader: CellReader = read_cell) -> FuzzCount:
    """Read ``count`` cells of all kinds of columns; count crashes and silent changes."""
    rng = random.Random(seed)
    columns = [column for sheet in SHEETS for column in sheet.columns]
    done = FuzzCount()
    while done.cells < count:
        column = rng.choice(columns)
        findings = Findings(_answers(rng))
        unit = rng.choice(("", "", *UNITS.get(column.kind, ())))
        reading = Reading(column, Place("f.csv", "s", 0, "A, x"), unit, findings, TODAY)
        for _ in range(50):
            _fuzz_cell(any_cell(rng), reading, reader, done)
    return done


def _answers(rng: random.Random) -> dict[str, str]:
    place = "f.csv:s:A, x"
    answers = {
        f"comma:{place}": rng.choice(("point", "thousands", "leave")),
        f"date:{place}": rng.choice(("day", "month")),
        f"unit:{place}": rng.choice(("kg", "lb", "cm", "in", "m", "s", "min")),
    }
    return answers if rng.random() < 0.3 else {}


def _fuzz_cell(cell: Cell, reading: Reading, reader: CellReader, done: FuzzCount) -> None:
    done.cells += 1
    column = reading.column
    try:
        value = reader(cell, reading)
    except WaitingError:
        done.asked += 1
        if not reading.findings.questions:
            done.silent_changes += 1
            done.fault("waits without a question", cell, column, None)
    except Refusal as error:
        done.named += 1
        if len(str(error)) < 15:
            done.silent_changes += 1
            done.fault("no sentence", cell, column, error)
    except Exception as error:
        done.crashes += 1
        done.fault("crash", cell, column, error)
    else:
        done.accepted += 1
        if not is_as_written(cell, value, reading):
            done.silent_changes += 1
            done.fault("silent change", cell, column, value)


def any_cell(rng: random.Random) -> Cell:
    """A cell as coaches, programs and attackers write them."""
    pick = rng.random()
    if pick < 0.3:
        return Cell(a_number(rng) + rng.choice(_UNITS))
    if pick < 0.6:
        return Cell(rng.choice(_ODD).strip() or "?")
    if pick < 0.7:
        return Cell("".join(rng.choices(_NOISE, k=rng.randint(1, 12))).strip() or "?")
    if pick < 0.8:
        return Cell(number_text(_a_float(rng)), CellKind.NUMBER)
    if pick < 0.9:
        return Cell(_a_date(rng), rng.choice((CellKind.TEXT, CellKind.DATE)))
    return Cell(rng.choice(_ODD).strip() or "?", rng.choice(tuple(CellKind)))


def a_number(rng: random.Random) -> str:
    """Digits with a point, a comma or neither."""
    whole = str(rng.randint(0, 10 ** rng.randint(1, 5)))
    mark = rng.choice((".", ".", ".", ",", ""))
    part = str(rng.randint(0, 10 ** rng.randint(1, 4))) if mark else ""
    return whole + mark + part


def _a_float(rng: random.Random) -> float:
    value = round(rng.uniform(0, 400), rng.choice((0, 1, 2, 3, 15)))
    return rng.choice((value, value, 0.1 + value, value / 3, value * 1e9, -value))


def _a_date(rng: random.Random) -> str:
    day, month, year = rng.randint(1, 32), rng.randint(1, 13), rng.randint(1890, 2110)
    form = rng.choice(("{y}-{m:02d}-{d:02d}", "{d}/{m}/{y}", "{m}/{d}/{y}", "{d}.{m}.{y}"))
    return form.format(y=year, m=month, d=day)


def is_as_written(cell: Cell, value: Any, reading: Reading) -> bool:
    """Whether an accepted value is what the cell says, judged without the door's grammar."""
    text, kind = cell.text, reading.column.kind
    if value is None:
        return text.casefold() in ("-", "–", "—", "n/a")
    if isinstance(value, EnteredMass | EnteredLength):
        return _is_measure(text, value, reading)
    if kind is ColumnKind.LENGTHS:
        parts = [part for part in text.split(";") if part.strip()]
        pairs = zip(parts, value, strict=True)
        return all(_is_measure(part.strip(), one, reading) for part, one in pairs)
    if kind in (ColumnKind.WHOLE, ColumnKind.NUMBER):
        scale = 1 if kind is ColumnKind.WHOLE else 1000
        return _decimal(text, reading) * scale == value
    if kind is ColumnKind.SECONDS:
        minutes = "min" in text or (not re.search("[a-z]", text) and _unit(reading) == "min")
        return _decimal(re.sub("[a-z ]", "", text), reading) * (60 if minutes else 1) == value
    return _is_other(cell, value, reading)


def _unit(reading: Reading) -> str:
    return reading.unit or reading.findings.answers.get("unit:f.csv:s:A, x", "")


def _decimal(number: str, reading: Reading) -> Decimal:
    """The number as the answer about its comma says; NaN where it has two readings."""
    answer = reading.findings.answers.get("comma:f.csv:s:A, x", "")
    if "," in number:
        number = {"point": number.replace(",", "."), "thousands": number.replace(",", "")}.get(
            answer, "NaN"
        )
    if not re.fullmatch("[0-9.]+", number):
        return Decimal("NaN")
    try:
        return Decimal(number)
    except InvalidOperation:
        return Decimal("NaN")


def _is_measure(text: str, value: EnteredMass | EnteredLength, reading: Reading) -> bool:
    number = re.sub("[a-zA-Z/ ]+$", "", text)
    said = text[len(number) :].strip().casefold()
    units = {"kgs": "kg", "lbs": "lb"}
    if reading.column.key == "mass_per_m":
        units |= {"kg/m": "kg", "lb/m": "lb"}
    unit = units.get(said, said) or _unit(reading)
    return value.unit == unit and _decimal(number, reading) * 1000 == value.thousandths


def _is_other(cell: Cell, value: Any, reading: Reading) -> bool:
    text, kind = cell.text, reading.column.kind
    if isinstance(value, date):
        return _is_date(text, value, reading)
    if isinstance(value, time):
        hour = value.hour % 12 if re.search("[aApP]", text) else value.hour
        digits = [int(digit) for digit in re.findall("[0-9]+", text)]
        return (
            digits[0] % (12 if hour != value.hour or "m" in text else 24) == hour
            and digits[1] == value.minute
        )
    if isinstance(value, bool):
        return text.casefold() in (
            ("yes", "y", "true", "1") if value else ("no", "n", "false", "0")
        )
    if isinstance(value, dict):
        names = "".join(value)
        return all(ch in text.casefold() or ch == "_" for ch in names.casefold())
    if isinstance(value, tuple):
        return _is_list(text, value, kind)
    if kind is ColumnKind.WORD:
        return _is_word(text, value, reading.column)
    return isinstance(value, str) and value == text


def _is_word(text: str, value: str, column: ColumnSpec) -> bool:
    shown = dict(column.words)[value]
    same = {_letters(value), _letters(shown)}
    spoken = {("f", "woman"), ("m", "man"), ("tire", "tyre"), ("w", "woman")}
    return _letters(text) in same or (_letters(text), value) in spoken


def _letters(text: str) -> str:
    return re.sub(r"[\W_]", "", text.casefold())


def _is_date(text: str, value: date, reading: Reading) -> bool:
    numbers = [int(digits) for digits in re.findall("[0-9]+", text)]
    if len(numbers) == 2:  # the month is a word
        return numbers == [value.day, value.year] and f"{value:%b}".lower() in text.lower()
    if numbers[0] == value.year:
        return numbers == [value.year, value.month, value.day]
    day_first, month_first = [value.day, value.month], [value.month, value.day]
    if max(numbers[:2]) > 12:
        return numbers[2] == value.year and numbers[:2] in (day_first, month_first)
    answer = reading.findings.answers.get("date:f.csv:s:A, x", "")
    if numbers[0] != numbers[1] and not answer:
        return False  # two readings, and nobody asked
    return numbers == [*(month_first if answer == "month" else day_first), value.year]


def _is_list(text: str, value: tuple[Any, ...], kind: ColumnKind) -> bool:
    if kind is ColumnKind.RESTRICTIONS:
        return all(rule.tag in text and rule.note in text for rule in value)
    kept = "".join(value)
    return sorted(re.sub(r"[\s;\\]", "", text)) == sorted(re.sub(r"[\s;\\]", "", kept))


def sloppy_reader(cell: Cell, reading: Reading) -> Any:
    """The control arm: floats, localized commas, silent rounding. The fuzz must catch it."""
    text = cell.text.replace(",", ".").removesuffix(" kg").removesuffix(" lb")
    if reading.column.kind is not ColumnKind.MASS:
        return read_cell(cell, reading)
    try:
        thousandths = round(float(text) * 1000)
    except (ValueError, OverflowError):
        thousandths = 0
    return EnteredMass(min(max(thousandths, 0), 9_999_999), _mass_unit(reading))


def _mass_unit(reading: Reading) -> MassUnit:
    return MassUnit.LB if reading.unit == "lb" else MassUnit.KG

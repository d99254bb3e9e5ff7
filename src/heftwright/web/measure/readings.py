"""The sheet of readings as typed: how it was read, six lengths, what is wrong with each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from heftwright.domain.height import EnteredLength, LengthUnit
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import Band, BandReading, ReadingDirection, RigKind, Side
from heftwright.usecases.measuring import MOST_READINGS, RowFault, Tried, usual_rig

METHODS = (
    ("hang", "a hanging scale on one band"),
    ("scale", "the banded bar on a floor scale"),
)
RIGS = (
    (RigKind.CHOKED, "choked round the peg"),
    (RigKind.SINGLE, "laid over peg and bar"),
    (RigKind.DOUBLED, "doubled, over the bar and back"),
    (RigKind.FROM_ABOVE, "from pegs above"),
)
SIDES = (
    (Side.BOTH, "either: not told apart"),
    (Side.LEFT, "the left one"),
    (Side.RIGHT, "the right one"),
)
LENGTH_UNITS = (LengthUnit.CM, LengthUnit.IN, LengthUnit.M, LengthUnit.MM)
STEP_KG = "0.01"  # half of what a floor scale shows, to 10 g


@dataclass(frozen=True, slots=True)
class Row:
    """One length as typed; ``number`` counts from 1."""

    number: int
    length: str = ""
    up: str = ""
    down: str = ""
    wrong: str = ""
    doubt: str = ""

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands in it."""
        return not (self.length or self.up or self.down)


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything typed, as it stands.

    Parameters
    ----------
    method, rig, side
        How it was read.
    length_unit, mass_unit
        Of every row.
    tare : str
        What the floor scale shows with bar and boxes but without bands.
    rows : tuple of Row
        Always six.
    readings : tuple of BandReading
        Those that could be read.
    row_of : tuple of int
        Row number of each reading.
    problem : str
        What is wrong with the sheet as a whole.
    """

    method: str
    rig: RigKind
    side: Side
    length_unit: LengthUnit
    mass_unit: MassUnit
    tare: str
    rows: tuple[Row, ...]
    readings: tuple[BandReading, ...] = ()
    row_of: tuple[int, ...] = ()
    problem: str = ""

    @property
    def is_readable(self) -> bool:
        """Whether every row that has something in it could be read."""
        return not self.problem and not any(row.wrong for row in self.rows)

    @property
    def half_rows(self) -> tuple[int, ...]:
        """Numbers of rows with a length and no pull: nothing that is typed is dropped unsaid."""
        return tuple(row.number for row in self.rows if row.length and not (row.up or row.down))

    @property
    def has_any(self) -> bool:
        """Whether something stands in it that is not kept."""
        return not all(row.is_empty for row in self.rows)

    def judged(self, tried: Tried) -> Sheet:
        """The sheet with what the use case says beside each row."""
        return Sheet(
            self.method, self.rig, self.side, self.length_unit, self.mass_unit, self.tare,
            tuple(self._judged(row, tried) for row in self.rows), self.readings, self.row_of,
            self.problem or tried.problem,
        )  # fmt: skip

    def _judged(self, row: Row, tried: Tried) -> Row:
        wrong = row.wrong or self._said(tried.faults, row)
        return Row(row.number, row.length, row.up, row.down, wrong, self._said(tried.doubts, row))

    def _said(self, faults: tuple[RowFault, ...], row: Row) -> str:
        whys = [fault.why for fault in faults if self.row_of[fault.row] == row.number]
        return " ".join(dict.fromkeys(whys))


def read_sheet(band: Band, typed: Mapping[str, str], unit: MassUnit, today: date) -> Sheet:
    """What was typed, each complaint at its row."""
    method = _one_of(typed.get("method"), tuple(word for word, _ in METHODS), "hang")
    rig = RigKind(_one_of(typed.get("rig"), tuple(RigKind), usual_rig(band)))
    side = Side(_one_of(typed.get("side"), tuple(Side), Side.BOTH))
    reader = _Reader(
        method, rig, side if method == "hang" else Side.BOTH,
        LengthUnit(_one_of(typed.get("length_unit"), tuple(LengthUnit), LengthUnit.CM)),
        MassUnit(_one_of(typed.get("mass_unit"), tuple(MassUnit), unit)),
        typed.get("tare", "").strip(), today,
    )  # fmt: skip
    return reader.sheet(typed)


def _one_of(word: str | None, words: tuple[str, ...], usual: str) -> str:
    return word if word in words else usual


@dataclass(frozen=True, slots=True)
class _Reader:
    method: str
    rig: RigKind
    side: Side
    length_unit: LengthUnit
    mass_unit: MassUnit
    tare: str
    today: date

    def sheet(self, typed: Mapping[str, str]) -> Sheet:
        rows: list[Row] = []
        readings: list[BandReading] = []
        row_of: list[int] = []
        tare, problem = self._tare()
        for row in _rows(typed):
            try:
                found = list(self._readings(row, tare))
            except Refusal as refusal:
                rows.append(Row(row.number, row.length, row.up, row.down, str(refusal)))
                continue
            rows.append(row)
            readings += found
            row_of += [row.number] * len(found)
        if all(row.is_empty for row in rows):
            problem = ""
        return Sheet(
            self.method, self.rig, self.side, self.length_unit, self.mass_unit, self.tare,
            tuple(rows), tuple(readings), tuple(row_of), problem,
        )  # fmt: skip

    def _tare(self) -> tuple[Mass, str]:
        if self.method == "hang":
            return Mass(0), ""
        if not self.tare:
            return Mass(0), "Say first what the floor scale shows with bar and boxes, no bands."
        try:
            return EnteredMass.read(self.tare, self.mass_unit).mass, ""
        except Refusal as refusal:
            return Mass(0), str(refusal)

    def _readings(self, row: Row, tare: Mass) -> Iterator[BandReading]:
        ways = ((row.up, ReadingDirection.UP), (row.down, ReadingDirection.DOWN))
        if not row.length:
            if row.up or row.down:
                raise Refusal("The length is missing.")
            return
        length = EnteredLength.read(row.length, self.length_unit).length
        for text, direction in ways:
            if text:
                force = self._force(EnteredMass.read(text, self.mass_unit).mass, tare)
                yield BandReading(length, force, self.today, self.side, direction, self.rig)

    def _force(self, shown: Mass, tare: Mass) -> Mass:
        """Pull of one side: as shown, or half of what both bands change on the floor scale."""
        if self.method == "hang":
            return shown
        both = tare - shown if self.rig == RigKind.FROM_ABOVE else shown - tare
        if both < Mass(0):
            way = "more" if self.rig == RigKind.FROM_ABOVE else "less"
            raise Refusal(
                f"{shown} with the bands is {way} than {tare} without: weigh bar and boxes again."
            )
        return Mass.nearest_kg(both.in_kg / 2, STEP_KG)


def _rows(typed: Mapping[str, str]) -> Iterator[Row]:
    for number in range(1, MOST_READINGS + 1):
        texts = (
            typed.get(f"{what}_{number}", "").strip()[:12] for what in ("length", "up", "down")
        )
        yield Row(number, *texts)

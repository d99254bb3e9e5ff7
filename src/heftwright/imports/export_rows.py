"""Records as rows of the sheets: the import read backwards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any

from heftwright.domain.catalogue import Catalogue, LiftKey, load_catalogue
from heftwright.domain.contest import Contest, ContestEvent, Entry
from heftwright.domain.height import EnteredLength, Length, LengthUnit
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId, BarHeights, Restriction
from heftwright.domain.strength.evidence import Evidence
from heftwright.imports.columns import ColumnKind, ColumnSpec, SheetSpec, plain
from heftwright.imports.gym import exact
from heftwright.imports.lists import join_list, restriction_text
from heftwright.imports.records import ImportRecords
from heftwright.imports.wave_rows import written_shares

Row = dict[str, Any]
Kept = dict[tuple[str, str], list[EnteredMass | EnteredLength]]
_MOST_THOUSANDTHS = 9_999_999


class ExportError(Refusal):
    """A record that cannot be written so that it reads back the same."""


@dataclass(frozen=True, slots=True)
class Exporter:
    """What export needs beside the records.

    Parameters
    ----------
    records : ImportRecords
        What is written.
    squad : tuple of Athlete
        Who maxes, entries and classes may name beyond ``records.athletes``.
    mass_unit, length_unit
        Preferred; a value that is not whole thousandths of it keeps its own.
    catalogue : Catalogue
        For lift names.
    """

    records: ImportRecords
    squad: tuple[Athlete, ...] = ()
    mass_unit: MassUnit = MassUnit.KG
    length_unit: LengthUnit = LengthUnit.CM
    catalogue: Catalogue | None = None

    def rows(self, sheet: SheetSpec) -> list[Row]:
        """Rows of a sheet: column key -> text, int, date, time, EnteredMass or EnteredLength."""
        found: Iterable[Row] = getattr(self, f"_{sheet.key}")()
        kept = self._kept(sheet)
        return [self._entered(sheet, row, kept) for row in found]

    def _kept(self, sheet: SheetSpec) -> Kept:
        kept: Kept = {}
        for written in self.records.written:
            if written.sheet == sheet.key:
                kept.setdefault((written.record, written.column), []).append(written.value)
        return kept

    def _entered(self, sheet: SheetSpec, row: Row, kept: Kept) -> Row:
        record = row.pop("#record", row.get("key", ""))
        values = {key: value for key, value in row.items() if value not in (None, "", ())}
        return {
            key: self._value(sheet.column(key), value, kept.get((record, key), []))
            for key, value in values.items()
        }

    def _value(
        self, column: ColumnSpec, value: Any, kept: list[EnteredMass | EnteredLength]
    ) -> Any:
        """A mass or length in the unit it was entered in, else in the preferred one."""
        if isinstance(value, Mass | Length):
            same = (entered for entered in kept if exact(entered) == value)
            return next(same, None) or self._preferred(column, value)
        if column.kind is ColumnKind.WORD:
            return dict(column.words)[str(value)]
        return value

    def _preferred(self, column: ColumnSpec, value: Mass | Length) -> EnteredMass | EnteredLength:
        if isinstance(value, Mass):
            return entered_mass(value, self.mass_unit)
        return entered_length(value, LengthUnit.M if column.unit == "m" else self.length_unit)

    def _squad(self) -> Iterator[Row]:
        for athlete in self.records.athletes:
            heights = {
                item.name: getattr(athlete.heights, item.name) for item in fields(BarHeights)
            }
            weights = {point.shown: weight for point, weight in athlete.weak_points.items()}
            rules = (self._rule(rule) for rule in athlete.restrictions)
            classes = (item.key for item in self.records.classes if athlete.id in item.members)
            yield {
                "#record": athlete.id, "number": athlete.number, "name": athlete.name,
                "sex": athlete.sex.value, "born_on": athlete.born_on,
                "body_mass": athlete.body_mass, "stature": athlete.stature, **heights,
                "weak_points": _weights(weights), "restrictions": join_list(rules),
                "classes": join_list(classes), "priority": _number(athlete.priority),
                "away_since": athlete.away_since, "back_on": athlete.back_on,
                "guardian": athlete.guardian, "supervisor": athlete.supervisor,
                "joined_on": athlete.joined_on,
            }  # fmt: skip

    def _rule(self, rule: Restriction) -> str:
        key, lifts = LiftKey(rule.tag), self._lifts()
        name = lifts[key].name if key in lifts else rule.tag
        return restriction_text(rule, rule.tag if ":" in name else name)

    def _lifts(self) -> Catalogue:
        return self.catalogue or load_catalogue()

    def _who(self, athlete: AthleteId) -> str:
        for one in (*self.records.athletes, *self.squad):
            if one.id == athlete:
                return f"{one.number} {one.name}"
        raise ExportError(f"The athlete “{athlete}” is not in the squad given to the export.")

    def _maxes(self) -> Iterator[Row]:
        names = {lift.key: lift.name for lift in self._lifts().values()}
        who = {one.id: f"{one.number} {one.name}" for one in (*self.squad, *self.records.athletes)}
        for found in self.records.maxes:
            yield self._max(found, names, who)

    def _max(
        self, found: Evidence, names: Mapping[LiftKey, str], who: Mapping[AthleteId, str]
    ) -> Row:
        return {
            "#record": f"{found.athlete}/{found.lift}/{found.on.isoformat()}",
            "athlete": who.get(found.athlete) or self._who(found.athlete),
            "lift": names.get(found.lift, found.lift), "load": found.load, "on": found.on,
            "kind": found.kind.value, "reps": found.reps,
            "reps_in_reserve": _number(found.reps_in_reserve), "note": found.note,
        }  # fmt: skip

    def _bars(self) -> Iterator[Row]:
        return _plain_rows(self.records.stock.bars)

    def _plates(self) -> Iterator[Row]:
        return _plain_rows(self.records.stock.plates)

    def _bands(self) -> Iterator[Row]:
        return _plain_rows(self.records.stock.bands, but="readings")

    def _chains(self) -> Iterator[Row]:
        return _plain_rows(self.records.stock.chains)

    def _blocks(self) -> Iterator[Row]:
        return _plain_rows(self.records.stock.blocks)

    def _implements(self) -> Iterator[Row]:
        for row in _plain_rows(self.records.stock.implements):
            yield row | {"takes_plates": _yes_no(row["takes_plates"])}

    def _band_readings(self) -> Iterator[Row]:
        bands = self.records.stock.bands
        names = [plain(band.name) for band in bands]
        for band in bands:
            name = band.name if names.count(plain(band.name)) == 1 else band.key
            for reading in band.readings:
                row = {item.name: getattr(reading, item.name) for item in fields(reading)}
                yield row | {"band": name, "#record": band.key}

    def _platforms(self) -> Iterator[Row]:
        for platform in self.records.stock.platforms:
            pegs = (entered_length(peg, self.length_unit) for peg in platform.peg_heights)
            yield {
                "key": platform.key,
                "has_rack": _yes_no(platform.has_rack),
                "peg_heights": tuple(pegs),
                "peg_offset": platform.peg_offset,
                "rack_rating": platform.rack_rating,
            }

    def _kit(self) -> Iterator[Row]:
        return ({"kit": kit, "count": count} for kit, count in self.records.stock.kit.items())

    def _contests(self) -> Iterator[Row]:
        for contest in self.records.contests:
            yield {
                "name": contest.name, "key": contest.id, "on": contest.on,
                "importance": contest.importance, "squad_taper": _yes_no(contest.squad_taper),
            }  # fmt: skip

    def _events(self) -> Iterator[Row]:
        for contest in self.records.contests:
            for event in contest.events:
                yield _event(event) | {"contest": self._called(contest), "#record": event.name}

    def _entries(self) -> Iterator[Row]:
        for contest in self.records.contests:
            for entry in contest.entries:
                yield self._entry(entry) | {"contest": self._called(contest)}

    def _called(self, contest: Contest) -> str:
        names = [plain(one.name) for one in self.records.contests]
        return contest.name if names.count(plain(contest.name)) == 1 else contest.id

    def _entry(self, entry: Entry) -> Row:
        return {
            "athlete": self._who(entry.athlete),
            "contest_class": entry.contest_class,
            "need": _weights(entry.need),
        }

    def _timetable(self) -> Iterator[Row]:
        for item in self.records.classes:
            yield {
                "key": item.key, "weekday": str(item.weekday.value), "starts_at": item.starts_at,
                "minutes": item.minutes, "slot": item.slot.value, "coach": item.coach,
                "members": join_list(self._who(one) for one in item.members),
            }  # fmt: skip

    def _waves(self) -> Iterator[Row]:
        for wave in self.records.waves:
            for week, step in enumerate(wave.steps, start=1):
                load, bands = written_shares(step, wave.written_as)
                yield {
                    "wave": wave.key, "week": week, "load": _number(load / 1000),
                    "bands": _number(bands / 1000), "meaning": wave.written_as.value,
                    "most_reps": step.most_reps,
                }  # fmt: skip


def _plain_rows(items: Iterable[Any], but: str = "") -> Iterator[Row]:
    for item in items:
        names = (one.name for one in fields(item) if one.name != but)
        yield {name: getattr(item, name) for name in names}


def _event(event: ContestEvent) -> Row:
    row = {item.name: getattr(event, item.name) for item in fields(event)}
    if event.course_m is not None:
        row["course_m"] = Length.m(str(_number(event.course_m)))
    return row


def _yes_no(value: bool) -> str:  # noqa: FBT001 - it is the value itself
    return "yes" if value else "no"


def _number(value: float) -> str:
    """A ratio or weight with at most 3 decimals, which is all that the grammar reads back."""
    text = f"{round(Decimal(repr(float(value))), 3):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _weights(weights: Mapping[str, float]) -> str:
    return join_list(f"{name}: {_number(weight)}" for name, weight in weights.items())


def entered_mass(mass: Mass, preferred: MassUnit) -> EnteredMass:
    """A mass in whole thousandths of the preferred unit, else of the other one.

    Raises
    ------
    ExportError
        If it is whole thousandths of neither: no door can have let it in.
    """
    for unit in (preferred, *(unit for unit in MassUnit if unit is not preferred)):
        thousandths, rest = divmod(mass.ticks * 1000, unit.ticks)
        if rest == 0 and 0 <= thousandths <= _MOST_THOUSANDTHS:
            return EnteredMass(thousandths, unit)
    raise ExportError(
        f"{mass} cannot be written exactly in thousandths of kg or lb: weigh it again."
    )


def entered_length(length: Length, preferred: LengthUnit) -> EnteredLength:
    """A length in whole thousandths of the preferred unit, else of another one.

    Raises
    ------
    ExportError
        If it is whole thousandths of none.
    """
    for unit in (preferred, *(unit for unit in LengthUnit if unit is not preferred)):
        thousandths, rest = divmod(length.ticks * 1000, unit.ticks)
        if rest == 0 and 0 <= thousandths <= _MOST_THOUSANDTHS:
            return EnteredLength(thousandths, unit)
    raise ExportError(f"{length} cannot be written exactly in thousandths: measure it again.")

"""Athletes from the Squad sheet: who is meant, what changes, what cannot be true."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import Any

from heftwright.domain.catalogue import WeakPoint
from heftwright.domain.height import Length
from heftwright.domain.squad import Athlete, AthleteId, BarHeights, Restriction, Sex
from heftwright.imports.findings import CellError, Choice
from heftwright.imports.guards import checked_body_mass, checked_stature
from heftwright.imports.gym import LEAVE, Gym, exact, folded
from heftwright.imports.rows import ParsedRow

LAST_NUMBER = 9999
_HEIGHTS = frozenset(item.name for item in fields(BarHeights))
_AS_GIVEN = ("name", "born_on", "away_since", "back_on", "guardian", "supervisor", "joined_on")
_LOWER_FIRST = (
    ("squat_bottom", "squat_top"),
    ("bench_bottom", "bench_top"),
    ("pull_lockout", "front_rack"),
    ("front_rack", "overhead"),
)


@dataclass(slots=True)
class SquadReader:
    """Reads Squad rows one after the other; remembers who has been read.

    Parameters
    ----------
    gym : Gym
        Takes the athletes in.
    classes_of : dict
        Athlete -> their row, where its Classes cell is filled; for the timetable.
    """

    gym: Gym
    classes_of: dict[AthleteId, ParsedRow] = field(default_factory=dict)
    _done: dict[AthleteId, int] = field(default_factory=dict)
    _free: Iterator[int] = iter(())

    def read(self, rows: Iterable[ParsedRow]) -> tuple[Athlete, ...]:
        """All athletes of the good rows, in file order."""
        rows = list(rows)
        taken = {row.values["number"] for row in rows if "number" in row.values}
        taken |= {athlete.number for athlete in self.gym.known.athletes}
        self._free = (one for one in range(1, LAST_NUMBER + 1) if one not in taken)
        found = [self.gym.attempt(row, self._athlete) for row in rows]
        for row in rows:
            if not row.is_good:
                self.gym.hold(row)
        ids = [athlete.id for athlete in found if athlete is not None]
        return tuple(self.gym.squad[identity] for identity in ids)

    def _athlete(self, row: ParsedRow) -> Athlete:
        known = self._known(row)
        if known is not None and known.id in self._done:
            raise CellError(
                f"{known.name} stands in row {self._done[known.id]} already: keep one row.", "name"
            )
        athlete = self._merged(row, known)
        _check_heights(athlete)
        self.gym.keep_athlete(athlete)
        self.gym.keep_written(row, athlete.id)
        self._done[athlete.id] = row.place.row
        if "classes" in row.values:
            self.classes_of[athlete.id] = row
        return athlete

    def _known(self, row: ParsedRow) -> Athlete | None:
        """The athlete of this row, None for a new one."""
        number, name = row.values.get("number"), row.values["name"]
        same = self.gym.named(name)
        if number is None:
            return self._by_name_alone(same, name)
        holder = self.gym.numbered(number)
        if holder is not None:
            return self._same_number(row, holder)
        unread = [athlete for athlete in same if athlete.id not in self._done]
        if unread:
            return self._new_number(row, unread[0])
        self._note_namesake(row, same)
        return None

    def _by_name_alone(self, same: tuple[Athlete, ...], name: str) -> Athlete | None:
        if len(same) > 1:
            numbers = ", ".join(str(athlete.number) for athlete in same)
            raise CellError(
                f"“{name}” is the name of {len(same)} athletes: write the number ({numbers}).",
                "name",
            )
        return same[0] if same else None

    def _same_number(self, row: ParsedRow, holder: Athlete) -> Athlete:
        name = row.values["name"]
        if folded(holder.name) == folded(name):
            return holder
        if holder.id in self._done:
            raise CellError(
                f"Number {holder.number} is {holder.name}'s in row {self._done[holder.id]}: give "
                f"{name} another number.",
                "number",
            )
        self._ask_who(
            row,
            f"Number {holder.number} is {holder.name} in the gym, {name} in the file.",
            (Choice("same", f"the same person, now called {name}"), LEAVE),
        )
        return holder

    def _new_number(self, row: ParsedRow, same: Athlete) -> Athlete | None:
        answer = self._ask_who(
            row,
            f"{same.name} has the number {same.number} in the gym, {row.values['number']} in the "
            "file.",
            (
                Choice("same", "the same person with a new number"),
                Choice("new", "somebody else of the same name"),
                LEAVE,
            ),
        )
        return same if answer == "same" else None

    def _note_namesake(self, row: ParsedRow, same: tuple[Athlete, ...]) -> None:
        if same:
            sentence = f"Two athletes are called {row.values['name']}: name them by number."
            self.gym.findings.name(row.at("name"), row.text("name"), sentence, is_blocking=False)

    def _ask_who(self, row: ParsedRow, sentence: str, choices: tuple[Choice, ...]) -> str:
        place = row.at("number")
        key = f"who:{place.file}:{place.sheet}:{place.row}:{row.text('number')}:{row.text('name')}"
        answer = self.gym.findings.ask(key, place, sentence, choices, row.text("number"))
        if answer == LEAVE.value:
            raise CellError(f"{sentence} The row was left out.", "number")
        return answer

    def _merged(self, row: ParsedRow, known: Athlete | None) -> Athlete:
        given = self._given(row, known)
        if known is not None:
            return replace(known, **given)
        if "sex" not in given:
            raise CellError("“Sex” is needed for a new athlete: write woman or man.", "sex")
        if "number" not in given:
            given["number"] = self._next_number(row)
        return Athlete(id=AthleteId(f"athlete-{given['number']}"), **given)

    def _next_number(self, row: ParsedRow) -> int:
        number = next(self._free, None)
        if number is None:
            raise CellError(
                f"All squad numbers up to {LAST_NUMBER} are taken: give this athlete the number of "
                "somebody who left, or import fewer rows.",
                "number",
            )
        sentence = f"{row.values['name']} gets the squad number {number}."
        self.gym.findings.name(row.at("number"), "", sentence, is_blocking=False)
        return number

    def _given(self, row: ParsedRow, known: Athlete | None) -> dict[str, Any]:
        values = row.values
        given = {key: values[key] for key in (*_AS_GIVEN, "number") if key in values}
        if "sex" in values:
            given["sex"] = Sex(values["sex"])
        if "body_mass" in values:
            values["body_mass"] = checked_body_mass(self.gym, row, known)
            given["body_mass"] = exact(values["body_mass"])
        if "stature" in values:
            checked_stature(self.gym, row, known)
            given["stature"] = exact(values["stature"])
        if "priority" in values:
            given["priority"] = values["priority"] / 1000
        return given | self._given_details(row, known)

    def _given_details(self, row: ParsedRow, known: Athlete | None) -> dict[str, Any]:
        values = row.values
        given: dict[str, Any] = {}
        taped = {key: exact(value) for key, value in values.items() if key in _HEIGHTS}
        if taped:
            given["heights"] = replace(known.heights if known else BarHeights(), **taped)
        if "weak_points" in values:
            given["weak_points"] = _weak_points(values["weak_points"])
        if "restrictions" in values:
            told = [self._rule(rule) for rule in values["restrictions"]]
            given["restrictions"] = _merged(told, known.restrictions if known else ())
        return given

    def _rule(self, rule: Restriction) -> Restriction:
        catalogue = self.gym.known.catalogue
        tags = {tag for lift in catalogue.values() for tag in lift.tags}
        tag = rule.tag.casefold().replace(" ", "_").replace("-", "_")
        lift = catalogue.named(rule.tag)
        if tag not in tags and lift is None:
            raise CellError(
                f"“{rule.tag}” is neither a lift nor one of: {', '.join(sorted(tags))}.",
                "restrictions",
            )
        return replace(rule, tag=tag if tag in tags or lift is None else lift.key)


def _merged(told: Sequence[Restriction], known: Sequence[Restriction]) -> tuple[Restriction, ...]:
    """What a file says, and every open restriction it leaves out: silence clears nothing."""
    opened = {rule.tag: rule for rule in known if rule.is_open}
    ours = {rule.tag for rule in told}
    kept = (rule for rule in known if not rule.is_open or rule.tag not in ours)
    renewed = (
        replace(rule, since=min(rule.since, opened[rule.tag].since)) if rule.tag in opened else rule
        for rule in told
    )
    return tuple(dict.fromkeys((*kept, *renewed)))


def _weak_points(weights: dict[str, int]) -> dict[WeakPoint, float]:
    for name, weight in weights.items():
        if weight > 1000:
            raise CellError(
                f"The weight of {name} must be 0–1, not {weight / 1000:g}.", "weak_points"
            )
    return {WeakPoint(name): weight / 1000 for name, weight in weights.items()}


def _check_heights(athlete: Athlete) -> None:
    """Refuse heights that stand upside down: mostly two swapped columns."""
    heights = athlete.heights
    for low, high in _LOWER_FIRST:
        below, above = getattr(heights, low), getattr(heights, high)
        if below is not None and above is not None and not below < above:
            raise CellError(
                f"{_spoken(low)} ({below}) must be below {_spoken(high)} ({above}): check that the "
                "columns are not swapped.",
                high,
            )
    _check_stature(athlete.stature, heights)


def _check_stature(stature: Length | None, heights: BarHeights) -> None:
    if stature is None:
        return
    if heights.overhead is not None and not heights.overhead > stature:
        raise CellError(
            f"Overhead ({heights.overhead}) must be above the stature ({stature}).", "overhead"
        )
    for name in ("front_rack", "squat_top", "pull_lockout"):
        height = getattr(heights, name)
        if height is not None and not height < stature:
            raise CellError(
                f"{_spoken(name)} ({height}) must be below the stature ({stature}).", name
            )


def _spoken(key: str) -> str:
    return key.replace("_", " ").capitalize()

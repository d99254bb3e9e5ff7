"""The gym while an import is read: what was known, what the files add, who is meant by a name."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.height import EnteredLength
from heftwright.domain.mass import EnteredMass
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.imports.findings import CellError, Choice, Findings, WaitingError, nearest
from heftwright.imports.records import KnownGym, Written
from heftwright.imports.rows import ParsedRow

Record = TypeVar("Record")
_NUMBER = re.compile(r"#?([0-9]{1,4})")
_NUMBER_AND_NAME = re.compile(r"#?([0-9]{1,4})[.,:]? (.+)")
LEAVE = Choice("leave", "leave the row out")


@dataclass(slots=True)
class Gym:
    """What is known, plus what the files have added so far.

    Parameters
    ----------
    known : KnownGym
        As on record.
    findings : Findings
        Where problems and questions go.
    squad : dict
        Every athlete, known or new, as the import would leave them.
    written : list of Written
        Masses and lengths as entered.
    """

    known: KnownGym
    findings: Findings
    squad: dict[AthleteId, Athlete] = field(default_factory=dict)
    written: list[Written] = field(default_factory=list)
    _by_number: dict[int, Athlete] = field(default_factory=dict)
    _by_name: dict[str, list[Athlete]] = field(default_factory=dict)
    _lifts: dict[str, LiftKey] = field(default_factory=dict)
    _held: dict[str, ParsedRow] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for athlete in self.known.athletes:
            self.keep_athlete(athlete)

    def keep_athlete(self, athlete: Athlete) -> None:
        """Take an athlete into the squad, in place of the one with the same id."""
        before = self.squad.get(athlete.id)
        if before is not None:
            if self._by_number.get(before.number) is before:
                del self._by_number[before.number]
            self._by_name[folded(before.name)].remove(before)
        self.squad[athlete.id] = athlete
        self._by_number[athlete.number] = athlete
        self._by_name.setdefault(folded(athlete.name), []).append(athlete)

    def numbered(self, number: int) -> Athlete | None:
        """The athlete with a squad number."""
        return self._by_number.get(number)

    def named(self, name: str) -> tuple[Athlete, ...]:
        """Athletes with a name, case, accents' form and spaces aside."""
        return tuple(self._by_name.get(folded(name), ()))

    def athlete(self, text: str, column: str) -> Athlete:
        """Who is meant by a number, a name, or both: ``7``, ``Robin Example``, ``7 Robin Example``.

        Raises
        ------
        CellError
            If nobody or more than one is, or number and name disagree.
        """
        if found := self._exactly(text, column):
            return found
        if match := _NUMBER.fullmatch(text):
            self._check_held(match[1], column)
            raise CellError(f"Nobody has the squad number {match[1]}: see the Squad sheet.", column)
        match = _NUMBER_AND_NAME.fullmatch(text)
        holder = self.numbered(int(match[1])) if match else None
        if match and holder:
            if folded(holder.name) != folded(match[2]):
                raise CellError(
                    f"Number {match[1]} is {holder.name}, not “{match[2]}”: correct one.", column
                )
            return holder
        self._check_held(text, column)
        names = tuple(athlete.name for athlete in self.squad.values())
        near = nearest(text, names, 1)
        hint = f"did you mean {near[0]}?" if near else "add them to the Squad sheet."
        raise CellError(f"There is no athlete “{text}” in the squad: {hint}", column)

    def hold(self, row: ParsedRow) -> None:
        """Remember a Squad row that is no athlete yet, so that rows naming them say why."""
        number, name = row.text("number"), row.text("name")
        for text in (number, name, f"{number} {name}"):
            self._held[folded(text)] = row

    def _check_held(self, text: str, column: str) -> None:
        held = self._held.get(folded(text)) if text else None
        if held is None:
            return
        sentence = f"“{text}” is not in the squad yet: see row {held.place.row} of the Squad sheet."
        if held.is_waiting and not held.is_out:
            raise WaitingError(sentence)
        raise CellError(sentence, column)

    def _exactly(self, text: str, column: str) -> Athlete | None:
        same = self.named(text)
        if len(same) > 1:
            numbers = ", ".join(str(athlete.number) for athlete in same)
            raise CellError(f"“{text}” is the name of {len(same)} athletes: write the squad number "
                            f"({numbers}).", column)  # fmt: skip
        if same:
            return same[0]
        match = _NUMBER.fullmatch(text)
        return self.numbered(int(match[1])) if match else None

    def lift(self, row: ParsedRow, text: str, column: str) -> LiftKey:
        """The catalogue's lift, or the one the coach picks for an unknown name.

        Raises
        ------
        CellError
            If nothing in the catalogue is near.
        WaitingError
            If the coach has not picked yet; asked once for each name.
        """
        if text not in self._lifts:
            lift = self.known.catalogue.named(text)
            self._lifts[text] = lift.key if lift else self._picked_lift(row, text, column)
        return self._lifts[text]

    def _picked_lift(self, row: ParsedRow, text: str, column: str) -> LiftKey:
        names = {lift.name: lift.key for lift in self.known.catalogue.values()}
        near = nearest(text, tuple(names))
        if not near:
            raise CellError(
                f"“{text}” is no lift of the catalogue: see the list of lifts for its name.", column
            )
        choices = (*(Choice(names[name], name) for name in near), LEAVE)
        sentence = f"“{text}” is not in the catalogue. Which lift is it?"
        answer = self.findings.ask(f"lift:{folded(text)}", row.at(column), sentence, choices, text)
        if answer == LEAVE.value:
            raise CellError(f"“{text}” was left out, since it is no lift of the catalogue.", column)
        return LiftKey(answer)

    def confirm(self, row: ParsedRow, column: str, sentence: str, *, other: str = "") -> str:
        """Whether an unlikely value stands: ``keep``, ``other`` for the other unit.

        Raises
        ------
        CellError
            If the coach leaves it out.
        WaitingError
            If the coach has not said yet.
        """
        written = row.text(column)
        others = (Choice("other", other),) if other else ()
        choices = (Choice("keep", f"{written} is right"), *others, LEAVE)
        place = row.at(column)
        key = f"confirm:{place.file}:{place.sheet}:{place.row}:{place.column}:{written}"
        answer = self.findings.ask(key, place, sentence, choices, written)
        if answer == LEAVE.value:
            raise CellError(f"{sentence} It was left out.", column)
        return answer

    def attempt(self, row: ParsedRow, build: Callable[[ParsedRow], Record]) -> Record | None:
        """Build a record of a good row; a refusal leaves the row out, a question lets it wait."""
        if not row.is_good:
            return None
        try:
            return build(row)
        except WaitingError:
            row.is_waiting = True
        except CellError as error:
            row.leave_out(self.findings, str(error), error.column)
        except Refusal as error:
            row.leave_out(self.findings, str(error))
        return None

    def keep_written(self, row: ParsedRow, record: str) -> None:
        """Keep the masses and lengths of a row as they were entered."""
        for key, value in row.values.items():
            if isinstance(value, EnteredMass | EnteredLength):
                self.written.append(Written(row.sheet.key, record, key, value))


def exact(value: Any) -> Any:
    """A domain value from what was entered."""
    if isinstance(value, EnteredMass):
        return value.mass
    if isinstance(value, EnteredLength):
        return value.length
    return value


def merged(known: Any, cls: Callable[..., Any], given: dict[str, Any]) -> Any:
    """A known record with the given fields changed, or a new one."""
    return replace(known, **given) if known is not None else cls(**given)


def folded(name: str) -> str:
    """A person's name for comparing: one form of accents, lower case, single spaces."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())

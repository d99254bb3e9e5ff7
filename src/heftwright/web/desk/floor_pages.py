"""What the page of the coach on the floor may see."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import ClassVar

from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.mass import MassUnit
from heftwright.domain.sheet import ClassSheet, LifterLine, PlatformSheet
from heftwright.domain.sheet.live import Turn
from heftwright.domain.sheet.planned import FloorDraft
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.usecases.attendance import AttendanceState, Attended
from heftwright.web.card.pages import PAIN_PLACES, load_figure
from heftwright.web.render.words import plain

_STEP = {MassUnit.KG: Decimal("2.5"), MassUnit.LB: Decimal(5)}


@dataclass(frozen=True, slots=True)
class FloorPerson:
    """One athlete of the class.

    Parameters
    ----------
    athlete, number, name
        Who.
    state : AttendanceState
        Here unless noted otherwise or away at a contest.
    platform_key : str
        Empty without a bar.
    line : LifterLine or None
        The work; None without a bar.
    lighter, heavier : str
        The load a step down and up, as a figure.
    logged_words : str
        What the log has of tonight.
    next_set : int
        The set that would be logged next.
    is_set_by_hand : bool
        Whether the load was changed on the floor.
    has_no_bar : bool
        Whether the plan left them out; the coach may put them on a platform.
    away_at : str
        Where a contest keeps them unless marked here, "at Harbour Day"; empty: nowhere.
    says_it_hurts : bool
        Whether they said so in this class; where and how much stands among the health notes only.
    """

    athlete: AthleteId
    number: int
    name: str
    state: AttendanceState
    platform_key: str
    line: LifterLine | None
    lighter: str
    heavier: str
    logged_words: str
    next_set: int
    is_set_by_hand: bool
    has_no_bar: bool = False
    away_at: str = ""
    says_it_hurts: bool = False


LIVE_LINKS = (
    "start", "start_back", "round", "people", "move", "turn", "broken", "scheme", "lift", "take",
    "leave", "put_back",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class FloorLinks:
    """Where the acts of the page go."""

    plan: str
    attendance: str
    load: str
    load_back: str
    missed: str
    pain: str
    start: str
    start_back: str
    round: str
    people: str
    move: str
    turn: str
    broken: str
    scheme: str
    lift: str
    take: str
    leave: str
    put_back: str


@dataclass(frozen=True, slots=True)
class FloorTurn:
    """Somebody's turn on a platform.

    Parameters
    ----------
    person : FloorPerson
        Who.
    line : LifterLine
        With the load, the reps and the change of this round.
    place : int
        In the turn order, from 1.
    is_now : bool
        Whether it is their turn.
    sits_out : bool
        Not in this round: the load is that of their next step, else of their last.
    """

    person: FloorPerson
    line: LifterLine
    place: int
    is_now: bool
    sits_out: bool = False

    @property
    def top(self) -> LifterLine | None:
        """The top set on the way up to it; None at the top, or where every set is the same."""
        top = self.person.line
        return top if top and top.is_work_up and top.load != self.line.load else None


@dataclass(frozen=True, slots=True)
class LivePlatform:
    """One platform as it runs.

    Parameters
    ----------
    sheet : PlatformSheet
        Its group in turn order.
    turn : Turn
        Who lifts and who is next.
    done_sets : int
        Rounds that are over.
    people : tuple of FloorPerson
        In turn order.
    is_marked : bool
        Whether the coach has set this platform's clock right.
    """

    sheet: PlatformSheet
    turn: Turn
    done_sets: int
    people: tuple[FloorPerson, ...] = ()
    is_marked: bool = False

    @property
    def round_back(self) -> int | None:
        """What takes a mark back that was a slip; None where there is none."""
        return self.done_sets - 1 if self.is_marked and self.done_sets else None

    @property
    def turns(self) -> tuple[FloorTurn, ...]:
        """Everybody here in turn order with this round's load, reps and change; before the
        class with those of its first round."""
        true = {line.athlete: line for line in self.turn.round_lines}
        planned = {line.athlete: line for line in self.lines}
        number, now = self.number, self.turn.now.athlete if self.turn.now else None
        return tuple(
            FloorTurn(
                one, true.get(one.athlete, planned[one.athlete]), at, is_now=one.athlete == now,
                sits_out=_sits_out(one.line, number),
            )
            for at, one in enumerate(self.people, 1)
        )  # fmt: skip

    @property
    def number(self) -> int:
        """The round that is on; the first before the class."""
        return max(1, self.turn.set_number)

    @property
    def lines(self) -> tuple[LifterLine, ...]:
        """Everybody as they stand in the round that is on: on the way up, this round's step."""
        return tuple(_in_or_after(line, self.number) for line in self.sheet.lifters)

    @property
    def next_done(self) -> int:
        """What "round over" marks."""
        return min(self.done_sets + 1, self.sheet.sets)


@dataclass(frozen=True, slots=True)
class LivePart:
    """The running class on the floor's page.

    Parameters
    ----------
    started_at : datetime or None
        None before the coach started it.
    platforms : tuple of LivePlatform
        In the order of the floor.
    draft : FloorDraft or None
        A change that waits for a yes.
    bands : tuple of (key, words)
        In use tonight: what can break.
    lifts : tuple of (key, name)
        What a half of the class may do instead.
    can_put_back : bool
        Whether there is a plan before this one.
    """

    started_at: datetime | None = None
    platforms: tuple[LivePlatform, ...] = ()
    draft: FloorDraft | None = None
    bands: tuple[tuple[str, str], ...] = ()
    lifts: tuple[tuple[str, str], ...] = ()
    can_put_back: bool = False


@dataclass(frozen=True, slots=True)
class FloorPage:
    """The class on a phone."""

    template: ClassVar[str] = "desk/floor.html"
    area: ClassVar[str] = "today"

    day: date
    title: str
    people: tuple[FloorPerson, ...]
    links: FloorLinks
    day_url: str
    sheet: ClassSheet | None
    is_plan_behind: bool
    problem: str = ""
    live: LivePart = LivePart()
    changed: tuple[str, ...] = ()
    others: tuple[FloorPerson, ...] = ()
    pain_places: tuple[str, ...] = PAIN_PLACES
    pain_scores: tuple[int, ...] = tuple(range(11))


def _sits_out(line: LifterLine | None, number: int) -> bool:
    return line is not None and bool(line.steps) and line.in_round(number) is None


def _in_or_after(line: LifterLine, number: int) -> LifterLine:
    """The line in this round; of somebody who sits it out the next one's, else the last one's."""
    rounds = [step.round_number for step in line.steps]
    later = next((one for one in rounds if one >= number), max(rounds, default=number))
    return line.in_round(later) or line


def people_of(
    athletes: Iterable[Athlete],
    marked: Mapping[AthleteId, Attended],
    sheet: ClassSheet | None,
    logged: Iterable[LoggedSet],
    by_hand: frozenset[AthleteId],
    away: Mapping[AthleteId, str],
) -> tuple[FloorPerson, ...]:
    """Everybody of the class, those with a bar by platform and turn, the others after them;
    ``away``: where a contest keeps somebody who is not marked here."""
    facts = list(logged)
    people = [
        _expected(_person(item, marked, sheet, facts, by_hand), away.get(item.id, ""))
        for item in athletes
    ]
    order = _order(sheet)
    return tuple(sorted(people, key=lambda person: order.get(person.athlete, len(order))))


def _order(sheet: ClassSheet | None) -> dict[AthleteId, int]:
    if sheet is None:
        return {}
    lines = [line.athlete for platform in sheet.platforms for line in platform.lifters]
    return {athlete: place for place, athlete in enumerate(lines)}


def with_pain(
    people: Iterable[FloorPerson], hurting: frozenset[AthleteId]
) -> tuple[FloorPerson, ...]:
    """The same people, with whoever said that it hurts."""
    return tuple(replace(one, says_it_hurts=one.athlete in hurting) for one in people)


def _expected(person: FloorPerson, away_at: str) -> FloorPerson:
    if not away_at:
        return person
    return replace(person, state=AttendanceState.AWAY, away_at=away_at)


def _person(
    athlete: Athlete,
    marked: Mapping[AthleteId, Attended],
    sheet: ClassSheet | None,
    facts: list[LoggedSet],
    by_hand: frozenset[AthleteId],
) -> FloorPerson:
    found = sheet.line_of(athlete.id) if sheet else None
    platform_key, line = (found[0].key, found[1]) if found else ("", None)
    mine = [fact for fact in facts if fact.athlete == athlete.id]
    return FloorPerson(
        athlete=athlete.id,
        number=athlete.number,
        name=athlete.name,
        state=marked[athlete.id].state if athlete.id in marked else AttendanceState.HERE,
        platform_key=platform_key,
        line=line,
        lighter=_nudged(line, -1),
        heavier=_nudged(line, 1),
        logged_words=_logged_words(mine, line),
        next_set=max((fact.set_number for fact in mine), default=0) + 1,
        is_set_by_hand=athlete.id in by_hand,
        has_no_bar=athlete.id in _left_out(sheet),
    )


def _left_out(sheet: ClassSheet | None) -> frozenset[AthleteId]:
    return frozenset(one.athlete for one in sheet.unplaced) if sheet else frozenset()


def _nudged(line: LifterLine | None, steps: int) -> str:
    if line is None:
        return ""
    load = Decimal(load_figure(line)) + steps * _STEP[line.unit]
    return plain(max(load, Decimal(0)), 2)


def _logged_words(mine: list[LoggedSet], line: LifterLine | None) -> str:
    if line is None:
        return ""
    missed = sum(fact.outcome is SetOutcome.MISSED for fact in mine)
    words = f"{len(mine)} of {line.sets} logged"
    return f"{words}, {missed} missed" if missed else words

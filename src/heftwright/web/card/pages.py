"""What the card's template may see."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import ClassVar

from heftwright.domain.log import LoggedSet
from heftwright.domain.mass import MassUnit
from heftwright.domain.sheet import ClassSheet, LifterLine, PlatformSheet
from heftwright.domain.squad import AthleteId
from heftwright.web.render.words import plain

PAIN_PLACES = ("back", "shoulder", "elbow", "wrist", "hip", "knee", "ankle", "elsewhere")
_LOAD_STEPS = {MassUnit.KG: Decimal("2.5"), MassUnit.LB: Decimal(5)}


@dataclass(frozen=True, slots=True)
class CardWork:
    """Tonight's main work of one athlete.

    Parameters
    ----------
    line, platform_key
        The athlete's line and where.
    turn_words : str
        The turn in words, with the people before and after.
    load_figures : tuple of str
        The load of each set as a figure in the line's unit, as it will be logged: on a
        max-effort day the steps of the work-up, never the top load for all of them.
    rep_figures : tuple of str
        The reps of each set, as they will be logged when done as asked.
    attempt_set : int
        From this set on it is an attempt at the day's top, which may speak for a max; 0: none is.
    load_choices, rep_choices, reserve_choices : tuple
        What "changed" offers.
    logged_json : str
        The facts that the gym's server already has.
    is_first_on_empty_bar : bool
        Whether the change that is drawn is for the second set on.
    """

    line: LifterLine
    platform_key: str
    turn_words: str
    load_figures: tuple[str, ...]
    rep_figures: tuple[str, ...]
    attempt_set: int
    load_choices: tuple[str, ...]
    rep_choices: tuple[int, ...]
    logged_json: str
    is_first_on_empty_bar: bool = False
    reserve_choices: tuple[int, ...] = (0, 1, 2, 3, 4, 5)


@dataclass(frozen=True, slots=True)
class CardLinks:
    """Where the card talks to the gym's server."""

    log_url: str
    pain_url: str
    plan_url: str
    readiness_url: str
    worker_url: str


@dataclass(frozen=True, slots=True)
class CardPage:
    """The card of one athlete; without ``work`` the title and words say why."""

    template: ClassVar[str] = "card/card.html"

    gym_name: str
    name: str
    number: int
    links: CardLinks
    work: CardWork | None = None
    no_work_title: str = ""
    no_work_words: str = ""
    rep_work: tuple[str, ...] = ()
    caution: str = ""
    class_key: str = ""
    plan_version: int = 0
    planned_at: datetime | None = None
    on: date | None = None
    is_today: bool = True
    pain_places: tuple[str, ...] = PAIN_PLACES
    pain_scores: tuple[int, ...] = tuple(range(11))


def work_of(
    sheet: ClassSheet, athlete: AthleteId, logged: Iterable[LoggedSet] = ()
) -> CardWork | None:
    """Tonight's main work of an athlete, or None without a place on the floor."""
    found = sheet.line_of(athlete)
    if found is None:
        return None
    platform, line = found
    return CardWork(
        line=line,
        platform_key=platform.key,
        turn_words=_turn_words(platform, line),
        is_first_on_empty_bar=platform.is_first_on_empty_bar(line) and _has_change(line),
        load_figures=tuple(load_figure(line, number) for number in _sets(line)),
        rep_figures=tuple(str(line.reps_of_set(number)) for number in _sets(line)),
        attempt_set=line.sets if line.is_max_attempt else 0,
        load_choices=_load_choices(line),
        rep_choices=tuple(range(max(max(map(line.reps_of_set, _sets(line))) + 2, 4))),
        logged_json=json.dumps(
            [{"set_number": item.set_number, "outcome": item.outcome.value} for item in logged]
        ),
    )


def _has_change(line: LifterLine) -> bool:
    return line.sleeve is not None and bool(line.sleeve.off or line.sleeve.on)


def _sets(line: LifterLine) -> range:
    return range(1, line.sets + 1)


def load_figure(line: LifterLine, set_number: int | None = None) -> str:
    """The load of a set (the top one by default) as a figure, its unit left to stand beside it."""
    load = line.load if set_number is None else line.load_of_set(set_number)
    return load.shown(line.unit).partition(" ")[0]


def _load_choices(line: LifterLine) -> tuple[str, ...]:
    now, step = Decimal(load_figure(line)), _LOAD_STEPS[line.unit]
    around = {now + step * steps for steps in range(-3, 4)}
    steps_up = {Decimal(load_figure(line, number)) for number in _sets(line)}
    return tuple(plain(load, 2) for load in sorted(around | steps_up) if load > 0)


def _turn_words(platform: PlatformSheet, line: LifterLine) -> str:
    lifters = platform.lifters
    if len(lifters) == 1:
        return f"You have platform {platform.key} to yourself."
    place = lifters.index(line)
    before, after = lifters[place - 1], lifters[(place + 1) % len(lifters)]
    if before is after:
        return f"Turn {place + 1} of {len(lifters)}: you and {after.name} take turns."
    return (
        f"Turn {place + 1} of {len(lifters)}: after {before.name}, before {after.name}. "
        "Load for the next lifter when you are done."
    )

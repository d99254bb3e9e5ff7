"""The attempt card: one athlete's contest day on one page to fold into a pocket."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet.class_sheet import CLOSING_CAUTION
from heftwright.paper.press import Paper, PaperError, pressed
from heftwright.pictures.season_words import day_words


@dataclass(frozen=True, slots=True)
class Attempt:
    """One attempt and what to do if it is missed.

    Parameters
    ----------
    name : str
        ``"opener"``, ``"second"``, ``"third"``.
    load : Mass
        What to ask for.
    chance_ratio : float
        How likely it is made, 0–1; shown as a range of words, never as a promise.
    if_missed : str
        The fall-back in words.
    """

    name: str
    load: Mass
    chance_ratio: float
    if_missed: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.chance_ratio <= 1:
            raise PaperError(f"The {self.name}'s chance must be from 0 to 1.")


@dataclass(frozen=True, slots=True)
class WarmUp:
    """One step of the ladder: minutes before the athlete's turn, load and reps."""

    minutes_before: int
    load: Mass
    reps: int


@dataclass(frozen=True, slots=True)
class EventPlan:
    """One event of the day.

    Parameters
    ----------
    name, task : str
        ``"Deadlift medley"``, and what counts there.
    forecast : str
        What is likely, with its range, in words.
    attempts : tuple of Attempt
        In order; none for an event without attempts.
    warm_up : tuple of WarmUp
        Earliest first.
    notes : tuple of str
        What the coach wants remembered.
    """

    name: str
    task: str
    forecast: str = ""
    attempts: tuple[Attempt, ...] = ()
    warm_up: tuple[WarmUp, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AttemptCard:
    """A contest day of one athlete; ``made_at`` is aware, cautions stand on top."""

    contest: str
    on: date
    number: int
    name: str
    contest_class: str
    unit: MassUnit
    events: tuple[EventPlan, ...]
    plan_version: int
    made_at: datetime
    cautions: tuple[str, ...] = ()
    is_minor: bool = False


def attempt_card_pdf(card: AttemptCard, *, paper: Paper = "a4") -> bytes:
    """Print the day: events in order, attempts large with their fall-backs, room for results.

    Raises
    ------
    PaperError
        If the paper is not known, or the contest has no events yet.
    """
    if not card.events:
        raise PaperError(f"{card.contest} has no events yet: enter them, then print the card.")
    data = {
        "gym": card.contest,
        "lift": card.contest,
        "when": f"{day_words(card.on)} {card.on.year}",
        "number": str(card.number),
        "name": card.name,
        "contest_class": card.contest_class,
        "is_minor": card.is_minor,
        "cautions": list(card.cautions),
        "events": [_event(event, card.unit) for event in card.events],
        "plan": f"Plan {card.plan_version}, made {day_words(card.made_at)} {card.made_at:%H:%M}",
        "caution": CLOSING_CAUTION,
    }
    return pressed("attempt_card.typ", data, paper=paper, made_at=card.made_at)


def _event(event: EventPlan, unit: MassUnit) -> dict[str, Any]:
    return {
        "name": event.name,
        "task": event.task,
        "forecast": event.forecast,
        "notes": list(event.notes),
        "attempts": [
            {
                "name": one.name,
                "load": one.load.shown(unit),
                "chance": _chance_words(one.chance_ratio),
                "if_missed": one.if_missed,
            }
            for one in event.attempts
        ],
        "warm_up": [
            f"{step.minutes_before} min before: {step.load.shown(unit)} × {step.reps}"
            for step in event.warm_up
        ],
    }


def _chance_words(ratio: float) -> str:
    """Chances in tens, since nobody knows them better: ``about 8 in 10``."""
    tens = round(10 * ratio)
    if tens >= 10:
        return "more than 9 in 10"
    return f"about {tens} in 10" if tens >= 1 else "less than 1 in 10"

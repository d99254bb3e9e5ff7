"""What is open about the squad: said once here, not at every class (trust.md, rare alerts)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from heftwright.domain.squad import Athlete
from heftwright.domain.strength.evidence import EvidenceKind
from heftwright.domain.strength.one_max import ASK_AFTER_DAYS
from heftwright.usecases import clock
from heftwright.usecases.actor import GymKey
from heftwright.usecases.maxes import get_evidence
from heftwright.usecases.squad import get_squad


@dataclass(frozen=True, slots=True)
class SquadAsk:
    """One thing to settle.

    Parameters
    ----------
    athlete : Athlete
        About whom.
    words : str
        What is open, and what to do.
    is_urgent : bool
        Asked on *Today* as well, because somebody waits for the coach.
    """

    athlete: Athlete
    words: str
    is_urgent: bool = False


def get_squad_asks(*, gym: GymKey) -> tuple[SquadAsk, ...]:
    """Everything open, the urgent first, then by squad number."""
    today = clock.today(gym)
    squad = get_squad(gym=gym)
    found = [
        *(ask for athlete in squad for ask in _asks(athlete, today)),
        *_old_tests(gym, squad, today),
    ]
    return tuple(sorted(found, key=lambda ask: (not ask.is_urgent, ask.athlete.number)))


def get_urgent_asks(*, gym: GymKey) -> tuple[SquadAsk, ...]:
    """Restrictions whose day to ask again has come: the lifts stay off until somebody clears them.

    One query: it stands on the page of every class.
    """
    today = clock.today(gym)
    return tuple(ask for athlete in get_squad(gym=gym) for ask in _restriction_asks(athlete, today))


def _asks(athlete: Athlete, today: date) -> Iterator[SquadAsk]:
    yield from _restriction_asks(athlete, today)
    if athlete.born_on is None:
        words = "No birth date, so counted as under 18: enter it."
        yield SquadAsk(athlete, words)
    if athlete.is_minor_on(today) and not (athlete.guardian.strip() and athlete.supervisor.strip()):
        words = "Under 18 without guardian and named supervisor: no work is planned until both are."
        yield SquadAsk(athlete, words, is_urgent=True)
    if athlete.stature is None:
        words = "No stature on record: enter it, or tape the bar heights, for bands and chains."
        yield SquadAsk(athlete, words)


def _restriction_asks(athlete: Athlete, today: date) -> Iterator[SquadAsk]:
    for rule in athlete.restrictions:
        if rule.asks_on(today):
            what = rule.tag.replace("_", " ")
            words = (
                f"{what.capitalize()} work is off since {rule.since}; ask again since "
                f"{rule.until}. Stays off until cleared by name."
            )
            yield SquadAsk(athlete, words, is_urgent=True)


def _old_tests(gym: GymKey, squad: tuple[Athlete, ...], today: date) -> Iterator[SquadAsk]:
    """Whose newest test of any lift is 12 weeks old."""
    newest: dict[str, date] = {}
    for kept in get_evidence(gym=gym):
        item = kept.evidence
        if item.kind in (EvidenceKind.TEST, EvidenceKind.CONTEST):
            newest[item.athlete] = max(item.on, newest.get(item.athlete, item.on))
    for athlete in squad:
        last = newest.get(athlete.id)
        if last is not None and (today - last).days >= ASK_AFTER_DAYS:
            weeks = (today - last).days // 7
            yield SquadAsk(athlete, f"Last test of any lift {weeks} weeks ago: propose one.")

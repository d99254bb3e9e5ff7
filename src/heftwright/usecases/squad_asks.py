"""What is open about the squad: said once here, not at every class (trust.md, rare alerts)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.domain.dose.health_guards import guards_on_body_mass
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete
from heftwright.domain.strength.evidence import EvidenceKind
from heftwright.domain.strength.one_max import ASK_AFTER_DAYS
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import AuditRow
from heftwright.store.records import RecordKind, split_subject, value_of
from heftwright.usecases import clock
from heftwright.usecases.actor import GymKey
from heftwright.usecases.maxes import get_evidence
from heftwright.usecases.squad import get_squad

MASS_LOOK_BACK_DAYS = 56
LEAST_MASS_DAYS = 5
"""Two body masses closer than this show water, not a loss (ours)."""


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
        *_fast_losses(gym, squad, today),
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


def _fast_losses(gym: GymKey, squad: tuple[Athlete, ...], today: date) -> Iterator[SquadAsk]:
    """Body masses entered in the last eight weeks that fall too fast (trust.md, weight cut)."""
    entered = _body_masses(gym, today)
    for athlete in squad:
        masses = entered.get(athlete.id, [])
        if not masses:
            continue
        last_on, last = masses[-1]
        before = [(on, mass) for on, mass in masses[:-1] if (last_on - on).days >= LEAST_MASS_DAYS]
        if before:
            on, mass = before[-1]
            for guard in guards_on_body_mass(mass, last, (last_on - on).days):
                yield SquadAsk(athlete, guard.sentence)


def _body_masses(gym: GymKey, today: date) -> dict[str, list[tuple[date, Mass]]]:
    """By athlete, what was entered on which day, oldest first, from the trail; one query."""
    zone, since = clock.zone(gym), today - timedelta(days=MASS_LOOK_BACK_DAYS)
    lines = AuditRow.objects.filter(
        gym=find_gym(gym), subject__startswith=f"{RecordKind.ATHLETE}/", at__date__gte=since
    )
    found: dict[str, list[tuple[date, Mass]]] = defaultdict(list)
    for subject, at, document in lines.order_by("at", "pk").values_list("subject", "at", "after"):
        split = split_subject(subject)
        if split is None or document is None:
            continue
        mass = value_of(RecordKind.ATHLETE, document).body_mass
        known = found[split[1]]
        if mass is not None and (not known or known[-1][1] != mass):
            known.append((at.astimezone(zone).date(), mass))
    return found

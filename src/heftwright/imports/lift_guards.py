"""A max against the athlete's other lifts and body mass, for lifts nobody's max is known in.

Asks and never refuses: the prior ratios are a squad's averages, and somebody is always the odd
one. Only what is too heavy is asked about here; too light a max makes nobody lift too much.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import EnteredMass, Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.strength.ratios import load_ratios
from heftwright.imports.gym import Gym
from heftwright.imports.rows import ParsedRow

ATHLETE_LOG_SD = 0.20  # how far one athlete's lifts lie apart; our judgement
USUAL_SDS = 3
MOST_DEADLIFT_KG = 500.0  # about the heaviest ever stood up with; from memory, no source
MOST_DEADLIFT_PER_BODY_MASS = 5.5  # generous; common practice, no source


@dataclass(slots=True)
class OtherLifts:
    """Singles by athlete and lift, known or in the files, as levels of the root lift [kg]."""

    gym: Gym
    singles: dict[AthleteId, dict[LiftKey, Mass]] = field(default_factory=dict)

    def take(self, rows: Iterable[ParsedRow]) -> None:
        """Note the gym's own maxes, and the first good single of each lift in the files."""
        for (athlete, lift), load in self.gym.known.maxes.items():
            self.singles.setdefault(athlete, {})[lift] = load
        for row in rows:
            if row.is_good and row.values.get("reps", 1) == 1:
                self._note(row)

    def _note(self, row: ParsedRow) -> None:
        lift = self.gym.known.catalogue.named(row.values["lift"])
        try:
            athlete = self.gym.athlete(row.values["athlete"], "athlete")
        except Refusal:
            return  # named when the row itself is read
        if lift is not None:
            found = self.singles.setdefault(athlete.id, {})
            found.setdefault(load_ratios().max_key(lift.key), row.values["load"].mass)

    def check(self, row: ParsedRow, athlete: Athlete, lift: LiftKey, entered: EnteredMass) -> None:
        """Ask about a load far above what the other lifts, or the body mass, make likely."""
        why = self._too_heavy(athlete, load_ratios().max_key(lift), entered)
        if why:
            self.gym.confirm(row, "load", f"{entered} is {why}. Is the unit or the lift another?")

    def _too_heavy(self, athlete: Athlete, lift: LiftKey, entered: EnteredMass) -> str:
        load = entered.mass.in_kg
        share, log_sd = _share(lift, athlete), _chain_sd(lift)
        most = MOST_DEADLIFT_KG
        if athlete.body_mass is not None:
            most = min(most, MOST_DEADLIFT_PER_BODY_MASS * athlete.body_mass.in_kg)
        if load > most * share * math.exp(log_sd):
            return _beyond(athlete, entered)
        others = self.singles.get(athlete.id, {})
        levels = sorted(
            (mass.in_kg / _share(one, athlete), _chain_sd(one), one)
            for one, mass in others.items()
            if one != lift
        )
        if not levels:
            return ""
        level, other_sd, other = levels[(len(levels) - 1) // 2]
        spread = math.sqrt(log_sd**2 + other_sd**2 + ATHLETE_LOG_SD**2)
        if load <= level * share * math.exp(USUAL_SDS * spread):
            return ""
        name = self.gym.known.catalogue[other].name
        likely = Mass.nearest_kg(level * share, "1").shown(entered.unit, 0)
        return (
            f"far above what a {name.casefold()} of {others[other].shown(entered.unit)} makes "
            f"likely, about {likely}"
        )


def _beyond(athlete: Athlete, entered: EnteredMass) -> str:
    if athlete.body_mass is None:
        return "beyond what the strongest have been known to lift"
    times = entered.mass.in_kg / athlete.body_mass.in_kg
    return f"{times:.1f} times the body mass of {athlete.body_mass.shown(entered.unit)}"


def _share(lift: LiftKey, athlete: Athlete) -> float:
    """The lift's max as a share of the root lift's, by the prior ratios."""
    return math.prod(row.for_sex(athlete.sex) for row in load_ratios().chain(lift))


def _chain_sd(lift: LiftKey) -> float:
    return math.sqrt(sum(row.log_sd**2 for row in load_ratios().chain(lift)))

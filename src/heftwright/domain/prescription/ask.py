"""What is asked of one athlete tonight, and what is the same for everybody."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from heftwright.domain.catalogue import Lift, Resistance
from heftwright.domain.dose import Scheme
from heftwright.domain.dose.waves import WAVE_TEMPLATES, WaveTemplate
from heftwright.domain.prescription.policy import LoadPolicy
from heftwright.domain.resistance.bar_path import BarPath, UnknownBarPathError, bar_path
from heftwright.domain.resistance.chooser import SweptPaths, swept
from heftwright.domain.resistance.rigs import SetUp
from heftwright.domain.season import SlotWork
from heftwright.domain.season.substitution import OwnTaper
from heftwright.domain.squad import Athlete
from heftwright.domain.strength.belief import Belief

NEAR_CONTEST_DAYS = 14
"""A taper's mean length and one sd on top: 8.6 + 5.0 days (Winwood et al. 2018)."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What is asked of one athlete.

    Parameters
    ----------
    athlete : Athlete
        Who.
    work : SlotWork
        The season's order for the class.
    lift, planned : Lift
        What this athlete does, and what the class does.
    why_instead : str
        Why they differ; empty where they do not.
    belief : Belief
        The athlete's max in ``lift``.
    own_taper : OwnTaper or None
        How this athlete eases for a contest of their own.
    days_to_contest : int or None
        To the athlete's own next contest [d].
    """

    athlete: Athlete
    work: SlotWork
    lift: Lift
    planned: Lift
    why_instead: str
    belief: Belief
    own_taper: OwnTaper | None = None
    days_to_contest: int | None = None

    @property
    def is_near_contest(self) -> bool:
        """A taper week, or the athlete's own contest is within ``NEAR_CONTEST_DAYS``."""
        own = self.days_to_contest is not None and self.days_to_contest <= NEAR_CONTEST_DAYS
        return own or self.work.is_taper


@dataclass(frozen=True, slots=True)
class Evening:
    """What is the same for everybody tonight.

    Parameters
    ----------
    day : date
        Tonight.
    scheme : Scheme
        The class's scheme.
    set_ups : tuple of SetUp
        What the stock can rig tonight.
    policy : LoadPolicy
        The coach's settings.
    waves : Mapping of str to WaveTemplate
        The gym's waves by key: those that ship, and the coach's own in their place.
    swept : SweptPaths or None
        What the set-ups add along everybody's bar path; None: worked out for each.
    """

    day: date
    scheme: Scheme
    set_ups: tuple[SetUp, ...]
    policy: LoadPolicy = LoadPolicy()
    waves: Mapping[str, WaveTemplate] = field(default_factory=lambda: WAVE_TEMPLATES)
    swept: SweptPaths | None = None

    def for_all(self, asks: Sequence[Ask]) -> Evening:
        """The same evening with all bar paths swept at once: quicker than one after another."""
        paths = {path for ask in asks if (path := _banded_path(ask)) is not None}
        ordered = sorted(paths, key=lambda path: (path.start_m, path.end_m, path.source))
        return replace(self, swept=swept(self.set_ups, ordered))


def _banded_path(ask: Ask) -> BarPath | None:
    """Where bands or chains are wanted and the heights are known."""
    if ask.work.resistance is Resistance.STRAIGHT or ask.work.max_effort is not None:
        return None
    try:
        return bar_path(ask.lift, ask.athlete)
    except UnknownBarPathError:
        return None

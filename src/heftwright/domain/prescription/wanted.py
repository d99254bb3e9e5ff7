"""What an athlete should lift before the floor has chosen the exact load, platform and stack."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Slot
from heftwright.domain.dose import Scheme
from heftwright.domain.prescription.cautions import Caution
from heftwright.domain.prescription.reasons import Reason
from heftwright.domain.resistance.bar_path import BarPath
from heftwright.domain.resistance.chooser import RigChoice
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.belief import Belief
from heftwright.domain.strength.formulas import share_of_max

HELD_DOWN_RATIO = 0.97
"""A top set below this much of what the max allows is no attempt at it (common practice)."""


@dataclass(frozen=True, slots=True)
class WantedWork:
    """An athlete's main work for tonight, as far as the athlete alone decides it.

    Parameters
    ----------
    athlete, lift, slot, scheme
        Who does what, how often.
    max_kg : float
        The max all shares are of [kg].
    max_words : str
        Where it comes from.
    is_estimated : bool
        Whether it is an estimate.
    target_kg : float
        Wanted total on the bar with bar and collars [kg], before rounding to plates.
    tolerance_ratio : float
        How far the floor may stray from it, of the max.
    never_above : bool
        Whether it may stray down only: a max-effort load.
    top_ratio : float
        Wanted share at the top from bands or chains; 0 for straight weight.
    top_slack_ratio : float
        How far the top share may stray from it without a price.
    choices : tuple of RigChoice
        Set-ups in stock that give it or come near, best first; empty for straight weight.
    path : BarPath or None
        The athlete's own bar path; None where it is not known.
    reasons, cautions
        Why, and what to mind.
    is_minor : bool
        Under 18, or birth date unknown.
    max_effort : MaxEffortScheme or None
        Max-effort days: what the ramp builds up to.
    belief : Belief or None
        What is believed of the max, for the guards.
    is_top_open : bool
        The steps stop light, and only the coach sets the top set.
    is_near_contest : bool
        A taper week, or the athlete's own contest within two weeks.
    is_taper : bool
        A taper of the squad's or of the athlete's own: fewer repetitions on the way up.
    set_by : str
        The coach who set the load by hand; empty if it was worked out.
    """

    athlete: AthleteId
    lift: LiftKey
    slot: Slot
    scheme: Scheme
    max_kg: float
    max_words: str
    is_estimated: bool
    target_kg: float
    tolerance_ratio: float
    top_ratio: float
    top_slack_ratio: float
    choices: tuple[RigChoice, ...]
    path: BarPath | None
    reasons: tuple[Reason, ...]
    cautions: tuple[Caution, ...]
    is_minor: bool
    max_effort: MaxEffortScheme | None = None
    belief: Belief | None = None
    is_top_open: bool = False
    is_near_contest: bool = False
    is_taper: bool = False
    set_by: str = ""
    never_above: bool = False

    @property
    def aims_at_the_top(self) -> bool:
        """Whether the top set is what the max allows, not held down for an easy week, a minor or
        an old max: only then does making it speak for the max."""
        if self.max_effort is None:
            return False
        allowed_kg = share_of_max(self.max_effort.top_reps) * self.max_kg
        return self.target_kg > HELD_DOWN_RATIO * allowed_kg

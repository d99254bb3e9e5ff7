"""A max in the terminal's tables, in the gym's own unit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass, MassUnit

if TYPE_CHECKING:
    from heftwright.domain.strength.belief import Belief

MAIN_LIFTS = tuple(map(LiftKey, ("deadlift", "back_squat", "bench", "log_clean_press")))


def unit_of(gym: str) -> MassUnit:
    """In which unit this gym's tables are."""
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.gym import get_gym

    return get_gym(gym=GymKey(gym)).unit


def max_now(belief: Belief, unit: MassUnit) -> str:
    """The max with its ±, one standard deviation: ``155 ± 3 kg``."""
    middle = Mass.nearest_kg(belief.median_kg).shown(unit, 0)
    number, _, name = middle.partition(" ")
    spread = Mass.nearest_kg(belief.plus_minus_kg).shown(unit, 0).partition(" ")[0]
    return f"{number} ± {spread} {name}"

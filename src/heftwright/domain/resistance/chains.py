"""What a chain weighs per metre, and how much of it hangs from the bar at every height.

References
----------
DIN 766 (catalogue tables): masses per metre of calibrated round-steel chain.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.band_laws import FloatArray
from heftwright.domain.stock import ChainMassSource

STEEL_KG_M3 = 7850.0
FORMULA_SD_RATIO = 0.04
WEIGHED_SD_RATIO = 0.01


class ChainError(Refusal):
    """A chain whose mass cannot be found from what was measured."""


@dataclass(frozen=True, slots=True)
class ChainSize:
    """One row of a chain standard's table.

    Parameters
    ----------
    standard : str
        Which table.
    wire_mm, pitch_mm, outer_mm : float
        Wire diameter d, pitch t and outer width of a link [mm].
    kg_per_m : float
        Mass as printed [kg/m].
    """

    standard: str
    wire_mm: float
    pitch_mm: float
    outer_mm: float
    kg_per_m: float


CHAIN_TABLE = (
    ChainSize("DIN 766", 6.0, 18.5, 20.2, 0.80),
    ChainSize("DIN 766", 8.0, 24.0, 27.2, 1.40),
    ChainSize("DIN 766", 10.0, 28.0, 34.0, 2.20),
)


def kg_per_m_by_table(standard: str, wire_mm: float) -> float:
    """Mass per metre [kg/m] as the standard prints it.

    Raises
    ------
    ChainError
        If the table has no such row.
    """
    for row in CHAIN_TABLE:
        if (row.standard, row.wire_mm) == (standard, wire_mm):
            return row.kg_per_m
    raise ChainError(
        f"There is no row for {standard} {wire_mm:g} mm: weigh a length of the chain, or measure "
        "wire, pitch and outer width with a calliper."
    )


def kg_per_m_by_calliper(wire_mm: float, pitch_mm: float, outer_mm: float) -> float:
    """Mass per metre [kg/m] from three calliper readings, within 4 % of printed tables.

    A link is two straights of t − b and a ring of mean diameter b + d, where b = outer − 2d, so
    kg/m = (π/4)d²ρ[2(t − b) + π(b + d)]/t.

    Parameters
    ----------
    wire_mm, pitch_mm, outer_mm : float
        Wire diameter d, pitch t (inner length of a link) and outer width [mm]; t ≥ b > 0.

    Raises
    ------
    ChainError
        If no round link has these measures.
    """
    inner_mm = outer_mm - 2 * wire_mm
    if not (wire_mm > 0 and 0 < inner_mm <= pitch_mm):
        raise ChainError(
            f"No link has wire {wire_mm:g} mm, pitch {pitch_mm:g} mm and outer width "
            f"{outer_mm:g} mm: the width must be above twice the wire, and the pitch at least "
            "the inner width. Measure again."
        )
    wire_m2 = np.pi / 4 * (wire_mm / 1000) ** 2
    link_mm = 2 * (pitch_mm - inner_mm) + np.pi * (inner_mm + wire_mm)
    return float(wire_m2 * STEEL_KG_M3 * link_mm / pitch_mm)


def kg_per_m_by_weighing(mass: Mass, length: Length) -> float:
    """Mass per metre [kg/m] of a chain that was weighed whole and measured.

    Raises
    ------
    ChainError
        If mass or length is not above 0.
    """
    if mass.ticks <= 0 or length.ticks <= 0:
        raise ChainError("Weigh the chain and measure its length: both must be above 0.")
    return mass.in_kg / length.in_m


def mass_sd_ratio(known_by: ChainMassSource) -> float:
    """One sd of the mass of a metre, as a fraction: the scale's, or the formula's and table's."""
    return WEIGHED_SD_RATIO if known_by == ChainMassSource.WEIGHED else FORMULA_SD_RATIO


@dataclass(frozen=True, slots=True)
class HangingChain:
    """One chain at one end of the bar.

    Parameters
    ----------
    kg_per_m : float
        μ [kg/m], > 0.
    length_m : float
        ℓ [m], > 0.
    strands : int
        1 hanging by one end, 2 with both ends on the leader.
    leader_m : float
        Length of the leader s [m], ≥ 0.
    leader_kg : float
        Leader and clips [kg], ≥ 0; always counts.
    """

    kg_per_m: float
    length_m: float
    strands: int = 1
    leader_m: float = 0.0
    leader_kg: float = 0.0

    def __post_init__(self) -> None:
        if not (self.kg_per_m > 0 and self.length_m > 0 and self.strands in (1, 2)):
            raise ChainError("A chain needs kg/m > 0, length > 0 and 1 or 2 strands.")
        if not (self.leader_m >= 0 and self.leader_kg >= 0):
            raise ChainError("A leader needs length ≥ 0 and mass ≥ 0.")

    def load_kg(self, height_m: ArrayLike) -> FloatArray:
        """Load of one side [kg] at bar heights above what the chain lies on [m]."""
        drop = np.maximum(np.asarray(height_m, dtype=float) - self.leader_m, 0.0)
        lifted = np.minimum(self.length_m, self.strands * drop)
        return np.asarray(self.leader_kg + self.kg_per_m * lifted)

    def integral_kg_m(self, height_m: ArrayLike) -> FloatArray:
        """∫load from height 0 [kg·m], in closed form."""
        height = np.asarray(height_m, dtype=float)
        drop = np.maximum(height - self.leader_m, 0.0)
        full = self.length_m / self.strands
        rising = np.minimum(drop, full)
        hanging = self.strands * rising**2 / 2 + self.length_m * (drop - rising)
        return np.asarray(self.leader_kg * height + self.kg_per_m * hanging)

    def is_clear(self, height_m: float) -> bool:
        """Whether all of it is off the floor: higher adds nothing, and it swings."""
        return self.strands * (height_m - self.leader_m) >= self.length_m

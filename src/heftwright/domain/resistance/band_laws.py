"""Force laws of a loop band: rising by construction, zero below rest, with closed integrals.

λ is the stretch ratio: path length from anchor to bar over the effective rest length.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from heftwright.domain.refusal import Refusal

FloatArray: TypeAlias = NDArray[np.float64]


class BandLawError(Refusal):
    """Constants of a force law with which the force could fall or be negative."""


@dataclass(frozen=True, slots=True)
class PowerLaw:
    """F = K(λ − 1)ⁿ for λ > 1, else 0.

    Parameters
    ----------
    rest_m : float
        Effective rest length [m], > 0.
    stiffness_kg : float
        K [kg], ≥ 0: the force at twice the rest length.
    exponent : float
        n, > 0.
    """

    rest_m: float
    stiffness_kg: float
    exponent: float

    def __post_init__(self) -> None:
        if not (self.rest_m > 0 and 0 <= self.stiffness_kg < np.inf and self.exponent > 0):
            raise BandLawError("A power law needs rest length > 0, K ≥ 0 and n > 0.")

    def force_kg(self, path_m: ArrayLike) -> FloatArray:
        """Force of one loop at a path length [kg]."""
        strain = np.maximum(np.asarray(path_m, dtype=float) / self.rest_m - 1.0, 0.0)
        return np.asarray(self.stiffness_kg * strain**self.exponent)

    def integral_kg_m(self, path_m: ArrayLike) -> FloatArray:
        """∫F from rest to a path length [kg·m], exact."""
        strain = np.maximum(np.asarray(path_m, dtype=float) / self.rest_m - 1.0, 0.0)
        power = self.exponent + 1.0
        return np.asarray(self.rest_m * self.stiffness_kg * strain**power / power)


@dataclass(frozen=True, slots=True)
class RubberLaw:
    """F = A(λ − λ⁻²) + B(1 − λ⁻³) for λ > 1, else 0 (Mooney–Rivlin form of rubber elasticity).

    Rising, since dF/dλ = A(1 + 2λ⁻³) + 3Bλ⁻⁴ > 0.

    Parameters
    ----------
    rest_m : float
        Effective rest length [m], > 0.
    a_kg, b_kg : float
        A and B [kg], ≥ 0.
    """

    rest_m: float
    a_kg: float
    b_kg: float

    def __post_init__(self) -> None:
        if not (self.rest_m > 0 and 0 <= self.a_kg < np.inf and 0 <= self.b_kg < np.inf):
            raise BandLawError("A rubber law needs rest length > 0, A ≥ 0 and B ≥ 0.")

    def force_kg(self, path_m: ArrayLike) -> FloatArray:
        """Force of one loop at a path length [kg]."""
        stretch = np.maximum(np.asarray(path_m, dtype=float) / self.rest_m, 1.0)
        inverse = 1.0 / stretch
        return np.asarray(
            self.a_kg * (stretch - inverse**2) + self.b_kg * (1.0 - inverse**3), dtype=float
        )

    def integral_kg_m(self, path_m: ArrayLike) -> FloatArray:
        """∫F from rest to a path length [kg·m], exact."""
        stretch = np.maximum(np.asarray(path_m, dtype=float) / self.rest_m, 1.0)
        energy_a = stretch**2 / 2 + 1 / stretch - 1.5
        energy_b = stretch + 1 / (2 * stretch**2) - 1.5
        return np.asarray(self.rest_m * (self.a_kg * energy_a + self.b_kg * energy_b))


BandLaw: TypeAlias = PowerLaw | RubberLaw

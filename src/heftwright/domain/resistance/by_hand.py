"""The same load once more, in plain scalars from first principles, to hold the fast one against.

Nothing of the fast arithmetic is used: rubber's force is the slope of its stored energy (by a
complex step, exact to the last digits), geometry goes through the angle of the band to the
vertical, a chain is counted as what is in the air above the leader. Only the constants of the
fitted curves and the way the rig is built are read from the set-up.
"""

from __future__ import annotations

import math

from heftwright.domain.resistance.band_laws import BandLaw, PowerLaw, RubberLaw
from heftwright.domain.resistance.rigs import BandPart, ChainPart, SetUp
from heftwright.domain.stock import RigKind

_STEP = 1e-40


def load_at(bar_kg: float, setup: SetUp | None, height_m: float) -> float:
    """Total load on the lifter [kg] with the bar's axis at a height above the floor [m]."""
    load_kg = bar_kg
    for part in () if setup is None else setup.parts:
        if isinstance(part, BandPart):
            one_side_kg = _band_kg(part, height_m)
        else:
            one_side_kg = _chain_kg(part, height_m)
        for _side in ("left", "right"):
            for _pair in range(part.pairs):
                load_kg += one_side_kg
    return load_kg


def _band_kg(part: BandPart, height_m: float) -> float:
    """Downward pull of one band: its tension times the cosine of its angle to the vertical."""
    rise_m = height_m - part.peg_height_m
    angle = math.atan2(part.peg_offset_m, rise_m)
    distance_m = math.sqrt(part.peg_offset_m * part.peg_offset_m + rise_m * rise_m)
    return _tension_kg(part, distance_m) * math.cos(angle)


def _tension_kg(part: BandPart, distance_m: float) -> float:
    """Tension between peg and bar: a doubled band is two half-loops, each stretched as a whole."""
    halves = 2 if part.rig == RigKind.DOUBLED else 1
    sides = [halves * _loop_kg(law, halves * distance_m) for law in part.curve.laws]
    return math.fsum(sides) / len(sides)


def _loop_kg(law: BandLaw, length_m: float) -> float:
    if length_m <= law.rest_m:
        return 0.0
    if isinstance(law, PowerLaw):
        log_strain = math.log((length_m - law.rest_m) / law.rest_m)
        return law.stiffness_kg * math.exp(law.exponent * log_strain)
    return _energy_kg(law, complex(length_m / law.rest_m, _STEP)).imag / _STEP


def _energy_kg(law: RubberLaw, stretch: complex) -> complex:
    """Stored energy over rest length, from the invariants of a strip stretched at even volume."""
    first = stretch * stretch + 2 / stretch - 3
    second = 2 * stretch + 1 / (stretch * stretch) - 3
    return law.a_kg / 2 * first + law.b_kg / 2 * second


def _chain_kg(part: ChainPart, height_m: float) -> float:
    """Leader, and the chain in the air: all of it, or the strands between leader and floor."""
    chain, hook_m = part.chain, height_m - part.floor_m - part.leader_m
    if hook_m <= 0:
        return chain.leader.in_kg
    in_air_m = hook_m if part.strands == 1 else hook_m + hook_m
    if in_air_m >= chain.length.in_m:
        in_air_m = chain.length.in_m
    return chain.leader.in_kg + chain.mass_per_m.in_kg * in_air_m

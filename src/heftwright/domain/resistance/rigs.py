"""How bands and chains are fixed, and what they add to the bar at every height.

A band at distance p from its anchor pulls along the line to the anchor; the bar feels the
vertical part F·y/p, y being the height of the bar above the peg (negative from above: unloading).
Since dp = (y/p)·dy, the mean over a range of motion has a closed form for pegs off the line too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from heftwright.domain.height import Length
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.band_laws import FloatArray
from heftwright.domain.resistance.bands import BandCurve, fit_band
from heftwright.domain.resistance.chains import HangingChain, mass_sd_ratio
from heftwright.domain.stock import Band, Chain, RigKind

SIDES = 2
LENGTH_SD_M = 0.01
NO_LENGTH = Length(0)


class RigError(Refusal):
    """A way of fixing that cannot be built."""


@dataclass(frozen=True, slots=True)
class BandPart:
    """Pairs of one band, rigged alike on both sides.

    Parameters
    ----------
    band : Band
        As in the stock.
    curve : BandCurve
        Of one loop.
    rig : RigKind
        Single, choked and from above: the loop as it is; doubled: half the rest length, twice
        the pull of the loop at twice the distance.
    peg_height_m, peg_offset_m : float
        Height of the anchor above the floor and its distance off the bar's vertical line [m].
    pairs : int
        Pairs side by side, ≥ 1.
    """

    band: Band
    curve: BandCurve
    rig: RigKind
    peg_height_m: float = 0.0
    peg_offset_m: float = 0.0
    pairs: int = 1

    def __post_init__(self) -> None:
        if self.pairs < 1:
            raise RigError(f"Band “{self.band.name}”: pairs must be at least 1.")
        if self.peg_height_m < 0 or self.peg_offset_m < 0:
            raise RigError(f"Band “{self.band.name}”: peg height and offset must be 0 or more.")

    @property
    def key(self) -> str:
        """Steady name of the part."""
        count = f"{self.pairs}x" if self.pairs > 1 else ""
        height, offset = round(self.peg_height_m * 1000), round(self.peg_offset_m * 1000)
        return f"{count}{self.band.key}:{self.rig}:{height}+{offset}"

    @property
    def name(self) -> str:
        """The words a coach reads."""
        return f"{self.counted}, {self.fixed}"

    @property
    def counted(self) -> str:
        """Which band and how many pairs: "Grey band pair", "Grey band × 2 pairs"."""
        return f"{self.band.name} " + ("pair" if self.pairs == 1 else f"× {self.pairs} pairs")

    @property
    def fixed(self) -> str:
        """How it is fixed: "doubled, pegs at 6 cm"."""
        return f"{self.rig.value.replace('_', ' ')}, pegs at {Length.nearest_m(self.peg_height_m)}"

    @property
    def folds(self) -> int:
        """2 for a doubled band, else 1."""
        return 2 if self.rig == RigKind.DOUBLED else 1

    def loop_path_m(self, height_m: ArrayLike) -> FloatArray:
        """Length of the plain loop's path [m] that stretches the band as much."""
        return self.folds * np.asarray(np.hypot(self._rise_m(height_m), self.peg_offset_m))

    def tension_kg(self, height_m: ArrayLike) -> FloatArray:
        """What both sides add [kg] at bar heights above the floor [m]; negative unloads."""
        path = self.loop_path_m(height_m)
        return self._all_strands() * self._vertical(height_m) * self.curve.force_kg(path)

    def sd_kg(self, height_m: ArrayLike) -> FloatArray:
        """One sd of it [kg]; both sides share the curve, so their errors add."""
        path = self.loop_path_m(height_m)
        sd = self.curve.sd_kg(path)
        return self._all_strands() * np.abs(self._vertical(height_m)) * sd

    def integral_kg_m(self, height_m: ArrayLike) -> FloatArray:
        """∫tension over height [kg·m], up to a constant, in closed form."""
        path = self.loop_path_m(height_m)
        return SIDES * self.pairs * self.curve.integral_kg_m(path)

    def longest_loop_m(self, lo_m: float, hi_m: float) -> float:
        """Longest loop path [m] on the way between two bar heights."""
        rise_m = max(abs(lo_m - self.peg_height_m), abs(hi_m - self.peg_height_m))
        return self.folds * hypot(rise_m, self.peg_offset_m)

    def is_slack_at(self, height_m: float) -> bool:
        """Whether the band hangs loose at a bar height."""
        return self.longest_loop_m(height_m, height_m) <= self.curve.rest_m

    def _rise_m(self, height_m: ArrayLike) -> FloatArray:
        return np.asarray(height_m, dtype=float) - self.peg_height_m

    def _vertical(self, height_m: ArrayLike) -> FloatArray:
        rise = self._rise_m(height_m)
        path = np.hypot(rise, self.peg_offset_m)
        return np.asarray(rise / np.where(path > 0, path, 1.0))

    def _all_strands(self) -> int:
        return SIDES * self.pairs * self.folds


@dataclass(frozen=True, slots=True)
class ChainPart:
    """Pairs of one chain, hung alike on both sides.

    Parameters
    ----------
    chain : Chain
        As in the stock.
    strands : int
        1 by one end, 2 with both ends on the leader.
    leader_m : float
        Leader length [m].
    pairs : int
        Pairs side by side, ≥ 1.
    floor_m : float
        Height of what the chain lies on above the floor [m].
    """

    chain: Chain
    strands: int = 1
    leader_m: float = 0.0
    pairs: int = 1
    floor_m: float = 0.0

    def __post_init__(self) -> None:
        if self.pairs < 1:
            raise RigError(f"Chain “{self.chain.name}”: pairs must be at least 1.")
        self.hanging()

    @property
    def key(self) -> str:
        """Steady name of the part."""
        count = f"{self.pairs}x" if self.pairs > 1 else ""
        way = "single" if self.strands == 1 else "looped"
        return f"{count}{self.chain.key}:{way}:{round(self.leader_m * 1000)}"

    @property
    def name(self) -> str:
        """The words a coach reads."""
        count = "pair" if self.pairs == 1 else f"× {self.pairs} pairs"
        way = "hanging by one end" if self.strands == 1 else "both ends up"
        leader = f", leader {Length.nearest_m(self.leader_m)}" if self.leader_m else ""
        return f"{self.chain.name} {count}, {way}{leader}"

    def hanging(self) -> HangingChain:
        """One chain of it."""
        return HangingChain(
            kg_per_m=self.chain.mass_per_m.in_kg,
            length_m=self.chain.length.in_m,
            strands=self.strands,
            leader_m=self.leader_m,
            leader_kg=self.chain.leader.in_kg,
        )

    def tension_kg(self, height_m: ArrayLike) -> FloatArray:
        """What both sides add [kg] at bar heights above the floor [m]."""
        return SIDES * self.pairs * self.hanging().load_kg(self._above(height_m))

    def sd_kg(self, height_m: ArrayLike) -> FloatArray:
        """One sd of it [kg]: weighing, and 1 cm of height while links are on the floor."""
        height = np.asarray(height_m, dtype=float)
        step = LENGTH_SD_M
        slope = (self.tension_kg(height + step) - self.tension_kg(height - step)) / 2
        ratio = mass_sd_ratio(self.chain.known_by)
        return np.hypot(ratio * self.tension_kg(height), slope)

    def integral_kg_m(self, height_m: ArrayLike) -> FloatArray:
        """∫tension over height [kg·m], up to a constant, in closed form."""
        return SIDES * self.pairs * self.hanging().integral_kg_m(self._above(height_m))

    def _above(self, height_m: ArrayLike) -> FloatArray:
        return np.asarray(height_m, dtype=float) - self.floor_m


RigPart: TypeAlias = BandPart | ChainPart


def band_part(
    band: Band,
    rig: RigKind = RigKind.CHOKED,
    *,
    peg_height: Length = NO_LENGTH,
    peg_offset: Length = NO_LENGTH,
    pairs: int = 1,
) -> BandPart:
    """Pairs of a band with the curve of its calibration in that rig."""
    curve = fit_band(band, rig=rig)
    return BandPart(band, curve, rig, peg_height.in_m, peg_offset.in_m, pairs)


def chain_part(
    chain: Chain, *, is_looped: bool = False, leader: Length = NO_LENGTH, pairs: int = 1
) -> ChainPart:
    """Pairs of a chain, hanging by one end or looped with both ends on the leader."""
    return ChainPart(chain, 2 if is_looped else 1, leader.in_m, pairs)


@dataclass(frozen=True, slots=True)
class SetUp:
    """Bands and chains on one bar, both sides alike.

    Parameters
    ----------
    key : str
        Steady name.
    name : str
        The words a coach reads.
    parts : tuple of RigPart
        At least one.
    """

    key: str
    name: str
    parts: tuple[RigPart, ...]

    def __post_init__(self) -> None:
        if not self.parts:
            raise RigError(f"Set-up “{self.name}” has no band and no chain: name at least one.")

    @property
    def band_parts(self) -> tuple[BandPart, ...]:
        """Its bands."""
        return tuple(part for part in self.parts if isinstance(part, BandPart))

    @property
    def chain_parts(self) -> tuple[ChainPart, ...]:
        """Its chains."""
        return tuple(part for part in self.parts if isinstance(part, ChainPart))

    @property
    def is_guess(self) -> bool:
        """Whether a band of it was never measured."""
        return any(part.curve.is_guess for part in self.band_parts)

    def is_slack_at(self, height_m: float) -> bool:
        """Whether a band of it hangs loose at a bar height."""
        return any(part.is_slack_at(height_m) for part in self.band_parts)

    @property
    def notes(self) -> tuple[str, ...]:
        """What the calibrations say, each once."""
        return tuple(dict.fromkeys(note for part in self.band_parts for note in part.curve.notes))

    def band_key_counts(self) -> Mapping[str, int]:
        """Pairs of each band used, by stock key."""
        counts: Counter[str] = Counter()
        for part in self.band_parts:
            counts[part.band.key] += part.pairs
        return dict(counts)

    def chain_key_counts(self) -> Mapping[str, int]:
        """Pairs of each chain used, by stock key."""
        counts: Counter[str] = Counter()
        for part in self.chain_parts:
            counts[part.chain.key] += part.pairs
        return dict(counts)

    def tension_kg(self, height_m: ArrayLike) -> FloatArray:
        """What both sides TOGETHER add [kg] at bar heights above the floor [m]."""
        return np.asarray(sum(part.tension_kg(height_m) for part in self.parts))

    def sd_kg(self, height_m: ArrayLike) -> FloatArray:
        """One standard deviation of it [kg]; two parts of one band share their error."""
        by_stock_key: dict[str, FloatArray] = {}
        for part in self.parts:
            key = _stock_key(part)
            by_stock_key[key] = by_stock_key.get(key, np.float64(0)) + part.sd_kg(height_m)
        return np.asarray(np.sqrt(sum(sd**2 for sd in by_stock_key.values())))

    def mean_kg(self, lo_m: float, hi_m: float) -> float:
        """Mean [kg] over a range of motion, exact: (bottom + top)/2 underestimates."""
        if lo_m == hi_m:
            return float(self.tension_kg(lo_m))
        return float(self.means_kg([[lo_m, hi_m]])[0])

    def means_kg(self, ends_m: ArrayLike) -> FloatArray:
        """Means [kg] over many ranges: rows of (lower, upper) bar heights [m], lower < upper."""
        ends = np.asarray(ends_m, dtype=float)
        work = np.asarray(sum(part.integral_kg_m(ends) for part in self.parts))
        return np.asarray((work[:, 1] - work[:, 0]) / (ends[:, 1] - ends[:, 0]))


def set_up(*parts: RigPart) -> SetUp:
    """A set-up named after its parts."""
    return SetUp(
        key="&".join(part.key for part in parts),
        name=_name_of(parts),
        parts=parts,
    )


def _name_of(parts: tuple[RigPart, ...]) -> str:
    """Parts in words; bands fixed alike say how only once."""
    bands = [part for part in parts if isinstance(part, BandPart)]
    if len(bands) == len(parts) > 1 and len({band.fixed for band in bands}) == 1:
        return " and ".join(band.counted for band in bands) + f", both {bands[0].fixed}"
    return " and ".join(part.name for part in parts)


def _stock_key(part: RigPart) -> str:
    if isinstance(part, BandPart):
        return f"band {part.band.key}"
    return f"chain {part.chain.key}"

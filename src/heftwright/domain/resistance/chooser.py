"""Which rigs the gym can build, and which of them gives an athlete the wanted share at the top."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import combinations
from math import erf, sqrt

import numpy as np

from heftwright.domain.height import Length
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.band_laws import FloatArray
from heftwright.domain.resistance.bands import fit_band
from heftwright.domain.resistance.bar_path import BarPath
from heftwright.domain.resistance.limits import band_stops, chain_stops, reach_stops, setup_notes
from heftwright.domain.resistance.rigs import BandPart, SetUp, band_part, chain_part, set_up
from heftwright.domain.stock import Band, Platform, RigKind, Stock

FROM_ABOVE_FROM = Length.m("1.5")
MOST_CHAIN_PAIRS = 3
RANK_STEP_RATIO = 0.005
SLACK_STEPS = 4  # a loose band may slip off: worth two points of share, common practice
LEAST_GAIN_RATIO = 0.10  # of the top; less than that is straight weight in another shape
SQRT_2 = sqrt(2.0)


class ChoiceError(Refusal):
    """A wish for a share at the top that cannot be read."""


@dataclass(frozen=True, slots=True, order=True)
class Peg:
    """An anchor: height above the floor and distance off the bar's line."""

    height: Length
    offset: Length


@dataclass(frozen=True, slots=True)
class RigChoice:
    """One set-up for one athlete.

    Parameters
    ----------
    setup : SetUp
        Which.
    bottom_kg, top_kg, mean_kg : float
        What it adds at the bottom, at the top and on average [kg].
    top_ratio : float
        Of the lift's max.
    top_sd_kg : float
        One sd of the top, with the ± of the lockout height [kg].
    is_within : bool
        Inside the tolerated range, growing on the way up, and nothing against the
        stretch or the pull.
    within_probability : float
        That the true share lies in the range, given the ±, 0–1.
    stops : tuple of str
        Why it must not be used by this athlete.
    notes : tuple of str
        What to know.
    """

    setup: SetUp
    bottom_kg: float
    top_kg: float
    mean_kg: float
    top_ratio: float
    top_sd_kg: float
    is_within: bool
    within_probability: float
    stops: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WantedShare:
    """The wanted share of one athlete's max, and what is tolerated.

    Parameters
    ----------
    max_kg : float
        The lift's max [kg], > 0.
    wanted_ratio, lo_ratio, hi_ratio : float
        lo ≤ wanted ≤ hi; negative where bands from above are wanted.
    is_on_average : bool
        Whether the mean over the motion is wanted; else the top.
    """

    max_kg: float
    wanted_ratio: float
    lo_ratio: float
    hi_ratio: float
    is_on_average: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.max_kg < np.inf:
            raise ChoiceError(f"A max of {self.max_kg} kg gives no shares: it must be above 0.")
        if not self.lo_ratio <= self.wanted_ratio <= self.hi_ratio:
            raise ChoiceError(
                f"The wanted share {self.wanted_ratio:g} must lie between {self.lo_ratio:g} and "
                f"{self.hi_ratio:g}."
            )

    def ratio_of(self, top_kg: float, mean_kg: float) -> float:
        """The share that counts, of the max."""
        return (mean_kg if self.is_on_average else top_kg) / self.max_kg


def left_out(stock: Stock, today: date) -> tuple[str, ...]:
    """Sentences for every band and chain that is not offered, with what to do."""
    bands = tuple(reason for band in stock.bands for reason in _why_not(band, today))
    return (*bands, *(reason for chain in stock.chains for reason in chain_stops(chain)))


def _why_not(band: Band, today: date) -> tuple[str, ...]:
    if band.pairs == 0:
        return (f"Band “{band.name}”: no pair in stock.",)
    stops = band_stops(band, today)
    if stops:
        return stops
    try:
        curves = [fit_band(band, rig=rig) for rig in _rigs_of(band)]
    except Refusal as refusal:
        return (str(refusal),)
    return curves[0].notes if curves[0].is_guess else ()


def possible_setups(stock: Stock, today: date, *, has_mixed: bool = False) -> tuple[SetUp, ...]:
    """All sensible rigs from calibrated bands in stock on the platforms' pegs, and chains.

    Single bands and pairs of bands, plain (choked or single, as they were read) and doubled, on
    every peg height some platform has; pegs above 1.5 m unload. Chains by one end and looped.

    Parameters
    ----------
    stock : Stock
        Bands that are retired, overdue or never read, and chains without a day of weighing, are
        left out: see ``left_out``.
    today : date
        For retirement and inspection.
    has_mixed : bool
        Also one band with one pair of chains.
    """
    bands = [band for band in stock.bands if not _why_not(band, today)]
    chains = list(_chain_setups(stock))
    singles: list[SetUp] = []
    doubles: list[SetUp] = []
    for peg in _pegs(stock.platforms):
        for doubled in (False, True):
            parts = list(_parts_on(peg, bands, is_doubled=doubled))
            singles += [set_up(part) for part in parts]
            doubles += list(_two_band_setups(parts))
    mixed = (
        set_up(*band.parts, *chain.parts)
        for band in singles
        for chain in chains
        if has_mixed and chain.chain_parts[0].pairs == 1
    )
    return (*singles, *doubles, *chains, *mixed)


def _pegs(platforms: Sequence[Platform]) -> list[Peg]:
    return sorted(
        {
            Peg(height, platform.peg_offset)
            for platform in platforms
            for height in platform.peg_heights
        }
    )


def _parts_on(peg: Peg, bands: Sequence[Band], *, is_doubled: bool) -> Iterator[BandPart]:
    is_above = peg.height >= FROM_ABOVE_FROM
    if is_above and is_doubled:
        return
    for band in bands:
        rig = RigKind.DOUBLED if is_doubled else _plain_rig(band)
        rig = RigKind.FROM_ABOVE if is_above else rig
        yield band_part(band, rig, peg_height=peg.height, peg_offset=peg.offset)


def _rigs_of(band: Band) -> tuple[RigKind, ...]:
    return (_plain_rig(band), RigKind.DOUBLED, RigKind.FROM_ABOVE)


def _plain_rig(band: Band) -> RigKind:
    rigs = {reading.rig for reading in band.readings}
    is_read_single = RigKind.SINGLE in rigs and RigKind.CHOKED not in rigs
    return RigKind.SINGLE if is_read_single else RigKind.CHOKED


def _two_band_setups(parts: Sequence[BandPart]) -> Iterator[SetUp]:
    for one, other in combinations(parts, 2):
        yield set_up(one, other)
    for part in parts:
        if part.band.pairs >= 2:
            yield set_up(replace(part, pairs=2))


def _chain_setups(stock: Stock) -> Iterator[SetUp]:
    known = (chain for chain in stock.chains if not chain_stops(chain))
    for chain in known:
        for pairs in range(1, min(chain.pairs, MOST_CHAIN_PAIRS) + 1):
            for is_looped in (False, True):
                yield set_up(chain_part(chain, is_looped=is_looped, pairs=pairs))


def fits_platform(setup: SetUp, platform: Platform) -> bool:
    """Whether the platform has every peg the set-up needs; chains need none."""
    return all(
        Length.nearest_m(part.peg_height_m) in platform.peg_heights
        and Length.nearest_m(part.peg_offset_m) == platform.peg_offset
        for part in setup.band_parts
    )


def free_at_once(setup: SetUp, stock: Stock) -> int:
    """How many platforms can have this set-up at the same time."""
    bands = {band.key: band.pairs for band in stock.bands}
    chains = {chain.key: chain.pairs for chain in stock.chains}
    counts = [bands.get(key, 0) // used for key, used in setup.band_key_counts().items()]
    counts += [chains.get(key, 0) // used for key, used in setup.chain_key_counts().items()]
    return min(counts)


def choose(
    setups: Sequence[SetUp],
    path: BarPath,
    max_kg: float,
    *,
    wanted_ratio: float,
    lo_ratio: float,
    hi_ratio: float,
) -> tuple[RigChoice, ...]:
    """Set-ups for one athlete, best first.

    Usable before not, inside the range before outside, then by distance from the wanted share in
    steps of half a point (loose at the bottom counts as four), fewer pairs, and the smaller ±.

    Raises
    ------
    ChoiceError
        If the max is not above 0 or the range is out of order.
    """
    wanted = WantedShare(max_kg, wanted_ratio, lo_ratio, hi_ratio)
    return swept(setups, [path]).choose(path, wanted)


@dataclass(frozen=True, slots=True)
class SweptPaths:
    """What every set-up adds along the bar paths of a class, worked out in one go.

    Parameters
    ----------
    setups : tuple of SetUp
        To choose from.
    rows : Mapping
        Bar path -> for each set-up bottom, top, mean and sd of the top [kg].
    """

    setups: tuple[SetUp, ...]
    rows: Mapping[BarPath, tuple[FloatArray, ...]]

    def choose(self, path: BarPath, wanted: WantedShare) -> tuple[RigChoice, ...]:
        """Set-ups for one athlete, best first, as in `choose`; any other path is swept now."""
        if path not in self.rows:
            return swept(self.setups, [path]).choose(path, wanted)
        return _ranked(self.setups, self.rows[path], path, wanted)


def swept(setups: Sequence[SetUp], paths: Sequence[BarPath]) -> SweptPaths:
    """All paths in one sweep over the heights; no paths are an empty class."""
    if not paths:
        return SweptPaths(tuple(setups), {})
    ends = np.array([[path.start_m, path.end_m] for path in paths])
    end_sd = np.array([path.sd_m for path in paths])
    sweeps = [_sweep(setup, ends, end_sd) for setup in setups]
    rows = {path: tuple(sweep[:, i] for sweep in sweeps) for i, path in enumerate(paths)}
    return SweptPaths(tuple(setups), rows)


def choose_for_class(
    setups: Sequence[SetUp], paths: Sequence[BarPath], wanted: Sequence[WantedShare]
) -> tuple[tuple[RigChoice, ...], ...]:
    """The same for everybody in a class, in the order given, in one sweep over the heights."""
    rows = swept(setups, paths)
    return tuple(rows.choose(path, wish) for path, wish in zip(paths, wanted, strict=True))


def _sweep(setup: SetUp, ends: FloatArray, end_sd: FloatArray) -> FloatArray:
    """Rows bottom, top, mean and sd of the top [kg]; a column an athlete."""
    bottom, top = setup.tension_kg(ends).T
    end = ends[:, 1]
    by_height = (setup.tension_kg(end + end_sd) - setup.tension_kg(end - end_sd)) / 2
    top_sd = np.hypot(setup.sd_kg(end), by_height)
    return np.stack([bottom, top, setup.means_kg(ends), top_sd])


def _ranked(
    setups: Sequence[SetUp], rows: Sequence[FloatArray], path: BarPath, wish: WantedShare
) -> tuple[RigChoice, ...]:
    pairs = zip(setups, rows, strict=True)
    choices = [_choice(setup, row.tolist(), path, wish) for setup, row in pairs]
    return tuple(sorted(choices, key=lambda choice: _rank(choice, path, wish)))


def _rank(
    choice: RigChoice, path: BarPath, wish: WantedShare
) -> tuple[bool, bool, int, int, float, str]:
    ratio = wish.ratio_of(choice.top_kg, choice.mean_kg)
    steps = round(abs(ratio - wish.wanted_ratio) / RANK_STEP_RATIO)
    if choice.setup.is_slack_at(path.start_m):
        steps += SLACK_STEPS
    pairs = sum(part.pairs for part in choice.setup.parts)
    return (
        bool(choice.stops),
        not choice.is_within,
        steps,
        pairs,
        choice.top_sd_kg,
        choice.setup.key,
    )


def _choice(setup: SetUp, row: Sequence[float], path: BarPath, wish: WantedShare) -> RigChoice:
    bottom_kg, top_kg, mean_kg, sd_kg = row
    ends = (path.start_m, path.end_m)
    stops = tuple(stop for part in setup.band_parts for stop in reach_stops(part, ends))
    ratio = wish.ratio_of(top_kg, mean_kg)
    is_flat = top_kg - bottom_kg < LEAST_GAIN_RATIO * abs(top_kg)  # nothing falls on the way up
    flat = (f"{setup.name}: adds nearly the same all the way, like plates.",) if is_flat else ()
    return RigChoice(
        setup=setup,
        bottom_kg=bottom_kg,
        top_kg=top_kg,
        mean_kg=mean_kg,
        top_ratio=top_kg / wish.max_kg,
        top_sd_kg=sd_kg,
        is_within=wish.lo_ratio <= ratio <= wish.hi_ratio and not stops and not is_flat,
        within_probability=_within(ratio, sd_kg / wish.max_kg, wish),
        stops=stops,
        notes=setup_notes(setup, path) + flat,
    )


def _within(ratio: float, sd_ratio: float, wish: WantedShare) -> float:
    """Normal chance that the true share is in the range; certain where nothing is uncertain."""
    if sd_ratio == 0:
        return float(wish.lo_ratio <= ratio <= wish.hi_ratio)
    high, low = (wish.hi_ratio - ratio) / sd_ratio, (wish.lo_ratio - ratio) / sd_ratio
    return 0.5 * (erf(high / SQRT_2) - erf(low / SQRT_2))

"""From tonight's wanted work and the stock to a floor problem."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from heftwright.domain.catalogue import BarPathKind, Catalogue, Implement
from heftwright.domain.dose import Scheme
from heftwright.domain.floor.policy import FloorPolicy
from heftwright.domain.floor.problem import (
    STRAIGHT,
    FloorPlate,
    FloorPlatform,
    FloorProblem,
    FloorSetUp,
    Lifter,
)
from heftwright.domain.mass import Mass
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.resistance.chooser import fits_platform
from heftwright.domain.resistance.loaded_bar import sleeve_room
from heftwright.domain.resistance.rigs import SetUp
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.stock import Bar, PlatePair, Platform, Stock

MOST_SET_UPS = 24
OUTSIDE_RANGE_S = 200.0
PER_POINT_S = 100.0
MICRO_RATIO = 0.01
_RACK_PATTERNS = frozenset({"squat", "bench", "overhead"})
_FROM_FLOOR = frozenset({BarPathKind.PULL, BarPathKind.FLOOR_TO_OVERHEAD})


@dataclass(frozen=True, slots=True)
class TonightsFloor:
    """A floor problem, and what its keys stand for.

    Parameters
    ----------
    problem : FloorProblem
        For the solver.
    set_ups : Mapping
        Set-up key -> the rig; straight weight is not in it.
    bars : Mapping
        Platform key -> the bar on it.
    """

    problem: FloorProblem
    set_ups: Mapping[str, SetUp]
    bars: Mapping[str, Bar]


def tonights_floor(
    wanted: Sequence[WantedWork],
    athletes: Mapping[AthleteId, Athlete],
    stock: Stock,
    catalogue: Catalogue,
    scheme: Scheme,
    policy: FloorPolicy,
) -> TonightsFloor:
    """Build tonight's floor problem.

    Parameters
    ----------
    wanted : sequence of WantedWork
        Everybody who lifts a bar tonight.
    athletes : Mapping
        Who they are.
    stock : Stock
        Platforms, bars, plates and bands at hand.
    catalogue : Catalogue
        For implements and racks.
    scheme : Scheme
        The class's scheme.
    policy : FloorPolicy
        The coach's prices.
    """
    set_ups = _set_ups(wanted)
    kinds = Counter(catalogue[work.lift].implement for work in wanted)
    starts = Counter(_start(work, catalogue) for work in wanted)
    from_floor = any(start.is_from_floor for start in starts)
    bars = assign_bars(stock, kinds, policy.group_max)
    platforms = [platform for platform in stock.platforms if platform.key in bars]
    places = start_places(platforms, bars, starts, policy.group_max)
    mixed = len({start.is_from_floor for start in starts}) > 1
    lifters = tuple(
        replace(
            _lifter(work, athletes[work.athlete], catalogue, set_ups),
            bar=_start(work, catalogue).called(mixed=mixed),
        )
        for work in wanted
    )
    problem = FloorProblem(
        lifters=lifters,
        platforms=tuple(
            replace(
                _platform(item, bars[item.key], set_ups),
                bar=places[item.key].called(mixed=mixed),
                starts_on_floor=places[item.key].is_from_floor if mixed else None,
            )
            for item in platforms
        ),
        plates=tuple(
            FloorPlate(
                plate.key,
                plate.mass,
                plate.pairs,
                plate.is_full_diameter,
                thickness_mm=plate.thickness.in_mm,
            )
            for plate in stock.plates
            if not _is_too_small(plate, wanted)
        ),
        set_ups=(FloorSetUp(STRAIGHT), *(_floor_set_up(item) for item in set_ups.values())),
        bands=_pairs_in_stock(stock),
        schemes=(scheme,),
        policy=replace(policy, starts_on_floor=from_floor),
    )
    return TonightsFloor(problem, set_ups, bars)


@dataclass(frozen=True, slots=True, order=True)
class Start:
    """Where a lift starts with which implement: what a platform is laid out for.

    Parameters
    ----------
    implement : Implement
        Kind of bar.
    is_from_floor : bool
        The bar stands on its plates; else it lies in the rack or on blocks.
    """

    implement: Implement
    is_from_floor: bool

    def called(self, *, mixed: bool) -> str:
        """The kind in words; where some pull while others squat, the start belongs to it."""
        if not mixed:
            return self.implement.shown
        return f"{self.implement.shown} {'on the floor' if self.is_from_floor else 'in a rack'}"


def _start(work: WantedWork, catalogue: Catalogue) -> Start:
    lift = catalogue[work.lift]
    return Start(lift.implement, lift.bar_path in _FROM_FLOOR)


def start_places(
    platforms: Sequence[Platform], bars: Mapping[str, Bar], starts: Counter[Start], group_max: int
) -> dict[str, Start]:
    """What each platform is laid out for: two half-classes share the platforms of one implement.

    Every start gets the platforms that its people need, racks first for lifts from the rack; the
    others go to whoever has most people a platform.
    """
    laid: dict[str, Start] = {}
    for implement in dict.fromkeys(start.implement for start in starts):
        mine = [item for item in platforms if bars[item.key].implement == implement]
        of_it = {start: count for start, count in starts.items() if start.implement == implement}
        laid |= _shared_out(mine, of_it, group_max)
    return laid


def _shared_out(
    platforms: Sequence[Platform], people: dict[Start, int], group_max: int
) -> dict[str, Start]:
    laid: dict[str, Start] = {}
    have: Counter[Start] = Counter()
    for platform in sorted(platforms, key=lambda item: not item.has_rack):
        short = [s for s in people if have[s] * group_max < people[s]]
        racked = [s for s in short if not s.is_from_floor and platform.has_rack]
        open_to = racked or [s for s in short if s.is_from_floor] or list(people)
        neediest = max(open_to, key=lambda s: (people[s] / (have[s] or 0.5), s.is_from_floor))
        laid[platform.key] = neediest
        have[neediest] += 1
    return laid


def _is_too_small(plate: PlatePair, wanted: Sequence[WantedWork]) -> bool:
    """Micro plates stay in the box where a pair is under 1 % of the usual load tonight."""
    targets = sorted(work.target_kg for work in wanted)
    middle_kg = targets[len(targets) // 2] if targets else 0.0
    return 2 * plate.mass.in_kg < MICRO_RATIO * middle_kg


def _set_ups(wanted: Sequence[WantedWork]) -> dict[str, SetUp]:
    """The set-ups that suit most people, at most 24; nobody loses their only one."""
    by_key = {c.setup.key: c.setup for work in wanted for c in work.choices}
    votes = Counter(c.setup.key for work in wanted for c in work.choices if c.is_within)
    kept = {key for key, _ in votes.most_common(MOST_SET_UPS)}
    kept |= {work.choices[0].setup.key for work in wanted if work.choices}
    return {key: setup for key, setup in by_key.items() if key in kept}


def assign_bars(stock: Stock, kinds: Counter[Implement], group_max: int) -> dict[str, Bar]:
    """Which bar lies on which platform: enough of every kind wanted, the rest to the largest.

    Raises nothing: a kind with too few bars gets what there is, and the floor plan says who is
    left over.
    """
    shelves = {kind: _shelf(stock, kind) for kind in kinds}
    take = {
        kind: min(math.ceil(count / group_max), len(shelves[kind])) for kind, count in kinds.items()
    }
    free = len(stock.platforms) - sum(take.values())
    while free > 0:
        open_kinds = [k for k in kinds if take[k] < min(len(shelves[k]), kinds[k])]
        if not open_kinds:
            break
        neediest = max(open_kinds, key=lambda k: (kinds[k] / (take[k] or 0.5), k.value))
        take[neediest] += 1
        free -= 1
    return _lay_out(stock.platforms, shelves, take)


def _shelf(stock: Stock, kind: Implement) -> list[Bar]:
    return [bar for bar in stock.bars_of(kind) for _ in range(bar.count)]


def _lay_out(
    platforms: Sequence[Platform],
    shelves: Mapping[Implement, list[Bar]],
    take: dict[Implement, int],
) -> dict[str, Bar]:
    bars = [bar for kind, count in take.items() for bar in shelves[kind][:count]]
    return {platform.key: bar for platform, bar in zip(platforms, bars, strict=False)}


def _platform(platform: Platform, bar: Bar, set_ups: Mapping[str, SetUp]) -> FloorPlatform:
    allowed = {key for key, setup in set_ups.items() if fits_platform(setup, platform)}
    return FloorPlatform(
        key=platform.key,
        bar=bar.implement.shown,
        empty_bar=bar.empty,
        has_rack=platform.has_rack,
        set_ups=frozenset(allowed | {STRAIGHT}),
        sleeve_mm=max(0.0, sleeve_room(bar, (), has_collar=bool(bar.collar)).in_mm),
    )


def _lifter(
    work: WantedWork, athlete: Athlete, catalogue: Catalogue, set_ups: Mapping[str, SetUp]
) -> Lifter:
    lift = catalogue[work.lift]
    return Lifter(
        athlete=work.athlete,
        target=Mass.nearest_kg(work.target_kg),
        max_kg=work.max_kg,
        bar=lift.implement.shown,
        set_ups=_prices(work, set_ups),
        tolerance_ratio=work.tolerance_ratio,
        never_above=work.never_above,
        needs_rack=lift.pattern.value in _RACK_PATTERNS and "rack" in lift.kit,
        is_minor=work.is_minor,
        name=athlete.name,
    )


def _prices(work: WantedWork, set_ups: Mapping[str, SetUp]) -> dict[str, float | None]:
    if not work.choices:
        return {STRAIGHT: 0.0}
    return {
        choice.setup.key: 0.0 if choice.is_within else _outside_price(choice.top_ratio, work)
        for choice in work.choices
        if choice.setup.key in set_ups
    }


def _outside_price(top_ratio: float, work: WantedWork) -> float:
    points = 100 * abs(top_ratio - work.top_ratio)
    return OUTSIDE_RANGE_S + PER_POINT_S * max(0.0, points - 5)


def _floor_set_up(setup: SetUp) -> FloorSetUp:
    used = {**setup.band_key_counts(), **setup.chain_key_counts()}
    return FloorSetUp(setup.key, used, setup.name)


def _pairs_in_stock(stock: Stock) -> dict[str, int]:
    bands = {band.key: band.pairs for band in stock.bands}
    return bands | {chain.key: chain.pairs for chain in stock.chains}

"""Random realistic classes: any seed is a floor that some gym might have tonight.

Strengths, heights of tolerance, bars, racks, pegs, band set-ups, short plate stocks, wishes, mixed
starts and odd group sizes are drawn; nobody in them exists.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    STRAIGHT,
    FloorPlate,
    FloorPlatform,
    FloorPolicy,
    FloorProblem,
    FloorSetUp,
    FloorTimes,
    Lifter,
    LoadMode,
    StackOrder,
)
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

SCHEMES = (
    Scheme(12, 2, 45),
    Scheme(8, 3, 60),
    Scheme(6, 4, 75),
    Scheme(5, 5, 90),
    Scheme(7, 1, 150),
)
BANDS = ("moss", "slate", "rust")
PAIRS = (("25", 8), ("20", 6), ("15", 4), ("10", 6), ("5", 6), ("2.5", 6), ("1.25", 4))


@dataclass(frozen=True)
class _Draw:
    """One class being drawn."""

    rng: random.Random
    size: int

    def plates(self) -> tuple[FloorPlate, ...]:
        """From a well-filled shelf to one where plates must be shared."""
        plenty = self.rng.choice([0.4, 0.7, 1.0, 1.6]) * max(1.0, self.size / 8)
        is_measured = self.rng.random() < 0.5
        return tuple(
            FloorPlate(
                key,
                Mass.kg(key),
                max(1, round(pairs * plenty * self.rng.uniform(0.6, 1.2))),
                is_full_diameter=float(key) >= self.rng.choice([5, 10, 10, 15]),
                thickness_mm=18 + float(key) if is_measured else 0.0,
            )
            for key, pairs in PAIRS
            if self.rng.random() > 0.1 or key in ("20", "10")
        )

    def set_ups(self) -> tuple[FloorSetUp, ...]:
        """Straight weight, single bands, doubled ones and one mixture."""
        if self.rng.random() < 0.4:
            return (FloorSetUp(STRAIGHT),)
        found = [FloorSetUp(STRAIGHT)]
        found += [FloorSetUp(band, {band: 1}) for band in BANDS]
        found += [FloorSetUp(f"two {band}", {band: 2}) for band in BANDS[:2]]
        return (*found, FloorSetUp("moss and slate", {"moss": 1, "slate": 1}))

    def platforms(self, set_ups: tuple[FloorSetUp, ...]) -> tuple[FloorPlatform, ...]:
        """Enough in most classes, too few in some; some without rack or pegs."""
        count = max(1, -(-self.size // self.rng.choice([2, 3, 4, 4, 5, 6])))
        has_axle, is_mixed = self.rng.random() < 0.3, self.rng.random() < 0.2
        found = []
        for at in range(count):
            bar = "axle" if has_axle and at == count - 1 and count > 1 else "bar"
            in_rack = is_mixed and at % 2 == 1 and bar == "bar"
            has_pegs = self.rng.random() < 0.85
            found.append(
                FloorPlatform(
                    f"P{at + 1}",
                    "bar in a rack" if in_rack else bar,
                    Mass.kg(self.rng.choice([15, 20, 20, 20.5] if bar == "bar" else [9.5, 23])),
                    has_rack=in_rack or self.rng.random() < 0.6,
                    set_ups=None if has_pegs else frozenset({STRAIGHT, set_ups[-1].key}),
                    is_near_coach=at == 0,
                    sleeve_mm=self.rng.choice([None, 415, 320]),
                    starts_on_floor=None if not is_mixed else not in_rack,
                )
            )
        return tuple(found)

    def lifters(
        self, platforms: tuple[FloorPlatform, ...], set_ups: tuple[FloorSetUp, ...]
    ) -> tuple[Lifter, ...]:
        """Threefold strength between the weakest and the strongest."""
        names = [AthleteId(f"A{at + 1:02}") for at in range(self.size)]
        bars = [platform.bar for platform in platforms]
        return tuple(self._lifter(name, names, bars, set_ups) for name in names)

    def _lifter(
        self,
        name: AthleteId,
        names: list[AthleteId],
        bars: list[str],
        set_ups: tuple[FloorSetUp, ...],
    ) -> Lifter:
        rng = self.rng
        max_kg = 2.5 * rng.randint(24, 120)
        priced = {item.key: rng.choice([0.0, 0.0, 200.0, None]) for item in set_ups}
        if all(price is None for price in priced.values()):
            priced[STRAIGHT] = 0.0
        others = [other for other in names if other != name]
        return Lifter(
            name,
            Mass.nearest_kg(max_kg * rng.choice([0.5, 0.55, 0.6, 0.9]), "0.5"),
            max_kg,
            rng.choice(bars),
            set_ups=priced,
            tolerance_ratio=rng.choice([0.0, 0.01, 0.025, 0.025, 0.05]),
            together=frozenset(rng.sample(others, 1))
            if others and rng.random() < 0.1
            else frozenset(),
            apart=frozenset(rng.sample(others, 1))
            if others and rng.random() < 0.1
            else frozenset(),
            wants_coach_near=rng.random() < 0.1,
            is_beginner=rng.random() < 0.2,
            needs_rack=rng.random() < 0.05,
        )

    def policy(self) -> FloorPolicy:
        """What this coach finds important."""
        least = self.rng.choice([1, 2, 2, 2])
        return FloorPolicy(
            finish_weight=self.rng.choice([0.0, 1.5, 5.0]),
            wait_weight=self.rng.choice([0.0, 1.0]),
            group_min=least,
            group_max=self.rng.choice([3, 4, 5, 5, 6]),
            lone_allowed=self.rng.random() < 0.8,
            stack_order=self.rng.choice(list(StackOrder)),
            load_mode=self.rng.choice([LoadMode.WITHIN_TOLERANCE] * 3 + [LoadMode.NEAREST]),
            starts_on_floor=self.rng.random() < 0.7,
        )


def random_class(seed: int, size: int | None = None) -> FloorProblem:
    """A class of ``size``, or of 1–8 by the seed."""
    rng = random.Random(seed)
    draw = _Draw(rng, size or rng.choice([1, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 8]))
    set_ups = draw.set_ups()
    platforms = draw.platforms(set_ups)
    return FloorProblem(
        lifters=draw.lifters(platforms, set_ups),
        platforms=platforms,
        plates=draw.plates(),
        set_ups=set_ups,
        bands={band: rng.randint(0, 2 + draw.size // 3) for band in BANDS},
        schemes=tuple(rng.sample(SCHEMES, 2)),
        class_minutes=rng.choice([None, 25.0, 40.0]),
        times=FloorTimes(collars_s=rng.choice([0.0, 8.0, 10.0])),
        policy=draw.policy(),
    )


def what_may_happen(seed: int, problem: FloorProblem) -> FloorProblem:
    """The same class a while later: somebody late, away, lighter, or a band that broke."""
    rng = random.Random(seed + 1_000_003)
    event = rng.choice(["late", "away", "lighter", "band", "platform"])
    if event == "late":
        newcomer = replace(problem.lifters[0], athlete=AthleteId("late"), together=frozenset())
        return replace(problem, lifters=(*problem.lifters, newcomer))
    if event == "away" and len(problem.lifters) > 1:
        return replace(problem, lifters=problem.lifters[:-1])
    if event == "band":
        return replace(problem, bands={band: max(0, n - 1) for band, n in problem.bands.items()})
    if event == "platform" and len(problem.platforms) > 1:
        return replace(problem, platforms=problem.platforms[:-1])
    first = problem.lifters[0]
    lighter = replace(first, target=Mass.nearest_kg(0.9 * first.target.in_kg, "0.5"))
    return replace(problem, lifters=(lighter, *problem.lifters[1:]))

"""Hard stops: what must not be lifted with, said in sentences; a check returns, never clamps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance.bands import FAR_STRAIN_RATIO, ROUNDING
from heftwright.domain.resistance.bar_path import BarPath
from heftwright.domain.resistance.load import LoadCurve
from heftwright.domain.resistance.loaded_bar import (
    BarSupports,
    LoadedBar,
    Tipping,
    sleeve_room,
    strip_order,
    tipping,
)
from heftwright.domain.resistance.rigs import BandPart, SetUp
from heftwright.domain.stock import Band, Bar, Block, Chain, ImplementUnit, Platform, RatingOverride

__all__ = [
    "BarSupports",
    "LoadedBar",
    "Rated",
    "Ratings",
    "Tipping",
    "band_stops",
    "chain_stops",
    "hard_stops",
    "implement_stops",
    "pull_stops",
    "rating_notes",
    "rating_stops",
    "reach_stops",
    "setup_notes",
    "setup_stops",
    "sleeve_room",
    "strip_order",
    "tipping",
    "worst_total_kg",
]

INSPECTION_DAYS = 182  # common practice, no source: the maker's interval comes first


@dataclass(frozen=True, slots=True)
class Rated:
    """One thing that carries the load, with its limit for today.

    Parameters
    ----------
    name : str
        Words.
    rating : Mass
        The maker's limit.
    override : RatingOverride or None
        The owner's word for today.
    fallen : RatingOverride or None
        The owner's word for today that was given for a higher limit, and counts no more.
    """

    name: str
    rating: Mass
    override: RatingOverride | None = None
    fallen: RatingOverride | None = None

    @property
    def limit(self) -> Mass:
        """What counts today."""
        return max(self.rating, self.override.up_to) if self.override else self.rating


@dataclass(frozen=True, slots=True)
class Ratings:
    """What carries the load, as far as it is on record.

    Parameters
    ----------
    bar : Bar or None
        With its rating.
    rack : Platform or None
        The platform whose rack is used, with its rating.
    block : Block or None
        Under the discs, rated a pair.
    overrides : tuple of RatingOverride
        The owner's, of any day.
    """

    bar: Bar | None = None
    rack: Platform | None = None
    block: Block | None = None
    overrides: tuple[RatingOverride, ...] = ()

    def rows(self, today: date) -> tuple[Rated, ...]:
        """Whatever has a rating."""
        named = (
            ("bar", self.bar, f"Bar “{self.bar.name}”" if self.bar else "", "rating"),
            (
                "platform", self.rack, f"The rack of {self.rack.key}" if self.rack else "",
                "rack_rating",
            ),
            ("block", self.block, f"Block “{self.block.key}”" if self.block else "", "rating"),
        )  # fmt: skip
        return tuple(
            self._rated(name, getattr(item, field), kind, item.key, today)
            for kind, item, name, field in named
            if item is not None and getattr(item, field) is not None
        )

    def _rated(self, name: str, rating: Mass, kind: str, key: str, today: date) -> Rated:
        said = next((item for item in self.overrides if item.allows(kind, key, today)), None)
        if said is None or said.holds_for(rating):
            return Rated(name, rating, said)
        return Rated(name, rating, fallen=said)


def rating_stops(worst_kg: float, ratings: Ratings, today: date) -> tuple[str, ...]:
    """Why a total [kg], with bands or chains at the top, is too much for what carries it."""
    return tuple(
        f"{row.name} is rated for {row.rating}{_allowed(row)}; the whole load comes to "
        f"{_kg(worst_kg)} at the top. Take less."
        for row in ratings.rows(today)
        if worst_kg > row.limit.in_kg
    )


def rating_notes(worst_kg: float, ratings: Ratings, today: date) -> tuple[str, ...]:
    """Limits that a total [kg] goes over because the owner said so: always told."""
    return tuple(
        f"Over the maker's limit: {row.name} is rated for {row.rating} and this comes to "
        f"{_kg(worst_kg)}. {row.override.who} allows up to {row.override.up_to} on "
        f"{row.override.on}: {row.override.why}"
        for row in ratings.rows(today)
        if row.override is not None and row.rating.in_kg < worst_kg <= row.limit.in_kg
    )


def worst_total_kg(curve: LoadCurve) -> float:
    """Heaviest total on the way [kg], with one standard deviation."""
    return max(kg + sd for kg, sd in zip(curve.total_kg, curve.sd_kg, strict=True))


def _allowed(row: Rated) -> str:
    if row.fallen is not None:
        return (
            f" ({row.fallen.who} allowed {row.fallen.up_to} today when the limit was "
            f"{row.fallen.given_for}: that fell when the limit was lowered)"
        )
    return f" (today up to {row.limit} by {row.override.who})" if row.override else ""


def hard_stops(
    curve: LoadCurve,
    setup: SetUp | None,
    ratings: Ratings,
    today: date,
    *,
    is_guess_accepted: bool = False,
) -> tuple[str, ...]:
    """Why this load must not be lifted with this gear; empty if nothing speaks against it.

    Ratings are held against the heaviest total on the way, with the bands' tension at the top
    and one standard deviation.
    """
    stops = list(rating_stops(worst_total_kg(curve), ratings, today))
    if setup is not None:
        ends = (curve.heights_m[0], curve.heights_m[-1])
        stops += setup_stops(setup, ends, today, is_guess_accepted=is_guess_accepted)
    return tuple(stops)


def setup_stops(
    setup: SetUp,
    ends_m: tuple[float, float],
    today: date,
    *,
    is_guess_accepted: bool = False,
) -> tuple[str, ...]:
    """Why these bands must not be used between two bar heights [m] on this day."""
    stops: list[str] = []
    for part in setup.band_parts:
        stops += band_stops(part.band, today)
        stops += reach_stops(part, ends_m)
        if part.curve.is_guess and not is_guess_accepted:
            stops.append(
                f"Band “{part.band.name}” was never calibrated: read it, or let the coach accept "
                "the guess."
            )
    for chains in setup.chain_parts:
        stops += chain_stops(chains.chain)
    for key, used in setup.band_key_counts().items():
        owned = next(part.band.pairs for part in setup.band_parts if part.band.key == key)
        if used > owned:
            stops.append(f"Band “{key}”: {used} pairs wanted, {owned} in stock.")
    return tuple(dict.fromkeys(stops))


def band_stops(band: Band, today: date) -> tuple[str, ...]:
    """Retirement and overdue inspection."""
    stops: list[str] = []
    if band.retire_on is not None and today >= band.retire_on:
        stops.append(f"Band “{band.name}” was to be retired on {band.retire_on}: do not use it.")
    overdue = timedelta(days=INSPECTION_DAYS)
    if band.inspected_on is not None and today - band.inspected_on > overdue:
        stops.append(
            f"Band “{band.name}” was last inspected on {band.inspected_on}, more than "
            f"{INSPECTION_DAYS} days ago: look for nicks, whitening and thin places first."
        )
    return tuple(stops)


def implement_stops(unit: ImplementUnit) -> tuple[str, ...]:
    """An implement without a dated weigh-in cannot be prescribed."""
    if unit.mass is None:
        return (f"{unit.name} was never weighed: weigh it and enter the day.",)
    if unit.weighed_on is None:
        return (f"{unit.name} has a mass but no day of weighing: weigh it again.",)
    return ()


def reach_stops(part: BandPart, ends_m: tuple[float, float]) -> tuple[str, ...]:
    """Why a band must not be pulled between two bar heights [m]: its length, or else its pull."""
    return stretch_stops(part, ends_m) or pull_stops(part, ends_m)


def stretch_stops(part: BandPart, ends_m: tuple[float, float]) -> tuple[str, ...]:
    """Past the safe length, or so far past the data that no number can be given."""
    path_m = part.longest_loop_m(*ends_m)
    if path_m > part.curve.safe_m + ROUNDING:
        return (
            (
                f"Band “{part.band.name}”, {part.rig.value.replace('_', ' ')}, would be stretched "
                f"to {_cm(path_m)}, past its limit of {_cm(part.curve.safe_m)}: higher pegs, "
                "another rig or a longer band."
            ),
        )
    if not part.curve.is_guess and part.curve.is_beyond_data(path_m):
        return (
            (
                f"Band “{part.band.name}” was read up to {_cm(part.curve.measured_m[1])} and would "
                f"be stretched to {_cm(path_m)}, more than {FAR_STRAIN_RATIO} times as far: read "
                "it there first."
            ),
        )
    return ()


def pull_stops(part: BandPart, ends_m: tuple[float, float]) -> tuple[str, ...]:
    """A loop that pulls harder than its maker allows, one standard deviation counted."""
    rated = part.band.rated_force
    if rated is None:
        return ()
    path_m = part.longest_loop_m(*ends_m)
    worst_kg = float(part.curve.force_kg(path_m) + part.curve.sd_kg(path_m))
    if worst_kg <= rated.in_kg:
        return ()
    return (
        (
            f"Band “{part.band.name}” is rated for a pull of {rated} a loop and would pull "
            f"{_kg(worst_kg)}: higher pegs, another rig or a stronger band."
        ),
    )


def chain_stops(chain: Chain) -> tuple[str, ...]:
    """A chain without a dated weigh-in, calliper reading or table row cannot be prescribed."""
    if chain.known_on is None:
        return (
            (
                f"Chain “{chain.name}” has a mass but no day of weighing: weigh it, or measure a "
                "link, on its own page."
            ),
        )
    return ()


def setup_notes(setup: SetUp, path: BarPath) -> tuple[str, ...]:
    """What to know, short of a stop: slack or unmeasured at the bottom, chains off the floor."""
    notes = list(setup.notes)
    for part in setup.band_parts:
        low_m = part.longest_loop_m(path.start_m, path.start_m)
        if part.is_slack_at(path.start_m):
            notes.append(f"Band “{part.band.name}” hangs slack at the bottom: it may slip off.")
        elif not part.curve.is_guess and part.curve.is_short_of_data(low_m):
            notes.append(
                f"Band “{part.band.name}” is stretched less at the bottom than it was read: the "
                "bottom is the less certain end."
            )
        if part.band.inspected_on is None:
            notes.append(f"Band “{part.band.name}”: no inspection on record. Inspect it.")
    notes += [
        f"Chain “{part.chain.name}” is clear of the floor before the top: it will swing."
        for part in setup.chain_parts
        if part.hanging().is_clear(path.end_m - part.floor_m - 0.02)
    ]
    return tuple(dict.fromkeys(notes))


def _kg(worst_kg: float) -> str:
    return Mass.nearest_kg(worst_kg, "0.1").shown(places=1)


def _cm(length_m: float) -> str:
    return str(Length.nearest_m(length_m))

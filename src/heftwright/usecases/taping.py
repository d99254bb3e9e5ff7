"""Taping athletes: bar heights judged before they are kept, and what each of them is worth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date

import numpy as np

from heftwright.domain.catalogue import BarPathKind
from heftwright.domain.height import Length
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance import possible_setups
from heftwright.domain.resistance.bar_path import BodyHeight, KnownHeight, body_height, from_stature
from heftwright.domain.resistance.limits import reach_stops
from heftwright.domain.resistance.rigs import BandPart
from heftwright.domain.squad import Athlete, AthleteId, BarHeights
from heftwright.domain.squad.measures import height_faults
from heftwright.domain.stock import RigKind, Stock
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.squad import change_athlete, get_athlete
from heftwright.usecases.stock import get_stock

DOUBT_SDS = 4.0
LIKELY_TRAVEL = {"squat": (0.30, 1.10), "bench": (0.15, 0.75)}  # [m]; common practice, no source


class HeightsRefusedError(Refusal):
    """Taped heights that contradict each other, or that nobody stands by."""


@dataclass(frozen=True, slots=True)
class TapeRow:
    """One bar height of one athlete.

    Parameters
    ----------
    name : str
        Of the field in ``BarHeights``.
    taped : Length or None
        On record, or typed just now.
    known : KnownHeight or None
        What the loads use: taped, or derived with its ±; None where nothing tells it.
    lifts : tuple of str
        Names of lifts that need it.
    worth_kg : float
        What one standard deviation of it means for a banded load [kg]; 0 where bands are none.
    worth_rig : str
        With which rig.
    """

    name: str
    taped: Length | None
    known: KnownHeight | None
    lifts: tuple[str, ...]
    worth_kg: float = 0.0
    worth_rig: str = ""


@dataclass(frozen=True, slots=True)
class TapeSheet:
    """All bar heights of one athlete, with what speaks against them."""

    athlete: Athlete
    rows: tuple[TapeRow, ...]
    faults: Mapping[str, str]
    doubts: Mapping[str, str]


_BODY = {
    "pull_lockout": BodyHeight.PULL_LOCKOUT,
    "front_rack": BodyHeight.FRONT_RACK,
    "overhead": BodyHeight.OVERHEAD,
}
_NEEDED_BY = {
    "pull_lockout": (BarPathKind.PULL,),
    "front_rack": (BarPathKind.RACK_TO_OVERHEAD,),
    "overhead": (BarPathKind.RACK_TO_OVERHEAD, BarPathKind.FLOOR_TO_OVERHEAD),
    "squat_top": (BarPathKind.SQUAT,),
    "squat_bottom": (BarPathKind.SQUAT,),
    "bench_top": (BarPathKind.BENCH,),
    "bench_bottom": (BarPathKind.BENCH,),
}


def tape_sheet(*, gym: GymKey, athlete: Athlete, typed: BarHeights | None = None) -> TapeSheet:
    """The heights of an athlete as on record, or as typed and not kept yet."""
    shown = athlete if typed is None else replace(athlete, heights=typed)
    parts = _single_bands(get_stock(gym=gym), clock.today(gym))
    rows = tuple(_tape_row(gym, shown, item.name, parts) for item in fields(BarHeights))
    faults, doubts = height_faults(shown.heights), height_doubts(shown)
    # what is refused anyway is not asked about as well
    asked = {name: words for name, words in doubts.items() if name not in faults}
    return TapeSheet(shown, rows, faults, asked)


def keep_heights(
    *,
    gym: GymKey,
    by: Actor,
    athlete: AthleteId,
    heights: BarHeights,
    was_seen: str | None,
    is_confirmed: bool = False,
) -> None:
    """Keep taped heights.

    Raises
    ------
    HeightsRefusedError
        If they contradict each other, or are far from what stature tells and not confirmed.
    NotFoundError, ChangedMeanwhileError
        As for every change of the squad.
    """
    old = get_athlete(gym=gym, athlete=athlete)
    new = replace(old, heights=heights)
    whys = [*height_faults(heights).values()]
    if not is_confirmed:
        whys += height_doubts(new).values()
    if whys:
        raise HeightsRefusedError("Nothing was kept. " + " ".join(whys))
    change_athlete(gym=gym, by=by, athlete=new, was_seen=was_seen)


def height_doubts(athlete: Athlete) -> dict[str, str]:
    """Heights far from what stature or other people tell, by field."""
    doubts = {}
    for name, which in _BODY.items():
        taped = getattr(athlete.heights, name)
        if taped is None or athlete.stature is None:
            continue
        told = from_stature(athlete.stature, athlete.sex, which)
        if abs(taped.in_m - told.height_m) > DOUBT_SDS * told.sd_m:
            doubts[name] = _far(name, taped, told)
    return doubts | _travel_doubts(athlete.heights)


def _travel_doubts(heights: BarHeights) -> dict[str, str]:
    doubts = {}
    for lift, (least_m, most_m) in LIKELY_TRAVEL.items():
        low, high = getattr(heights, f"{lift}_bottom"), getattr(heights, f"{lift}_top")
        if low is None or high is None or low >= high:
            continue
        if not least_m <= (high - low).in_m <= most_m:
            doubts[f"{lift}_top"] = (
                f"The bar would travel {high - low} in the {lift}: tape both ends once more, and "
                "look at the unit."
            )
    return doubts


def _far(name: str, taped: Length, told: KnownHeight) -> str:
    return (
        f"{_spoken(name)} {taped} is far from the {Length.nearest_m(told.height_m)} that stature "
        "tells: tape it once more, and look at the unit."
    )


def _spoken(name: str) -> str:
    return name.replace("_", " ").capitalize()


def _tape_row(gym: GymKey, athlete: Athlete, name: str, parts: Sequence[BandPart]) -> TapeRow:
    known = _known(athlete, name)
    worth_kg, worth_rig = (0.0, "") if known is None else _worth(known, parts)
    lifts = catalogue_of(gym).values()
    return TapeRow(
        name=name,
        taped=getattr(athlete.heights, name),
        known=known,
        lifts=tuple(lift.name for lift in lifts if lift.bar_path in _NEEDED_BY[name]),
        worth_kg=worth_kg,
        worth_rig=worth_rig,
    )


def _known(athlete: Athlete, name: str) -> KnownHeight | None:
    """Derived where nothing is taped; None for squat and bench, which no published number tells."""
    if name not in _BODY:
        return None
    try:
        return body_height(athlete, _BODY[name])
    except Refusal:
        return None


def _single_bands(stock: Stock, today: date) -> tuple[BandPart, ...]:
    setups = possible_setups(stock, today)
    singles = [
        setup.band_parts[0] for setup in setups if len(setup.parts) == 1 and setup.band_parts
    ]
    return tuple(part for part in singles if part.rig != RigKind.FROM_ABOVE and part.pairs == 1)


def _worth(known: KnownHeight, parts: Sequence[BandPart]) -> tuple[float, str]:
    """What one sd of a height does with the strongest band that may be stretched so far."""
    ends = (known.height_m - known.sd_m, known.height_m + known.sd_m)
    usable = [part for part in parts if not reach_stops(part, ends)]
    if not usable:
        return 0.0, ""
    part = max(usable, key=lambda item: float(item.tension_kg(known.height_m)))
    low, high = np.asarray(part.tension_kg(ends)).tolist()
    return (high - low) / 2, part.name

"""What bar, sleeve and rack say about a load: sentences, never a changed number."""

from __future__ import annotations

from datetime import date

from heftwright.domain.catalogue import Lift
from heftwright.domain.mass import Mass
from heftwright.domain.resistance.bar_path import FLOOR_START
from heftwright.domain.resistance.limits import Ratings, rating_notes, worst_total_kg
from heftwright.domain.resistance.load import LoadCurve
from heftwright.domain.resistance.loaded_bar import (
    LoadedBar,
    LoadedBarError,
    sleeve_room,
    strip_order,
)
from heftwright.domain.stock import Bar, Block, PlatePair, RatingOverride, Stock


def ratings_for(
    lift: Lift, bar: Bar, place: str, stock: Stock, overrides: tuple[RatingOverride, ...] = ()
) -> Ratings:
    """What carries a lift on a platform: the bar, its rack, and blocks where the lift has them.

    Where no pair of blocks has just the lift's height, the weakest pair in stock counts.
    """
    platform = next((item for item in stock.platforms if item.key == place), None)
    return Ratings(
        bar=bar,
        rack=platform if "rack" in lift.kit else None,
        block=_block(lift, stock) if "block" in lift.kit else None,
        overrides=overrides,
    )


def _block(lift: Lift, stock: Stock) -> Block | None:
    owned = [block for block in stock.blocks if block.pairs]
    off_floor = (lift.start_height or FLOOR_START) - FLOOR_START
    raised = max(off_floor, -1 * off_floor)  # a deficit is stood on, load and all
    fitting = [block for block in owned if block.height == raised] or owned
    rated = [block for block in fitting if block.rating is not None]
    return min(rated, key=lambda block: (block.rating, block.key), default=None)


def over_limits(
    load: Mass, curve: LoadCurve | None, ratings: Ratings, day: date
) -> tuple[str, ...]:
    """What the owner allowed over a maker's limit: never left unsaid."""
    worst_kg = load.in_kg if curve is None else worst_total_kg(curve)
    return rating_notes(worst_kg, ratings, day)


def room_stops(bar: Bar, plates: tuple[PlatePair, ...]) -> tuple[str, ...]:
    """Why these plates do not go on this sleeve: there is no room for the collar."""
    room = sleeve_room(bar, plates, has_collar=bool(bar.collar))
    if room.ticks >= 0:
        return ()
    over = (-1 * room).shown()
    what = f"The plates and collar are {over} longer than a sleeve of the {bar.name}"
    return (f"{what}: use larger or thinner plates.",)


def stripping_cautions(bar: Bar, plates: tuple[PlatePair, ...]) -> tuple[str, ...]:
    """What to mind when a racked bar is stripped: it can tip (statics)."""
    loaded = LoadedBar.alike(bar, plates, has_collars=bool(bar.collar))
    try:
        strip_order(loaded)
    except LoadedBarError as error:
        return (str(error),)
    return ()

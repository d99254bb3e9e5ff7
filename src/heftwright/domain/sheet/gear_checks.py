"""What bar, sleeve and rack say about a load: sentences, never a changed number."""

from __future__ import annotations

from heftwright.domain.mass import Mass
from heftwright.domain.resistance.loaded_bar import (
    LoadedBar,
    LoadedBarError,
    sleeve_room,
    strip_order,
)
from heftwright.domain.stock import Bar, PlatePair


def straight_stops(bar: Bar, load: Mass) -> tuple[str, ...]:
    """Why a straight weight must not go on this bar: its rating."""
    if bar.rating is not None and load > bar.rating:
        return (f"{load} is over the rating of the {bar.name}, {bar.rating}.",)
    return ()


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

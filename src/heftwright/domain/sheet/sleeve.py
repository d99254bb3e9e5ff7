"""One end of a loaded bar, as every surface draws it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from heftwright.domain.mass import Mass


@dataclass(frozen=True, slots=True)
class PlateOnBar:
    """One plate of one side, as drawn.

    Parameters
    ----------
    key : str
        Stock key.
    mass : Mass
        Of the plate, as weighed.
    label : str
        What is printed on it, for example ``"20"``.
    diameter_mm, thickness_mm : float
        From the stock [mm].
    colour : str
        CSS colour from the stock.
    """

    key: str
    mass: Mass
    label: str
    diameter_mm: float
    thickness_mm: float
    colour: str


@dataclass(frozen=True, slots=True)
class LoadedSleeve:
    """One end of the bar, inner plate first, with the change from the lifter before.

    Parameters
    ----------
    bar_name : str
        Which bar.
    sleeve_mm : float
        Loadable length [mm].
    plates : tuple of PlateOnBar
        What is on, inner first.
    collar : Mass
        One collar; zero if none is used.
    off, on : tuple of PlateOnBar
        What comes off and what goes on a side, in the order of doing it.
    """

    bar_name: str
    sleeve_mm: float
    plates: tuple[PlateOnBar, ...]
    collar: Mass
    off: tuple[PlateOnBar, ...] = ()
    on: tuple[PlateOnBar, ...] = ()

    def after(self, on_bar: tuple[PlateOnBar, ...]) -> LoadedSleeve:
        """The same sleeve, changed from what is on the bar: only the outermost can come off."""
        kept = 0
        for here, wanted in zip(on_bar, self.plates, strict=False):
            if here.key != wanted.key:
                break
            kept += 1
        return replace(self, off=on_bar[kept:][::-1], on=self.plates[kept:])

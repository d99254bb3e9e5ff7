"""Stock records with their real measured masses. Counts are of pairs where lifters need pairs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from heftwright.domain.catalogue import Implement, KitKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal


class StockError(Refusal):
    """A stock record that cannot be true or cannot be used safely."""


class Side(StrEnum):
    """Which end of the bar, seen from the lifter; BOTH where the two were not told apart."""

    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"


class ReadingDirection(StrEnum):
    """Whether a band was being stretched or let back when it was read."""

    UP = "up"
    DOWN = "down"
    UNSAID = "unsaid"


class RigKind(StrEnum):
    """How a band is fixed between platform or rack and bar."""

    SINGLE = "single"
    CHOKED = "choked"
    DOUBLED = "doubled"
    FROM_ABOVE = "from_above"


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar, axle or log that takes plates.

    Parameters
    ----------
    key : str
        Steady name in this gym.
    name : str
        What is painted on it.
    implement : Implement
        Straight bar, axle, log …
    mass : Mass
        As weighed, without collars.
    collar : Mass
        Mass of ONE collar [as weighed]; zero where the bar is used without collars.
    sleeve : Length
        Loadable sleeve length of one end.
    count : int
        How many alike, ≥ 1.
    rating : Mass or None
        The maker's limit on the total with accommodating load at the top; None if unknown.
    """

    key: str
    name: str
    implement: Implement
    mass: Mass
    collar: Mass = Mass(0)
    sleeve: Length = Length.mm(415)
    count: int = 1
    rating: Mass | None = None

    def __post_init__(self) -> None:
        if self.mass.ticks <= 0:
            raise StockError(f"Bar “{self.name}”: its mass must be above 0: weigh it.")
        if self.count < 1:
            raise StockError(f"Bar “{self.name}”: count must be at least 1.")

    @property
    def empty(self) -> Mass:
        """Bar with both collars."""
        return self.mass + 2 * self.collar


@dataclass(frozen=True, slots=True)
class PlatePair:
    """Pairs of plates of one kind.

    Parameters
    ----------
    key : str
        Steady name in this gym.
    mass : Mass
        Of ONE plate, as weighed (mean of the kind).
    pairs : int
        Pairs owned, ≥ 0.
    diameter, thickness : Length
        Outer diameter (450 mm: full, IWF technical rules) and thickness.
    colour : str
        CSS colour of the stock's own entry; never carries meaning alone.
    nominal : Mass or None
        What is printed on it, where that differs from ``mass``.
    """

    key: str
    mass: Mass
    pairs: int
    diameter: Length = Length.mm(450)
    thickness: Length = Length.mm(45)
    colour: str = "#555555"
    nominal: Mass | None = None

    def __post_init__(self) -> None:
        if self.mass.ticks <= 0:
            raise StockError(f"Plate “{self.key}”: its mass must be above 0: weigh it.")
        if self.pairs < 0:
            raise StockError(f"Plate “{self.key}”: pairs must be 0 or more.")

    @property
    def is_full_diameter(self) -> bool:
        """Whether it holds the bar at floor height (at least 440 mm across)."""
        return self.diameter >= Length.mm(440)


@dataclass(frozen=True, slots=True)
class BandReading:
    """One calibration reading of a band with its rigging, read at the bar.

    Parameters
    ----------
    length : Length
        Path length from anchor to bar.
    force : Mass
        Kilogram-force shown by the scale.
    taken_on : date
        Day of the reading.
    side, direction, rig
        Which end, stretching or letting back, how it was rigged.
    """

    length: Length
    force: Mass
    taken_on: date
    side: Side = Side.BOTH
    direction: ReadingDirection = ReadingDirection.UNSAID
    rig: RigKind = RigKind.CHOKED


@dataclass(frozen=True, slots=True)
class Band:
    """Pairs of one kind of loop band.

    Parameters
    ----------
    key, name : str
        Steady name; what the gym calls it (its colour is only a name, never a tension).
    pairs : int
        Pairs owned, ≥ 0.
    rest_length : Length
        Length laid flat, one loop end to the other.
    readings : tuple of BandReading
        Calibration of ONE band (one side), any number.
    guess_top_force : Mass or None
        A label's or the coach's guess where there are no readings; never prescribed without
        acceptance.
    safe_length : Length or None
        The maker's limit of stretched length; None: 2.0 × rest length.
    rated_force : Mass or None
        The maker's limit of the pull of ONE loop hung single [kgf]; None: not on record.
    inspected_on, retire_on : date or None
        Inspection and retirement; a passed retirement date blocks the band.
    """

    key: str
    name: str
    pairs: int
    rest_length: Length
    readings: tuple[BandReading, ...] = ()
    guess_top_force: Mass | None = None
    safe_length: Length | None = None
    inspected_on: date | None = None
    retire_on: date | None = None
    rated_force: Mass | None = None

    def __post_init__(self) -> None:
        if self.rest_length.ticks <= 0:
            raise StockError(f"Band “{self.name}”: measure its length laid flat (above 0).")
        if self.pairs < 0:
            raise StockError(f"Band “{self.name}”: pairs must be 0 or more.")

    @property
    def longest_safe(self) -> Length:
        """The stretched length that must never be passed."""
        return self.safe_length or 2 * self.rest_length


class ChainMassSource(StrEnum):
    """How the mass of a metre is known; a table or a calliper is less sure than a scale."""

    WEIGHED = "weighed"
    TABLE = "table"
    CALLIPER = "calliper"


@dataclass(frozen=True, slots=True)
class Chain:
    """Pairs of chains of one kind.

    Parameters
    ----------
    key, name : str
        Steady name; what the gym calls it.
    pairs : int
        Pairs owned.
    mass_per_m : Mass
        Of one strand, per metre, as weighed or by table.
    length : Length
        Of one chain.
    leader : Mass
        Leader and clips of one side; always count.
    known_by : ChainMassSource
        How ``mass_per_m`` is known.
    known_on : date or None
        The day it was weighed, measured or looked up; without one it is not prescribed.
    """

    key: str
    name: str
    pairs: int
    mass_per_m: Mass
    length: Length
    leader: Mass = Mass(0)
    known_by: ChainMassSource = ChainMassSource.WEIGHED
    known_on: date | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """Pairs of blocks or mats that raise the bar."""

    key: str
    height: Length
    pairs: int
    rating: Mass | None = None


@dataclass(frozen=True, slots=True)
class ImplementUnit:
    """An implement that is not loaded like a bar: yoke, farmers handles, stone, sandbag …

    ``mass`` is of the empty implement (of one handle for farmers), or None when never weighed:
    then it cannot be prescribed.
    """

    key: str
    name: str
    implement: Implement
    mass: Mass | None = None
    count: int = 1
    pick_height: Length | None = None
    weighed_on: date | None = None
    takes_plates: bool = False


@dataclass(frozen=True, slots=True)
class Platform:
    """A place to lift.

    Parameters
    ----------
    key : str
        What is painted on the floor.
    has_rack : bool
        Squats and presses from the rack are possible here.
    peg_heights : tuple of Length
        Heights above the floor at which bands can be anchored; empty: no bands here.
    peg_offset : Length
        Horizontal distance of a peg from the bar's vertical line.
    rack_rating : Mass or None
        The rack maker's limit on the total with accommodating load at the top; None if unknown.
    """

    key: str
    has_rack: bool = True
    peg_heights: tuple[Length, ...] = ()
    peg_offset: Length = Length(0)
    rack_rating: Mass | None = None


@dataclass(frozen=True, slots=True)
class Stock:
    """Everything the gym owns.

    ``kit`` counts units by catalogue kit key for what is not listed one by one (boxes, benches,
    boards, sleds …).
    """

    bars: tuple[Bar, ...] = ()
    plates: tuple[PlatePair, ...] = ()
    bands: tuple[Band, ...] = ()
    chains: tuple[Chain, ...] = ()
    blocks: tuple[Block, ...] = ()
    implements: tuple[ImplementUnit, ...] = ()
    platforms: tuple[Platform, ...] = ()
    kit: Mapping[KitKey, int] = field(default_factory=dict)

    def bars_of(self, implement: Implement) -> tuple[Bar, ...]:
        """Bars of one implement kind."""
        return tuple(bar for bar in self.bars if bar.implement == implement)

    def kit_units(self) -> dict[KitKey, int]:
        """Units by catalogue kit key: bars and implements counted, racks from platforms.

        A unit of bands rigs one platform: two pairs and pegs; of chains: two pairs.
        """
        units: dict[KitKey, int] = dict(self.kit)
        for bar in self.bars:
            _add(units, KitKey(bar.implement.value), bar.count)
        for implement in self.implements:
            _add(units, KitKey(implement.implement.value), implement.count)
        _add(units, KitKey("rack"), sum(platform.has_rack for platform in self.platforms))
        _add(units, KitKey("block"), sum(block.pairs for block in self.blocks))
        pegged = sum(bool(platform.peg_heights) for platform in self.platforms)
        _add(
            units, KitKey("band"), min(pegged, sum(b.pairs for b in self.bands if b.readings) // 2)
        )
        _add(units, KitKey("chain"), sum(chain.pairs for chain in self.chains) // 2)
        return units


def _add(units: dict[KitKey, int], key: KitKey, count: int) -> None:
    if count:
        units[key] = units.get(key, 0) + count

"""A chosen rig on a bar with plates: load along the lift, what a change does, stops, stripping."""

from __future__ import annotations

from dataclasses import dataclass, replace

from heftwright.domain.catalogue import BarPathKind, Lift, LiftKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.resistance import (
    BandedLoad,
    BandPart,
    BarPath,
    LoadCurve,
    LoadedBar,
    Ratings,
    SetUp,
    StraightPolicy,
    band_part,
    bar_for_rig,
    bar_path,
    change,
    fits_platform,
    hard_stops,
    load_along,
    possible_setups,
    set_up,
    setup_notes,
    sleeve_room,
    straight_kg,
    strip_order,
    tipping,
)
from heftwright.domain.resistance.limits import rating_notes, worst_total_kg
from heftwright.domain.resistance.load import LoadChange
from heftwright.domain.resistance.stacking import heaviest_up_to
from heftwright.domain.stock import Bar, Block, PlatePair, Platform, RigKind, Side, Stock
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.rigging import RigSheet, Wish

HEAVY_RATIO = 1.10  # above it a load needs the coach to look again
FAR_BELOW = Mass.kg(5)  # more than small plates leave: sleeve or stock ended


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A change to a chosen rig; None and 0 leave things as they are.

    Parameters
    ----------
    peg : Length or None
        Height of the pegs.
    way : RigKind or None
        How bands are fixed.
    raised : Length
        Blocks, boards or a higher box under the start; negative: a deficit.
    bar : str
        Key of the bar; empty: the first of the lift's kind.
    load : Mass or None
        Bar, collars and plates wanted; None: as the wish says.
    """

    peg: Length | None = None
    way: RigKind | None = None
    raised: Length = Length(0)
    bar: str = ""
    load: Mass | None = None


@dataclass(frozen=True, slots=True)
class Stripping:
    """Taking the plates off a racked bar.

    Parameters
    ----------
    steps : tuple of (Side, PlatePair)
        In order.
    used_ratio : float
        Largest share of the holding moment that is used up on the way; 1 tips.
    problem : str
        Why there is no safe order; empty where there is one.
    """

    steps: tuple[tuple[Side, PlatePair], ...]
    used_ratio: float
    problem: str = ""


@dataclass(frozen=True, slots=True)
class Rigged:
    """A rig on a bar with plates, as it would be lifted.

    Parameters
    ----------
    setup, path, curve
        Rig, the bar's way, the load along it.
    wanted : Mass
        On the bar.
    loaded : LoadedBar
        Bar, collars and plates that come nearest to it from below.
    before : LoadCurve or None
        The rig as chosen; None where nothing was changed.
    change : LoadChange or None
        Against the rig as chosen; None where nothing was changed.
    stops, notes : tuple of str
        Why not; what to know.
    stripping : Stripping or None
        Off the rack; None for a lift from the floor, where the bar lies on its plates.
    room : Length
        Left on a sleeve behind the plates and the collar.
    straight : tuple of (StraightPolicy, float)
        Straight weight instead [kg].
    share_ratio : float or None
        As the wish's meaning writes it.
    is_within : bool
        Whether that share is tolerated.
    """

    setup: SetUp
    path: BarPath
    curve: LoadCurve
    wanted: Mass
    loaded: LoadedBar
    before: LoadCurve | None
    change: LoadChange | None
    stops: tuple[str, ...]
    notes: tuple[str, ...]
    stripping: Stripping | None
    room: Length
    straight: tuple[tuple[StraightPolicy, float], ...]
    share_ratio: float | None
    is_within: bool


def rig_with(
    *, known: Gathered, sheet: RigSheet, setup_key: str, wish: Wish, what_if: WhatIf
) -> Rigged:
    """One rig of a sheet on a bar with plates, changed as asked.

    Raises
    ------
    NotFoundError
        If there is no such rig or bar.
    Refusal
        If it cannot be built, or the bar cannot be loaded like that.
    """
    chosen, bar = _setup_named(known, setup_key), _bar(known, sheet.lift, what_if.bar)
    frame = _Frame(sheet, wish, bar, known.stock.plates)
    before = None if what_if == WhatIf(bar=what_if.bar) else frame.as_chosen(chosen)
    path = bar_path(sheet.lift, sheet.athlete, raised=what_if.raised)
    setup = _changed(chosen, what_if, known.stock)
    wanted = what_if.load or frame.written(setup, path)
    loaded, curve = frame.lifted(setup, path, wanted)
    block = _block(known.stock, what_if.raised)
    ratings = Ratings(bar, _rack(known, sheet.lift, setup), block, known.overrides)
    share = frame.share(curve, loaded)
    return Rigged(
        setup=setup,
        path=path,
        curve=curve,
        wanted=wanted,
        loaded=loaded,
        before=before,
        change=change(before, curve) if before else None,
        stops=hard_stops(curve, setup, ratings, known.day),
        notes=(
            *rating_notes(worst_total_kg(curve), ratings, known.day),
            *setup_notes(setup, path),
            *path.notes,
            *_height_notes(what_if, block, sheet.lift),
            *_short_notes(wanted, loaded),
            *_unmoved_notes(what_if, setup),
            *_heavy_notes(curve, sheet.max_kg),
        ),
        stripping=None if _is_pull(sheet.lift) else _stripping(loaded),
        room=sleeve_room(bar, loaded.left),
        straight=tuple((policy, straight_kg(curve, policy)) for policy in StraightPolicy),
        share_ratio=share,
        is_within=share is not None and wish.tolerates(share),
    )


@dataclass(frozen=True, slots=True)
class _Frame:
    """What stays the same whatever is changed."""

    sheet: RigSheet
    wish: Wish
    bar: Bar
    plates: tuple[PlatePair, ...]

    def lifted(self, setup: SetUp, path: BarPath, wanted: Mass) -> tuple[LoadedBar, LoadCurve]:
        """Bar and plates from below, and the load along the way."""
        loaded = heaviest_up_to(self.bar, self.plates, wanted)
        return loaded, load_along(loaded.mass.in_kg, setup, path)

    def as_chosen(self, chosen: SetUp) -> LoadCurve:
        """The load with the rig as it was chosen, on the path as it was."""
        path = self.sheet.path
        return self.lifted(chosen, path, self.written(chosen, path))[1]

    def written(self, setup: SetUp, path: BarPath) -> Mass:
        """The bar that makes the written load with a rig."""
        top_kg = float(setup.tension_kg(path.end_m))
        mean_kg = setup.mean_kg(path.start_m, path.end_m)
        max_kg, wish = self.sheet.max_kg, self.wish
        return Mass.nearest_kg(bar_for_rig(max_kg, wish.load_ratio, top_kg, mean_kg, wish.meaning))

    def share(self, curve: LoadCurve, loaded: LoadedBar) -> float | None:
        """As the wish's meaning writes it; None where there is none."""
        bar_kg = loaded.mass.in_kg
        try:
            load = BandedLoad(
                self.sheet.max_kg, bar_kg, curve.top_kg - bar_kg, curve.mean_kg - bar_kg
            )
            return load.share_ratio(self.wish.meaning)
        except Refusal:
            return None


def _changed(setup: SetUp, what_if: WhatIf, stock: Stock) -> SetUp:
    if what_if.peg is None and what_if.way is None:
        return setup
    bands = [_moved(part, what_if, stock) for part in setup.band_parts]
    return set_up(*bands, *setup.chain_parts)


def _moved(part: BandPart, what_if: WhatIf, stock: Stock) -> BandPart:
    """The same bands on other pegs, with the offset of a platform that has them."""
    peg = what_if.peg or Length.nearest_m(part.peg_height_m)
    here = Length.nearest_m(part.peg_offset_m)
    offsets = [item.peg_offset for item in stock.platforms if peg in item.peg_heights]
    offset = here if here in offsets or not offsets else offsets[0]
    rig = what_if.way or part.rig
    return band_part(part.band, rig, peg_height=peg, peg_offset=offset, pairs=part.pairs)


def _block(stock: Stock, raised: Length) -> Block | None:
    """The pair of blocks or mats of that height."""
    return next((block for block in stock.blocks if block.height == raised and block.pairs), None)


def _rack(known: Gathered, lift: Lift, setup: SetUp) -> Platform | None:
    """The weakest rack on which the rig fits, where the lift needs one."""
    fitting = [item for item in known.stock.platforms if fits_platform(setup, item)]
    rated = [item for item in fitting if item.has_rack and item.rack_rating is not None]
    if "rack" not in lift.kit:
        return None
    return min(rated, key=lambda item: (item.rack_rating, item.key), default=None)


def _height_notes(what_if: WhatIf, block: Block | None, lift: Lift) -> tuple[str, ...]:
    if not _is_pull(lift) or what_if.raised <= Length(0) or block is not None:
        return ()
    return (f"No pair of blocks {what_if.raised} high is in stock: build it safely, or do not.",)


def _is_pull(lift: Lift) -> bool:
    """Whether the bar starts and ends on its plates, not in a rack or on a bench."""
    return lift.bar_path in (BarPathKind.PULL, BarPathKind.FLOOR_TO_OVERHEAD)


def _short_notes(wanted: Mass, loaded: LoadedBar) -> tuple[str, ...]:
    if wanted - loaded.mass <= FAR_BELOW:
        return ()
    return (
        (
            f"Only {loaded.mass} of the {wanted} asked for goes on {loaded.bar.name}: its sleeves "
            "or the plates in stock end there. Everything here is worked out for that. Check the "
            "number and the unit, or take another bar."
        ),
    )


def _unmoved_notes(what_if: WhatIf, setup: SetUp) -> tuple[str, ...]:
    if setup.band_parts or (what_if.peg is None and what_if.way is None):
        return ()
    return ("Pegs and the way of fixing are about bands: with chains alone they change nothing.",)


def _heavy_notes(curve: LoadCurve, max_kg: float) -> tuple[str, ...]:
    ratio = curve.peak_kg / max_kg
    if ratio <= HEAVY_RATIO:
        return ()
    return (f"The whole load comes to {ratio:.0%} of the max: check number, unit and lift.",)


def _stripping(loaded: LoadedBar) -> Stripping:
    try:
        steps = strip_order(loaded)
    except Refusal as refusal:
        return Stripping((), 1.0, str(refusal))
    sides = {Side.LEFT: list(loaded.left), Side.RIGHT: list(loaded.right)}
    used = 0.0
    for side, _ in steps:
        sides[side].pop()
        left, right = tuple(sides[Side.LEFT]), tuple(sides[Side.RIGHT])
        state = replace(loaded, left=left, right=right, has_collars=False)
        used = max(used, tipping(state).used_ratio)
    return Stripping(steps, used)


def _setup_named(known: Gathered, key: str) -> SetUp:
    setups = possible_setups(known.stock, known.day, has_mixed=True)
    found = next((setup for setup in setups if setup.key == key), None)
    if found is None:
        raise NotFoundError("This rig is no longer possible with what is in stock: choose again.")
    return found


def _bar(known: Gathered, lift: Lift, key: str) -> Bar:
    bars = known.stock.bars_of(lift.implement)
    found = next((bar for bar in bars if key in ("", bar.key)), None)
    if found is None:
        raise NotFoundError(
            f"There is no {lift.implement.shown} in stock for {lift.name}: add it with its mass."
        )
    return found


def peg_heights(known: Gathered) -> tuple[Length, ...]:
    """Every peg height that some platform has, lowest first."""
    return tuple(sorted({peg for item in known.stock.platforms for peg in item.peg_heights}))


def bars_for(known: Gathered, lift: LiftKey) -> tuple[Bar, ...]:
    """Bars on which a lift is done."""
    return known.stock.bars_of(known.catalogue[lift].implement)

"""A chosen rig on a bar with plates: load along the lift, what a change does, stops, stripping."""

from __future__ import annotations

from dataclasses import dataclass, replace

from heftwright.domain.catalogue import Lift, LiftKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.resistance import (
    BandedLoad,
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
from heftwright.domain.resistance.load import LoadChange
from heftwright.domain.resistance.stacking import heaviest_up_to
from heftwright.domain.stock import Bar, PlatePair, RigKind, Side
from heftwright.usecases import clock
from heftwright.usecases.actor import GymKey
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.rigging import RigSheet, Wish


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
    loaded : LoadedBar
        Bar, collars and plates that come nearest from below.
    change : LoadChange or None
        Against the rig as chosen; None where nothing was changed.
    stops, notes : tuple of str
        Why not; what to know.
    stripping : Stripping
        Off the rack.
    room : Length
        Left on a sleeve behind the plates and the collar.
    straight : tuple of (StraightPolicy, float)
        Straight weight instead [kg].
    share_ratio : float or None
        As the wish's meaning writes it.
    """

    setup: SetUp
    path: BarPath
    curve: LoadCurve
    loaded: LoadedBar
    change: LoadChange | None
    stops: tuple[str, ...]
    notes: tuple[str, ...]
    stripping: Stripping
    room: Length
    straight: tuple[tuple[StraightPolicy, float], ...]
    share_ratio: float | None


def rig_with(
    *, gym: GymKey, sheet: RigSheet, setup_key: str, wish: Wish, what_if: WhatIf
) -> Rigged:
    """One rig of a sheet on a bar with plates, changed as asked.

    Raises
    ------
    NotFoundError
        If there is no such rig or bar.
    Refusal
        If it cannot be built, or the bar cannot be loaded like that.
    """
    known = Gathered(gym, clock.today(gym))
    chosen, bar = _setup_named(known, setup_key), _bar(known, sheet.lift, what_if.bar)
    frame = _Frame(sheet, wish, bar, known.stock.plates)
    is_changed = what_if != WhatIf(bar=what_if.bar)
    path = bar_path(sheet.lift, sheet.athlete, raised=what_if.raised)
    setup = _changed(chosen, what_if)
    loaded, curve = frame.lifted(setup, path, what_if.load)
    return Rigged(
        setup=setup,
        path=path,
        curve=curve,
        loaded=loaded,
        change=change(frame.lifted(chosen, sheet.path)[1], curve) if is_changed else None,
        stops=hard_stops(curve, setup, Ratings(bar=bar), known.day),
        notes=(*setup_notes(setup, path), *path.notes),
        stripping=_stripping(loaded),
        room=sleeve_room(bar, loaded.left),
        straight=tuple((policy, straight_kg(curve, policy)) for policy in StraightPolicy),
        share_ratio=frame.share(curve, loaded),
    )


@dataclass(frozen=True, slots=True)
class _Frame:
    """What stays the same whatever is changed."""

    sheet: RigSheet
    wish: Wish
    bar: Bar
    plates: tuple[PlatePair, ...]

    def lifted(
        self, setup: SetUp, path: BarPath, load: Mass | None = None
    ) -> tuple[LoadedBar, LoadCurve]:
        """Bar and plates from below, and the load along the way."""
        wanted = load or Mass.nearest_kg(self._bar_kg(setup, path))
        loaded = heaviest_up_to(self.bar, self.plates, wanted)
        return loaded, load_along(loaded.mass.in_kg, setup, path)

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

    def _bar_kg(self, setup: SetUp, path: BarPath) -> float:
        top_kg = float(setup.tension_kg(path.end_m))
        mean_kg = setup.mean_kg(path.start_m, path.end_m)
        max_kg = self.sheet.max_kg
        return bar_for_rig(max_kg, self.wish.load_ratio, top_kg, mean_kg, self.wish.meaning)


def _changed(setup: SetUp, what_if: WhatIf) -> SetUp:
    if what_if.peg is None and what_if.way is None:
        return setup
    bands = [
        band_part(
            part.band,
            what_if.way or part.rig,
            peg_height=what_if.peg or Length.nearest_m(part.peg_height_m),
            peg_offset=Length.nearest_m(part.peg_offset_m),
            pairs=part.pairs,
        )
        for part in setup.band_parts
    ]
    return set_up(*bands, *setup.chain_parts)


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


def peg_heights(*, gym: GymKey) -> tuple[Length, ...]:
    """Every peg height that some platform has, lowest first."""
    known = Gathered(gym, clock.today(gym))
    return tuple(sorted({peg for item in known.stock.platforms for peg in item.peg_heights}))


def bars_for(*, gym: GymKey, lift: LiftKey) -> tuple[Bar, ...]:
    """Bars on which a lift is done."""
    known = Gathered(gym, clock.today(gym))
    return known.stock.bars_of(known.catalogue[lift].implement)

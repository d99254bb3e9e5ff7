"""Event practice with what the gym owns: a bag cannot be loaded, a yoke weighs what it weighs."""

from __future__ import annotations

from collections.abc import Sequence

from heftwright.domain.catalogue import Implement
from heftwright.domain.mass import Mass
from heftwright.domain.stock import ImplementUnit, Stock

STEP_KG = 2.5


def units_of(implement: Implement, stock: Stock) -> tuple[ImplementUnit, ...]:
    """The gym's implements of a kind that were weighed, the lightest first."""
    weighed = [u for u in stock.implements if u.implement == implement and u.mass is not None]
    return tuple(sorted(weighed, key=_mass))


def at_once(implement: Implement, stock: Stock) -> int | None:
    """How many can go at once where each takes one that cannot be loaded (a bag, a stone).

    None where plates go on and off between turns: there a group shares it.
    """
    fixed = [unit for unit in units_of(implement, stock) if not unit.takes_plates]
    return sum(unit.count for unit in fixed) or None


def practice_words(implement: Implement, contest_load: Mass, ratio: float, stock: Stock) -> str:
    """The load of one half of the class in words, as the gym can make it.

    Parameters
    ----------
    implement : Implement
        What is lifted in practice.
    contest_load : Mass
        What the contest asks for.
    ratio : float
        Share of it that is meant (0.9 heavy, 0.75 fast).
    stock : Stock
        What is owned.

    Returns
    -------
    str
        "270 kg" where plates make it; "50.4 kg sandbag (60 kg meant, contest 80 kg)" where only
        what stands there can be taken; a refusal where the lightest is above the contest's load.
    """
    meant = rounded_down(contest_load, ratio)
    units = units_of(implement, stock)
    if any(unit.takes_plates for unit in units):
        lightest = min(_mass(unit) for unit in units if unit.takes_plates)
        return meant.shown() if lightest <= meant else _too_heavy(implement, lightest, contest_load)
    if units:
        return _of_fixed(implement, [_mass(unit) for unit in units], meant, contest_load)
    bars = [bar.empty for bar in stock.bars_of(implement)]
    if bars and min(bars) > meant:
        return _too_heavy(implement, min(bars), contest_load)
    return meant.shown()


def rounded_down(load: Mass, ratio: float) -> Mass:
    """A share of a load, down to 2.5 kg."""
    return Mass.kg(str(int(load.in_kg * ratio / STEP_KG) * STEP_KG))


def _of_fixed(implement: Implement, masses: Sequence[Mass], meant: Mass, contest: Mass) -> str:
    below = [mass for mass in masses if mass <= meant]
    if below:
        return f"{max(below).shown()} {implement.one} ({_asked(meant, contest)})"
    lightest = min(masses)
    if lightest <= contest:
        return (
            f"{lightest.shown()} {implement.one} ({_asked(meant, contest)}; none is lighter: few, "
            "fresh, and only for those who move it well)"
        )
    return _too_heavy(implement, lightest, contest)


def _too_heavy(implement: Implement, lightest: Mass, contest: Mass) -> str:
    if lightest <= contest:
        return (
            f"the lightest {implement.one} as it stands, {lightest.shown()} (contest "
            f"{contest.shown()}), only for those who move it well"
        )
    return (
        f"no {implement.one} this light: {lightest.shown()} is above the contest's "
        f"{contest.shown()}; not for those it is too heavy for, rep work instead"
    )


def _asked(meant: Mass, contest: Mass) -> str:
    return f"{meant.shown()} meant, contest {contest.shown()}"


def _mass(unit: ImplementUnit) -> Mass:
    return unit.mass or Mass(0)

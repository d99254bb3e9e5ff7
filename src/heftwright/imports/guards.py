"""Soft guards at the door: what is unlikely stops and asks (trust.md, hazards).

The limits are the trust page's or, where marked †, our own.
"""

from __future__ import annotations

from statistics import median

from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Athlete
from heftwright.imports.gym import Gym
from heftwright.imports.rows import ParsedRow

USUAL_LOW_PCT, USUAL_HIGH_PCT = 50, 130
BODY_LOW_PCT, BODY_HIGH_PCT = 70, 140  # † a season's change stays well inside
STATURE_TOLERANCE_PCT = 10  # †
FAR_FROM_SQUAD = 4  # † times the column's median for the lift
ENOUGH_ROWS = 5


def in_other_unit(entered: EnteredMass) -> EnteredMass:
    """The same digits in the other unit."""
    other = MassUnit.LB if entered.unit is MassUnit.KG else MassUnit.KG
    return EnteredMass(entered.thousandths, other)


def is_usual(mass: Mass, known: Mass, low_pct: int, high_pct: int) -> bool:
    """Whether a mass lies within a share of a known one, exact."""
    return low_pct * known.ticks <= 100 * mass.ticks <= high_pct * known.ticks


def checked_max(gym: Gym, row: ParsedRow, known: Mass | None, *, is_single: bool) -> EnteredMass:
    """The load of a max, asked about when it is outside 50–130 % of the known max.

    Parameters
    ----------
    gym, row
        The gym; a Maxes row with a load.
    known : Mass or None
        The max in use; None: nothing to compare with.
    is_single : bool
        A rep set may lie far below the max; only its upper limit counts.

    Returns
    -------
    EnteredMass
        As written, or in the other unit if the coach says so.
    """
    entered: EnteredMass = row.values["load"]
    low = USUAL_LOW_PCT if is_single else 0
    if known is None or is_usual(entered.mass, known, low, USUAL_HIGH_PCT):
        return entered
    return _asked(gym, row, "load", entered, known, (USUAL_LOW_PCT, USUAL_HIGH_PCT))


def checked_body_mass(gym: Gym, row: ParsedRow, known: Athlete | None) -> EnteredMass:
    """The body mass, asked about when it is far from the known one."""
    entered: EnteredMass = row.values["body_mass"]
    before = known.body_mass if known else None
    limits = (BODY_LOW_PCT, BODY_HIGH_PCT)
    if before is None or is_usual(entered.mass, before, *limits):
        return entered
    return _asked(gym, row, "body_mass", entered, before, limits)


def _asked(
    gym: Gym, row: ParsedRow, column: str, entered: EnteredMass, known: Mass,
    limits: tuple[int, int],
) -> EnteredMass:  # fmt: skip
    other = in_other_unit(entered)
    offered = f"it is {other}" if is_usual(other.mass, known, *limits) else ""
    sentence = (
        f"{entered} is {_percent(entered.mass, known)} % of the known {known.shown(entered.unit)}."
        f"{_hint(entered.mass, known, limits)}"
    )
    answer = gym.confirm(row, column, sentence, other=offered)
    return other if answer == "other" else entered


def _percent(mass: Mass, known: Mass) -> int:
    return round(100 * mass.ticks / known.ticks)


def _hint(mass: Mass, known: Mass, limits: tuple[int, int]) -> str:
    tenth, tenfold = Mass(mass.ticks // 10), 10 * mass
    is_out_by_ten = is_usual(tenth, known, *limits) or is_usual(tenfold, known, *limits)
    return " Is the point in the wrong place?" if is_out_by_ten else ""


def checked_stature(gym: Gym, row: ParsedRow, known: Athlete | None) -> None:
    """Ask about a stature more than 10 % from the known one."""
    before = known.stature if known else None
    if before is None:
        return
    now = row.values["stature"].length
    if 100 * abs(now.ticks - before.ticks) > STATURE_TOLERANCE_PCT * before.ticks:
        gym.confirm(row, "stature", f"The stature on record is {before}, the file says {now}.")


class SquadMedians:
    """Medians of the file's own loads for each lift, for lifts nobody's max is known in."""

    def __init__(self, loads: dict[str, list[Mass]]) -> None:
        self._medians = {
            lift: Mass(round(median(mass.ticks for mass in masses)))
            for lift, masses in loads.items()
            if len(masses) >= ENOUGH_ROWS
        }

    def check(self, gym: Gym, row: ParsedRow, lift: str, entered: EnteredMass) -> None:
        """Ask about a load more than four times, or less than a quarter of, the column's median."""
        middle = self._medians.get(lift)
        if middle is None:
            return
        if is_usual(entered.mass, middle, 100 // FAR_FROM_SQUAD, 100 * FAR_FROM_SQUAD):
            return
        gym.confirm(
            row,
            "load",
            f"{entered} is far from the file's middle for this lift, "
            f"{middle.shown(entered.unit, 0)}.{_hint(entered.mass, middle, (40, 250))}",
        )

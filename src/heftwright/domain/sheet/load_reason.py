"""Why the bar holds exactly this load: the nearest one, one below, or one that shares plates."""

from __future__ import annotations

from heftwright.domain.floor.stacks import SIDES
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.prescription.reasons import Reason, ReasonKind, reason
from heftwright.domain.prescription.wanted import WantedWork


def load_reason(work: WantedWork, load: Mass, smallest_kg: float, unit: MassUnit) -> Reason:
    """The reason for the load that came off the floor.

    Parameters
    ----------
    work : WantedWork
        With the target.
    load : Mass
        On the bar.
    smallest_kg : float
        The smallest plate of the stock [kg].
    unit : MassUnit
        Of the page.
    """
    if work.max_effort is not None:  # never above the target: a whole step below it may be nearest
        smallest_kg *= SIDES
    off_kg = abs(load.in_kg - work.target_kg)
    shown, target = load.shown(unit), _kg(work.target_kg, unit)
    if off_kg <= smallest_kg + 1e-9:
        return reason(ReasonKind.NEAREST_LOAD, load=shown, target=target)
    if not work.tolerance_ratio:
        return reason(ReasonKind.AT_OR_BELOW, load=shown, target=target)
    if work.never_above:
        return reason(
            ReasonKind.BELOW_TARGET, load=shown, target=target, off=_kg(off_kg, unit)
        )  # fmt: skip
    return reason(
        ReasonKind.WITHIN_TOLERANCE, load=shown, target=target, off=_kg(off_kg, unit),
        tolerance=_kg(work.tolerance_ratio * work.max_kg, unit),
    )  # fmt: skip


def _kg(value: float, unit: MassUnit) -> str:
    return Mass.nearest_kg(value).shown(unit, 1)

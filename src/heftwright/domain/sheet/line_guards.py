"""One line of the sheet held against the guards and the zone table, as it came off the floor."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from heftwright.domain.catalogue import Lift
from heftwright.domain.dose.guards import Guard, GuardKind, Wanted, guards_on
from heftwright.domain.dose.zones import Against, ZoneTable, judge
from heftwright.domain.prescription.cautions import CLASS_WIDE, NOTES, SQUAD_WIDE
from heftwright.domain.prescription.reasons import ReasonKind, reason
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.resistance.rigs import SetUp
from heftwright.domain.squad import Athlete

SAID_BY_CAUTIONS = frozenset(
    {GuardKind.STALE_MAX, GuardKind.LAY_OFF, GuardKind.ROUNDING, GuardKind.ESTIMATED_TOP}
)
"""Said already by a caution or a reason of the line."""
QUIET = CLASS_WIDE | NOTES | SQUAD_WIDE


@dataclass(frozen=True, slots=True)
class OnTheBar:
    """What came off the floor for one athlete.

    Parameters
    ----------
    bar_kg, top_kg : float
        On the bar, and with bands or chains at the top [kg].
    rig : SetUp or None
        Bands and chains; None for straight weight.
    """

    bar_kg: float
    top_kg: float
    rig: SetUp | None = None

    @property
    def band_pairs(self) -> int:
        """Pairs of bands that hang on it."""
        return sum(self.rig.band_key_counts().values()) if self.rig else 0


def guards_on_line(
    work: WantedWork,
    bar: OnTheBar,
    lift: Lift,
    athlete: Athlete,
    day: date,
    zones: ZoneTable | None,
) -> tuple[Guard, ...]:
    """Everything that stops or asks about one line; nothing where no max is known."""
    if work.belief is None:
        return ()
    wanted = Wanted(
        lift=lift, scheme=work.scheme, bar_kg=bar.bar_kg, top_kg=bar.top_kg,
        max_effort=work.max_effort, is_near_contest=work.is_near_contest, set_by=work.set_by,
        band_pairs=bar.band_pairs,
    )  # fmt: skip
    return guards_on(wanted, athlete, work.belief, day, zones)


def held_to_table(work: WantedWork, bar: OnTheBar, zones: ZoneTable) -> WantedWork:
    """The work with no more sets than the table takes at this load, and the reason why.

    A scheme that our own dose guard would question is not planned; a load set by hand keeps it.
    """
    if work.max_effort is not None or work.belief is None or work.set_by:
        return work
    pct = 100 * max(bar.bar_kg, bar.top_kg) / work.belief.median_kg
    row = zones.row_at(pct, is_banded=bar.top_kg > bar.bar_kg)
    if row is None or judge(row, work.scheme).against_range is not Against.ABOVE:
        return work
    most = row.total[1]
    scheme = replace(work.scheme, sets=max(1, most // work.scheme.reps))
    told = reason(
        ReasonKind.TABLE_SETS, scheme=str(scheme), usual=str(work.scheme), pct=f"{pct:.0f}",
        most=most,
    )  # fmt: skip
    return replace(work, scheme=scheme, reasons=(*work.reasons, told))


def soft_words(guards: Iterable[Guard], *, interrupting: bool) -> tuple[str, ...]:
    """Guards that ask, or else only note; without those that the line says already."""
    return tuple(
        guard.sentence
        for guard in guards
        if not guard.is_hard
        and guard.interrupts is interrupting
        and guard.kind not in SAID_BY_CAUTIONS
    )

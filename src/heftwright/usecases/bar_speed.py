"""Bar speed, from any device's CSV: a preview that keeps nothing, accepting it, what it says."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.domain.catalogue import Lift, LiftKey
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.bar_speed_log import (
    BarSpeedSet,
    Slowness,
    SpeedProfile,
    is_for_planning,
    profile,
    slowness,
)
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.imports.bar_speed_file import (
    DayOrder,
    DecimalMark,
    SpeedColumn,
    SpeedMapping,
    SpeedPreview,
    SpeedProblem,
    SpeedUnit,
    guess_columns,
    preview_speeds,
)
from heftwright.imports.hardening import UploadedFile, read_guarded
from heftwright.store import coaching_rows
from heftwright.store.gym_rows import find_gym
from heftwright.usecases import clock, maxes
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import ChangedMeanwhileError, change, seen, verb
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.squad import get_athlete, get_squad

__all__ = [
    "BarSpeedSet",
    "DayOrder",
    "DecimalMark",
    "LiftSpeeds",
    "SlowLine",
    "SpeedColumn",
    "SpeedMapping",
    "SpeedPreview",
    "SpeedProblem",
    "SpeedUnit",
    "UploadedFile",
    "accept_bar_speed",
    "get_athlete_speeds",
    "get_slow_bars",
    "preview_bar_speed",
    "speed_mark",
    "take_speed_max",
]

HABIT_DAYS = 180


class SpeedMaxError(Refusal):
    """A max from bar speed that must not stand as evidence."""


@dataclass(frozen=True, slots=True)
class LiftSpeeds:
    """What bar speed says about one athlete and lift.

    Parameters
    ----------
    lift : Lift
        Which.
    profile : SpeedProfile
        The line and the max that it points at.
    slow : Slowness or None
        The latest day against the athlete's own habit.
    sets : tuple of BarSpeedSet
        Latest first, at most twelve.
    may_take : bool
        Whether the max may be taken as evidence at all.
    """

    lift: Lift
    profile: SpeedProfile
    slow: Slowness | None
    sets: tuple[BarSpeedSet, ...]
    may_take: bool


@dataclass(frozen=True, slots=True)
class SlowLine:
    """Somebody whose bar was clearly slower than their habit on their latest measured day."""

    athlete: AthleteId
    name: str
    lift_name: str
    slow: Slowness


def preview_bar_speed(
    *, gym: GymKey, by: Actor, file: UploadedFile, mapping: SpeedMapping | None = None
) -> SpeedPreview:
    """Read a file; nothing is kept.

    Parameters
    ----------
    mapping : SpeedMapping or None
        Which column holds what; None: by the column heads, for the coach to check.

    Raises
    ------
    FileRefusedError
        If the file is no readable CSV or workbook.
    """
    check_may(by, gym, Right.RECORD_MAX)
    raw = read_guarded(file)
    if mapping is None:
        unit = MassUnit(find_gym(gym).unit)
        mapping = SpeedMapping(guess_columns(raw), load_unit=unit)
    squad, catalogue = get_squad(gym=gym), catalogue_of(gym)
    return preview_speeds(raw, mapping, squad, catalogue, clock.today(gym))


def speed_mark(preview: SpeedPreview) -> str:
    """A short mark of what a preview would keep: give it back when accepting."""
    return seen(_Shown(preview.sets, preview.rows_left_out))


@verb
def accept_bar_speed(
    *, gym: GymKey, by: Actor, file: UploadedFile, mapping: SpeedMapping, was_seen: str
) -> tuple[str, ...]:
    """Keep the sets of a file exactly as they were previewed; one act, so one undo.

    Returns
    -------
    tuple of str
        Keys of the sets that are new; sets that stand already are kept once.

    Raises
    ------
    ChangedMeanwhileError
        If the file or the squad changed since the preview.
    """
    preview = preview_bar_speed(gym=gym, by=by, file=file, mapping=mapping)
    if speed_mark(preview) != was_seen:
        raise ChangedMeanwhileError(
            "What the file would bring in changed since you looked: look at the preview again."
        )
    if not preview.sets:
        raise Refusal("No row of this file can be read: see the reasons, change the mapping.")
    known = {item.key for item in coaching_rows.read_speed_sets(find_gym(gym))}
    new = [item for item in preview.sets if item.key not in known]
    with change(gym, by, "accept_bar_speed", Right.RECORD_MAX) as trail:
        for item in new:
            trail.put(item)
    return tuple(item.key for item in new)


def get_athlete_speeds(*, gym: GymKey, athlete: AthleteId) -> tuple[LiftSpeeds, ...]:
    """What bar speed says about an athlete, lift by lift."""
    today, catalogue = clock.today(gym), catalogue_of(gym)
    sets = _recent(gym, today, athlete)
    return tuple(
        _lift_speeds(catalogue[key], items, today) for key, items in _by_lift(sets).items()
    )


def get_slow_bars(*, gym: GymKey) -> tuple[SlowLine, ...]:
    """Everybody whose bar was clearly slower than their own habit on their latest measured day."""
    names = {athlete.id: athlete.name for athlete in get_squad(gym=gym)}
    catalogue = catalogue_of(gym)
    people: dict[AthleteId, list[BarSpeedSet]] = {}
    for item in _recent(gym, clock.today(gym), None):
        people.setdefault(item.athlete, []).append(item)
    return tuple(
        SlowLine(key, names[key], catalogue[lift].name, slow)
        for key, sets in people.items()
        if key in names
        for lift, items in _by_lift(sets).items()
        if (slow := slowness(items)) is not None
    )


@verb
def take_speed_max(*, gym: GymKey, by: Actor, athlete: AthleteId, lift: LiftKey) -> str:
    """Take the max that an athlete's line points at as evidence, with bar speed's own wide ±.

    Returns
    -------
    str
        The key the evidence is kept under.

    Raises
    ------
    SpeedMaxError
        If there is no line, or it is low confidence (every deadlift is).
    """
    get_athlete(gym=gym, athlete=athlete)
    speeds = next(
        (item for item in get_athlete_speeds(gym=gym, athlete=athlete) if item.lift.key == lift),
        None,
    )
    if speeds is None or speeds.profile.found is None or not speeds.may_take:
        raise SpeedMaxError(
            "This bar speed is low confidence or draws no line: it stays a hint, and is not taken "
            "as evidence for a max."
        )
    evidence = Evidence(
        athlete, lift, EvidenceKind.BAR_SPEED, Mass.nearest_kg(speeds.profile.found.max_kg),
        max(item.on for item in speeds.sets), note=f"line through {len(speeds.profile.points)} "
        "loads",
    )  # fmt: skip
    return maxes.record_max(gym=gym, by=by, evidence=evidence)


@dataclass(frozen=True, slots=True)
class _Shown:
    sets: tuple[BarSpeedSet, ...]
    rows_left_out: int


def _recent(gym: GymKey, today: date, athlete: AthleteId | None) -> tuple[BarSpeedSet, ...]:
    since = today - timedelta(days=HABIT_DAYS)
    return coaching_rows.read_speed_sets(find_gym(gym), athlete=athlete, since=since)


def _by_lift(sets: tuple[BarSpeedSet, ...] | list[BarSpeedSet]) -> dict[LiftKey, list[BarSpeedSet]]:
    found: dict[LiftKey, list[BarSpeedSet]] = {}
    for item in sets:
        found.setdefault(item.lift, []).append(item)
    return found


def _lift_speeds(lift: Lift, sets: list[BarSpeedSet], today: date) -> LiftSpeeds:
    line = profile(sets, lift, today)
    may_take = line.found is not None and not line.found.is_low_confidence and is_for_planning(lift)
    latest = tuple(reversed(sets))[:12]
    return LiftSpeeds(lift, line, slowness(sets), latest, may_take)

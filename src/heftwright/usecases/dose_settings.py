"""The gym's own waves and load settings: what ships until the coach changes it, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from heftwright.domain.dose.schemes import SchemeOption, factorisations, scheme_for
from heftwright.domain.dose.waves import (
    WAVE_TEMPLATES,
    WaveStep,
    WaveTemplate,
    check_replaces,
    wave_named,
)
from heftwright.domain.dose.zones import (
    ZoneHit,
    ZonePlace,
    ZoneTable,
    effective_ratio,
    judge,
    load_zone_tables,
)
from heftwright.domain.prescription.settings import CoachSettings
from heftwright.domain.resistance import DEFAULT_MEANING
from heftwright.store import coaching_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.records import RecordKind
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import ChangedMeanwhileError, change, seen, verb
from heftwright.usecases.permissions import Right

__all__ = [
    "StepView",
    "WaveLine",
    "change_settings",
    "change_wave",
    "get_settings",
    "get_step_views",
    "get_wave",
    "get_wave_lines",
    "get_waves",
    "get_zone_tables",
    "reset_settings",
    "reset_wave",
]

DRIFTS = ("far from a contest", "nearer a reps event", "close to a reps event")


@dataclass(frozen=True, slots=True)
class WaveLine:
    """A wave as the gym uses it.

    Parameters
    ----------
    wave : WaveTemplate
        As it stands.
    is_own : bool
        Whether the coach changed it from what ships.
    """

    wave: WaveTemplate
    is_own: bool

    @property
    def converted_from(self) -> str:
        """The account that the gym's sheet keeps its shares in; empty where it is ours."""
        meaning = self.wave.written_as
        return "" if meaning is DEFAULT_MEANING else meaning.shown


@dataclass(frozen=True, slots=True)
class StepView:
    """One week of a wave, worked out.

    Parameters
    ----------
    step : WaveStep
        Shares and most reps.
    effective_ratio : float
        Bar and top share together.
    zone_words : str
        The row of the gym's zone table, or that it lies between rows.
    verdict_words : str
        The usual scheme held against that row; empty where there is no row.
    drift : tuple of (str, str)
        When -> sets × reps, from many short sets to fewer longer ones.
    options : tuple of SchemeOption
        Every way to cut the reps into equal sets, with its meaning.
    """

    step: WaveStep
    effective_ratio: float
    zone_words: str
    verdict_words: str
    drift: tuple[tuple[str, str], ...]
    options: tuple[SchemeOption, ...]


def get_waves(*, gym: GymKey) -> Mapping[str, WaveTemplate]:
    """The gym's waves by key: those that ship, and the coach's own in their place."""
    return MappingProxyType({**WAVE_TEMPLATES, **coaching_rows.read_waves(find_gym(gym))})


def get_wave_lines(*, gym: GymKey) -> tuple[WaveLine, ...]:
    """Every wave, and whether it is the coach's own."""
    return tuple(
        WaveLine(wave, wave != WAVE_TEMPLATES[key]) for key, wave in get_waves(gym=gym).items()
    )


def get_wave(*, gym: GymKey, key: str) -> WaveLine:
    """One wave.

    Raises
    ------
    UnknownWaveError
        If there is none.
    """
    wave = wave_named(key, get_waves(gym=gym))
    return WaveLine(wave, wave != WAVE_TEMPLATES[key])


@verb
def change_wave(*, gym: GymKey, by: Actor, wave: WaveTemplate, was_seen: str | None = None) -> None:
    """Put the coach's own weeks in the place of a wave's; the next class plans with them.

    Parameters
    ----------
    wave : WaveTemplate
        Under the key of one that ships.
    was_seen : str or None
        Mark of the wave as the coach opened it; None: whatever stands is replaced.

    Raises
    ------
    UnknownWaveError
        If no wave has this key.
    WaveError
        If it has fewer weeks than the season plans with, or bands where it is straight weight.
    ChangedMeanwhileError
        If somebody changed it after it was shown.
    """
    shipped = wave_named(wave.key)
    check_replaces(wave, shipped)
    with change(gym, by, "change_wave", Right.EDIT_DOSE) as trail:
        stands = coaching_rows.read_setting(trail.gym, WaveTemplate, wave.key) or shipped
        if was_seen is not None and was_seen != seen(stands):
            raise ChangedMeanwhileError(
                f"“{stands.name}” was changed by somebody else after you opened it: look at it as "
                "it stands now; what you wrote is kept."
            )
        trail.put(wave)


@verb
def reset_wave(*, gym: GymKey, by: Actor, key: str) -> None:
    """Back to the weeks that ship.

    Raises
    ------
    NotFoundError
        If the wave is as it ships already.
    """
    with change(gym, by, "reset_wave", Right.EDIT_DOSE) as trail:
        trail.drop(RecordKind.WAVE, key)


def get_settings(*, gym: GymKey) -> CoachSettings:
    """The coach's settings; the defaults until they are changed."""
    found = coaching_rows.read_setting(find_gym(gym), CoachSettings, CoachSettings().key)
    return CoachSettings() if found is None else found


@verb
def change_settings(*, gym: GymKey, by: Actor, settings: CoachSettings) -> None:
    """Change the coach's settings; the next class plans with them."""
    with change(gym, by, "change_settings", Right.EDIT_DOSE) as trail:
        trail.put(settings)


@verb
def reset_settings(*, gym: GymKey, by: Actor) -> None:
    """Back to the settings that ship.

    Raises
    ------
    NotFoundError
        If nothing was changed.
    """
    with change(gym, by, "reset_settings", Right.EDIT_DOSE) as trail:
        trail.drop(RecordKind.SETTINGS, CoachSettings().key)


def get_zone_tables() -> Mapping[str, ZoneTable]:
    """The variants in print, by key."""
    return load_zone_tables()


def get_step_views(wave: WaveTemplate, zones: ZoneTable) -> tuple[StepView, ...]:
    """Each week with its row of the zone table, its schemes and every way to cut its reps."""
    is_lower = not wave.key.startswith("upper")
    return tuple(_step_view(step, wave, zones, is_lower=is_lower) for step in wave.steps)


def _step_view(step: WaveStep, wave: WaveTemplate, zones: ZoneTable, *, is_lower: bool) -> StepView:
    whole = effective_ratio(step.bar_ratio, step.top_ratio)
    pct = round(100 * whole, 1)
    hit = zones.find_banded(pct) if wave.needs_accommodation else zones.find(pct)
    schemes = [scheme_for(step, drift, is_lower) for drift in range(len(DRIFTS))]
    verdict = judge(hit.zone, schemes[0]).words if hit.zone else ""
    return StepView(
        step, whole, _zone_words(hit, zones), verdict,
        tuple(zip(DRIFTS, map(str, schemes), strict=True)), factorisations(step.most_reps),
    )  # fmt: skip


def _zone_words(hit: ZoneHit, zones: ZoneTable) -> str:
    if hit.place is ZonePlace.IN_ZONE and hit.zone is not None:
        return f"row {hit.zone.name} of print {zones.key}"
    names = " and ".join(zone.name for zone in hit.neighbours)
    between = hit.place is ZonePlace.GAP
    return f"{'between rows' if between else 'outside, nearest'} {names} of print {zones.key}"

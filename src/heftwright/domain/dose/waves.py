"""Waves: what share of the max goes on the bar in each week of a dynamic-effort wave."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

from heftwright.domain.catalogue import Resistance
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.resistance import DEFAULT_MEANING, TopShareMeaning

HEAVIEST_SPEED_RATIO = 0.95


class WaveError(Refusal):
    """A wave that nobody should train, or a week that it does not have."""


class UnknownWaveError(NotFoundError):
    """A wave template that the gym does not have."""


@dataclass(frozen=True, slots=True)
class WaveStep:
    """One week of a wave.

    Parameters
    ----------
    bar_ratio : float
        Share of the max on the bar, 0.2–0.95.
    top_ratio : float
        Share of the max that bands or chains add at lockout, on top of the bar, 0–0.6.
    most_reps : int
        Total repetitions at most, 4–40.
    """

    bar_ratio: float
    top_ratio: float
    most_reps: int

    def __post_init__(self) -> None:
        if not 0.2 <= self.bar_ratio <= HEAVIEST_SPEED_RATIO or not 0 <= self.top_ratio <= 0.6:
            raise WaveError(
                f"{100 * self.bar_ratio:.0f} % on the bar and {100 * self.top_ratio:.0f} % at the "
                "top is outside 20–95 % and 0–60 %."
            )
        if not 4 <= self.most_reps <= 40:
            raise WaveError(f"{self.most_reps} total reps is outside 4–40.")
        if self.lockout_ratio > 1.05:
            raise WaveError(
                f"{100 * self.lockout_ratio:.0f} % at lockout is no speed work: stay at or "
                "below 105 %."
            )

    @property
    def lockout_ratio(self) -> float:
        """Bar and top share together: the effective intensity by default."""
        return self.bar_ratio + self.top_ratio


@dataclass(frozen=True, slots=True)
class WaveTemplate:
    """A wave's weeks, lightest first (common practice, editable).

    Parameters
    ----------
    key, name : str
        Steady key and what a coach calls it.
    steps : tuple of WaveStep
        1–6 weeks whose lockout share does not fall.
    written_as : TopShareMeaning
        How the coach writes its shares; the steps hold them as `DEFAULT_MEANING` counts.
    """

    key: str
    name: str
    steps: tuple[WaveStep, ...]
    written_as: TopShareMeaning = DEFAULT_MEANING

    def __post_init__(self) -> None:
        if not 1 <= len(self.steps) <= 6:
            raise WaveError(f"Wave “{self.name}” has {len(self.steps)} weeks: it must have 1–6.")
        shares = [step.lockout_ratio for step in self.steps]
        if shares != sorted(shares):
            raise WaveError(f"Wave “{self.name}” gets lighter: each week at least the one before.")

    @property
    def needs_accommodation(self) -> bool:
        """Whether bands or chains belong to it."""
        return any(step.top_ratio > 0 for step in self.steps)


def check_replaces(wave: WaveTemplate, shipped: WaveTemplate) -> None:
    """Whether a coach's own wave can stand in the place of one that ships.

    Raises
    ------
    WaveError
        If it has fewer weeks than the season plans with, bands where it is straight weight, or
        none where it is banded.
    """
    least = len(shipped.steps)
    if len(wave.steps) < least:
        raise WaveError(
            f"“{wave.name}” has {len(wave.steps)} weeks, but is planned over {least}: fill in at "
            f"least {least}."
        )
    if not shipped.needs_accommodation and wave.needs_accommodation:
        raise WaveError(
            f"“{wave.name}” is for straight weight: leave the share of bands or chains at 0."
        )
    if shipped.needs_accommodation and not all(step.top_ratio for step in wave.steps):
        raise WaveError(
            f"“{wave.name}” is for bands or chains: every week needs a share of them above 0."
        )


@cache
def load_wave_templates() -> Mapping[str, WaveTemplate]:
    """The templates that ship with Heftwright, by key."""
    text = resources.files(__package__).joinpath("waves.json").read_text(encoding="utf-8")
    return read_wave_templates(json.loads(text))


def read_wave_templates(document: Mapping[str, Any]) -> Mapping[str, WaveTemplate]:
    """Build the templates from the parsed document."""
    templates = [
        WaveTemplate(record["key"], record["name"], tuple(WaveStep(*s) for s in record["steps"]))
        for record in document["templates"]
    ]
    return MappingProxyType({template.key: template for template in templates})


WAVE_TEMPLATES = load_wave_templates()


def template_for(
    resistance: Resistance, *, is_lower: bool, waves: Mapping[str, WaveTemplate] = WAVE_TEMPLATES
) -> WaveTemplate:
    """The usual template: bands by lower and upper day, chains, or other percentages."""
    if resistance is Resistance.BANDS:
        return waves["lower_banded" if is_lower else "upper_banded"]
    return waves["chains" if resistance is Resistance.CHAINS else "straight"]


def wave_named(key: str, waves: Mapping[str, WaveTemplate] = WAVE_TEMPLATES) -> WaveTemplate:
    """The template with this key, a gym's own where it has one.

    Raises
    ------
    UnknownWaveError
        If there is none.
    """
    try:
        return waves[key]
    except KeyError:
        known = ", ".join(waves)
        raise UnknownWaveError(f"There is no wave “{key}”: choose one of {known}.") from None


def step_for(template: WaveTemplate, wave_week: int, wave_weeks: int) -> WaveStep:
    """The step of one week; a short wave keeps the first, lighter steps.

    Parameters
    ----------
    template : WaveTemplate
        Which wave.
    wave_week, wave_weeks : int
        Week 1 … ``wave_weeks``; at most as many as the template has.
    """
    if not 1 <= wave_week <= wave_weeks:
        raise WaveError(f"Week {wave_week} of {wave_weeks} does not exist.")
    if wave_weeks > len(template.steps):
        raise WaveError(
            f"“{template.name}” has {len(template.steps)} weeks, not {wave_weeks}: shorten the "
            "wave or add a week to the template."
        )
    return template.steps[wave_week - 1]

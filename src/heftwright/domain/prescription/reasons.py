"""Why a number is what it is: structured reasons, and the one sentence each is told in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from string import Formatter

from heftwright.domain.refusal import Refusal

Fact = str | int | float


class ReasonFactsError(Refusal):
    """A reason whose facts do not fill its sentence."""


class ReasonKind(StrEnum):
    """What a reason speaks of."""

    LIFT_FROM_SEASON = "lift_from_season"
    SUBSTITUTED = "substituted"
    MAX_USED = "max_used"
    WAVE_STEP = "wave_step"
    STRAIGHT_STEP = "straight_step"
    RAMP_TOP = "ramp_top"
    OPEN_TOP = "open_top"
    UNTESTED_NEAR = "untested_near"
    OWN_TAPER = "own_taper"
    REP_WORK = "rep_work"
    TABLE_SETS = "table_sets"
    TAPER = "taper"
    TAPER_STEPS = "taper_steps"
    EASY_WEEK = "easy_week"
    RIG_ADDS = "rig_adds"
    TOP_SHARE = "top_share"
    NO_RIG = "no_rig"
    AT_OR_BELOW = "at_or_below"
    NEAREST_LOAD = "nearest_load"
    WITHIN_TOLERANCE = "within_tolerance"
    BELOW_TARGET = "below_target"
    LAY_OFF = "lay_off"
    LAY_OFF_CLIMB = "lay_off_climb"
    LAY_OFF_WAVE_CLIMB = "lay_off_wave_climb"
    MAX_BEFORE_LAY_OFF = "max_before_lay_off"
    BEGINNER = "beginner"
    MINOR_TOP_SET = "minor_top_set"
    COACH_CHANGED = "coach_changed"


SENTENCES: Mapping[ReasonKind, str] = {
    ReasonKind.LIFT_FROM_SEASON: "{lift} is tonight's lift: {why}",
    ReasonKind.SUBSTITUTED: "{lift} instead of {planned}: {why}.",
    ReasonKind.MAX_USED: "{lift} max: {words}.",
    ReasonKind.WAVE_STEP: "Week {week} of {weeks}: {pct} % of {max} on the bar = {target}.",
    ReasonKind.STRAIGHT_STEP: (
        "Week {week} of {weeks}, straight weight: {pct} % of {max} = {target}."
    ),
    ReasonKind.RAMP_TOP: "Work up to a heavy {what}: about {pct} % of {max} = {target}.",
    ReasonKind.OPEN_TOP: (
        "The steps stop at {target}, {pct} % of {max}: the max is {why}, so the coach "
        "sets the heavy {what}, or tests."
    ),
    ReasonKind.UNTESTED_NEAR: (
        "Never tested in {lift} and a contest is near: a {what} well short of a max."
    ),
    ReasonKind.OWN_TAPER: "{why}",
    ReasonKind.REP_WORK: "Sets of 8 instead of the banded wave: {pct} % = {target}.",
    ReasonKind.TABLE_SETS: (
        "{scheme} instead of {usual}: the top comes to {pct} %, where the zone table takes "
        "{most} lifts at most."
    ),
    ReasonKind.TAPER: "Taper before a contest: {scheme} instead of {usual}, about 55 % of it.",
    ReasonKind.TAPER_STEPS: (
        "Taper before a contest: the same steps with about half the repetitions, then stop."
    ),
    ReasonKind.EASY_WEEK: "Easy week: {pct} % of the usual load.",
    ReasonKind.RIG_ADDS: (
        "{rig} adds {bottom} at the start and {top} ± {sd} at the top ({travel} travel)."
    ),
    ReasonKind.TOP_SHARE: "That is {pct} % of the max at the top; wanted {lo}–{hi} %.",
    ReasonKind.NO_RIG: "Straight weight: {why}.",
    ReasonKind.AT_OR_BELOW: "{load} is the nearest load below {target} on this bar.",
    ReasonKind.NEAREST_LOAD: "{load} is the nearest load this platform can make to {target}.",
    ReasonKind.WITHIN_TOLERANCE: (
        "{load} shares plates with the group and is {off} from {target}, inside the "
        "{tolerance} tolerance."
    ),
    ReasonKind.BELOW_TARGET: (
        "{load} shares plates with the group, {off} below {target}; "
        "a max-effort load never goes above its target."
    ),
    ReasonKind.LAY_OFF: ("Week {week} back after {off}: {pct} % of {max} = {target} ({rule})."),
    ReasonKind.LAY_OFF_CLIMB: (
        "Week {week} back after {off}: a {what} at {pct} % of {max} = {target}, at most {rise} "
        "points more a week until the full work."
    ),
    ReasonKind.LAY_OFF_WAVE_CLIMB: (
        "Week {week} back after {off}: {pct} % of {max} on the bar = {target}, since the top is "
        "held to {most} %, at most {rise} points more a week until the class's own wave."
    ),
    ReasonKind.MAX_BEFORE_LAY_OFF: (
        "That max is from {on}, before the {off}: test again when the way back is over."
    ),
    ReasonKind.BEGINNER: "In the first {weeks} weeks: {pct} % of {max} = {target}, no bands.",
    ReasonKind.MINOR_TOP_SET: "Under 18: no heavy single; a {what} well short of it instead.",
    ReasonKind.COACH_CHANGED: "{who} set {load} (was {was}): {why}.",
}


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: its kind and the facts that fill its sentence.

    Raises
    ------
    ReasonFactsError
        If a fact of the sentence is missing or one is not used.
    """

    kind: ReasonKind
    facts: Mapping[str, Fact]

    def __post_init__(self) -> None:
        wanted = {name for _, name, _, _ in Formatter().parse(SENTENCES[self.kind]) if name}
        if wanted != set(self.facts):
            raise ReasonFactsError(
                f"Reason {self.kind} wants the facts {sorted(wanted)}, got {sorted(self.facts)}."
            )

    @property
    def sentence(self) -> str:
        """The reason in words."""
        return SENTENCES[self.kind].format(**self.facts)


def reason(kind: ReasonKind, **facts: Fact) -> Reason:
    """A reason with its facts by name."""
    return Reason(kind, facts)

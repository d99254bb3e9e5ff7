"""Every number of the season that a coach may edit, with the defaults of common practice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from heftwright.domain.catalogue import MaxEffortScheme, Region, Resistance
from heftwright.domain.contest import EventStyle
from heftwright.domain.refusal import Refusal


class SeasonRuleError(Refusal):
    """A rule number that no season can be planned with."""


class WorkKind(StrEnum):
    """Which kind of day a slot is, for doses and schemes."""

    DYNAMIC = "dynamic"
    MAX_EFFORT = "max_effort"
    IMPLEMENT = "implement"


def _by_region(*values: float) -> Mapping[Region, float]:
    return dict(zip(Region, values, strict=True))


_MATCH: Mapping[WorkKind, Mapping[EventStyle, tuple[float, ...]]] = {
    WorkKind.DYNAMIC: {
        EventStyle.MAX: (1.1, 1.0, 0.75),
        EventStyle.REPS: (0.7, 0.9, 1.15),
        EventStyle.RUN: (1.0, 1.0, 1.0),
    },
    WorkKind.MAX_EFFORT: {
        EventStyle.MAX: (1.15, 1.0, 0.7),
        EventStyle.REPS: (0.6, 0.85, 1.15),
        EventStyle.RUN: (1.0, 1.0, 0.95),
    },
    WorkKind.IMPLEMENT: {
        EventStyle.MAX: (1.15, 0.8),
        EventStyle.REPS: (0.8, 1.15),
        EventStyle.RUN: (1.05, 1.0),
    },
}
SCHEMES_OF_KIND = {WorkKind.DYNAMIC: 3, WorkKind.MAX_EFFORT: 3, WorkKind.IMPLEMENT: 2}
MAX_EFFORT_ORDER = (MaxEffortScheme.SINGLE, MaxEffortScheme.TRIPLE, MaxEffortScheme.REP_MAX)


@dataclass(frozen=True, slots=True)
class SeasonRules:
    """Rules and weights of a season; all common practice without a source unless one is named.

    Worth is counted in points without a meaning outside the plan. ``reference()`` gives exactly
    the weights of the design's reference model, for comparable benchmarks.

    Parameters
    ----------
    dose_decay_weeks, dose_horizon_weeks : float, int
        Training counts exp(−d / decay) towards a contest d weeks ahead, nothing beyond the
        horizon [weeks].
    near_weeks : int
        From here the lift's likeness to the event counts more each week [weeks].
    likeness_gain : float
        Largest gain or loss by likeness, 0–1.
    kind_dose : Mapping
        How much one session of a kind of day counts.
    resistance_gain : Mapping
        How much bands and chains add to a dynamic-effort session.
    scheme_match : Mapping
        Kind -> event style -> factor of each scheme step.
    taper_value, taper_volume, taper_week_limit : float
        Worth, volume (1 − 0.455, Winwood et al. 2018) and weekly limit of the week before a
        squad contest, as ratios of a normal week.
    weekly_limit, in_a_row_limit : Mapping
        Exposure a week, and of two days in a row, per region.
    four_week_ratio : float
        Four straight weeks hold at most this many weekly limits.
    scheme_volume : Mapping
        Kind -> exposure factor of each scheme step.
    dynamic_exposure : float
        Exposure of a dynamic-effort session as a ratio of a heavy one.
    counts_recovery : bool
        Bands and chains cost exposure by their recovery factor.
    max_effort_gap_weeks, near_gap_weeks : int
        A max-effort lift comes once in so many weeks; the contest's own lift once in
        ``near_gap_weeks`` inside ``coverage_weeks`` of it.
    implement_gap_weeks : int
        The same for a station of the implement day; 0: no rule.
    in_a_row_most : int
        So many weeks in a row may share a max-effort pattern, and a scheme.
    wave_gap_weeks, base_gap_weeks, base_gap_most : int
        The same lift with the same resistance starts one wave in so many weeks; the same lift
        ``base_gap_most`` waves in so many.
    banded_waves_in_a_row : int
        At most so many waves with bands one after another; 0: no rule.
    setup_limit_min, setup_window_weeks : float, int
        Set-ups this long [min] only within so many weeks before a squad contest.
    stations_most, stations_most_taper, station_work_min, implement_minutes
        Implement day: stations, minutes of each beside set-up [min], minutes in all when the
        timetable does not say [min].
    main_work_min : float
        Minutes a main lift needs beside its set-up [min]; 0: not counted.
    scarce_units : int
        Kit with at most so many units serves one station a day.
    split_share : float
        A lift is split with a twin if at least this share of the class can do it, 0–1.
    substitute_value : float
        Worth of a restricted athlete's substitute lift, 0–1.
    reps_step_weeks : tuple of int
        A dynamic-effort scheme step may only be used in waves that end within so many weeks of
        a squad contest with a reps event on that side.
    contest_points, weak_points, weak_value : float
        Weights of contests and of weak points.
    pieces, piece_slopes : tuple
        Diminishing returns: ends of the pieces [doses] and the slope on each.
    variety_points, base_repeat_points, coverage_points, coverage_wanted, coverage_weeks
        Bonus a distinct lift, price of the same lift in two waves running, price a missing
        specific exposure per weight, how many are wanted and in how many last weeks.
    specific_transfer, specific_likeness, specific_same_transfer : float
        From here a lift counts as the event's own; the last is the transfer that is enough for a
        lift with every property the event names.
    late_weeks, late_points : int, float
        A squad contest's event wants a heavy session of its own lift in so many last weeks, and
        the price per weight where none is.
    blanks_first : bool
        Blank sessions are made as few as possible before anything else counts.
    blank_points : float
        Their price where they are not.
    change_points, change_near_weeks, change_near_ratio
        Price of a changed slot when re-planning, and how much more in the next weeks.
    easy_every_weeks : int
        An easy week after so many training weeks in a row; 0: only after contests.
    after_min, after_share : float
        Minutes of a block after the main lift beside its set-up [min], and the share of the class
        its kit must serve at once: three groups take turns with the rep work, 0–1.
    after_dose, after_exposure : float
        Dose and exposure of such a block as ratios of a whole heavy session.
    after_gap_weeks, after_most_a_week : int
        The same block once in so many weeks (``near_gap_weeks`` for a contest's own event near
        it), and at most so many blocks a week; 0: none at all.
    after_least_points : float
        What a block must add to be worth its load.
    after_spine_share : float
        This share of the spine's weekly budget is kept for such blocks: main work takes the rest,
        0–1. Without it nothing was left for second lifts beside an implement day.
    """

    dose_decay_weeks: float = 10.0
    dose_horizon_weeks: int = 16
    near_weeks: int = 8
    likeness_gain: float = 0.5
    kind_dose: Mapping[WorkKind, float] = field(
        default_factory=lambda: {
            WorkKind.DYNAMIC: 0.7,
            WorkKind.MAX_EFFORT: 1.0,
            WorkKind.IMPLEMENT: 0.9,
        }
    )
    resistance_gain: Mapping[Resistance, float] = field(
        default_factory=lambda: {
            Resistance.STRAIGHT: 1.0,
            Resistance.BANDS: 1.08,
            Resistance.CHAINS: 1.05,
        }
    )
    scheme_match: Mapping[WorkKind, Mapping[EventStyle, tuple[float, ...]]] = field(
        default_factory=lambda: _MATCH
    )
    taper_value: float = 0.5
    taper_volume: float = 0.545
    taper_week_limit: float = 0.645
    weekly_limit: Mapping[Region, float] = field(
        default_factory=lambda: _by_region(15, 12, 9, 10, 13)
    )
    in_a_row_limit: Mapping[Region, float] = field(
        default_factory=lambda: _by_region(7.5, 6.5, 6, 6, 6.5)
    )
    four_week_ratio: float = 3.6
    scheme_volume: Mapping[WorkKind, tuple[float, ...]] = field(
        default_factory=lambda: {
            WorkKind.DYNAMIC: (0.9, 1.0, 1.15),
            WorkKind.MAX_EFFORT: (1.0, 0.95, 0.9),
            WorkKind.IMPLEMENT: (1.0, 1.0),
        }
    )
    dynamic_exposure: float = 0.6
    counts_recovery: bool = True
    max_effort_gap_weeks: int = 5
    near_gap_weeks: int = 2
    implement_gap_weeks: int = 3
    in_a_row_most: int = 2
    wave_gap_weeks: int = 6
    base_gap_weeks: int = 9
    base_gap_most: int = 2
    banded_waves_in_a_row: int = 1
    setup_limit_min: float = 10.0
    setup_window_weeks: int = 6
    stations_most: int = 3
    stations_most_taper: int = 2
    station_work_min: float = 32.0
    implement_minutes: float = 120.0
    main_work_min: float = 45.0
    scarce_units: int = 2
    split_share: float = 0.4
    substitute_value: float = 0.85
    reps_step_weeks: tuple[int, ...] = (99, 10, 6)
    contest_points: float = 1000.0
    weak_points: float = 300.0
    weak_value: float = 0.5
    weak_phase_least: float = 0.15
    pieces: tuple[float, ...] = (3.0, 6.0, 10.0, 40.0)
    piece_slopes: tuple[float, ...] = (1.0, 0.6, 0.3, 0.1)
    variety_points: float = 1500.0
    base_repeat_points: float = 1500.0
    coverage_points: float = 150.0
    coverage_wanted: int = 2
    coverage_weeks: int = 5
    specific_transfer: float = 0.75
    specific_likeness: float = 0.5
    specific_same_transfer: float = 0.65
    late_weeks: int = 2
    late_points: float = 100.0
    blanks_first: bool = True
    blank_points: float = 20_000.0
    change_points: float = 1500.0
    change_near_weeks: int = 4
    change_near_ratio: float = 3.0
    easy_every_weeks: int = 6
    after_min: float = 20.0
    after_share: float = 0.34
    after_dose: float = 0.5
    after_exposure: float = 0.5
    after_gap_weeks: int = 3
    after_most_a_week: int = 2
    after_least_points: float = 500.0
    after_spine_share: float = 0.1

    def __post_init__(self) -> None:
        if not 0 < self.split_share <= 1:
            raise SeasonRuleError("split_share must be in 0–1, above 0.")
        if len(self.pieces) != len(self.piece_slopes) or list(self.pieces) != sorted(self.pieces):
            raise SeasonRuleError("pieces must rise and have one slope each.")
        if list(self.piece_slopes) != sorted(self.piece_slopes, reverse=True):
            raise SeasonRuleError("piece_slopes must fall: more of the same is worth less.")
        if self.coverage_weeks < 1 or self.max_effort_gap_weeks < self.near_gap_weeks:
            raise SeasonRuleError("max_effort_gap_weeks must be at least near_gap_weeks.")

    @classmethod
    def reference(cls) -> SeasonRules:
        """The reference model's rules as they stood, known faults included but the blanks'."""
        return cls(
            counts_recovery=False,
            implement_gap_weeks=0,
            banded_waves_in_a_row=0,
            main_work_min=0.0,
            easy_every_weeks=0,
            specific_same_transfer=0.75,
            late_points=0.0,
            after_spine_share=0.0,
        )

"""Where a lift starts and ends for one athlete: taped, else from stature with its ±, else asked.

References
----------
ANSUR II: Gordon et al. 2014, NATICK/TR-15/007 (soldiers, relaxed arm; regressions derived from
it). Floor start: 450 mm discs, IWF technical rules.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.catalogue import BarPathKind, Lift
from heftwright.domain.height import Length
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, Sex

DISC_DIAMETER = Length.mm(450)
NOT_RAISED = Length(0)
FLOOR_START = Length.cm(22)  # the catalogue's round number for a bar on 450 mm discs
TAPED_SD_M = 0.005  # reading a tape on a standing person: common practice, no source
WIDE_SD_M = 0.04  # a wide stance or grip moves lockout by centimetres: common practice, no source


class UnknownBarPathError(Refusal):
    """Heights that nobody measured and no published number gives: says what to tape."""


class BodyHeight(StrEnum):
    """Bar heights that stature predicts."""

    PULL_LOCKOUT = "pull lockout"
    FRONT_RACK = "front rack"
    OVERHEAD = "overhead lockout"


@dataclass(frozen=True, slots=True)
class StatureLine:
    """height = slope · stature + intercept.

    Parameters
    ----------
    slope : float
        [mm/mm].
    intercept_mm, see_mm : float
        Intercept and standard error of estimate [mm].
    """

    slope: float
    intercept_mm: float
    see_mm: float


STATURE_LINES: dict[Sex, dict[BodyHeight, StatureLine]] = {
    Sex.MAN: {
        BodyHeight.PULL_LOCKOUT: StatureLine(0.4929, -80.1, 22.2),
        BodyHeight.OVERHEAD: StatureLine(1.3066, -161.3, 44.7),
        BodyHeight.FRONT_RACK: StatureLine(0.8769, -101.4, 11.7),
    },
    Sex.WOMAN: {
        BodyHeight.PULL_LOCKOUT: StatureLine(0.4781, -43.4, 21.5),
        BodyHeight.OVERHEAD: StatureLine(1.3233, -195.4, 39.7),
        BodyHeight.FRONT_RACK: StatureLine(0.8740, -93.6, 11.0),
    },
}


@dataclass(frozen=True, slots=True)
class KnownHeight:
    """A bar height with its ± and where it comes from [m]."""

    height_m: float
    sd_m: float
    source: str


@dataclass(frozen=True, slots=True)
class BarPath:
    """The bar's way from start to end, as heights of its axis above the floor.

    Parameters
    ----------
    start_m, end_m : float
        Lower and upper end [m], start below end. For a squat or bench the bottom and the top.
    sd_m : float
        One sd of the upper end [m].
    source : str
        Words: taped, from stature ± …
    marks : tuple of (str, float)
        Named heights [m].
    start_sd_m : float
        One sd of the lower end [m].
    feet_m : float
        Height of the soles above the floor [m]: the deficit.
    notes : tuple of str
        What to check.
    """

    start_m: float
    end_m: float
    sd_m: float
    source: str
    marks: tuple[tuple[str, float], ...]
    start_sd_m: float = 0.0
    feet_m: float = 0.0
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.start_m < self.end_m:
            raise UnknownBarPathError(
                f"The bar would start at {self.start_m:.3f} m and end at {self.end_m:.3f} m: the "
                "start must be 0 or more and below the end. Check blocks, boards and taped heights."
            )

    @property
    def rom_m(self) -> float:
        """Range of motion [m]."""
        return self.end_m - self.start_m

    @property
    def start_over_feet_m(self) -> float:
        """Disc radius + block height − deficit for a pull [m]."""
        return self.start_m - self.feet_m


def from_stature(stature: Length, sex: Sex, which: BodyHeight) -> KnownHeight:
    """Bar height predicted from stature, with the regression's standard error."""
    line = STATURE_LINES[sex][which]
    height_mm = line.slope * stature.in_mm + line.intercept_mm
    source = f"{which} from stature {stature}, ± {Length.nearest_m(line.see_mm / 1000)}"
    return KnownHeight(height_mm / 1000, line.see_mm / 1000, source)


def body_height(athlete: Athlete, which: BodyHeight) -> KnownHeight:
    """The athlete's own height: taped, else from stature, else through another taped height.

    Stature itself is a measured height; where it is missing it is read back from whichever taped
    bar height tells it best, and both errors are carried.

    Raises
    ------
    UnknownBarPathError
        If neither stature nor any of these heights is on record.
    """
    taped = _taped(athlete)
    if which in taped:
        return KnownHeight(taped[which].in_m, TAPED_SD_M, f"{which} taped")
    if athlete.stature is not None:
        return from_stature(athlete.stature, athlete.sex, which)
    if not taped:
        raise UnknownBarPathError(
            f"{athlete.name} (number {athlete.number}) has no {which} height and no stature: "
            f"tape the bar at {which}, or enter the stature."
        )
    return _through(taped, athlete.sex, which)


def _taped(athlete: Athlete) -> dict[BodyHeight, Length]:
    heights = athlete.heights
    rows = {
        BodyHeight.PULL_LOCKOUT: heights.pull_lockout,
        BodyHeight.FRONT_RACK: heights.front_rack,
        BodyHeight.OVERHEAD: heights.overhead,
    }
    return {which: height for which, height in rows.items() if height is not None}


def _through(taped: dict[BodyHeight, Length], sex: Sex, which: BodyHeight) -> KnownHeight:
    lines = STATURE_LINES[sex]
    best = min(taped, key=lambda known: lines[known].see_mm / lines[known].slope)
    stature_mm = (taped[best].in_mm - lines[best].intercept_mm) / lines[best].slope
    stature_sd_mm = lines[best].see_mm / lines[best].slope
    line = lines[which]
    sd_mm = ((line.slope * stature_sd_mm) ** 2 + line.see_mm**2) ** 0.5
    source = f"{which} derived from the taped {best}, ± {Length.nearest_m(sd_mm / 1000)}"
    return KnownHeight((line.slope * stature_mm + line.intercept_mm) / 1000, sd_mm / 1000, source)


def block_height(pull_height: Length, disc_diameter: Length = DISC_DIAMETER) -> Length:
    """Blocks that bring the bar's axis to a wanted height: height less the disc's radius."""
    return Length(pull_height.ticks - disc_diameter.ticks // 2)


def bar_path(
    lift: Lift,
    athlete: Athlete,
    *,
    disc_diameter: Length = DISC_DIAMETER,
    raised: Length = NOT_RAISED,
) -> BarPath:
    """Start and end of a lift for one athlete.

    Parameters
    ----------
    lift, athlete
        Which lift, whose body.
    disc_diameter : Length
        Of the largest plate on the bar.
    raised : Length
        More height at the start than the lift itself has: blocks under the discs, boards on the
        chest, a higher box or pins. Negative from the floor only: a deficit, and then the
        soles stand above the floor.

    Raises
    ------
    UnknownBarPathError
        With what to tape: squat and bench have no usable published numbers.
    """
    return _WAYS[lift.bar_path](lift, athlete, disc_diameter, raised)


def _from_floor(lift: Lift, athlete: Athlete, disc: Length, raised: Length) -> BarPath:
    which = BodyHeight.PULL_LOCKOUT if lift.bar_path == BarPathKind.PULL else BodyHeight.OVERHEAD
    top = body_height(athlete, which)
    rise_m = raised.in_m
    if lift.start_height is not None:
        rise_m += (lift.start_height - FLOOR_START).in_m
    feet_m, blocks_m = max(0.0, -rise_m), max(0.0, rise_m)
    start_m, end_m = disc.in_m / 2 + blocks_m, top.height_m + feet_m
    is_wide = lift.stance == "wide" or lift.key.startswith("snatch_grip")
    is_guessed_wide = is_wide and top.sd_m > TAPED_SD_M
    return BarPath(
        start_m=start_m,
        end_m=end_m,
        sd_m=(top.sd_m**2 + WIDE_SD_M**2) ** 0.5 if is_guessed_wide else top.sd_m,
        source=top.source,
        marks=(("blocks" if blocks_m else "floor", start_m), ("lockout", end_m)),
        feet_m=feet_m,
        notes=("Wide stance or grip: tape the lockout of this lift.",) if is_guessed_wide else (),
    )


def _from_rack(lift: Lift, athlete: Athlete, _disc: Length, raised: Length) -> BarPath:
    if lift.stance == "seated":
        raise UnknownBarPathError(
            f"{lift.name}: seated heights depend on the bench and the pins. Tape {athlete.name}’s "
            "start and lockout in this lift; standing heights do not tell them."
        )
    start = body_height(athlete, BodyHeight.FRONT_RACK)
    top = body_height(athlete, BodyHeight.OVERHEAD)
    start_m = start.height_m + _not_lowered(lift, raised)
    return BarPath(
        start_m=start_m,
        end_m=top.height_m,
        sd_m=top.sd_m,
        source=f"{start.source}; {top.source}",
        marks=(("front rack", start_m), ("overhead", top.height_m)),
        start_sd_m=start.sd_m,
    )


def _squat(lift: Lift, athlete: Athlete, _disc: Length, raised: Length) -> BarPath:
    heights = athlete.heights
    return _taped_path(lift, athlete, (heights.squat_bottom, heights.squat_top), raised)


def _bench(lift: Lift, athlete: Athlete, _disc: Length, raised: Length) -> BarPath:
    heights = athlete.heights
    return _taped_path(lift, athlete, (heights.bench_bottom, heights.bench_top), raised)


def _taped_path(
    lift: Lift, athlete: Athlete, ends: tuple[Length | None, Length | None], raised: Length
) -> BarPath:
    what = "squat" if lift.bar_path == BarPathKind.SQUAT else "bench"
    bottom, top = ends
    if bottom is None or top is None:
        raise UnknownBarPathError(
            f"{athlete.name} (number {athlete.number}): tape the bar’s height at the bottom and "
            f"at the top of the {what} once; no published number tells it."
        )
    start_m = bottom.in_m + _not_lowered(lift, raised)
    low_name = "depth" if what == "squat" else "chest"
    is_same_range = lift.range == "full" or lift.key == "box_squat"
    notes = () if is_same_range else (f"Taped {what}; check the range of {lift.name}.",)
    return BarPath(
        start_m=start_m,
        end_m=top.in_m,
        sd_m=TAPED_SD_M,
        source=f"{what} taped",
        marks=((low_name, start_m), ("lockout", top.in_m)),
        start_sd_m=TAPED_SD_M,
        notes=notes,
    )


def _not_lowered(lift: Lift, raised: Length) -> float:
    if raised.ticks < 0:
        raise UnknownBarPathError(
            f"{lift.name} cannot start {-1 * raised} lower: only a lift from the floor has a "
            "deficit. Tape the lower start instead."
        )
    return raised.in_m


def _no_path(lift: Lift, athlete: Athlete, _disc: Length, _raised: Length) -> BarPath:
    raise UnknownBarPathError(
        f"{lift.name} has no bar path, so bands and chains cannot be chosen for {athlete.name}: "
        "use straight weight."
    )


_Way = Callable[[Lift, Athlete, Length, Length], BarPath]
_WAYS: dict[BarPathKind, _Way] = {
    BarPathKind.PULL: _from_floor,
    BarPathKind.FLOOR_TO_OVERHEAD: _from_floor,
    BarPathKind.RACK_TO_OVERHEAD: _from_rack,
    BarPathKind.SQUAT: _squat,
    BarPathKind.BENCH: _bench,
    BarPathKind.NONE: _no_path,
}

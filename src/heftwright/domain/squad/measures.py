"""Body measures that cannot be true: a slipped point, a wrong unit, two fields swapped."""

from __future__ import annotations

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.squad.athlete import Athlete, BarHeights

# What the spreadsheet door takes too; wide enough for anybody who trains: common practice,
# no source.
BODY_MASSES = (Mass.kg(25), Mass.kg(250))
STATURES = (Length.cm(100), Length.cm(230))
BAR_HEIGHTS = {
    "pull_lockout": (Length.cm(40), Length.cm(130)),
    "front_rack": (Length.cm(80), Length.cm(200)),
    "overhead": (Length.cm(120), Length.cm(300)),
    "squat_top": (Length.cm(80), Length.cm(200)),
    "squat_bottom": (Length.cm(30), Length.cm(150)),
    "bench_top": (Length.cm(50), Length.cm(150)),
    "bench_bottom": (Length.cm(40), Length.cm(120)),
}
_RISING = (
    ("pull_lockout", "front_rack"),
    ("front_rack", "overhead"),
    ("squat_bottom", "squat_top"),
    ("bench_bottom", "bench_top"),
)


def measure_faults(athlete: Athlete) -> dict[str, str]:
    """Measures of an athlete that cannot be true, by field; maxes and bar paths rest on them."""
    faults = {}
    mass, stature = athlete.body_mass, athlete.stature
    if mass is not None and not BODY_MASSES[0] <= mass <= BODY_MASSES[1]:
        faults["body_mass"] = _outside("Body mass", mass, BODY_MASSES)
    if stature is not None and not STATURES[0] <= stature <= STATURES[1]:
        faults["stature"] = _outside("Stature", stature, STATURES)
    return faults | height_faults(athlete.heights)


def height_faults(heights: BarHeights) -> dict[str, str]:
    """Heights that no body has, or that cannot all be true, by field."""
    faults = {}
    for low_name, high_name in _RISING:
        low, high = getattr(heights, low_name), getattr(heights, high_name)
        if low is not None and high is not None and low >= high:
            faults[high_name] = (
                f"{_spoken(high_name)} {high} must be above {_spoken(low_name)} {low}: tape both "
                "again, from the floor to the middle of the bar."
            )
    for name, limits in BAR_HEIGHTS.items():
        height = getattr(heights, name)
        if height is not None and not limits[0] <= height <= limits[1]:
            faults[name] = _outside(_spoken(name), height, limits)
    return faults


def _outside(what: str, value: Mass | Length, limits: tuple[Mass | Length, ...]) -> str:
    return f"{what} {value} is not between {limits[0]} and {limits[1]}: look at the unit."


def _spoken(name: str) -> str:
    return name.replace("_", " ").capitalize()

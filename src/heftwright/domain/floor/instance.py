"""The floor's benchmark instances as problems (floor.md says what every field means)."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from heftwright.domain.dose import Scheme
from heftwright.domain.floor.policy import FloorPolicy
from heftwright.domain.floor.problem import (
    FloorPlate,
    FloorPlatform,
    FloorProblem,
    FloorSetUp,
    FloorTimes,
    Lifter,
)
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

Record = Mapping[str, Any]
FURTHEST_POINTS = 5.0
OUTSIDE_S = 200.0
A_POINT_S = 100.0


def floor_instance(
    record: Record, *, is_soft: bool = False, policy: FloorPolicy | None = None
) -> FloorProblem:
    """The problem of one instance record.

    Parameters
    ----------
    record : Mapping
        The instance's JSON.
    is_soft : bool
        Whether the top share may leave its range by up to 5 points for 200 s + 100 s a point.
    policy : FloorPolicy or None
        Prices; None: the reference cost (change time and deviation only).
    """
    scheme = record["scheme"]
    return FloorProblem(
        lifters=tuple(_lifter(athlete, record, is_soft) for athlete in record["athletes"]),
        platforms=tuple(_platform(platform, record) for platform in record["platforms"]),
        plates=tuple(_plate(key, record) for key in record["plates_pairs"]),
        set_ups=tuple(
            FloorSetUp("+".join(bands), dict.fromkeys(bands, 1)) for bands in record["band_sets"]
        ),
        bands={band["id"]: band["pairs"] for band in record["bands"]},
        schemes=(Scheme(scheme["rounds"], scheme["reps"], scheme["min_rest_s"]),),
        class_minutes=record["class_slot_min"],
        times=FloorTimes(
            record["collar_change_s"], record["setup_s"], record["set_s_per_rep"],
            record["set_s_fixed"],
        ),
        policy=policy or FloorPolicy.change_only(),
    )  # fmt: skip


def _plate(key: str, record: Record) -> FloorPlate:
    on_s, off_s = record["plate_on_off_s"][key]
    is_full = any(Decimal(key) == Decimal(str(full)) for full in record["full_diameter"])
    return FloorPlate(key, Mass.kg(key), record["plates_pairs"][key], is_full, on_s, off_s)


def _platform(platform: Record, record: Record) -> FloorPlatform:
    mass = Mass.kg(str(record["bars"][platform["bar"]]))
    return FloorPlatform(platform["id"], platform["bar"], mass)


def _lifter(athlete: Record, record: Record, is_soft: bool) -> Lifter:  # noqa: FBT001 - private
    exact = Decimal(str(athlete["lift_max_kg"])) * Decimal(str(athlete["target_pct"])) / 100
    tolerance = Decimal(str(athlete["tol_pct_of_max"])) / 100
    return Lifter(
        AthleteId(athlete["id"]),
        Mass.kg(exact),
        athlete["lift_max_kg"],
        athlete["bar"],
        _set_ups(athlete, record, is_soft),
        float(tolerance),
    )


def _set_ups(athlete: Record, record: Record, is_soft: bool) -> dict[str, float | None]:  # noqa: FBT001 - private
    prices: dict[str, float | None] = {}
    for bands in record["band_sets"]:
        share = top_share_ratio(athlete, record, bands)
        below = athlete["band_share_lo"] - share
        above = share - athlete["band_share_hi"]
        points = 100 * max(below, above, 0.0)
        if points <= 1e-9:
            prices["+".join(bands)] = 0.0
        elif is_soft and points <= FURTHEST_POINTS:
            prices["+".join(bands)] = OUTSIDE_S + A_POINT_S * points
    return prices


def top_share_ratio(athlete: Record, record: Record, bands: list[str]) -> float:
    """Tension of a set of band pairs at the athlete's lockout over the lift's max."""
    height_m = record["lock_height_coef"] * athlete["stature_m"]
    tension_kg = sum(
        band["t75_kg"] * (height_m - band["slack_h_m"]) / (0.75 - band["slack_h_m"])
        for band in record["bands"]
        if band["id"] in bands
    )
    return float(tension_kg / athlete["lift_max_kg"])

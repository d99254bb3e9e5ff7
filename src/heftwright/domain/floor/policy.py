"""What matters most tonight: the prices that the coach sets."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Self

from heftwright.domain.refusal import Refusal


class FloorPolicyError(Refusal):
    """Prices or group sizes that make no sense."""


class StackOrder(StrEnum):
    """Which order of plates on a sleeve is allowed, inner to outer."""

    FREE = "free"
    HEAVY_INSIDE = "heavy_inside"


class LoadMode(StrEnum):
    """How far loads may move to save plates."""

    WITHIN_TOLERANCE = "within_tolerance"
    NEAREST = "nearest"


@dataclass(frozen=True, slots=True)
class FloorPolicy:
    """Prices in seconds of class time, so that they can be compared.

    Parameters
    ----------
    change_weight : float
        Price of one second of plate changing, summed over platforms and rounds.
    finish_weight : float
        Price of one second of the latest platform's finish.
    wait_weight : float
        Price of one second of the longest wait between an athlete's sets.
    deviation_s_per_pct_round : float
        Price of one percent of max between load and target, a set [s].
    together_s, coach_near_s, beginners_s, lone_s : float
        Price of two friends apart, of no coach near, of beginners among themselves, of lifting
        alone where a partner could load [s a class].
    minor_alone_s : float
        Price of a minor alone, on top of ``lone_s``: so dear that any partner is better [s a
        class].
    stay_s : float
        Price of moving an athlete to another platform when re-planning [s a class].
    new_load_s : float
        Price of changing a load that was already announced [s a class].
    rig_s : float
        Price of changing the bands of a platform in the middle of a class [s].
    group_min, group_max : int
        Group size wanted, 1 ≤ min ≤ max ≤ 6; smaller only where nothing else works and
        ``lone_allowed``.
    lone_allowed : bool
        Whether a group below ``group_min`` may be made for a price.
    stack_order : StackOrder
        Order on the sleeve.
    load_mode : LoadMode
        Whether loads may move within tolerance or must be the nearest loadable.
    starts_on_floor : bool
        The bar stands on its plates: the first one on an empty bar must be full diameter.
    shares_plates : bool
        Whether all platforms draw on one stock of plates.
    no_later_than_usual : bool
        Whether to finish no later than the coach's usual way wherever that is possible.
    """

    change_weight: float = 1.0
    finish_weight: float = 1.5
    wait_weight: float = 1.0
    deviation_s_per_pct_round: float = 0.5
    together_s: float = 120.0
    coach_near_s: float = 120.0
    beginners_s: float = 120.0
    lone_s: float = 600.0
    minor_alone_s: float = 9000.0
    stay_s: float = 90.0
    new_load_s: float = 20.0
    rig_s: float = 120.0
    group_min: int = 2
    group_max: int = 5
    lone_allowed: bool = True
    stack_order: StackOrder = StackOrder.FREE
    load_mode: LoadMode = LoadMode.WITHIN_TOLERANCE
    starts_on_floor: bool = True
    shares_plates: bool = True
    no_later_than_usual: bool = True

    def __post_init__(self) -> None:
        if not 1 <= self.group_min <= self.group_max <= 6:
            raise FloorPolicyError(
                f"Groups of {self.group_min}–{self.group_max}: sizes must be 1 ≤ least ≤ most ≤ 6."
            )
        for name in _PRICES:
            if not 0 <= getattr(self, name) <= 10_000:
                raise FloorPolicyError(f"{name} must be 0–10 000 s, not {getattr(self, name):g}.")

    @classmethod
    def change_only(cls) -> Self:
        """Change time and deviation only, stock unlimited across platforms: for comparisons."""
        return cls(
            finish_weight=0.0,
            wait_weight=0.0,
            lone_allowed=False,
            shares_plates=False,
            no_later_than_usual=False,
        )


_PRICES = (
    "change_weight",
    "finish_weight",
    "wait_weight",
    "deviation_s_per_pct_round",
    "together_s",
    "coach_near_s",
    "beginners_s",
    "lone_s",
    "minor_alone_s",
    "stay_s",
    "new_load_s",
    "rig_s",
)

"""What a coach sets for every evening: how long things take, what matters, who stands with whom."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from heftwright.domain.floor.policy import FloorPolicy, StackOrder
from heftwright.domain.floor.problem import FloorProblem, FloorTimes, Lifter
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId

BY_HAND_WEIGHT = 100.0
MOST_WARM_UP_MIN = 60.0


class FloorTermsError(Refusal):
    """Terms or wishes that cannot be."""


@dataclass(frozen=True, slots=True)
class FloorTerms:
    """The gym's own times and prices.

    Parameters
    ----------
    times : FloorTimes
        Collars, set-up, repetitions [s].
    plate_on_s, plate_off_s : float
        One plate of each side put on, taken off [s]; 6 s is common practice, no source.
    warm_up_min : float
        From the start of the class to the first set on the platforms, 0–60 [min]; 10 min is
        common practice, no source.
    change_weight, finish_weight : float
        What one second of plate changing, and of the latest platform's finish, is worth, 0–10.
    coach_platforms : tuple of str
        Where the coach stands.
    stack_order : StackOrder
        Whether heavier plates must lie inside.
    key : str
        One a gym.
    """

    times: FloorTimes = FloorTimes()
    plate_on_s: float = 6.0
    plate_off_s: float = 6.0
    warm_up_min: float = 10.0
    change_weight: float = 1.0
    finish_weight: float = 1.5
    coach_platforms: tuple[str, ...] = ()
    stack_order: StackOrder = StackOrder.FREE
    key: str = "floor"

    def __post_init__(self) -> None:
        for name in ("plate_on_s", "plate_off_s"):
            if not 0.5 <= getattr(self, name) <= 60:
                raise FloorTermsError(f"{name} of {getattr(self, name):g} s is outside 0.5–60 s.")
        if not 0 <= self.warm_up_min <= MOST_WARM_UP_MIN:
            raise FloorTermsError(f"A warm-up of {self.warm_up_min:g} min is outside 0–60 min.")
        for name in ("change_weight", "finish_weight"):
            if not 0 <= getattr(self, name) <= 10:
                raise FloorTermsError(f"{name} must be 0–10, not {getattr(self, name):g}.")


@dataclass(frozen=True, slots=True)
class FloorWish:
    """Whom an athlete lifts with.

    Parameters
    ----------
    key : str
        The athlete's id.
    together, apart : tuple of AthleteId
        Would like to share a platform; must not.
    wants_coach_near, is_beginner : bool
        Near the coach if possible; not among beginners only.
    """

    key: str
    together: tuple[AthleteId, ...] = ()
    apart: tuple[AthleteId, ...] = ()
    wants_coach_near: bool = False
    is_beginner: bool = False

    def __post_init__(self) -> None:
        if self.key in self.together or self.key in self.apart:
            raise FloorTermsError("Nobody is together with or apart from themselves: name others.")
        both = set(self.together) & set(self.apart)
        if both:
            raise FloorTermsError(
                f"{min(both)} cannot be both together with and apart from {self.key}: keep one."
            )

    @property
    def is_empty(self) -> bool:
        """Whether nothing is wished."""
        return not (self.together or self.apart or self.wants_coach_near or self.is_beginner)


@dataclass(frozen=True, slots=True)
class Company:
    """Everybody's wishes tonight.

    Parameters
    ----------
    wishes : Mapping
        Athlete -> wish.
    beginners : collection of AthleteId
        By the time they have been here, besides those who are marked.
    by_hand : collection of AthleteId
        Put where they are by the coach tonight: they stay in every re-plan.
    """

    wishes: Mapping[str, FloorWish]
    beginners: Collection[AthleteId] = ()
    by_hand: Collection[AthleteId] = ()


def on_terms(problem: FloorProblem, terms: FloorTerms, company: Company) -> FloorProblem:
    """The same floor with the gym's times and prices, and with everybody's wishes.

    An athlete's "apart" holds for both; so does "together".
    """
    policy: FloorPolicy = replace(
        problem.policy, change_weight=terms.change_weight, finish_weight=terms.finish_weight,
        stack_order=terms.stack_order,
    )  # fmt: skip
    plates = tuple(
        replace(plate, on_s=terms.plate_on_s, off_s=terms.plate_off_s) for plate in problem.plates
    )
    near = set(terms.coach_platforms)
    platforms = tuple(
        replace(item, is_near_coach=item.key in near or item.is_near_coach)
        for item in problem.platforms
    )
    here = {lifter.athlete for lifter in problem.lifters}
    lifters = tuple(_wishing(lifter, here, company) for lifter in problem.lifters)
    return replace(
        problem, lifters=lifters, platforms=platforms, plates=plates, times=terms.times,
        policy=policy,
    )  # fmt: skip


def _wishing(lifter: Lifter, here: set[AthleteId], company: Company) -> Lifter:
    wish = company.wishes.get(lifter.athlete, FloorWish(lifter.athlete))
    named = [other for other in company.wishes.values() if other.key in here]
    liked = {AthleteId(other.key) for other in named if lifter.athlete in other.together}
    not_with = {AthleteId(other.key) for other in named if lifter.athlete in other.apart}
    return replace(
        lifter,
        together=frozenset((liked | set(wish.together)) & here),
        apart=frozenset((not_with | set(wish.apart)) & here),
        wants_coach_near=wish.wants_coach_near,
        is_beginner=wish.is_beginner or lifter.athlete in company.beginners,
        stay_weight=BY_HAND_WEIGHT if lifter.athlete in company.by_hand else lifter.stay_weight,
    )

"""Why a season cannot be planned, kept or changed by hand: in sentences, with the way out."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.refusal import Refusal
from heftwright.domain.season.after_pins import after_pin_words, unplaced_pins
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Pin, SeasonProblem

OUTDATED = "This season was planned for another gym, or by other rules, than today's."
PLAN_AGAIN = (
    "Plan again: the new plan stays close to this one and keeps your pins. Then change it by hand."
)


class SeasonError(Refusal):
    """A season that cannot be planned as asked."""


@dataclass(frozen=True, slots=True)
class PinConflict:
    """Pins that cannot hold together.

    Parameters
    ----------
    clash : tuple of Pin
        The smallest set: without any one of them the others could hold.
    cheapest : tuple of Pin
        The cheapest to drop, softest first; empty if the rules alone leave no season.
    reasons : tuple of str
        In sentences.
    after : tuple of AfterPin
        Blocks pinned after main lifts that belong to the smallest set.
    cheapest_after : tuple of AfterPin
        The cheapest of them to take back; empty where a main pin is to go.
    """

    clash: tuple[Pin, ...]
    cheapest: tuple[Pin, ...]
    reasons: tuple[str, ...]
    after: tuple[AfterPin, ...] = ()
    cheapest_after: tuple[AfterPin, ...] = ()


class SeasonConflictError(SeasonError):
    """No season keeps everything that the coach fixed."""

    def __init__(self, conflict: PinConflict) -> None:
        super().__init__(" ".join(conflict.reasons))
        self.conflict = conflict


class SeasonChangedError(SeasonError):
    """The season was changed by somebody else while it was being planned."""


class SeasonCheckError(SeasonError):
    """A plan that breaks a rule: nothing of it is kept."""


class SeasonOutdatedError(SeasonError):
    """A kept season that is none of today's any more; ``lines`` says what of it and why."""

    def __init__(self, lines: tuple[str, ...]) -> None:
        super().__init__(" ".join((OUTDATED, *lines, PLAN_AGAIN)))
        self.lines = lines


def check(problem: SeasonProblem, plan: SeasonPlan) -> None:
    """Refuse a plan that breaks a rule.

    Raises
    ------
    SeasonCheckError
        With the first rules it breaks.
    """
    refuse(check_season(problem, plan))


def refuse(broken: tuple[str, ...]) -> None:
    """Refuse what the checker has sentences against."""
    if broken:
        raise SeasonCheckError("The season did not pass its check: " + " ".join(broken[:3]))


def refusal_of(problem: SeasonProblem, reasons: tuple[str, ...]) -> SeasonError:
    """The refusal in sentences; pins that clash are looked for even if the search ran out."""
    from heftwright.solve.season.conflict import clash_reasons, find_conflict

    found = find_conflict(problem) if problem.pins or problem.after_pins else None
    if found is None:
        return SeasonError(" ".join(reasons))
    return SeasonConflictError(
        PinConflict(
            found.pins, found.cheapest, clash_reasons(problem, found) or reasons, found.blocks,
            found.cheapest_blocks,
        )
    )  # fmt: skip


def check_blocks(problem: SeasonProblem, plan: SeasonPlan) -> None:
    """Every pinned block stands; the main lifts alone cannot tell, since those trained are fixed.

    Raises
    ------
    SeasonConflictError
        With the blocks for which there is no room.
    """
    left = unplaced_pins(problem, plan)
    if left:
        reasons = (
            f"{after_pin_words(problem, pin)}, has no place there: the main lifts and the other "
            "blocks leave it no room in the class's time or the body's budget. Take that pin "
            "back, or pin the block in another week."
            for pin in left
        )
        raise SeasonConflictError(PinConflict((), (), tuple(reasons), left, left))

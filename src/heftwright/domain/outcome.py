"""How a solve ends: a plan, the reasons why there is none, or stopped with the best so far."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

Plan = TypeVar("Plan")


@dataclass(frozen=True, slots=True)
class Solved(Generic[Plan]):
    """A plan that passed its independent checker.

    Parameters
    ----------
    plan
        The plan.
    cost : float
        Its objective, in the problem's own unit and sense.
    bound : float
        A proven bound on any plan's objective.
    proven : bool
        Whether ``cost`` equals ``bound`` within the solver's stated gap.
    """

    plan: Plan
    cost: float
    bound: float
    proven: bool


@dataclass(frozen=True, slots=True)
class Infeasible:
    """No plan exists; ``reasons`` say in sentences what cannot hold together and a way out."""

    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stopped(Generic[Plan]):
    """Stopped by the limit or by the coach, with the best checked plan so far, if any."""

    best: Plan | None
    cost: float | None = None
    bound: float | None = None

"""Who may do what. When something is possible is decided elsewhere, by the domain."""

from __future__ import annotations

from enum import StrEnum

from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.store.gym_rows import find_gym, no_gym
from heftwright.store.models import Gym, Membership, Role
from heftwright.usecases.actor import Actor, Door, GymKey

__all__ = [
    "ForbiddenError",
    "Right",
    "Role",
    "can",
    "can_for_athlete",
    "check_may",
    "check_may_for_athlete",
    "role_in",
]


class ForbiddenError(Refusal):
    """Somebody of this gym asks for something that is not theirs to do."""


class Right(StrEnum):
    """What can be allowed; the value completes "may not …"."""

    SEE_CLASS = "see tonight's class"
    SEE_SQUAD = "see the squad, stock and plans"
    READ_HEALTH = "read health notes"
    LOG_SETS = "log sets"
    REPORT_PAIN = "report pain"
    TAKE_ATTENDANCE = "take attendance"
    PLAN_CLASS = "plan a class"
    RECORD_MAX = "record a max"
    DECIDE_MAX = "decide on a proposed max"
    EDIT_SQUAD = "change the squad"
    EDIT_STOCK = "change the stock"
    EDIT_CONTESTS = "change contests"
    EDIT_TIMETABLE = "change the timetable"
    PLAN_SEASON = "plan the season"
    EDIT_DOSE = "change waves and load settings"
    IMPORT = "import files"
    EXPORT = "export everything"
    UNDO = "undo changes"
    MAKE_LINKS = "make board and card links"
    MANAGE_GYM = "change the gym and its coaches"


_ASSISTANT = frozenset(
    {
        Right.SEE_CLASS,
        Right.SEE_SQUAD,
        Right.READ_HEALTH,
        Right.LOG_SETS,
        Right.REPORT_PAIN,
        Right.TAKE_ATTENDANCE,
        Right.PLAN_CLASS,
        Right.RECORD_MAX,
    }
)
_OWNER = frozenset(Right)
RIGHTS_OF_ROLE: dict[Role, frozenset[Right]] = {
    Role.ASSISTANT: _ASSISTANT,
    Role.HEAD_COACH: _OWNER - {Right.MANAGE_GYM},
    Role.OWNER: _OWNER,
}
RIGHTS_OF_DOOR: dict[Door, frozenset[Right]] = {
    Door.TERMINAL: _OWNER,
    Door.HOUSE: _OWNER,
    Door.DESK: frozenset(),  # a coach's rights are those of the role
    Door.BOARD: frozenset({Right.SEE_CLASS}),
    Door.CARD: frozenset({Right.SEE_CLASS, Right.LOG_SETS, Right.REPORT_PAIN}),
}


def check_may(by: Actor, gym: GymKey, right: Right) -> None:
    """Refuse if ``by`` may not do it in this gym.

    Raises
    ------
    NotFoundError
        If they have nothing to do with the gym, just as if it were not there.
    ForbiddenError
        If they belong to it but this is not theirs to do.
    """
    check_may_in(by, find_gym(gym), right)


def check_may_in(by: Actor, gym: Gym, right: Right) -> None:
    """As :func:`check_may`, for a gym's row at hand."""
    rights = _rights(by, gym)
    if rights is None:
        raise no_gym(gym.slug)
    if right not in rights:
        raise ForbiddenError(
            f"{by.name} may not {right} in {gym.name}: ask the owner or the head coach."
        )


def check_may_for_athlete(by: Actor, gym: GymKey, right: Right, athlete: AthleteId) -> None:
    """As :func:`check_may`, and a card acts for its own athlete only."""
    check_may(by, gym, right)
    check_own_card(by, athlete)


def check_own_card(by: Actor, athlete: AthleteId) -> None:
    """Refuse a card that acts for somebody else.

    Raises
    ------
    ForbiddenError
        If it does.
    """
    if by.door is Door.CARD and by.athlete != athlete:
        raise ForbiddenError(f"This is {by.name}'s card: it cannot act for anybody else.")


def can(by: Actor, gym: GymKey, right: Right) -> bool:
    """Whether :func:`check_may` would let them."""
    try:
        check_may(by, gym, right)
    except Refusal:
        return False
    return True


def can_for_athlete(by: Actor, gym: GymKey, right: Right, athlete: AthleteId) -> bool:
    """Whether :func:`check_may_for_athlete` would let them."""
    try:
        check_may_for_athlete(by, gym, right, athlete)
    except Refusal:
        return False
    return True


def role_in(by: Actor, gym: GymKey) -> Role | None:
    """The role of a signed-in coach in this gym, or None."""
    membership = _membership(by, find_gym(gym))
    return None if membership is None else membership.role


def _rights(by: Actor, gym: Gym) -> frozenset[Right] | None:
    """What somebody may do; None if they have nothing to do with the gym."""
    if by.door in (Door.TERMINAL, Door.HOUSE):
        return RIGHTS_OF_DOOR[by.door]
    if by.door is Door.DESK:
        membership = _membership(by, gym)
        return None if membership is None else RIGHTS_OF_ROLE[membership.role]
    return RIGHTS_OF_DOOR[by.door] if by.gym == gym.slug else None


def _membership(by: Actor, gym: Gym) -> Membership | None:
    if by.account is None:
        return None
    found = Membership.objects.filter(gym=gym, account_id=by.account)
    return found.filter(suspended_at=None, account__is_active=True).first()

"""The coaches of a gym and their roles."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Gym, Membership, Role
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.permissions import Right


class AccountError(Refusal):
    """A name, e-mail address or password that cannot be taken."""


@dataclass(frozen=True, slots=True)
class Coach:
    """An account's role in a gym.

    Parameters
    ----------
    account : int
        Its key.
    name : str
        As shown.
    email : str
        Empty if none was given.
    role : Role
        Owner, head coach, assistant.
    is_suspended : bool
        Whether the role is withdrawn for now.
    """

    account: int
    name: str
    email: str
    role: Role
    is_suspended: bool


def get_coaches(*, gym: GymKey) -> tuple[Coach, ...]:
    """Everybody with a role in the gym, by name."""
    found = Membership.objects.filter(gym=find_gym(gym)).select_related("account")
    return tuple(_coach(row) for row in found.order_by("account__name", "pk"))


@verb
def change_role(*, gym: GymKey, by: Actor, account: int, role: Role) -> None:
    """Give a coach another role.

    Raises
    ------
    NotFoundError
        If the account has no role in the gym.
    AccountError
        If the gym would be left without an owner.
    """
    with change(gym, by, "change_role", Right.MANAGE_GYM) as trail:
        row = _membership(trail.gym, account)
        before = str(row.role)
        row.role = role
        row.save(update_fields=["role"])
        _check_owner(trail.gym)
        trail.note(f"account/{account}", {"role": before}, {"role": str(role)})


@verb
def suspend_coach(*, gym: GymKey, by: Actor, account: int, is_suspended: bool = True) -> None:
    """Withdraw a coach's role at once, or give it back.

    Raises
    ------
    NotFoundError
        If the account has no role in the gym.
    AccountError
        If the gym would be left without an owner.
    """
    with change(gym, by, "suspend_coach", Right.MANAGE_GYM) as trail:
        row = _membership(trail.gym, account)
        was = row.suspended_at is not None
        row.suspended_at = trail.moment if is_suspended else None
        row.save(update_fields=["suspended_at"])
        _check_owner(trail.gym)
        trail.note(f"account/{account}", {"suspended": was}, {"suspended": is_suspended})


def _membership(gym: Gym, account: int) -> Membership:
    row = Membership.objects.filter(gym=gym, account_id=account).first()
    if row is None:
        raise NotFoundError("There is no such coach in this gym: see the list.")
    return row


def _check_owner(gym: Gym) -> None:
    owners = Membership.objects.filter(gym=gym, role=Role.OWNER, suspended_at=None)
    if not owners.exists():
        raise AccountError("The gym needs an owner: make somebody else owner first.")


def _coach(row: Membership) -> Coach:
    return Coach(
        row.account_id,
        row.account.name,
        row.account.email or "",
        row.role,
        row.suspended_at is not None,
    )

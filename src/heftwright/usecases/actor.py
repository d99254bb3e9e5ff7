"""Who acts, and in which gym."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NewType, Self

from heftwright.domain.squad import AthleteId

GymKey = NewType("GymKey", str)


class Door(StrEnum):
    """The way somebody came in."""

    TERMINAL = "terminal"
    DESK = "desk"
    BOARD = "board"
    CARD = "card"
    HOUSE = "house"


@dataclass(frozen=True, slots=True)
class Actor:
    """Somebody who asks for something.

    Parameters
    ----------
    name : str
        As audit shows it.
    door : Door
        TERMINAL and HOUSE (the program itself) hold the server's own files and may do all;
        DESK is a signed-in coach; BOARD and CARD came by a secret link.
    account : int or None
        Of a signed-in coach.
    athlete : AthleteId or None
        Whose card it is.
    gym : GymKey or None
        The gym that a board or card link opens.
    """

    name: str
    door: Door
    account: int | None = None
    athlete: AthleteId | None = None
    gym: GymKey | None = None

    @classmethod
    def at_terminal(cls, name: str = "terminal") -> Self:
        """Somebody at the server's own terminal."""
        return cls(name, Door.TERMINAL)

    @classmethod
    def house(cls, name: str = "Heftwright") -> Self:
        """The program itself, for example a job after a restart."""
        return cls(name, Door.HOUSE)

    @classmethod
    def signed_in(cls, account: int, name: str) -> Self:
        """A coach who signed in."""
        return cls(name, Door.DESK, account=account)

    @classmethod
    def card_of(cls, athlete: AthleteId, name: str, gym: GymKey) -> Self:
        """An athlete at their own card."""
        return cls(name, Door.CARD, athlete=athlete, gym=gym)

    @classmethod
    def reader(cls, gym: GymKey, name: str, athlete: AthleteId | None = None) -> Self:
        """A calendar that reads the classes of a gym, or of one athlete."""
        return cls(name=name, door=Door.BOARD, gym=gym, athlete=athlete)

    @classmethod
    def board(cls, gym: GymKey, name: str = "wall board") -> Self:
        """A wall board."""
        return cls(name, Door.BOARD, gym=gym)

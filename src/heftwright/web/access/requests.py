"""What a view is handed once the door has let somebody in."""

from __future__ import annotations

from django.http import HttpRequest

from heftwright.usecases.actor import Actor
from heftwright.usecases.gym import GymCard


class GymRequest(HttpRequest):
    """A request of somebody who may, in a gym that is theirs to see."""

    actor: Actor
    gym: GymCard
    secret: str
    """Of the board or card link; empty at the desk."""

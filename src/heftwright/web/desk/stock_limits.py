"""Going over a maker's limit for one day: the owner's form on the page of a bar, block or rack."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.http import Http404, HttpResponse
from django.shortcuts import redirect

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import RatingOverride
from heftwright.usecases import clock, rating_overrides
from heftwright.usecases.actor import GymKey
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import Answers
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.quantities import meant

RATED = {"bars": "bar", "blocks": "block", "platforms": "platform"}


@dataclass(frozen=True, slots=True)
class OverrideLine:
    """One day's word; fallen when the limit was lowered after it was given."""

    override: RatingOverride
    is_fallen: bool


def limit_form(today: date, unit: MassUnit) -> Form:
    """The owner's questions."""
    return form_of(
        (
            Field("up_to", "Up to, with everything at the top", Kind.MASS, is_required=True,
                  unit=unit.value),
            Field("on", "On this day only", Kind.DAY, is_required=True, value=today.isoformat()),
            Field("why", "Why, and what was checked", is_required=True),
        )
    )  # fmt: skip


def overrides_of(gym: GymKey, kind: str, key: str, rating: Mass | None) -> tuple[OverrideLine, ...]:
    """Days on which this thing's limit was lifted, newest first."""
    found = rating_overrides.get_rating_overrides(gym=gym)
    return tuple(
        OverrideLine(item, rating is not None and not item.holds_for(rating))
        for item in found
        if (item.kind, item.item) == (RATED[kind], key)
    )


def fallen_words(gym: GymKey, kind: str, key: str, old: Mass | None, new: Mass | None) -> str:
    """What to say of a limit that was just lowered: words from today on that fell with it."""
    if kind not in RATED or old is None or new is None or new >= old:
        return ""
    today = clock.today(gym)
    days = [
        line.override.on.isoformat()
        for line in overrides_of(gym, kind, key, new)
        if line.is_fallen and line.override.on >= today
    ]
    if not days:
        return ""
    return f" The owner's word to go over it on {', '.join(sorted(days))} counts no more."


def lift_as_asked(request: GymRequest, kind: str, key: str, answers: Answers) -> RatingOverride:
    """Keep the owner's word as it was typed.

    Raises
    ------
    Refusal
        If an answer cannot be read, or the limit cannot be gone over like that.
    """
    if not answers.is_sound:
        raise Refusal(" ".join(field.wrong for field in answers.form.fields if field.wrong))
    override = RatingOverride(
        RATED[kind], key, meant(answers.values["up_to"]), answers.values["on"],
        request.actor.name, answers.values["why"],
    )  # fmt: skip
    rating_overrides.lift_rating(gym=request.gym.key, by=request.actor, override=override)
    return override


def rating_restore(request: GymRequest, kind: str, key: str, day: str) -> HttpResponse:
    """Hold to the maker's limit again."""
    if kind not in RATED:
        raise Http404
    gym, override = request.gym.key, f"{day}/{RATED[kind]}/{key}"
    rating_overrides.restore_rating(gym=gym, by=request.actor, key=override)
    say_undoable(request, "The maker's limit holds again.", f"rating_override/{override}")
    return redirect("stock_item", gym=gym, kind=kind, key=key)

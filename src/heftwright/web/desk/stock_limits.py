"""Going over a maker's limit for one day: the owner's form on the page of a bar, block or rack."""

from __future__ import annotations

from datetime import date

from django.http import Http404, HttpResponse
from django.shortcuts import redirect

from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import RatingOverride
from heftwright.usecases import rating_overrides
from heftwright.usecases.actor import GymKey
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.stock_forms import STOCK_KINDS
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import read_form
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.quantities import meant

RATED = {"bars": "bar", "blocks": "block", "platforms": "platform"}


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


def overrides_of(gym: GymKey, kind: str, key: str) -> tuple[RatingOverride, ...]:
    """Days on which this thing's limit was lifted, newest first."""
    found = rating_overrides.get_rating_overrides(gym=gym)
    return tuple(item for item in found if (item.kind, item.item) == (RATED[kind], key))


def rating_lift(request: GymRequest, kind: str, key: str) -> HttpResponse:
    """Allow more than the maker's limit on one day."""
    if kind not in RATED or kind not in STOCK_KINDS:
        raise Http404
    gym, record = request.gym.key, RATED[kind]
    answers = read_form(limit_form(date.min, request.gym.unit), request.POST)
    if not answers.is_sound:
        raise Refusal(" ".join(field.wrong for field in answers.form.fields if field.wrong))
    override = RatingOverride(
        record, key, meant(answers.values["up_to"]), answers.values["on"],
        request.actor.name, answers.values["why"],
    )  # fmt: skip
    rating_overrides.lift_rating(gym=gym, by=request.actor, override=override)
    said = f"Up to {override.up_to} on {override.on}. Every sheet of that day says so."
    say_undoable(request, said, f"rating_override/{override.key}")
    return redirect("stock_item", gym=gym, kind=kind, key=key)


def rating_restore(request: GymRequest, kind: str, key: str, day: str) -> HttpResponse:
    """Hold to the maker's limit again."""
    if kind not in RATED:
        raise Http404
    gym, override = request.gym.key, f"{day}/{RATED[kind]}/{key}"
    rating_overrides.restore_rating(gym=gym, by=request.actor, key=override)
    say_undoable(request, "The maker's limit holds again.", f"rating_override/{override}")
    return redirect("stock_item", gym=gym, kind=kind, key=key)

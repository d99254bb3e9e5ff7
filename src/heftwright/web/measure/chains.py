"""A chain's page: the mass of a metre by scale, by table or by calliper, with its ±."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.height import LengthUnit
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import Chain, ChainMassSource
from heftwright.usecases import chain_weighing
from heftwright.usecases.chain_weighing import SIZES, ChainMass, ChainMeasures
from heftwright.usecases.changes import seen
from heftwright.usecases.permissions import Right, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import Answers, read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.quantities import meant

_WAYS = (
    (ChainMassSource.WEIGHED.value, "a scale: ± 1 %"),
    (ChainMassSource.TABLE.value, "a standard's table: ± 4 %"),
    (ChainMassSource.CALLIPER.value, "three calliper readings: ± 4 %"),
)
_SIZES = tuple(
    (key, f"{size.standard}, {size.wire_mm:g} mm: {size.kg_per_m:g} kg a metre")
    for key, size in SIZES
)
_MM = LengthUnit.MM.value
_QUESTIONS: dict[ChainMassSource, tuple[Field, ...]] = {
    ChainMassSource.WEIGHED: (
        Field("weight", "The chain on the scale", Kind.MASS, "Without leader and clips."),
        Field("piece", "Its length", Kind.LENGTH, "Laid straight, end to end.", unit="cm"),
    ),
    ChainMassSource.TABLE: (
        Field("size", "Stamped on its tag", Kind.CHOICE, choices=(("", "choose"), *_SIZES)),
    ),
    ChainMassSource.CALLIPER: (
        Field("wire", "Wire", Kind.LENGTH, "How thick the round steel is.", unit=_MM),
        Field("pitch", "Pitch", Kind.LENGTH, "Inside length of one link.", unit=_MM),
        Field("outer", "Outer width", Kind.LENGTH, "Across one link, outside.", unit=_MM),
    ),
}


@dataclass(frozen=True, slots=True)
class ChainPage:
    """One chain at the scale."""

    template: ClassVar[str] = "measure/chain.html"
    area: ClassVar[str] = "stock"

    chain: Chain
    stands: ChainMass
    form: Form
    found: ChainMass | None
    problem: str
    unit: MassUnit
    was_seen: str
    may_edit: bool


def chain_mass(request: GymRequest, key: str) -> HttpResponse:
    """The chain as it stands, and what the measures typed so far make of it."""
    return show_desk(request, _page(request, key, request.GET))


def chain_mass_keep(request: GymRequest, key: str) -> HttpResponse:
    """Keep the mass of a metre."""
    gym = request.gym.key
    answers, known_by = _read(request.POST, request.gym.unit)
    try:
        if not answers.is_sound:
            return show_desk(request, _page(request, key, request.POST), status=422)
        chain = chain_weighing.keep_chain_mass(
            gym=gym, by=request.actor, key=key, measures=_measures(answers, known_by),
            was_seen=request.POST.get("was_seen") or None,
        )  # fmt: skip
    except Refusal as error:
        page = _page(request, key, request.POST, str(error))
        return show_desk(request, page, status=status_of(error))
    say_undoable(request, f"{chain.name}: {chain.mass_per_m} a metre.", f"chain/{key}")
    return redirect("chain_mass", gym=gym, key=key)


def _page(request: GymRequest, key: str, typed: Mapping[str, str], problem: str = "") -> ChainPage:
    gym = request.gym.key
    chain = chain_weighing.get_chain(gym=gym, key=key)
    answers, known_by = _read(typed, request.gym.unit)
    found: ChainMass | None = None
    if answers.is_sound and _is_begun(answers):
        try:
            found = chain_weighing.chain_mass(chain, _measures(answers, known_by))
        except Refusal as error:
            problem = problem or str(error)
    return ChainPage(
        chain=chain,
        stands=chain_weighing.as_known(chain),
        form=answers.form,
        found=found,
        problem=problem,
        unit=request.gym.unit,
        was_seen=typed.get("was_seen") or seen(chain),
        may_edit=can(request.actor, gym, Right.EDIT_STOCK),
    )


def _read(typed: Mapping[str, str], unit: MassUnit) -> tuple[Answers, ChainMassSource]:
    words = {value for value, _ in _WAYS}
    word = typed.get("known_by", "")
    known_by = ChainMassSource(word) if word in words else ChainMassSource.WEIGHED
    way = Field(
        "known_by", "Known by", Kind.CHOICE, choices=_WAYS, is_required=True, value=known_by.value
    )
    form = form_of((way, *_QUESTIONS[known_by]))
    standing = {f"{f.name}_unit": f.unit or unit.value for f in form.fields if f.units}
    kept = {name: typed[name] for name in typed}
    return read_form(form, {"known_by": known_by.value, **standing, **kept}), known_by


def _is_begun(answers: Answers) -> bool:
    return any(value for name, value in answers.values.items() if name != "known_by")


def _measures(answers: Answers, known_by: ChainMassSource) -> ChainMeasures:
    values: dict[str, Any] = {
        name: meant(value) for name, value in answers.values.items() if name != "known_by"
    }
    return ChainMeasures(known_by, **{k: v for k, v in values.items() if v is not None})

"""The stock: bars, plates, bands with their calibration, chains, blocks, implements, platforms."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any, ClassVar

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import Band, Stock
from heftwright.usecases import clock, measuring, rating_overrides
from heftwright.usecases import stock as stocks
from heftwright.usecases.changes import seen
from heftwright.usecases.permissions import ForbiddenError, Right, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.stock_forms import READING_FORM, STOCK_KINDS, StockKind, reading_from
from heftwright.web.desk.stock_limits import (
    RATED,
    OverrideLine,
    fallen_words,
    lift_as_asked,
    limit_form,
    overrides_of,
)
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Form

READINGS_WANTED = 3


@dataclass(frozen=True, slots=True)
class BandLine:
    """A band with what is known about its tension."""

    band: Band
    state: str
    state_words: str


@dataclass(frozen=True, slots=True)
class StockPage:
    """Everything the gym owns."""

    template: ClassVar[str] = "desk/stock.html"
    area: ClassVar[str] = "stock"

    stock: Stock
    bands: tuple[BandLine, ...]
    unit: MassUnit


@dataclass(frozen=True, slots=True)
class StockItemPage:
    """One item as a form; ``item`` is None for something new."""

    template: ClassVar[str] = "desk/stock_item.html"
    area: ClassVar[str] = "stock"

    kind: StockKind
    form: Form
    key: str = ""
    item: Any = None
    reading_form: Form | None = None
    problem: str = ""
    unit: MassUnit = MassUnit.KG
    overrides: tuple[OverrideLine, ...] = ()
    limit_form: Form | None = None
    may_lift_limits: bool = False
    has_limit: bool = False
    is_limit_open: bool = False


def stock(request: GymRequest) -> HttpResponse:
    """Everything."""
    found, today = stocks.get_stock(gym=request.gym.key), clock.today(request.gym.key)
    bands = tuple(_band_line(band, today) for band in found.bands)
    return show_desk(request, StockPage(found, bands, request.gym.unit))


def stock_new(request: GymRequest, kind: str) -> HttpResponse:
    """Something new."""
    asked = _kind(kind)
    form = asked.form(is_new=True)
    if request.method != "POST":
        return show_desk(request, StockItemPage(asked, form.filled({"count": 1, "pairs": 1})))
    answers = read_form(form, request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, StockItemPage(asked, answers.form), status=422)
        item = asked.item_from(answers.values, answers.values["key"])
        stocks.add_item(gym=request.gym.key, by=request.actor, item=item)
    except Refusal as error:
        page = StockItemPage(asked, answers.form, problem=str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, f"The {asked.one} is in the stock.")
    return redirect("stock", gym=request.gym.key)


def stock_item(request: GymRequest, kind: str, key: str) -> HttpResponse:
    """One item, looked at and changed."""
    gym, asked = request.gym.key, _kind(kind)
    old = stocks.get_item(gym=gym, kind=asked.kind, key=key)
    if request.method != "POST":
        form = asked.filled(old, request.gym.unit, seen(old))
        return show_desk(request, _item_page(request, asked, form, old))
    answers = read_form(asked.form(is_new=False), request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, _item_page(request, asked, answers.form, old), status=422)
        item = asked.item_from(answers.values, key, old)
        was_seen = answers.values["was_seen"] or None
        stocks.change_item(gym=gym, by=request.actor, item=item, was_seen=was_seen)
    except Refusal as error:
        page = _item_page(request, asked, answers.form, old, str(error))
        return show_desk(request, page, status=status_of(error))
    limits = (None, None) if kind not in RATED else _limits(old, item)
    said = f"The {asked.one} is saved." + fallen_words(gym, kind, key, *limits)
    say_undoable(request, said, f"{asked.kind.value}/{key}")
    return redirect("stock", gym=gym)


def rating_lift(request: GymRequest, kind: str, key: str) -> HttpResponse:
    """Allow more than the maker's limit on one day; a word refused stands in its form still."""
    if kind not in RATED:
        raise Http404
    gym, asked = request.gym.key, _kind(kind)
    item = stocks.get_item(gym=gym, kind=asked.kind, key=key)
    answers = read_form(limit_form(clock.today(gym), request.gym.unit), request.POST)
    try:
        override = lift_as_asked(request, kind, key, answers)
    except ForbiddenError:
        raise
    except Refusal as error:
        form = asked.filled(item, request.gym.unit, seen(item))
        page = _item_page(request, asked, form, item, f"Nothing was allowed. {error}")
        return show_desk(
            request, replace(page, limit_form=answers.form, is_limit_open=True),
            status=status_of(error),
        )  # fmt: skip
    said = f"Up to {override.up_to} on {override.on}. Every sheet of that day says so."
    say_undoable(request, said, f"rating_override/{override.key}")
    return redirect("stock_item", gym=gym, kind=kind, key=key)


def stock_remove(request: GymRequest, kind: str, key: str) -> HttpResponse:
    """Out of the stock, with a way back."""
    gym, asked = request.gym.key, _kind(kind)
    stocks.remove_item(gym=gym, by=request.actor, kind=asked.kind, key=key)
    say_undoable(request, f"The {asked.one} “{key}” is gone.", f"{asked.kind.value}/{key}")
    return redirect("stock", gym=gym)


def band_reading(request: GymRequest, key: str) -> HttpResponse:
    """One more reading of a band at the scale."""
    gym, asked = request.gym.key, STOCK_KINDS["bands"]
    old = stocks.get_item(gym=gym, kind=asked.kind, key=key)
    answers = read_form(READING_FORM, request.POST)
    if not answers.is_sound:
        form = asked.filled(old, request.gym.unit, seen(old))
        page = StockItemPage(asked, form, key, old, answers.form)
        return show_desk(request, page, status=422)
    reading = reading_from(answers.values, clock.today(gym))
    try:
        measuring.keep_readings(
            gym=gym, by=request.actor, key=key, readings=[reading], was_seen=None
        )
    except Refusal as error:
        form = asked.filled(old, request.gym.unit, seen(old))
        page = StockItemPage(asked, form, key, old, answers.form, str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, "The reading is kept.")
    return redirect("stock_item", gym=gym, kind="bands", key=key)


def _kind(word: str) -> StockKind:
    if word not in STOCK_KINDS:
        raise Http404
    return STOCK_KINDS[word]


def _limits(old: Any, new: Any) -> tuple[Mass | None, Mass | None]:
    return rating_overrides.rating_of(old), rating_overrides.rating_of(new)


def _item_page(
    request: GymRequest, asked: StockKind, form: Form, item: Any, problem: str = ""
) -> StockItemPage:
    reading = READING_FORM if isinstance(item, Band) else None
    page = StockItemPage(asked, form, item.key, item, reading, problem, request.gym.unit)
    gym = request.gym.key
    if asked.word not in RATED:
        return page
    return replace(
        page,
        overrides=overrides_of(gym, asked.word, item.key, rating_overrides.rating_of(item)),
        limit_form=limit_form(clock.today(gym), request.gym.unit),
        may_lift_limits=can(request.actor, gym, Right.MANAGE_GYM),
        has_limit=rating_overrides.rating_of(item) is not None,
    )


def _band_line(band: Band, today: date) -> BandLine:
    if band.retire_on is not None and band.retire_on <= today:
        return BandLine(band, "bad", "retired: blocked")
    if not band.readings:
        guess = "by its label only" if band.guess_top_force else "not measured"
        return BandLine(band, "wait", guess)
    words = f"{len(band.readings)} reading{'s' if len(band.readings) > 1 else ''}"
    lengths = {reading.length for reading in band.readings}
    if len(lengths) < READINGS_WANTED:
        return BandLine(band, "wait", f"{words}: measure at {READINGS_WANTED} lengths")
    return BandLine(band, "good", f"measured, {words}")

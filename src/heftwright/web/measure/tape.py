"""An athlete at the tape: where to hold it, why it matters, and what is known until then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.height import Length, LengthUnit
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId, BarHeights
from heftwright.usecases import squad as squads
from heftwright.usecases import taping
from heftwright.usecases.changes import seen
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.taping import TapeRow
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import Answers, read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.quantities import meant, stated


@dataclass(frozen=True, slots=True)
class Hold:
    """One hold of the tape, in words."""

    name: str
    title: str
    how: str
    why: str
    group: str


HOLDS = (
    Hold(
        "pull_lockout", "Deadlift lockout",
        "Standing tall with the bar in both hands, arms long, in lifting shoes.",
        "It is the top of every pull: how far bands stretch and how much they add there.",
        "Pulls",
    ),
    Hold(
        "front_rack", "Bar before a press",
        "Bar on the front of the shoulders, as before the press.",
        "It is the bottom of every press from the rack: what bands take off or add at the start.",
        "Presses",
    ),
    Hold(
        "overhead", "Bar overhead",
        "Bar locked out overhead, elbows straight.",
        "It is the top of every press; stature tells it worst of all.",
        "Presses",
    ),
    Hold(
        "squat_top", "Squat, standing",
        "Bar on the back, standing, knees straight.",
        "The top of the squat: no published number tells it.",
        "Squats",
    ),
    Hold(
        "squat_bottom", "Squat, at depth",
        "Light bar on the back, at the depth or the box that is trained.",
        "The bottom of the squat: whether bands hang slack there.",
        "Squats",
    ),
    Hold(
        "bench_top", "Bench, locked out",
        "On the bench used for training, arms straight.",
        "The top of the bench press: arm length and bench height together.",
        "Bench",
    ),
    Hold(
        "bench_bottom", "Bench, on the chest",
        "Light bar resting on the chest, in the usual arch.",
        "The bottom of the bench press: where bands add least.",
        "Bench",
    ),
)  # fmt: skip
CONFIRM = Field("is_confirmed", "I taped it twice, and the unit is right", Kind.CHECK)
TAPE_FORM = form_of(
    (
        *(Field(hold.name, "Floor to the middle of the bar", Kind.LENGTH) for hold in HOLDS),
        Field("was_seen", "", Kind.HIDDEN),
        CONFIRM,
    )
)


@dataclass(frozen=True, slots=True)
class HoldLine:
    """One hold with its field and what is known.

    Parameters
    ----------
    likely : Length or None
        Derived, with its ± in ``sd``; None where nothing tells it.
    """

    hold: Hold
    field: Field
    row: TapeRow
    likely: Length | None
    sd: Length | None
    wrong: str
    doubt: str


@dataclass(frozen=True, slots=True)
class TapePage:
    """One athlete at the tape."""

    template: ClassVar[str] = "measure/tape.html"
    area: ClassVar[str] = "squad"

    athlete: Athlete
    lines: tuple[HoldLine, ...]
    unit: MassUnit
    taped: int
    was_seen: str
    may_edit: bool
    asks_twice: bool
    problem: str = ""


def tape(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """The athlete's heights, with whatever is being typed judged at once."""
    found = squads.get_athlete(gym=request.gym.key, athlete=athlete)
    if not request.GET:
        return show_desk(request, _page(request, found, TAPE_FORM.filled(_standing(found)), None))
    answers = read_form(TAPE_FORM, request.GET)
    return show_desk(request, _page(request, found, answers.form, _heights(answers, found)))


def tape_keep(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """Keep what was taped."""
    gym = request.gym.key
    found = squads.get_athlete(gym=gym, athlete=athlete)
    answers = read_form(TAPE_FORM, request.POST)
    heights = _heights(answers, found)
    if not answers.is_sound:
        return show_desk(request, _page(request, found, answers.form, heights), status=422)
    try:
        taping.keep_heights(
            gym=gym, by=request.actor, athlete=athlete, heights=heights,
            was_seen=answers.values["was_seen"] or None,
            is_confirmed=answers.values["is_confirmed"],
        )  # fmt: skip
    except Refusal as error:
        page = _page(request, found, answers.form, heights, str(error))
        return show_desk(request, page, status=status_of(error))
    say_undoable(request, f"{found.name}: heights kept.", f"athlete/{athlete}")
    return redirect("tape", gym=gym, athlete=athlete)


def _standing(athlete: Athlete) -> dict[str, object]:
    values: dict[str, object] = {"was_seen": seen(athlete)}
    for hold in HOLDS:
        length: Length | None = getattr(athlete.heights, hold.name)
        values |= _stated(hold.name, length)
    return values


def _stated(name: str, length: Length | None) -> dict[str, object]:
    if length is None:
        return {name: "", f"{name}_unit": LengthUnit.CM.value}
    return stated(name, length, MassUnit.KG)


def _heights(answers: Answers, old: Athlete) -> BarHeights:
    """As typed; what cannot be read counts as not taped, and its complaint stands beside it."""
    typed: Mapping[str, Any] = answers.values
    return BarHeights(
        **{hold.name: meant(typed[hold.name], getattr(old.heights, hold.name)) for hold in HOLDS}
    )


def _page(
    request: GymRequest,
    athlete: Athlete,
    form: Form,
    heights: BarHeights | None,
    problem: str = "",
) -> TapePage:
    gym = request.gym.key
    sheet = taping.tape_sheet(gym=gym, athlete=athlete, typed=heights)
    fields = {field.name: field for field in form.fields}
    rows = {row.name: row for row in sheet.rows}
    lines = tuple(
        _line(hold, fields[hold.name], rows[hold.name], sheet.faults, sheet.doubts)
        for hold in HOLDS
    )
    return TapePage(
        athlete=athlete,
        lines=lines,
        unit=request.gym.unit,
        taped=sum(row.taped is not None for row in sheet.rows),
        was_seen=fields["was_seen"].value or seen(athlete),
        may_edit=can(request.actor, gym, Right.EDIT_SQUAD),
        asks_twice=bool(sheet.doubts),
        problem=problem,
    )


def _line(
    hold: Hold, field: Field, row: TapeRow, faults: Mapping[str, str], doubts: Mapping[str, str]
) -> HoldLine:
    known = row.known
    return HoldLine(
        hold=hold,
        field=field,
        row=row,
        likely=Length.nearest_m(known.height_m) if known else None,
        sd=Length.nearest_m(known.sd_m) if known else None,
        wrong=field.wrong or faults.get(hold.name, ""),
        doubt=doubts.get(hold.name, ""),
    )

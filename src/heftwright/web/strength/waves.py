"""The gym's own waves: looked at week by week, changed, put back as they ship."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.dose.waves import WaveStep, WaveTemplate
from heftwright.domain.refusal import Refusal
from heftwright.usecases import dose_settings
from heftwright.usecases.changes import seen
from heftwright.usecases.dose_settings import StepView, WaveLine
from heftwright.usecases.permissions import Right, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import Answers, read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

MOST_WEEKS = 6


def _week_fields(week: int) -> tuple[Field, ...]:
    group = f"Week {week}"
    return (
        Field(f"bar_{week}", "On the bar, % of max", Kind.NUMBER, group=group),
        Field(f"top_{week}", "Bands or chains add, %", Kind.NUMBER, group=group),
        Field(f"reps_{week}", "Total reps at most", Kind.WHOLE, group=group),
    )


WAVE_FORM = form_of(
    (
        Field("name", "Name", is_required=True),
        Field("was_seen", "", Kind.HIDDEN),
        *(field for week in range(1, MOST_WEEKS + 1) for field in _week_fields(week)),
    )
)


@dataclass(frozen=True, slots=True)
class WavesPage:
    """Every wave."""

    template: ClassVar[str] = "strength/waves.html"
    area: ClassVar[str] = "strength"

    lines: tuple[WaveLine, ...]


@dataclass(frozen=True, slots=True)
class WavePage:
    """One wave as a form, with what each week comes to."""

    template: ClassVar[str] = "strength/wave.html"
    area: ClassVar[str] = "strength"

    line: WaveLine
    form: Form
    steps: tuple[StepView, ...]
    zone_source: str
    may_change: bool
    is_typed: bool = False
    problem: str = ""


def waves(request: GymRequest) -> HttpResponse:
    """Every wave."""
    return show_desk(request, WavesPage(dose_settings.get_wave_lines(gym=request.gym.key)))


def wave(request: GymRequest, key: str) -> HttpResponse:
    """One wave; "Look" works the typed weeks out without keeping them."""
    gym = request.gym.key
    line = dose_settings.get_wave(gym=gym, key=key)
    if request.method != "POST":
        return show_desk(request, _page(request, line, filled(line.wave), line.wave))
    answers = read_form(WAVE_FORM, request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, _page(request, line, answers.form, None), status=422)
        typed = wave_from(answers, key)
        if request.POST.get("do") == "look":
            return show_desk(request, _page(request, line, answers.form, typed, is_typed=True))
        was_seen = answers.values["was_seen"] or None
        dose_settings.change_wave(gym=gym, by=request.actor, wave=typed, was_seen=was_seen)
    except Refusal as error:
        page = _page(request, line, answers.form, None, problem=str(error))
        return show_desk(request, page, status=status_of(error))
    say_undoable(request, f"“{typed.name}” is saved. The next plan uses it.", f"wave/{key}")
    return redirect("wave", gym=gym, key=key)


def wave_reset(request: GymRequest, key: str) -> HttpResponse:
    """Back to the weeks that ship, with a way back."""
    gym = request.gym.key
    dose_settings.reset_wave(gym=gym, by=request.actor, key=key)
    say_undoable(request, "The wave is as it ships again.", f"wave/{key}")
    return redirect("wave", gym=gym, key=key)


def filled(wave: WaveTemplate) -> Form:
    """The form with a wave standing in it."""
    values: dict[str, object] = {"name": wave.name, "was_seen": seen(wave)}
    for week, step in enumerate(wave.steps, 1):
        values[f"bar_{week}"] = f"{round(100 * step.bar_ratio, 3):g}"
        values[f"top_{week}"] = f"{round(100 * step.top_ratio, 3):g}"
        values[f"reps_{week}"] = step.most_reps
    return WAVE_FORM.filled(values)


def wave_from(answers: Answers, key: str) -> WaveTemplate:
    """The wave that was typed.

    Raises
    ------
    Refusal
        If a week is half filled in, or one before it is empty.
    """
    steps: list[WaveStep] = []
    for week in range(1, MOST_WEEKS + 1):
        step = _step(answers.values, week)
        if step is not None and len(steps) != week - 1:
            raise Refusal(f"Week {week} is filled in, but week {len(steps) + 1} is not.")
        if step is not None:
            steps.append(step)
    return WaveTemplate(key, answers.values["name"], tuple(steps))


def _step(values: Mapping[str, Any], week: int) -> WaveStep | None:
    bar, top, reps = (values[f"{name}_{week}"] for name in ("bar", "top", "reps"))
    if bar is None and top is None and reps is None:
        return None
    if bar is None or reps is None:
        raise Refusal(f"Week {week} needs its share on the bar and its total reps.")
    return WaveStep(round(bar / 100, 5), round((top or 0) / 100, 5), reps)


def _page(
    request: GymRequest,
    line: WaveLine,
    form: Form,
    worked_out: WaveTemplate | None,
    *,
    is_typed: bool = False,
    problem: str = "",
) -> WavePage:
    gym = request.gym.key
    zones = dose_settings.get_settings(gym=gym).zones
    steps = dose_settings.get_step_views(worked_out or line.wave, zones)
    may = can(request.actor, gym, Right.EDIT_DOSE)
    return WavePage(line, form, steps, zones.source, may, is_typed, problem)

"""The coach on the floor: attendance, plan again, nudge a load, a miss, pain; two taps each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.log import LoggedSet, PainReport, SetOutcome
from heftwright.domain.mass import EnteredMass
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.domain.squad import AthleteId, ClassTime
from heftwright.usecases import attendance, classes, clock, floor_drafts, timetable
from heftwright.usecases import log as logs
from heftwright.usecases import pain as pains
from heftwright.usecases import squad as squads
from heftwright.usecases.absences import get_absences
from heftwright.usecases.actor import GymKey
from heftwright.usecases.attendance import AttendanceState
from heftwright.usecases.class_changes import get_changed_since
from heftwright.usecases.classes import dated_key
from heftwright.usecases.live_class import DatedClass, get_class_clock
from heftwright.web.access.requests import GymRequest
from heftwright.web.card.lifts import lift_in_class
from heftwright.web.card.pages import load_figure
from heftwright.web.desk.floor_pages import LIVE_LINKS, FloorLinks, FloorPage, people_of, with_pain
from heftwright.web.desk.floor_show import live_of
from heftwright.web.http.reading import read_form
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

WHO = Field("athlete", "Athlete", Kind.HIDDEN, is_required=True)
_STATES = tuple((state.value, state.value) for state in AttendanceState)
_ATTENDANCE = form_of((WHO, Field("state", "State", Kind.CHOICE, choices=_STATES)))
_LOAD = form_of(
    (
        WHO,
        Field("load", "Load", Kind.MASS, is_required=True),
        Field("reason", "Why", is_required=True),
    )
)
ONLY_WHO = form_of((WHO,))
_PAIN = form_of(
    (
        WHO,
        Field("place", "Place", is_required=True),
        Field("score", "How much", Kind.WHOLE, is_required=True),
    )
)


def floor(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Everybody of the class on one page."""
    return _show(request, on, class_key)


def floor_attendance(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Here, late or away."""

    def act(values: dict[str, str]) -> None:
        attendance.mark_attendance(
            gym=request.gym.key,
            by=request.actor,
            class_key=dated_key(class_key, on),
            states={AthleteId(values["athlete"]): AttendanceState(values["state"])},
        )

    return act_on_floor(request, on, class_key, _ATTENDANCE, act)


def floor_load(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Set a load by hand; the reason stays with the plan. In a running class it is shown first."""

    def act(values: dict[str, Any]) -> None:
        of = DatedClass(request.gym.key, class_key, on)
        if get_class_clock(of) is None:
            classes.change_load(gym=of.gym, class_key=class_key, on=on, by=request.actor, **values)
        else:
            floor_drafts.propose_load(
                of, by=request.actor, athlete=values["athlete"], load=values["load"],
                why=values["reason"],
            )  # fmt: skip

    return act_on_floor(request, on, class_key, _LOAD, act)


def floor_load_back(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Back to the computed load."""

    def act(values: dict[str, AthleteId]) -> None:
        classes.take_back_load(
            gym=request.gym.key, class_key=class_key, on=on, by=request.actor, **values
        )

    return act_on_floor(request, on, class_key, ONLY_WHO, act)


def floor_missed(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """The set that is next was missed; in a running class a lighter rest is proposed."""

    def act(values: dict[str, AthleteId]) -> None:
        fact = _missed_set(request, on, class_key, values["athlete"])
        logs.log_sets(gym=request.gym.key, by=request.actor, sets=[fact])
        of = DatedClass(request.gym.key, class_key, on)
        if get_class_clock(of) is not None:
            floor_drafts.propose_after_miss(of, by=request.actor, athlete=values["athlete"])

    return act_on_floor(request, on, class_key, ONLY_WHO, act)


def floor_pain(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Note pain: it is never shown on the board."""

    def act(values: dict[str, str]) -> None:
        report = PainReport(
            AthleteId(values["athlete"]), dated_key(class_key, on), values["place"],
            int(values["score"]), clock.now(),
        )  # fmt: skip
        pains.report_pain(gym=request.gym.key, by=request.actor, report=report)

    return act_on_floor(request, on, class_key, _PAIN, act)


def act_on_floor(
    request: GymRequest, on: date, class_key: str, form: Form, act: Callable[..., object]
) -> HttpResponse:
    """Do one act and show the page again; a refusal stands on top of it."""
    answers = read_form(form, request.POST)
    problem = next((field.wrong for field in answers.form.fields if field.wrong), "")
    try:
        if not problem:
            act(dict(answers.values))
    except NotFoundError:
        raise
    except Refusal as error:
        problem = str(error)
    if problem or request.headers.get("HX-Request"):
        return _show(request, on, class_key, problem)
    return redirect("floor", gym=request.gym.key, on=on, class_key=class_key)


def _show(request: GymRequest, on: date, class_key: str, problem: str = "") -> HttpResponse:
    gym = request.gym.key
    class_time = timetable.get_class_time(gym=gym, key=class_key)
    planned = _planned(request, on, class_key)
    marked = attendance.get_attendance(gym=gym, class_key=dated_key(class_key, on))
    facts = logs.get_log(gym=gym, of=logs.LogFilter(class_key=dated_key(class_key, on)))
    of = DatedClass(gym, class_key, on)
    by_hand = frozenset(item.athlete for item in planned.set_loads) if planned else frozenset()
    wanted = {*class_time.members, *marked}
    athletes = [item for item in squads.get_squad(gym=gym) if item.id in wanted]
    sheet = planned.sheet if planned else None
    absences = get_absences(gym=gym, class_key=class_key, on=on)
    away = {who: one.why for one in absences for who in one.athletes}
    hurting = pains.who_said_pain(gym=gym, by=request.actor, class_key=dated_key(class_key, on))
    people = people_of(athletes, marked, sheet, facts, by_hand, away)
    people = with_pain(people, hurting)
    page = FloorPage(
        day=on,
        title=sheet.lift_name if sheet else class_time.slot.shown,
        people=people,
        links=_links(gym, on, class_key),
        day_url=reverse("class_day", kwargs={"gym": gym, "on": on, "class_key": class_key}),
        sheet=sheet,
        is_plan_behind=_is_behind(gym, class_time, on, planned),
        changed=get_changed_since(gym=gym, planned=planned) if planned else (),
        problem=problem,
        live=live_of(of, planned, people),
        others=tuple(one for one in people if one.line is None),
    )
    return show_desk(request, page, status=422 if problem else 200)


def _is_behind(gym: GymKey, class_time: ClassTime, on: date, planned: PlannedClass | None) -> bool:
    """Whether who is here is not who was planned for."""
    if planned is None:
        return False
    return set(classes.who_comes(gym, class_time, on)) != set(planned.present)


def _planned(request: GymRequest, on: date, class_key: str) -> PlannedClass | None:
    gym = request.gym.key
    if not classes.get_class_version(gym=gym, class_key=class_key, on=on):
        return None
    return classes.get_planned_class(gym=gym, class_key=class_key, on=on)


def _missed_set(request: GymRequest, on: date, class_key: str, athlete: AthleteId) -> LoggedSet:
    gym, key = request.gym.key, dated_key(class_key, on)
    sheet = classes.get_class_sheet(gym=gym, class_key=class_key, on=on)
    mine = sheet.line_of(athlete)
    if mine is None:
        raise Refusal("This athlete has no bar in the plan: plan again first.")
    done = logs.get_log(gym=gym, of=logs.LogFilter(athlete=athlete, class_key=key))
    number = max((fact.set_number for fact in done), default=0) + 1
    return LoggedSet(
        id=uuid4(),
        athlete=athlete,
        lift=lift_in_class(gym, key, athlete),
        class_key=key,
        set_number=number,
        load=EnteredMass.read(load_figure(mine[1], number), mine[1].unit),
        reps_done=0,
        outcome=SetOutcome.MISSED,
        reps_in_reserve=None,
        plan_version=sheet.plan_version,
        logged_at=clock.now(),
        is_max_attempt=mine[1].is_attempt(number),
    )


def _links(gym: str, on: date, class_key: str) -> FloorLinks:
    way = {"gym": gym, "on": on, "class_key": class_key}
    return FloorLinks(
        plan=reverse("class_plan", kwargs=way),
        attendance=reverse("floor_attendance", kwargs=way),
        load=reverse("floor_load", kwargs=way),
        load_back=reverse("floor_load_back", kwargs=way),
        missed=reverse("floor_missed", kwargs=way),
        pain=reverse("floor_pain", kwargs=way),
        **{name: reverse(f"floor_{name}", kwargs=way) for name in LIVE_LINKS},
    )

"""The card's page, and what the phone asks and tells."""

from __future__ import annotations

from functools import cache, partial
from pathlib import Path

from django.contrib.staticfiles import finders
from django.http import HttpResponse, JsonResponse
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.log import LoggedSet, PainReport
from heftwright.domain.sheet.class_sheet import CLOSING_CAUTION
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.usecases import classes, clock, readiness
from heftwright.usecases import log as logs
from heftwright.usecases import pain as pains
from heftwright.usecases import squad as squads
from heftwright.usecases.absences import get_absences
from heftwright.usecases.classes import ClassLine
from heftwright.web.access.requests import GymRequest
from heftwright.web.card.facts import PhoneFactError, Unread, read_facts
from heftwright.web.card.lifts import lift_in_class
from heftwright.web.card.pages import CardLinks, CardPage, work_of
from heftwright.web.http.reading import read_form
from heftwright.web.render.forms import Field, Kind, form_of
from heftwright.web.render.page import show

# what the phone shows for each answer: "gym" means that the gym has it
_STATE_OF = {
    logs.Answer.KEPT: "gym",
    logs.Answer.ALREADY: "gym",
    logs.Answer.CONFLICT: "conflict",
    logs.Answer.REFUSED: "refused",
}
_PAIN_FORM = form_of(
    (
        Field("place", "Place", is_required=True),
        Field("score", "How much", Kind.WHOLE, is_required=True),
        Field("class_key", "Class", Kind.HIDDEN),
    )
)


def card(request: GymRequest) -> HttpResponse:
    """Tonight's work of one athlete."""
    found = _tonight(request)
    if found is None:
        words = "Your coach makes it before the class. Look again later."
        return show(request, _page(request, "No plan yet", words))
    line, planned = found
    return show(request, _with_work(request, line, planned))


def card_plan(request: GymRequest) -> HttpResponse:
    """What is new since the plan that the phone shows; 204 if nothing."""
    found, have = _tonight(request), request.GET.get("have", "")
    if found is None or str(found[0].plan_version) == have:
        return HttpResponse(status=204)
    sheet = found[1].sheet
    assert request.actor.athlete is not None
    mine = sheet.line_of(request.actor.athlete)
    now = "you have no bar in it" if mine is None else (
        f"{mine[1].lift_name}, {mine[1].load.shown(mine[1].unit)}, platform {mine[0].key}"
    )  # fmt: skip
    words = f"Plan {sheet.plan_version} is new since this page (plan {have[:6]}): {now}."
    return JsonResponse({"plan_version": sheet.plan_version, "words": words})


def card_worker(request: GymRequest) -> HttpResponse:
    """The card's worker, served beside the card so that the card is its scope."""
    del request
    path = finders.find("heftwright/card-worker.js")
    assert isinstance(path, str)
    return HttpResponse(
        Path(path).read_bytes(),
        content_type="text/javascript",
        headers={"Cache-Control": "no-cache"},
    )


@csrf_exempt  # the secret in the address is the permission; no cookie of ours is looked at
def card_log(request: GymRequest) -> HttpResponse:
    """Keep what the phone sends and answer for each id."""
    athlete = request.actor.athlete
    assert athlete is not None
    try:
        facts = list(read_facts(request.body, athlete, cache(partial(_lift_in, request))))
    except PhoneFactError as error:
        return JsonResponse({"why": str(error)}, status=400)
    sets = [fact for fact in facts if isinstance(fact, LoggedSet)]
    kept = logs.log_sets(gym=request.gym.key, by=request.actor, sets=sets)
    answers = [
        {"id": str(item.id), "state": _STATE_OF[item.answer], "why": item.why} for item in kept
    ]
    unread = [fact for fact in facts if isinstance(fact, Unread)]
    answers += [{"id": fact.id, "state": "refused", "why": fact.why} for fact in unread]
    return JsonResponse({"answers": answers})


def card_readiness(request: GymRequest) -> HttpResponse:
    """What the athlete said of sleep, soreness and the like: shown, never kept on the phone."""
    athlete = request.actor.athlete
    assert athlete is not None
    scales = readiness.read_readiness(gym=request.gym.key, by=request.actor, athlete=athlete)
    answer = {"words": [scale.own_words for scale in scales]}
    return JsonResponse(answer, headers={"Cache-Control": "no-store"})


@csrf_exempt  # as above
def card_pain(request: GymRequest) -> HttpResponse:
    """Tell the coach about pain; it is kept at the gym, never on the phone."""
    athlete, answers = request.actor.athlete, read_form(_PAIN_FORM, request.POST)
    assert athlete is not None
    if not answers.is_sound:
        why = next(field.wrong for field in answers.form.fields if field.wrong)
        return JsonResponse({"why": why}, status=422)
    report = PainReport(
        athlete, answers.values["class_key"], answers.values["place"],
        answers.values["score"], clock.now(),
    )  # fmt: skip
    try:
        pains.report_pain(gym=request.gym.key, by=request.actor, report=report)
    except pains.PainReportError as error:
        return JsonResponse({"why": str(error)}, status=422)
    return JsonResponse({"why": ""})


def _tonight(request: GymRequest) -> tuple[ClassLine, PlannedClass] | None:
    """The athlete's class of the day that is planned, if any."""
    gym, athlete = request.gym.key, request.actor.athlete
    assert athlete is not None
    planned = [line for line in classes.get_today(gym=gym).classes if line.plan_version]
    found = [
        (line, classes.get_planned_class(gym=gym, class_key=line.class_time.key, on=line.on))
        for line in planned
    ]
    mine = [item for item in found if athlete in item[1].present]
    return next(iter(mine or found), None)


def _lift_in(request: GymRequest, class_key: str) -> LiftKey:
    """The athlete's main lift in a dated class, which may be long over when the phone sends."""
    assert request.actor.athlete is not None
    return lift_in_class(request.gym.key, class_key, request.actor.athlete)


def _with_work(request: GymRequest, line: ClassLine, planned: PlannedClass) -> CardPage:
    sheet, athlete = planned.sheet, request.actor.athlete
    assert athlete is not None
    of = logs.LogFilter(athlete=athlete, class_key=line.dated_key)
    work = work_of(sheet, athlete, logs.get_log(gym=request.gym.key, of=of))
    why_not = next((item.why for item in sheet.unplaced if item.athlete == athlete), "")
    if not (work or why_not):
        why_not = _at_contest(request, line)
    return _page(
        request,
        "" if work else "No bar for you tonight",
        "" if work else why_not or "You are not on tonight's list: say so to your coach.",
        work=work,
        rep_work=sheet.rep_work,
        caution=sheet.caution,
        class_key=line.dated_key,
        plan_version=sheet.plan_version,
        planned_at=sheet.planned_at,
        on=line.on,
        is_today=line.on == clock.today(request.gym.key),
    )


def _at_contest(request: GymRequest, line: ClassLine) -> str:
    key, athlete = line.class_time.key, request.actor.athlete
    found = get_absences(gym=request.gym.key, class_key=key, on=line.on)
    why = next((one.why for one in found if athlete in one.athletes), "")
    return f"You are {why}: this class goes on without you." if why else ""


def _page(request: GymRequest, title: str, words: str, **shown: object) -> CardPage:
    athlete = squads.get_athlete(gym=request.gym.key, athlete=request.actor.athlete)  # type: ignore[arg-type] # a card always has one
    values: dict[str, object] = {"caution": CLOSING_CAUTION, **shown}
    return CardPage(
        gym_name=request.gym.name,
        name=athlete.name,
        number=athlete.number,
        links=_links(request.secret),
        no_work_title=title,
        no_work_words=words,
        **values,  # type: ignore[arg-type] # names are those of CardPage
    )


def _links(secret: str) -> CardLinks:
    return CardLinks(
        log_url=reverse("card_log", args=[secret]),
        pain_url=reverse("card_pain", args=[secret]),
        plan_url=reverse("card_plan", args=[secret]),
        readiness_url=reverse("card_readiness", args=[secret]),
        worker_url=reverse("card_worker", args=[secret]),
    )

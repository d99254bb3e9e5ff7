"""An athlete's maxes: what is believed and why; recording one; proposals from the log."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.pictures.belief_bars import BeliefBar, TestDot
from heftwright.usecases import clock, maxes
from heftwright.usecases import squad as squads
from heftwright.usecases.actor import GymKey
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.maxes import Proposal, UnlikelyMaxError
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import Answers, read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

MOST_BARS = 10
_KINDS = (
    (EvidenceKind.TEST.value, "a tested single"),
    (EvidenceKind.CONTEST.value, "a contest lift"),
    (EvidenceKind.REP_SET.value, "a set of several reps"),
)
MAX_FORM = form_of(
    (
        Field("lift", "Lift", Kind.CHOICE, is_required=True),
        Field("kind", "It was", Kind.CHOICE, choices=_KINDS, is_required=True),
        Field("load", "Load", Kind.MASS, "Bar, collars and plates together.", is_required=True),
        Field("reps", "Reps", Kind.WHOLE, is_required=True),
        Field("reps_in_reserve", "Reps left", Kind.NUMBER, "Empty: nothing was left."),
        Field("on", "On", Kind.DAY, "Empty: today."),
    )
)
_CONFIRM = Field(
    "is_confirmed", "I checked number, unit, lift and athlete: it is right", Kind.CHECK
)


@dataclass(frozen=True, slots=True)
class MaxPage:
    """Recording a max; asked again when it is far from what is known."""

    template: ClassVar[str] = "desk/max_form.html"
    area: ClassVar[str] = "squad"

    form: Form
    athlete: AthleteId
    name: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ProposalLine:
    """A max that the log speaks for; the coach decides."""

    proposal: Proposal
    lift_name: str


def max_new(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """Record a max."""
    gym = request.gym.key
    name = squads.get_athlete(gym=gym, athlete=athlete).name
    if request.method != "POST":
        form = _form(gym).filled({"reps": 1, "load_unit": request.gym.unit.value})
        return show_desk(request, MaxPage(form, athlete, name))
    answers = read_form(form_of((*_form(gym).fields, _CONFIRM)), request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, MaxPage(answers.form, athlete, name), status=422)
        key = _record(request, athlete, answers)
    except Refusal as error:
        is_asked = isinstance(error, UnlikelyMaxError)
        page = MaxPage(_shown_again(answers, is_asked=is_asked), athlete, name, str(error))
        return show_desk(request, page, status=status_of(error))
    say_undoable(request, "The max is recorded. The next plan uses it.", f"evidence/{key}")
    return redirect("athlete", gym=gym, athlete=athlete)


def proposal_decide(request: GymRequest, athlete: AthleteId, proposal: int) -> HttpResponse:
    """Accept what the log speaks for, or leave it aside; each can be taken back."""
    gym = request.gym.key
    mine = {line.proposal.key for line in proposals_of(gym, athlete)}
    if proposal not in mine:
        raise NotFoundError("This proposal was decided already.")
    if request.POST.get("decision") == "accept":
        maxes.accept_proposal(gym=gym, by=request.actor, proposal=proposal)
        said = "Accepted. The next plan uses it."
    else:
        maxes.ignore_proposal(gym=gym, by=request.actor, proposal=proposal)
        said = "Left aside. The log keeps the set."
    way = reverse("strength_take_back", args=[gym, athlete, proposal])
    messages.success(request, said, f"{way}?from=athlete")
    return redirect("athlete", gym=gym, athlete=athlete)


def bars_of(gym: GymKey, athlete: AthleteId) -> tuple[BeliefBar, ...]:
    """An athlete's maxes as a picture's values: tested lifts first, then the surest."""
    beliefs, today = maxes.get_beliefs(gym=gym), clock.today(gym)
    if athlete not in beliefs.athletes:
        return ()
    mine = [beliefs[athlete, lift] for lift in beliefs.lifts if (athlete, lift) in beliefs]
    tests: dict[LiftKey, list[TestDot]] = {}
    for kept in maxes.get_evidence(gym=gym, athlete=athlete):
        found = kept.evidence
        if found.is_single:
            dot = TestDot(found.load.in_kg, (today - found.on).days)
            tests.setdefault(found.lift, []).append(dot)
    shown = sorted(mine, key=lambda belief: (not belief.is_tested, belief.log_sd))[:MOST_BARS]
    names = catalogue_of(gym)
    return tuple(
        BeliefBar(
            names[belief.lift].name, belief.median_kg, belief.plus_minus_kg,
            tuple(tests.get(belief.lift, ())),
        )
        for belief in shown
    )  # fmt: skip


def proposals_of(gym: GymKey, athlete: AthleteId) -> tuple[ProposalLine, ...]:
    """Proposals that wait for the coach."""
    catalogue = catalogue_of(gym)
    return tuple(
        ProposalLine(item, catalogue[item.lift].name)
        for item in maxes.get_proposals(gym=gym)
        if item.athlete == athlete
    )


def _form(gym: GymKey) -> Form:
    """The form with this gym's lifts, its own among them."""
    lifts = tuple((lift.key, lift.name) for lift in catalogue_of(gym).values())
    return form_of(
        replace(field, choices=lifts) if field.name == "lift" else field
        for field in MAX_FORM.fields
    )


def _record(request: GymRequest, athlete: AthleteId, answers: Answers) -> str:
    values: dict[str, Any] = dict(answers.values)
    evidence = Evidence(
        athlete=athlete,
        lift=LiftKey(values["lift"]),
        kind=EvidenceKind(values["kind"]),
        load=values["load"].mass,
        on=values["on"] or clock.today(request.gym.key),
        reps=values["reps"],
        reps_in_reserve=values["reps_in_reserve"] or 0.0,
    )
    return maxes.record_max(
        gym=request.gym.key, by=request.actor, evidence=evidence,
        is_confirmed=values["is_confirmed"],
    )  # fmt: skip


def _shown_again(answers: Answers, *, is_asked: bool) -> Form:
    """The confirming tick is offered only once the question has been put."""
    if is_asked:
        return answers.form
    return form_of(field for field in answers.form.fields if field.name != _CONFIRM.name)

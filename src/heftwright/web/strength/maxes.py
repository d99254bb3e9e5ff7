"""The squad's maxes and one athlete's: what waits, what each max rests on, what would change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.pictures.belief_bars import BeliefBar, TestDot
from heftwright.pictures.level_lines import LevelLine
from heftwright.pictures.progress_lines import ProgressDot, ProgressLine
from heftwright.usecases import max_decisions, maxes
from heftwright.usecases.maxes import ProposalState
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.strength_pages import get_athlete_strength, get_squad_strength
from heftwright.usecases.strength_views import (
    AthleteStrength,
    LiftBelief,
    LiftProgress,
    SquadStrength,
)
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

MOST_BARS = 12
MOST_PROGRESS = 8
MOST_STALE = 12
ADJUST_FORM = form_of((Field("load", "Take this load instead", Kind.MASS, is_required=True),))


@dataclass(frozen=True, slots=True)
class SquadMaxesPage:
    """What waits for the coach, and how the squad does."""

    template: ClassVar[str] = "strength/squad.html"
    area: ClassVar[str] = "strength"

    squad: SquadStrength
    unit: MassUnit
    may_decide: bool

    @property
    def sound_count(self) -> int:
        """How many wait without a hard question."""
        return sum(not item.proposal.is_stopped for _, _, item in self.squad.waiting)

    @property
    def levels(self) -> tuple[LevelLine, ...]:
        """The squad's middle, then everybody."""
        rows = [("Middle of the squad", self.squad.squad_months, True)]
        rows += [(line.athlete.name, line.months, False) for line in self.squad.progress]
        return tuple(
            LevelLine(name, tuple(ratio for _, ratio in months), is_squad)
            for name, months, is_squad in rows
        )

    @property
    def level_days(self) -> tuple[date, ...]:
        """The last day of each four weeks."""
        return tuple(on for on, _ in self.squad.squad_months)

    @property
    def stale(self) -> tuple[object, ...]:
        """The oldest tests."""
        return self.squad.stale[:MOST_STALE]


@dataclass(frozen=True, slots=True)
class AthleteMaxesPage:
    """One athlete's maxes."""

    template: ClassVar[str] = "strength/athlete.html"
    area: ClassVar[str] = "strength"

    strength: AthleteStrength
    unit: MassUnit
    bars: tuple[BeliefBar, ...]
    progress: tuple[ProgressLine, ...]
    adjust_form: Form
    may_decide: bool
    asked_about: int = 0
    problem: str = ""
    typed: str = ""

    @property
    def tested(self) -> tuple[LiftBelief, ...]:
        """Lifts with evidence of their own."""
        return tuple(line for line in self.strength.lifts if line.evidence)

    @property
    def estimated(self) -> tuple[LiftBelief, ...]:
        """Lifts known only through others."""
        return tuple(line for line in self.strength.lifts if not line.evidence)


def strength(request: GymRequest) -> HttpResponse:
    """The squad; what the log has new is proposed first."""
    gym = request.gym.key
    maxes.look_at_log(gym=gym, by=request.actor)
    page = SquadMaxesPage(
        get_squad_strength(gym=gym), request.gym.unit, can(request.actor, gym, Right.DECIDE_MAX)
    )
    return show_desk(request, page)


def strength_athlete(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """One athlete; what the log has new is proposed first."""
    maxes.look_at_log(gym=request.gym.key, by=request.actor)
    return show_desk(request, _page(request, athlete))


def strength_decide(request: GymRequest, athlete: AthleteId, proposal: int) -> HttpResponse:
    """Accept, adjust or ignore what the log speaks for; each can be taken back."""
    gym = request.gym.key
    _check_waits(request, athlete, proposal)
    try:
        said = _decide(request, proposal)
    except Refusal as error:
        page = _page(request, athlete, asked_about=proposal, problem=str(error))
        return show_desk(request, page, status=status_of(error))
    way = reverse("strength_take_back", args=[gym, athlete, proposal])
    messages.success(request, said, way)
    return redirect(_back_to(request, athlete))


def strength_take_back(request: GymRequest, athlete: AthleteId, proposal: int) -> HttpResponse:
    """Undo a decision."""
    gym = request.gym.key
    max_decisions.take_back_decision(gym=gym, by=request.actor, proposal=proposal)
    messages.success(request, "Taken back: the proposal waits again.")
    page = "athlete" if request.GET.get("from") == "athlete" else "strength_athlete"
    return redirect(page, gym=gym, athlete=athlete)


def evidence_withdraw(request: GymRequest, athlete: AthleteId, key: str) -> HttpResponse:
    """Take a piece of evidence out of all beliefs, with a way back."""
    gym = request.gym.key
    mine = {kept.key for kept in maxes.get_evidence(gym=gym, athlete=athlete)}
    if key not in mine:
        raise NotFoundError("This was withdrawn already.")
    maxes.withdraw_max(gym=gym, by=request.actor, key=key)
    say_undoable(request, "Withdrawn: no max rests on it any more.", f"evidence/{key}")
    return redirect("strength_athlete", gym=gym, athlete=athlete)


def _decide(request: GymRequest, proposal: int) -> str:
    gym, by = request.gym.key, request.actor
    is_confirmed = request.POST.get("is_confirmed") == "yes"
    decision = request.POST.get("decision", "")
    if decision == "accept":
        maxes.accept_proposal(gym=gym, by=by, proposal=proposal, is_confirmed=is_confirmed)
        return "Accepted. The next plan uses it."
    if decision == "adjust":
        answers = read_form(ADJUST_FORM, request.POST)
        if not answers.is_sound:
            raise Refusal(answers.form.fields[0].wrong)
        load = answers.values["load"].mass
        maxes.adjust_proposal(
            gym=gym, by=by, proposal=proposal, load=load, is_confirmed=is_confirmed
        )
        return "Taken with your load. The next plan uses it."
    if decision == "ignore":
        maxes.ignore_proposal(gym=gym, by=by, proposal=proposal)
        return "Left aside. The log keeps the set."
    raise Refusal("Choose: accept, adjust or leave it aside.")


def _check_waits(request: GymRequest, athlete: AthleteId, proposal: int) -> None:
    waiting = maxes.get_proposals(gym=request.gym.key, state=ProposalState.PROPOSED)
    if not any(item.key == proposal and item.athlete == athlete for item in waiting):
        raise NotFoundError("This proposal was decided already.")


def _back_to(request: GymRequest, athlete: AthleteId) -> str:
    if request.POST.get("from") == "squad":
        return reverse("strength", args=[request.gym.key])
    return reverse("strength_athlete", args=[request.gym.key, athlete])


def _page(
    request: GymRequest, athlete: AthleteId, *, asked_about: int = 0, problem: str = ""
) -> AthleteMaxesPage:
    gym, unit = request.gym.key, request.gym.unit
    typed, typed_unit = request.POST.get("load", ""), request.POST.get("load_unit", "")
    found = get_athlete_strength(gym=gym, athlete=athlete)
    return AthleteMaxesPage(
        strength=found,
        unit=unit,
        bars=tuple(_bar(line) for line in found.lifts[:MOST_BARS]),
        progress=tuple(_progress(line) for line in found.progress[:MOST_PROGRESS]),
        adjust_form=ADJUST_FORM.filled({"load_unit": typed_unit or unit.value}),
        may_decide=can(request.actor, gym, Right.DECIDE_MAX),
        asked_about=asked_about,
        problem=problem,
        typed=typed,
    )


def _bar(line: LiftBelief) -> BeliefBar:
    tests = tuple(
        TestDot(item.kept.evidence.load.in_kg, max(0, item.age_days))
        for item in line.evidence
        if item.kept.evidence.is_single
    )
    return BeliefBar(line.lift.name, line.belief.median_kg, line.belief.plus_minus_kg, tests)


def _progress(line: LiftProgress) -> ProgressLine:
    dots = tuple(ProgressDot(point.on, point.kg, point.is_single) for point in line.points)
    return ProgressLine(line.lift.name, dots, line.steady_kg)

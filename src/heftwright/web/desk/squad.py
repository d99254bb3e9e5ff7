"""The squad: a list, an athlete's page, the record as a form."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.dose.returns import LAY_OFF_DAYS
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import Athlete, AthleteId, BarHeights, Restriction
from heftwright.domain.squad.measures import measure_faults
from heftwright.pictures.belief_bars import BeliefBar
from heftwright.usecases import clock
from heftwright.usecases import squad as squads
from heftwright.usecases.changes import seen
from heftwright.usecases.squad import MeasuresRefusedError
from heftwright.usecases.squad_asks import SquadAsk, get_squad_asks
from heftwright.usecases.taping import height_doubts
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.athlete_form import ATHLETE_FORM, athlete_from, blank, filled_for
from heftwright.web.desk.maxes import ProposalLine, bars_of, proposals_of
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

RESTRICTION_TAGS = (
    ("overhead", "everything overhead"),
    ("spine_heavy", "what loads the spine hard"),
    ("knee_heavy", "what loads the knees hard"),
    ("grip_heavy", "what loads the grip hard"),
    ("biceps_risk", "what can hurt the biceps"),
)
RESTRICTION_FORM = form_of(
    (
        Field("tag", "Off for now", Kind.CHOICE, choices=RESTRICTION_TAGS, is_required=True),
        Field("until", "Ask again on", Kind.DAY, "It stays off until you clear it all the same."),
        Field("note", "Your words", hint="No diagnosis: health notes are kept elsewhere."),
    )
)


CLEAR_FORM = form_of(
    (
        Field("cleared_by", "Cleared by", is_required=True, hint="Who says the lifts may return."),
        Field("cleared_on", "On", Kind.DAY, is_required=True),
    )
)


@dataclass(frozen=True, slots=True)
class SquadLine:
    """One athlete in the list."""

    athlete: Athlete
    is_minor: bool
    off_words: str
    weak_words: str


@dataclass(frozen=True, slots=True)
class SquadPage:
    """The list."""

    template: ClassVar[str] = "desk/squad.html"
    area: ClassVar[str] = "squad"

    lines: tuple[SquadLine, ...]
    asks: tuple[SquadAsk, ...]


@dataclass(frozen=True, slots=True)
class RestrictionLine:
    """One restriction; ``index`` names it in its form."""

    index: int
    restriction: Restriction
    words: str
    asks: bool
    back_words: str


@dataclass(frozen=True, slots=True)
class AthletePage:
    """One athlete."""

    template: ClassVar[str] = "desk/athlete.html"
    area: ClassVar[str] = "squad"

    athlete: Athlete
    unit: MassUnit
    is_minor: bool
    weak_words: str
    restrictions: tuple[RestrictionLine, ...]
    restriction_form: Form
    today: date
    beliefs: tuple[BeliefBar, ...]
    proposals: tuple[ProposalLine, ...]


@dataclass(frozen=True, slots=True)
class AthleteFormPage:
    """The record as a form; ``athlete`` is None for somebody new."""

    template: ClassVar[str] = "desk/athlete_form.html"
    area: ClassVar[str] = "squad"

    form: Form
    athlete: Athlete | None = None
    problem: str = ""


def squad(request: GymRequest) -> HttpResponse:
    """Everybody."""
    day = clock.today(request.gym.key)
    athletes = squads.get_squad(gym=request.gym.key)
    lines = tuple(_line(item, day) for item in athletes)
    return show_desk(request, SquadPage(lines, get_squad_asks(gym=request.gym.key)))


def athlete(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """One athlete's page."""
    found = squads.get_athlete(gym=request.gym.key, athlete=athlete)
    return show_desk(request, _athlete_page(request, found, RESTRICTION_FORM))


def athlete_new(request: GymRequest) -> HttpResponse:
    """Somebody new."""
    gym = request.gym.key
    if request.method != "POST":
        form = blank(squads.propose_number(gym=gym), request.gym.unit)
        return show_desk(request, AthleteFormPage(form))
    answers = read_form(ATHLETE_FORM, request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, AthleteFormPage(answers.form), status=422)
        key = squads.propose_athlete_id(gym=gym, name=answers.values["name"])
        new = athlete_from(answers.values, key)
        _check_heights(new, None)
        squads.add_athlete(gym=gym, by=request.actor, athlete=new)
    except Refusal as error:
        page = AthleteFormPage(_blamed(answers.form, error), problem=str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, f"{answers.values['name']} is in the squad.")
    return redirect("athlete", gym=gym, athlete=key)


def athlete_change(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """The record as a form; what was typed is never lost when somebody else was faster."""
    gym = request.gym.key
    old = squads.get_athlete(gym=gym, athlete=athlete)
    if request.method != "POST":
        return show_desk(
            request, AthleteFormPage(filled_for(old, request.gym.unit, seen(old)), old)
        )
    answers = read_form(ATHLETE_FORM, request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, AthleteFormPage(answers.form, old), status=422)
        new = athlete_from(answers.values, athlete, old)
        _check_heights(new, old)
        squads.change_athlete(
            gym=gym, by=request.actor, athlete=new, was_seen=answers.values["was_seen"] or None
        )
    except Refusal as error:
        page = AthleteFormPage(_blamed(answers.form, error), old, str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, f"{new.name} saved.")
    return redirect("athlete", gym=gym, athlete=athlete)


def _check_heights(new: Athlete, old: Athlete | None) -> None:
    """Heights far from what stature tells are kept at the tape only, which asks about them."""
    standing = BarHeights() if old is None else old.heights
    doubts = {
        name: f"{words} If it is right: leave it out here, and enter it under Tape."
        for name, words in height_doubts(new).items()
        if getattr(new.heights, name) != getattr(standing, name)
    }
    if doubts and not measure_faults(new):
        raise MeasuresRefusedError(doubts)


def _blamed(form: Form, error: Refusal) -> Form:
    return form.blamed(error.faults) if isinstance(error, MeasuresRefusedError) else form


def athlete_remove(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """Out of the squad, with a way back."""
    gym = request.gym.key
    name = squads.get_athlete(gym=gym, athlete=athlete).name
    squads.remove_athlete(gym=gym, by=request.actor, athlete=athlete)
    say_undoable(
        request, f"{name} has left the squad. Log and maxes are kept.", f"athlete/{athlete}"
    )
    return redirect("squad", gym=gym)


def restriction_add(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """Take lifts off for a while."""
    gym = request.gym.key
    answers = read_form(RESTRICTION_FORM, request.POST)
    if not answers.is_sound:
        found = squads.get_athlete(gym=gym, athlete=athlete)
        return show_desk(request, _athlete_page(request, found, answers.form), status=422)
    restriction = Restriction(since=clock.today(gym), **answers.values)
    squads.add_restriction(gym=gym, by=request.actor, athlete=athlete, restriction=restriction)
    messages.success(request, "Taken off. It holds from the next plan on.")
    return redirect("athlete", gym=gym, athlete=athlete)


def restriction_clear(request: GymRequest, athlete: AthleteId, index: int) -> HttpResponse:
    """Let restricted lifts come back: who says so, and from when on."""
    gym = request.gym.key
    found = squads.get_athlete(gym=gym, athlete=athlete)
    if index >= len(found.restrictions):
        raise NotFoundError("This restriction is not on the list any more: look again.")
    answers = read_form(CLEAR_FORM, request.POST)
    if not answers.is_sound:
        messages.error(request, "Nothing is cleared: enter who clears it, and the day.")
        return redirect("athlete", gym=gym, athlete=athlete)
    try:
        squads.clear_restriction(
            gym=gym, by=request.actor, athlete=athlete, restriction=found.restrictions[index],
            **answers.values,
        )  # fmt: skip
    except Refusal as error:
        messages.error(request, f"Nothing is cleared. {error}")
    else:
        messages.success(request, "Cleared. It holds from the next plan on.")
    return redirect("athlete", gym=gym, athlete=athlete)


def _line(athlete: Athlete, day: date) -> SquadLine:
    in_force = [rule for rule in athlete.restrictions if rule.holds_on(day)]
    off = ", ".join(_tag_words(rule) for rule in in_force)
    return SquadLine(athlete, athlete.is_minor_on(day), off, _weak_words(athlete))


def _athlete_page(request: GymRequest, athlete: Athlete, form: Form) -> AthletePage:
    day = clock.today(request.gym.key)
    lines = tuple(
        RestrictionLine(index, rule, _tag_words(rule), rule.asks_on(day), _back_words(rule))
        for index, rule in enumerate(athlete.restrictions)
    )
    return AthletePage(
        athlete=athlete,
        unit=request.gym.unit,
        is_minor=athlete.is_minor_on(day),
        weak_words=_weak_words(athlete),
        restrictions=lines,
        restriction_form=form,
        today=day,
        beliefs=bars_of(request.gym.key, athlete.id),
        proposals=proposals_of(request.gym.key, athlete.id),
    )


def _back_words(rule: Restriction) -> str:
    if rule.cleared_on is None:
        return ""
    off = (rule.cleared_on - rule.since).days
    ramp = "; a ramp of four weeks follows" if off >= LAY_OFF_DAYS else ""
    return f"cleared by {rule.cleared_by} from {rule.cleared_on:%-d %B %Y} on{ramp}"


def _tag_words(rule: Restriction) -> str:
    return dict(RESTRICTION_TAGS).get(rule.tag, rule.tag.replace("_", " "))


def _weak_words(athlete: Athlete) -> str:
    return ", ".join(point.shown for point in athlete.weak_points)

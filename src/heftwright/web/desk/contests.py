"""The contest calendar: contests, their events, who is entered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.contest import Contest, ContestId, Entry, Travel
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.usecases import clock
from heftwright.usecases import contests as calendar
from heftwright.usecases import squad as squads
from heftwright.usecases.changes import seen
from heftwright.usecases.travels import find_travel
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk import contest_forms as forms
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Form


@dataclass(frozen=True, slots=True)
class ContestLine:
    """One contest in the calendar; ``days`` is negative once it is over."""

    contest: Contest
    days: int


@dataclass(frozen=True, slots=True)
class ContestsPage:
    """The calendar."""

    template: ClassVar[str] = "desk/contests.html"
    area: ClassVar[str] = "contests"

    ahead: tuple[ContestLine, ...]
    over: tuple[ContestLine, ...]


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One athlete and whether they are entered."""

    athlete: Athlete
    entry: Entry | None


@dataclass(frozen=True, slots=True)
class ContestPage:
    """One contest."""

    template: ClassVar[str] = "desk/contest.html"
    area: ClassVar[str] = "contests"

    contest: Contest
    days: int
    unit: MassUnit
    entries: tuple[EntryLine, ...]
    event_form: Form
    problem: str = ""
    travel: Travel | None = None


@dataclass(frozen=True, slots=True)
class ContestFormPage:
    """A contest's head as a form; ``contest`` is None for a new one."""

    template: ClassVar[str] = "desk/contest_form.html"
    area: ClassVar[str] = "contests"

    form: Form
    contest: Contest | None = None
    problem: str = ""


def contests(request: GymRequest) -> HttpResponse:
    """The calendar."""
    today = clock.today(request.gym.key)
    lines = [
        ContestLine(item, (item.on - today).days)
        for item in calendar.get_contests(gym=request.gym.key)
    ]
    ahead = tuple(line for line in lines if line.days >= 0)
    over = tuple(line for line in reversed(lines) if line.days < 0)
    return show_desk(request, ContestsPage(ahead, over))


def contest(request: GymRequest, contest: ContestId) -> HttpResponse:
    """One contest."""
    found = calendar.get_contest(gym=request.gym.key, contest=contest)
    return show_desk(request, _page(request, found, forms.EVENT_FORM))


def contest_new(request: GymRequest) -> HttpResponse:
    """A new contest with its first event."""
    if request.method != "POST":
        return show_desk(request, ContestFormPage(forms.blank(request.gym.unit)))
    answers = read_form(forms.NEW_FORM, request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, ContestFormPage(answers.form), status=422)
        key = calendar.add_contest(
            gym=request.gym.key, by=request.actor, contest=forms.contest_from(answers.values)
        )
    except Refusal as error:
        page = ContestFormPage(answers.form, problem=str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, "It is in the calendar. Add its other events.")
    return redirect("contest", gym=request.gym.key, contest=key)


def contest_change(request: GymRequest, contest: ContestId) -> HttpResponse:
    """A contest's head."""
    gym = request.gym.key
    old = calendar.get_contest(gym=gym, contest=contest)
    if request.method != "POST":
        return show_desk(request, ContestFormPage(forms.filled_for(old, seen(old)), old))
    answers = read_form(forms.CHANGE_FORM, request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, ContestFormPage(answers.form, old), status=422)
        calendar.change_contest(
            gym=gym, by=request.actor, contest=forms.changed_contest(old, answers.values),
            was_seen=answers.values["was_seen"] or None,
        )  # fmt: skip
    except Refusal as error:
        page = ContestFormPage(answers.form, old, str(error))
        return show_desk(request, page, status=status_of(error))
    say_undoable(request, f"{old.name} is saved.", f"contest/{contest}")
    return redirect("contest", gym=gym, contest=contest)


def contest_remove(request: GymRequest, contest: ContestId) -> HttpResponse:
    """Out of the calendar, with a way back."""
    gym = request.gym.key
    name = calendar.get_contest(gym=gym, contest=contest).name
    calendar.remove_contest(gym=gym, by=request.actor, contest=contest)
    say_undoable(request, f"{name} is out of the calendar.", f"contest/{contest}")
    return redirect("contests", gym=gym)


def event_add(request: GymRequest, contest: ContestId) -> HttpResponse:
    """One more event."""
    old = calendar.get_contest(gym=request.gym.key, contest=contest)
    answers = read_form(forms.EVENT_FORM, request.POST)
    try:
        if not answers.is_sound:
            return show_desk(request, _page(request, old, answers.form), status=422)
        _save(request, replace(old, events=(*old.events, forms.event_from(answers.values))))
    except Refusal as error:
        page = _page(request, old, answers.form, str(error))
        return show_desk(request, page, status=status_of(error))
    return redirect("contest", gym=request.gym.key, contest=contest)


def event_remove(request: GymRequest, contest: ContestId, index: int) -> HttpResponse:
    """An event less."""
    old = calendar.get_contest(gym=request.gym.key, contest=contest)
    if index >= len(old.events):
        raise NotFoundError("This event was taken out already.")
    event = old.events[index]
    _save(request, replace(old, events=tuple(e for e in old.events if e != event)))
    say_undoable(request, f"{event.name} is taken out.", f"contest/{contest}")
    return redirect("contest", gym=request.gym.key, contest=contest)


def entry_set(request: GymRequest, contest: ContestId) -> HttpResponse:
    """Enter somebody, in a class, or take the entry back."""
    old = calendar.get_contest(gym=request.gym.key, contest=contest)
    answers = read_form(forms.ENTRY_FORM, request.POST)
    if not answers.is_sound:
        raise Refusal("Say who enters.")
    who = AthleteId(answers.values["athlete"])
    others = tuple(entry for entry in old.entries if entry.athlete != who)
    before = next((entry for entry in old.entries if entry.athlete == who), Entry(who))
    mine = replace(before, contest_class=answers.values["contest_class"] or "open")
    entries = (*others, mine) if answers.values["enters"] else others
    _save(request, replace(old, entries=entries))
    return redirect("contest", gym=request.gym.key, contest=contest)


def _save(request: GymRequest, contest: Contest) -> None:
    calendar.change_contest(gym=request.gym.key, by=request.actor, contest=contest)


def _page(request: GymRequest, contest: Contest, form: Form, problem: str = "") -> ContestPage:
    gym = request.gym.key
    by_athlete = {entry.athlete: entry for entry in contest.entries}
    lines = tuple(
        EntryLine(athlete, by_athlete.get(athlete.id)) for athlete in squads.get_squad(gym=gym)
    )
    days = (contest.on - clock.today(gym)).days
    travel = find_travel(gym=gym, contest=contest.id)
    return ContestPage(contest, days, request.gym.unit, lines, form, problem, travel)

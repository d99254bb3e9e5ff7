"""The calendar feed, and links to it."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import reverse

from heftwright.domain.squad import AthleteId
from heftwright.usecases import calendar_feed, squad
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.settings import SecretPage
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.codes import qr_code


def feed(request: GymRequest) -> HttpResponse:
    """Classes and contests as iCalendar text."""
    text = calendar_feed.get_feed(gym=request.gym.key, athlete=request.actor.athlete)
    answer = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    answer.headers["Cache-Control"] = "private, max-age=900"
    answer.headers["Content-Disposition"] = 'inline; filename="classes.ics"'
    return answer


def feed_link(request: GymRequest) -> HttpResponse:
    """A new link to all classes and contests."""
    secret = calendar_feed.make_feed_link(gym=request.gym.key, by=request.actor)
    return _secret(request, "A calendar of all classes and contests", secret)


def athlete_feed_link(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """A new link to one athlete's classes and contests."""
    gym = request.gym.key
    name = squad.get_athlete(gym=gym, athlete=athlete).name
    secret = calendar_feed.make_feed_link(gym=gym, by=request.actor, athlete=athlete)
    return _secret(request, f"{name}'s calendar", secret)


def _secret(request: GymRequest, title: str, secret: str) -> HttpResponse:
    url = request.build_absolute_uri(reverse("feed", args=[secret]))
    words = "Subscribe to it in any calendar program. Whoever has it can read it: revoke it in "
    words += "Settings when it is lost."
    back = reverse("season", args=[request.gym.key])
    answer = show_desk(request, SecretPage(title, words, url, qr_code(url), back))
    answer.headers["Cache-Control"] = "no-store"
    return answer

"""A desk page with one form: what was typed is saved, or stands there again with what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol

from django.http import HttpResponse

from heftwright.domain.refusal import Refusal
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import DeskPage, show_desk
from heftwright.web.render.forms import Form


class PageOf(Protocol):
    """Makes the page of a form, with a problem over it if there is one."""

    def __call__(self, form: Form, problem: str = "") -> DeskPage:
        """The page."""


def saved_or_shown(
    request: GymRequest,
    form: Form,
    save: Callable[[Mapping[str, Any]], HttpResponse],
    page: PageOf,
) -> HttpResponse:
    """Save what was typed, or show the page again: nothing typed is lost.

    Parameters
    ----------
    form : Form
        What is read from the request.
    save : callable
        Saves the values of a form of which every answer could be read, and answers; what it
        refuses stands over the form.
    page : PageOf
        The page to show again.
    """
    answers = read_form(form, request.POST)
    if not answers.is_sound:
        return show_desk(request, page(answers.form), status=422)
    try:
        return save(answers.values)
    except Refusal as error:
        return show_desk(request, page(answers.form, str(error)), status=status_of(error))

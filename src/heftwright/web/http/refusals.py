"""Refusals become answers: the sentence, the right status, never a trace."""

from __future__ import annotations

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.usecases.accounts import LinkError, SlowDownError
from heftwright.usecases.changes import ChangedMeanwhileError
from heftwright.usecases.permissions import ForbiddenError

_STATUS: tuple[tuple[type[Exception], int], ...] = (
    (NotFoundError, 404),
    (LinkError, 404),
    (ForbiddenError, 403),
    (ChangedMeanwhileError, 412),
    (SlowDownError, 429),
    (Refusal, 422),
)
OUR_FAULT = (
    "Something went wrong on our side, and nothing of this was saved. Load the page again; if it "
    "comes back, tell whoever runs this server: its log says where."
)
NOT_HERE = "There is nothing here, or it is not yours to see."


class RefusalMiddleware:
    """Any view may let a refusal through; it is shown as a page, a fragment or JSON."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Answer a refusal; anything else goes on to the server's own error page."""
        if isinstance(error, Http404):
            return refused(request, NOT_HERE, 404)
        return answer_to(request, error) if isinstance(error, Refusal) else None


def answer_to(request: HttpRequest, error: Refusal) -> HttpResponse:
    """The answer to a refusal; "not yours" and "not there" sound the same."""
    status = status_of(error)
    return refused(request, NOT_HERE if status == 404 else str(error), status)


def status_of(error: Refusal) -> int:
    """The HTTP status of a refusal."""
    return next(status for kind, status in _STATUS if isinstance(error, kind))


def refused(request: HttpRequest, why: str, status: int) -> HttpResponse:
    """The answer in the form that was asked for."""
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"why": why}, status=status)
    template = "parts/refusal.html" if request.headers.get("HX-Request") else "door/refused.html"
    return render(request, template, {"why": why, "status": status}, status=status)


def not_here(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The server's 404, word for word the one for "not yours"."""
    del exception
    return refused(request, NOT_HERE, 404)


def our_fault(request: HttpRequest) -> HttpResponse:
    """The server's 500. Drawn without the request, whose own reading may be what failed."""
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"why": OUR_FAULT}, status=500)
    page = render_to_string("door/refused.html", {"why": OUR_FAULT, "status": 500})
    return HttpResponse(page, status=500)

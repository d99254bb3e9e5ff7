"""The contract between a view and its template: one frozen value named ``page``."""

from __future__ import annotations

from typing import ClassVar, Protocol

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


class Page(Protocol):
    """A frozen dataclass that names the template it is for; the template sees only ``page``."""

    template: ClassVar[str]


def show(request: HttpRequest, page: Page, *, status: int = 200) -> HttpResponse:
    """Render a page that needs no chrome: the board, the card, a fragment."""
    return render(request, page.template, {"page": page}, status=status)

"""Every address of the server: the pages' own list."""

from __future__ import annotations

from importlib.util import find_spec

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = []
if find_spec("heftwright.web.urls") is not None:
    urlpatterns.append(path("", include("heftwright.web.urls")))
    handler404 = "heftwright.web.http.refusals.not_here"
    handler500 = "heftwright.web.http.refusals.our_fault"

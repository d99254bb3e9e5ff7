"""A max-effort work-up and a circuit, looked at before the class."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from django.http import HttpResponse

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Region, load_catalogue
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.usecases import ramp_view, rep_work
from heftwright.usecases import squad as squads
from heftwright.usecases.actor import GymKey
from heftwright.usecases.ramp_view import RampView
from heftwright.usecases.rep_work import CircuitOrder, CircuitView
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

_LIFTS = tuple(
    (lift.key, lift.name) for lift in load_catalogue().values() if lift.max_effort_schemes
) if hasattr(next(iter(load_catalogue().values())), "max_effort_schemes") else tuple(
    (lift.key, lift.name) for lift in load_catalogue().values()
)

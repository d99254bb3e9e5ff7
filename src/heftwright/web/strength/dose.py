"""The coach's settings about doses, loads and strain, each with what it means."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.dose.health_guards import PainRules
from heftwright.domain.dose.zones import LABEL, ZoneTable
from heftwright.domain.prescription.settings import CoachSettings
from heftwright.domain.strain.week import SdConvention, Seed
from heftwright.usecases import dose_settings
from heftwright.usecases.permissions import Right, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.saving import saved_or_shown
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

SUBJECT = "settings/gym"
_ZONES = tuple(
    (key, f"Print {key}: {'rows with gaps' if table.is_closed else 'rows that touch'}")
    for key, table in dose_settings.get_zone_tables().items()
)
_SD = (
    (SdConvention.POPULATION.value, "of these seven days (divide by 7)"),
    (SdConvention.SAMPLE.value, "of a sample (divide by 6)"),
)
_SEEDS = (
    (Seed.FIRST_LOAD.value, "at the first load"),
    (Seed.ZERO.value, "at zero"),
)
_PCT = (
    ("tolerance", "A load may stray to share plates by, % of max", "0 to 5.", "Loads"),
    ("top_slack", "The share at the top may stray by, points", "0 to 5.", "Loads"),
    ("wide", "An estimate is a wide guess from ±, %", "2 to 50.", "Loads"),
    ("easy", "An easy week takes, % of the usual load", "50 to 100.", "Weeks and people"),
    ("minor", "A minor's top set, % of the squad's", "50 to 90.", "Weeks and people"),
)
DOSE_FORM = form_of(
    (
        Field("zones", "Zone table", Kind.CHOICE, LABEL, _ZONES, group="Dose"),
        *(
            Field(name, label, Kind.NUMBER, hint, (), is_required=True, group=group)
            for name, label, hint, group in _PCT
        ),
        Field(
            "beginner_weeks", "Beginner for so many weeks after joining", Kind.WHOLE,
            is_required=True, group="Weeks and people",
        ),
        Field("minor_bands", "Minors may use bands and chains, one pair at most", Kind.CHECK,
              group="Weeks and people"),
        Field("ask_from", "Pain: the coach is asked from", Kind.WHOLE, "0 none, 10 worst.",
              is_required=True, group="Pain"),
        Field("stop_from", "Pain: the lift stops from", Kind.WHOLE, is_required=True, group="Pain"),
        Field("sd", "Monotony takes the standard deviation", Kind.CHOICE, choices=_SD,
              group="Strain"),
        Field("seed", "Moving averages start", Kind.CHOICE, choices=_SEEDS, group="Strain"),
    )
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class DosePage:
    """The settings and both prints of the zone table."""

    template: ClassVar[str] = "strength/dose.html"
    area: ClassVar[str] = "strength"

    form: Form
    tables: tuple[ZoneTable, ...]
    label: str
    in_use: str
    is_own: bool
    may_change: bool
    problem: str = ""


def dose(request: GymRequest) -> HttpResponse:
    """The settings as a form."""
    gym = request.gym.key
    stands = dose_settings.get_settings(gym=gym)
    if request.method != "POST":
        return show_desk(request, _page(request, filled(stands)))

    def save(values: Mapping[str, Any]) -> HttpResponse:
        new = settings_from(values, stands)
        dose_settings.change_settings(gym=gym, by=request.actor, settings=new)
        say_undoable(request, "Saved. The next plan uses it.", SUBJECT)
        return redirect("dose", gym=gym)

    return saved_or_shown(request, DOSE_FORM, save, partial(_page, request))


def dose_reset(request: GymRequest) -> HttpResponse:
    """Back to the settings that ship, with a way back."""
    gym = request.gym.key
    dose_settings.reset_settings(gym=gym, by=request.actor)
    say_undoable(request, "The settings are as they ship again.", SUBJECT)
    return redirect("dose", gym=gym)


def filled(settings: CoachSettings) -> Form:
    """The form with the settings standing in it."""
    policy, pain = settings.policy, settings.pain
    return DOSE_FORM.filled(
        {
            "zones": settings.zone_table,
            "tolerance": _shown(policy.tolerance_ratio),
            "top_slack": _shown(policy.top_slack_ratio),
            "wide": _shown(policy.wide_log_sd),
            "easy": _shown(policy.easy_week_factor),
            "minor": _shown(policy.minor_top_ratio),
            "minor_bands": policy.minors_use_bands,
            "beginner_weeks": policy.beginner_weeks,
            "ask_from": pain.ask_from,
            "stop_from": pain.stop_from,
            "sd": settings.sd.value,
            "seed": settings.seed.value,
        }
    )


def settings_from(values: Mapping[str, Any], stands: CoachSettings) -> CoachSettings:
    """The settings that were typed."""
    policy = replace(
        stands.policy,
        tolerance_ratio=_ratio(values["tolerance"]),
        top_slack_ratio=_ratio(values["top_slack"]),
        wide_log_sd=_ratio(values["wide"]),
        easy_week_factor=_ratio(values["easy"]),
        minor_top_ratio=_ratio(values["minor"]),
        minors_use_bands=bool(values["minor_bands"]),
        beginner_weeks=values["beginner_weeks"],
    )
    return replace(
        stands,
        policy=policy,
        zone_table=values["zones"] or stands.zone_table,
        pain=PainRules(values["ask_from"], values["stop_from"]),
        sd=SdConvention(values["sd"] or stands.sd),
        seed=Seed(values["seed"] or stands.seed),
    )


def _shown(ratio: float) -> str:
    return f"{100 * ratio:.6g}"


def _ratio(pct: float) -> float:
    return round(pct / 100, 5)


def _page(request: GymRequest, form: Form, problem: str = "") -> DosePage:
    gym = request.gym.key
    stands = dose_settings.get_settings(gym=gym)
    return DosePage(
        form, tuple(dose_settings.get_zone_tables().values()), LABEL, stands.zone_table,
        stands != CoachSettings(), can(request.actor, gym, Right.EDIT_DOSE), problem,
    )  # fmt: skip

"""Addresses of the strength pages, inside one gym; rows in web/access/policies.py."""

from __future__ import annotations

from django.urls import path

from heftwright.web.strength import accept_all, dose, maxes, speed, waves, work_up

urlpatterns = [
    path("strength/", maxes.strength, name="strength"),
    path("strength/all", accept_all.strength_all, name="strength_all"),
    path("strength/all/<uuid:act>/back", accept_all.strength_all_back, name="strength_all_back"),
    path("strength/waves/", waves.waves, name="waves"),
    path("strength/waves/<str:key>/", waves.wave, name="wave"),
    path("strength/waves/<str:key>/reset", waves.wave_reset, name="wave_reset"),
    path("strength/settings", dose.dose, name="dose"),
    path("strength/settings/reset", dose.dose_reset, name="dose_reset"),
    path("strength/work-up", work_up.work_up, name="work_up"),
    path("strength/circuit", work_up.circuit, name="circuit"),
    path("strength/speed/", speed.bar_speed, name="bar_speed"),
    path("strength/speed/preview", speed.bar_speed_preview, name="bar_speed_preview"),
    path("strength/speed/accept", speed.bar_speed_accept, name="bar_speed_accept"),
    path("squad/<str:athlete>/speed", speed.athlete_speed, name="athlete_speed"),
    path("squad/<str:athlete>/speed/take", speed.speed_take, name="speed_take"),
    path("squad/<str:athlete>/strength", maxes.strength_athlete, name="strength_athlete"),
    path(
        "squad/<str:athlete>/strength/<int:proposal>",
        maxes.strength_decide,
        name="strength_decide",
    ),
    path(
        "squad/<str:athlete>/strength/<int:proposal>/back",
        maxes.strength_take_back,
        name="strength_take_back",
    ),
    path(
        "squad/<str:athlete>/evidence/<str:key>/withdraw",
        maxes.evidence_withdraw,
        name="evidence_withdraw",
    ),
]

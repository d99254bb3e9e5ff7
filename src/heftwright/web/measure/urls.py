"""Addresses of the measuring pages, inside one gym; rows in web/access/policies.py."""

from __future__ import annotations

from django.urls import path

from heftwright.web.measure import bands, chains, set_ups, tape

urlpatterns = [
    path("stock/bands/<str:key>/curve", bands.band_curve, name="band_curve"),
    path("stock/bands/<str:key>/calibrate", bands.band_calibrate, name="band_calibrate"),
    path("stock/bands/<str:key>/inspected", bands.band_inspected, name="band_inspected"),
    path("stock/chains/<str:key>/mass", chains.chain_mass, name="chain_mass"),
    path("stock/chains/<str:key>/mass/keep", chains.chain_mass_keep, name="chain_mass_keep"),
    path("squad/<str:athlete>/tape", tape.tape, name="tape"),
    path("squad/<str:athlete>/tape/keep", tape.tape_keep, name="tape_keep"),
    path("set-up/", set_ups.set_up, name="set_up"),
    path("set-up/class", set_ups.set_up_class, name="set_up_class"),
]

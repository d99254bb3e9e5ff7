"""Acts of coaching (waves, settings, effort, readiness, bar speed) for the trail's scenarios."""

from dataclasses import replace
from datetime import timedelta

from yard_cast import TERMINAL, YARD

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.prescription.settings import CoachSettings
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.reports import FIVE_ITEMS, Report
from heftwright.domain.strain.session import SessionEffort
from heftwright.imports.bar_speed_file import SpeedColumn, SpeedMapping
from heftwright.imports.hardening import UploadedFile
from heftwright.usecases import (
    bar_speed,
    clock,
    dose_settings,
    max_decisions,
    readiness,
    strain,
    trail,
)

ADA = AthleteId("ada")
IN_YARD = {"gym": YARD, "by": TERMINAL}
BENCH = LiftKey("bench")


def effort():
    day = clock.today(YARD)
    return SessionEffort(ADA, day, f"{day}/mon-1830", 7.0, 75)


def report():
    return Report(ADA, clock.today(YARD), FIVE_ITEMS, (4, 4, 3, 5, 4))


def speed_file():
    """Five loads on each of three days, on one straight line of speed against load."""
    rows = ["athlete,lift,date,set,load,mean speed"]
    for back in (2, 5, 9):
        day = clock.today(YARD) - timedelta(days=back)
        for number, load in enumerate((40, 50, 60, 70, 80), start=1):
            rows.append(f"Ada,Bench press,{day},{number},{load},{1.35 - 0.0125 * load:.3f}")
    return UploadedFile("speeds.csv", ("\n".join(rows) + "\n").encode())


def accept_speeds():
    mapping = SpeedMapping({column: place for place, column in enumerate(SpeedColumn)})
    file = speed_file()
    preview = bar_speed.preview_bar_speed(**IN_YARD, file=file, mapping=mapping)
    assert len(preview.sets) == 15
    mark = bar_speed.speed_mark(preview)
    return bar_speed.accept_bar_speed(**IN_YARD, file=file, mapping=mapping, was_seen=mark)


def changed_wave():
    wave = dose_settings.get_waves(gym=YARD)["banded"]
    lighter = tuple(replace(step, most_reps=step.most_reps - 2) for step in wave.steps)
    dose_settings.change_wave(**IN_YARD, wave=replace(wave, steps=lighter))


def changed_settings():
    dose_settings.change_settings(**IN_YARD, settings=other_settings())


def other_settings():
    policy = CoachSettings().policy
    return replace(CoachSettings(), policy=replace(policy, tolerance_ratio=0.02))


def coaching_scenarios(accepted_proposal, proposed):
    """Verb -> (something that must be there first, the act itself)."""

    def waiting_mark():
        proposed()
        return max_decisions.get_waiting(gym=YARD).mark

    def all_accepted():
        keys = max_decisions.accept_all_proposals(**IN_YARD, was_seen=waiting_mark())
        return trail.get_trail(gym=YARD, subject=f"proposal/{keys[0]}")[0].act

    return {
        "accept_bar_speed": (None, lambda _: accept_speeds()),
        "take_speed_max": (
            accept_speeds,
            lambda _: bar_speed.take_speed_max(**IN_YARD, athlete=ADA, lift=BENCH),
        ),
        "change_wave": (None, lambda _: changed_wave()),
        "reset_wave": (changed_wave, lambda _: dose_settings.reset_wave(**IN_YARD, key="banded")),
        "change_settings": (None, lambda _: changed_settings()),
        "reset_settings": (changed_settings, lambda _: dose_settings.reset_settings(**IN_YARD)),
        "rate_sessions": (None, lambda _: strain.rate_sessions(**IN_YARD, efforts=[effort()])),
        "report_readiness": (
            None,
            lambda _: readiness.report_readiness(**IN_YARD, report=report()),
        ),
        "read_health": (
            lambda: readiness.report_readiness(**IN_YARD, report=report()),
            lambda _: readiness.read_health(**IN_YARD, athlete=ADA),
        ),
        "read_readiness": (
            lambda: readiness.report_readiness(**IN_YARD, report=report()),
            lambda _: readiness.read_readiness(**IN_YARD, athlete=ADA),
        ),
        "accept_all_proposals": (
            waiting_mark,
            lambda mark: max_decisions.accept_all_proposals(**IN_YARD, was_seen=mark),
        ),
        "take_back_decisions": (
            all_accepted,
            lambda act: max_decisions.take_back_decisions(**IN_YARD, act=act),
        ),
        "take_back_decision": (
            accepted_proposal,
            lambda key: max_decisions.take_back_decision(**IN_YARD, proposal=key),
        ),
    }

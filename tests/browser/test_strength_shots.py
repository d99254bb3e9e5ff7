"""The strength and strain pages in a real browser: pictured, and used by a coach after class."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from floor_cast import CLASS_KEY, ROW, TERMINAL, at
from measure_cast import fit_out
from playwright.sync_api import expect
from test_shots import SHOTS, fits

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.session import SessionEffort
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.usecases import log, maxes, strain

A7 = AthleteId("a7")
LIFT = LiftKey("back_squat")
PAGES = {
    "maxes": "strength/",
    "athlete": "squad/a7/strength",
    "waves": "strength/waves/",
    "wave": "strength/waves/upper_banded/",
    "settings": "strength/settings",
    "work-up": "strength/work-up?athlete=a7&lift=back_squat&scheme=single",
    "circuit": "strength/circuit",
    "speed": "strength/speed/",
    "strain": "strain/",
    "strain-athlete": "squad/a7/strain",
    "rating": f"strain/class/{{on}}/{CLASS_KEY}/",
    "health": "squad/a7/health",
}
SPEEDS = b"""athlete,lift,date,set,load,mean speed
7,bench,2026-11-20,1,40,0.7
7,bench,2026-11-20,2,70,0.4
"""


@pytest.fixture
def after_class(house):
    """A test, an effort two weeks later that speaks for more, ratings of some weeks."""
    fit_out(house.on)
    for back, kg in ((60, "95"), (21, "100")):
        day = house.on - timedelta(days=back)
        test = Evidence(A7, LIFT, EvidenceKind.TEST, Mass.kg(kg), day)
        maxes.record_max(gym=ROW, by=TERMINAL, evidence=test, is_confirmed=True)
    single = LoggedSet(
        uuid4(), A7, LIFT, house.dated_key, 1, EnteredMass(107_500, MassUnit.KG), 1,
        SetOutcome.DONE, 0.0, 1, at(house.on, 0, 1), is_max_attempt=True,
    )  # fmt: skip
    log.log_sets(gym=ROW, by=TERMINAL, sets=[single])
    maxes.propose_from_log(gym=ROW, by=TERMINAL)
    for back in range(1, 35, 3):
        day = house.on - timedelta(days=back)
        effort = SessionEffort(A7, day, f"{day}/{CLASS_KEY}", 5 + back % 4, 75)
        strain.rate_sessions(gym=ROW, by=TERMINAL, efforts=[effort])
    return house


@pytest.mark.parametrize(
    ("width", "scheme"), [(390, "light"), (390, "dark"), (1280, "light"), (1280, "dark")]
)
def test_every_strength_page_fits_its_window(coach, after_class, width, scheme):
    SHOTS.mkdir(exist_ok=True)
    page = coach(width, 900, scheme)
    too_wide = []
    for name, address in PAGES.items():
        page.goto(f"/gym/{ROW}/{address.format(on=after_class.on)}")
        page.evaluate("document.fonts.ready")
        page.screenshot(path=SHOTS / f"strength-{name}-{width}-{scheme}.png", full_page=True)
        if not fits(page):
            too_wide.append(name)
    assert too_wide == []


@pytest.mark.parametrize("width", [390, 1280])
def test_a_coach_after_class_accepts_takes_back_adjusts_and_leaves_aside(coach, after_class, width):
    page = coach(width, 900)
    page.goto(f"/gym/{ROW}/strength/")
    expect(page.locator("main")).to_contain_text("107.5")
    page.get_by_role("button", name="Accept").click()
    expect(page.locator("#notices")).to_contain_text("Accepted. The next plan uses it.")
    expect(page.locator("main")).to_contain_text("Nothing.")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#notices")).to_contain_text("the proposal waits again")
    page.get_by_text("What would change if you accept it").click()
    expect(page.locator(".waiting table")).to_contain_text("Front squat")
    assert fits(page)
    page.screenshot(path=SHOTS / f"strength-deciding-{width}.png", full_page=True)
    page.get_by_text("Adjust the load").click()
    page.get_by_label("Take this load instead", exact=True).fill("105")
    page.get_by_role("button", name="Take this load").click()
    expect(page.locator("#notices")).to_contain_text("Taken with your load")
    page.get_by_role("button", name="Undo").click()
    page.get_by_role("button", name="Leave aside").click()
    expect(page.locator("#notices")).to_contain_text("Left aside")


def test_a_wave_is_worked_out_saved_and_taken_back(coach, after_class):
    page = coach()
    page.goto(f"/gym/{ROW}/strength/waves/upper_banded/")
    page.locator("[name=bar_1]").fill("40")
    expect(page.locator("[data-unsaved-state]")).not_to_have_text("saved")
    page.get_by_role("button", name="Work it out first").click()
    expect(page.locator("main")).to_contain_text("Worked out below, not saved yet")
    expect(page.locator(".wave-weeks")).to_contain_text("65")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#notices")).to_contain_text("is saved")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#notices")).to_contain_text("Taken back")
    assert page.locator("[name=bar_1]").input_value() == "45"


@pytest.mark.parametrize("width", [390, 1280])
def test_a_devices_file_is_mapped_and_kept_only_after_the_look(coach, after_class, width):
    page = coach(width, 900)
    page.goto(f"/gym/{ROW}/strength/speed/")
    page.locator("#f-file").set_input_files(
        {"name": "speeds.csv", "mimeType": "text/csv", "buffer": SPEEDS}
    )
    page.get_by_role("button", name="Look at it").click()
    expect(page.locator("#preview")).to_contain_text("2 sets would be kept")
    page.get_by_label("Speeds are in").select_option("mm/s")
    page.get_by_role("button", name="Read it so").click()
    expect(page.locator("#preview")).to_contain_text("2 rows left out")
    page.get_by_label("Speeds are in").select_option("m/s")
    page.get_by_role("button", name="Read it so").click()
    expect(page.locator("#preview")).to_contain_text("2 sets would be kept")
    page.screenshot(path=SHOTS / f"strength-speed-look-{width}.png", full_page=True)
    page.get_by_role("button", name="Keep 2 sets").click()
    expect(page.locator("#notices")).to_contain_text("2 new sets kept")
    page.goto(f"/gym/{ROW}/squad/a7/speed")
    expect(page.locator("main")).to_contain_text("points at")
    page.screenshot(path=SHOTS / f"strength-speed-athlete-{width}.png", full_page=True)


def test_a_class_is_rated_by_keyboard_alone(coach, after_class):
    page = coach()
    page.goto(f"/gym/{ROW}/strain/class/{after_class.on}/{CLASS_KEY}/")
    page.locator("[name=rpe_a7]").focus()
    page.keyboard.type("7")
    page.keyboard.press("Enter")
    expect(page.locator("#notices")).to_contain_text("1 session rated")

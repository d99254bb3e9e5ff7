"""A whole evening of the demo gym, minute by minute, as board, phones and paper show it.

Late arrival, missed set, broken band and a move by hand happen on the way; at some minutes every
surface is looked at: pictures are kept in ``tests/browser/shots`` (``played-…``), and what stands
on them must agree with the plan.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from bench.play_class import Player

from heftwright.demo.build import GYM, make_demo
from heftwright.usecases import accounts, classes, clock, season
from heftwright.usecases.actor import Actor
from heftwright.usecases.live_class import DatedClass, get_turns
from heftwright.usecases.permissions import Role

MONDAY = date(2026, 11, 30)
NOON = datetime(2026, 11, 30, 12, tzinfo=UTC)
BEGINS = datetime(2026, 11, 30, 18, 30)  # noqa: DTZ001 - on the gym's own wall clock
BY = Actor.at_terminal("Hilde")
OF = DatedClass(GYM, "mon-1830", MONDAY)
SHOTS = Path(__file__).parent / "shots"
LOOKED_AT = (-5, 10, 12, 15, 18, 22, 26, 30)
PRINTED_AT = (-5, 22)
BEGUN_MIN = 10
PASSWORD = "chalk on the platform"


@pytest.fixture
def one_clock(monkeypatch):
    """Server and test live at one moment, which the player moves on."""
    shared = [NOON]
    monkeypatch.setattr(clock, "now", lambda: clock._HELD.get() or shared[0])
    return shared


@pytest.fixture
def demo(transactional_db, one_clock, tmp_path):
    make_demo(tmp_path, lambda _: None)
    season.plan_season(gym=GYM, by=BY, limit_s=4.0)
    classes.plan_class(gym=GYM, class_key="mon-1830", on=MONDAY, by=BY)
    secret = accounts.make_first_sign_in_link(gym=GYM, by=BY, role=Role.OWNER)
    accounts.redeem_first_sign_in(secret=secret, name="Olga", password=PASSWORD)


class Onlooker:
    """Board on the wall, the coach's phone, an athlete's phone."""

    def __init__(self, window, one_clock):
        self.clock = one_clock
        self.board = window(1920, 1080)
        self.phone = window(390, 844)
        self.floor_url = f"/gym/{GYM}/class/{MONDAY}/mon-1830/"
        self.card = window(390, 844)
        self.desk = window(1280, 900, "dark")
        for page in (self.phone, self.desk):
            page.goto("/sign-in")
            page.get_by_label("Name or e-mail").fill("Olga")
            page.get_by_label("Password").fill(PASSWORD)
            page.get_by_role("button", name="Sign in").click()
            page.wait_for_url("**/today/")
        self.board_url = f"/board/{accounts.make_board_link(gym=GYM, by=BY)}/"
        mine = OF.planned().sheet.platforms[0].lifters[0].athlete
        self.card_url = f"/card/{accounts.make_card_link(gym=GYM, by=BY, athlete=mine)}/"
        self.faults = []

    def look(self, minute):
        if minute not in LOOKED_AT:
            return
        self.clock[0] = clock.now()
        self._see(self.board, self.board_url, f"board-{minute:02}", whole=False)
        self._see(self.phone, self.floor_url + "floor/", f"floor-{minute:02}")
        self._see(self.desk, self.floor_url + "floor/", f"desk-{minute:02}")
        self._see(self.card, self.card_url, f"card-{minute:02}")
        self._board_agrees(minute)
        self._phone_agrees(minute)
        if minute in PRINTED_AT:
            self._print(minute)

    def _see(self, page, url, name, *, whole=True):
        page.clock.set_fixed_time(self.clock[0])
        page.goto(url)
        page.evaluate("document.fonts.ready")
        page.wait_for_timeout(300)
        page.screenshot(path=SHOTS / f"played-{name}.png", full_page=whole, caret="initial")

    def _print(self, minute):
        answer = self.phone.request.get(self.floor_url + "sheet.pdf")
        assert answer.ok
        assert answer.body().startswith(b"%PDF")
        (SHOTS / f"played-paper-{minute:02}.pdf").write_bytes(answer.body())

    def _phone_agrees(self, minute):
        """Whoever lifts is marked on the coach's phone, with the load of this set."""
        for key, turn in get_turns(OF, OF.planned().sheet).items():
            here = self.phone.locator(f'[data-platform="{key}"] [aria-current]')
            if turn.now is None or minute < BEGUN_MIN:
                continue
            words = here.text_content()
            shown = turn.now.load.shown(turn.now.unit).partition(" ")[0]
            if turn.now.name not in words or shown not in words:
                self.faults.append(f"{minute} min: the phone shows {words!r} on platform {key}")

    def _board_agrees(self, minute):
        words = self.board.locator("#board-all").text_content()
        for key, turn in get_turns(OF, OF.planned().sheet).items():
            shown = turn.now.load.shown(turn.now.unit) if turn.now else "done"
            if minute >= BEGUN_MIN and shown.replace(" ", "") not in "".join(words.split()):
                self.faults.append(f"{minute} min: platform {key} does not show {shown}")


def test_the_evening_is_looked_at_on_board_phone_and_card(demo, window, one_clock):
    SHOTS.mkdir(exist_ok=True)
    onlooker = Onlooker(window, one_clock)
    begins = BEGINS.replace(tzinfo=clock.zone(GYM))
    played = Player(OF, lambda _: None).play(begins, look=onlooker.look)
    assert played.faults == []
    assert onlooker.faults == []

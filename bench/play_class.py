"""A whole class of the demo gym, minute by minute: ``python -m bench.play_class [FOLDER [CLASS]]``.

Somebody comes late, somebody misses, a band breaks, the coach moves somebody; everybody logs. After
every minute what the board would show is held against what must be true of any class. With a
folder the gym stays there, to be looked at: ``HEFTWRIGHT_DATA=FOLDER heftwright serve``.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING
from uuid import UUID

if TYPE_CHECKING:
    from heftwright.domain.sheet import ClassSheet
    from heftwright.domain.sheet.live import Turn
    from heftwright.domain.squad import AthleteId
    from heftwright.usecases.live_class import DatedClass

STEP_S = 10
LATE_MIN, MISS_MIN, BROKEN_MIN, MOVE_MIN = 14.0, 18.0, 22.0, 26.0
Tell = Callable[[str], None]
Look = Callable[[int], None]


@dataclass
class Played:
    """What happened.

    Attributes
    ----------
    sets : Counter
        Athlete -> sets logged.
    missed, moves_by_hand : int
        Sets missed; people moved by the coach.
    faults : list of str
        What must never be: empty after a good class.
    titles : list of str
        The changes that were taken.
    """

    sets: Counter[AthleteId] = field(default_factory=Counter)
    missed: int = 0
    faults: list[str] = field(default_factory=list)
    titles: list[str] = field(default_factory=list)
    minutes: int = 0


class Player:
    """Plays one dated class."""

    def __init__(self, of: DatedClass, tell: Tell, seed: int = 5) -> None:
        from heftwright.usecases.actor import Actor

        self.of, self.tell = of, tell
        self.rng = random.Random(seed)
        self.by = Actor.at_terminal("Hilde")
        self.played = Played()
        self.seen: dict[str, Turn] = {}
        self.late: AthleteId | None = None
        self.events: list[tuple[float, Callable[[], None]]] = []
        self.bars: dict[str, tuple[str, ...]] = {}

    def play(
        self, begins: datetime, *, with_events: bool = True, look: Look | None = None
    ) -> Played:
        """From ten minutes before the class to the last set; a quiet evening without events.

        Parameters
        ----------
        begins : datetime
            When the timetable says, aware.
        with_events : bool
            Whether anything unforeseen happens.
        look : callable or None
            Called every full minute with the minute, to look at what people see.
        """
        from heftwright.usecases import clock

        if with_events:
            self._someone_stays_away(begins)
            self.events = [
                (LATE_MIN, self._late), (MISS_MIN, self._miss), (BROKEN_MIN, self._broken),
                (MOVE_MIN, self._move),
            ]  # fmt: skip
        for second in self._seconds():
            with clock.held_at(begins + timedelta(seconds=second)):
                is_over = self._tick(second)
                if look is not None and second % 60 == 0:
                    look(second // 60)
                if is_over:
                    break
        return self.played

    def _seconds(self) -> Iterator[int]:
        yield from range(-600, 3 * 3600, STEP_S)

    def _tick(self, second: int) -> bool:
        """One moment; whether the class is over."""
        from heftwright.domain.sheet.live import Phase
        from heftwright.usecases.live_class import get_class_clock, get_turns, start_class

        if second >= 600 and get_class_clock(self.of) is None:
            start_class(self.of, by=self.by)
            self.tell("  10 min  the coach starts the class")
        sheet = self.of.planned().sheet
        turns = dict(get_turns(self.of, sheet))
        self._check(sheet, turns, second)
        self._log_what_ended(sheet, turns)
        self.seen = turns
        self._events(second)
        if second % 300 == 0:
            self._say(second, turns)
        self.played.minutes = second // 60
        return second > 600 and all(turn.phase is Phase.OVER for turn in turns.values())

    def _events(self, second: int) -> None:
        while self.events and second >= 60 * self.events[0][0]:
            self.events.pop(0)[1]()
            sheet = self.of.planned().sheet
            from heftwright.usecases.live_class import get_turns

            turns = dict(get_turns(self.of, sheet))
            self._check(sheet, turns, second)
            self.seen = turns

    def _check(self, sheet: ClassSheet, turns: dict[str, Turn], second: int) -> None:
        """What must be true at any moment."""
        from heftwright.domain.sheet.live import Phase

        faults = self.played.faults
        for key, turn in turns.items():
            before = self.seen.get(key)
            if before is not None and turn.set_number < before.set_number:
                faults.append(f"{second} s: platform {key} went back to set {turn.set_number}")
            if turn.now is not None and sheet.line_of(turn.now.athlete) is None:
                faults.append(f"{second} s: {turn.now.name} lifts without a line")
            self._check_bar(key, turn, second)
        lifting = [turn.now.athlete for turn in turns.values() if turn.phase is Phase.LIFTING]
        if len(set(lifting)) != len(lifting):
            faults.append(f"{second} s: somebody lifts on two platforms")
        named = [line.athlete for item in sheet.platforms for line in item.lifters]
        named += [who.athlete for who in sheet.unplaced]
        if sorted(named) != sorted(self.of.planned().present):
            faults.append(f"{second} s: not everybody present is on the sheet once")

    def _check_bar(self, key: str, turn: Turn, second: int) -> None:
        """Whoever does just what the board says has the right plates on the bar."""
        if turn.now is None or turn.now.sleeve is None:
            return
        before = self.seen.get(key)
        if before is not None and (before.now, before.phase) == (turn.now, turn.phase):
            return
        sleeve = turn.now.sleeve
        on_bar, off = list(self.bars.get(key, ())), [plate.key for plate in sleeve.off]
        is_again = (
            before is not None
            and before.now is not None
            and (before.now.sleeve is not None and before.now.sleeve.plates == sleeve.plates)
        )  # the same turn, seen first as the one to come
        while off and on_bar and on_bar[-1] == off[0] and not is_again:
            on_bar.pop()
            off.pop(0)
        wanted = [plate.key for plate in sleeve.plates]
        if not is_again and (off or [*on_bar, *(plate.key for plate in sleeve.on)] != wanted):
            self.played.faults.append(f"{second} s: platform {key} is told the wrong plates")
        self.bars[key] = tuple(wanted)

    def _log_what_ended(self, sheet: ClassSheet, turns: dict[str, Turn]) -> None:
        from heftwright.domain.sheet.live import Phase

        for key, was in self.seen.items():
            now = turns.get(key)
            if was.phase is Phase.LIFTING and now is not None and was.now is not None:
                ended = (now.set_number, now.now) != (was.set_number, was.now)
                if ended and sheet.line_of(was.now.athlete) is not None:
                    self._log(was, sheet, is_missed=False)

    def _log(self, turn: Turn, sheet: ClassSheet, *, is_missed: bool) -> None:
        from heftwright.domain.log import LoggedSet, SetOutcome
        from heftwright.domain.mass import EnteredMass
        from heftwright.usecases import clock
        from heftwright.usecases import log as logs

        line = turn.now
        assert line is not None
        jitter = timedelta(seconds=self.rng.gauss(0, 2))
        fact = LoggedSet(
            id=UUID(int=self.rng.getrandbits(128), version=4),
            athlete=line.athlete,
            lift=self.of.planned().work[0].lift,
            class_key=self.of.key,
            set_number=turn.set_number,
            load=EnteredMass.read(line.load.shown(line.unit).partition(" ")[0], line.unit),
            reps_done=0 if is_missed else line.scheme.reps,
            outcome=SetOutcome.MISSED if is_missed else SetOutcome.DONE,
            reps_in_reserve=None,
            plan_version=sheet.plan_version,
            logged_at=clock.now() + jitter,
        )
        logs.log_sets(gym=self.of.gym, by=self.by, sets=[fact])
        self.played.sets[line.athlete] += 1
        self.played.missed += is_missed

    def _someone_stays_away(self, begins: datetime) -> None:
        from heftwright.store.models import AttendanceState
        from heftwright.usecases import attendance, classes, clock

        sheet = self.of.planned().sheet
        self.late = sheet.platforms[1].lifters[0].athlete
        with clock.held_at(begins - timedelta(minutes=20)):
            attendance.mark_attendance(
                gym=self.of.gym, by=self.by, class_key=self.of.key,
                states={self.late: AttendanceState.AWAY},
            )  # fmt: skip
            classes.plan_class(
                gym=self.of.gym, class_key=self.of.class_key, on=self.of.on, by=self.by
            )

    def _late(self) -> None:
        from heftwright.store.models import AttendanceState
        from heftwright.usecases import attendance, floor_drafts

        assert self.late is not None
        attendance.mark_attendance(
            gym=self.of.gym, by=self.by, class_key=self.of.key,
            states={self.late: AttendanceState.LATE}, minutes_late=14,
        )  # fmt: skip
        self._take(floor_drafts.propose_people(self.of, by=self.by))

    def _miss(self) -> None:
        from heftwright.domain.sheet.live import Phase
        from heftwright.usecases import floor_drafts

        turn = next(turn for turn in self.seen.values() if turn.phase is Phase.LIFTING)
        assert turn.now is not None
        self._log(turn, self.of.planned().sheet, is_missed=True)
        self._take(floor_drafts.propose_after_miss(self.of, by=self.by, athlete=turn.now.athlete))

    def _broken(self) -> None:
        from heftwright.usecases import floor_drafts

        bands = floor_drafts.bands_in_use(self.of, self.of.planned())
        if bands:
            self._take(floor_drafts.propose_broken_band(self.of, by=self.by, band=bands[0][0]))

    def _move(self) -> None:
        from heftwright.domain.floor.by_hand import HandMoveError
        from heftwright.usecases import floor_drafts

        platforms = self.of.planned().sheet.platforms
        for here in platforms:
            for there in platforms:
                if here.key == there.key or len(here.lifters) < 3:
                    continue
                try:
                    draft = floor_drafts.propose_move(
                        self.of, by=self.by, athlete=here.lifters[-1].athlete, platform=there.key
                    )
                except HandMoveError:
                    continue
                self._take(draft)
                return

    def _take(self, draft: object) -> None:
        from heftwright.domain.sheet.planned import FloorDraft
        from heftwright.usecases import floor_drafts

        assert isinstance(draft, FloorDraft)
        floor_drafts.take_draft(self.of, by=self.by)
        self.played.titles.append(draft.title)
        self.tell(f"          {draft.title}. {' '.join(draft.changes)} {draft.cost_words}")

    def _say(self, second: int, turns: dict[str, Turn]) -> None:
        said = [
            f"{key}: {turn.now.number} {turn.now.name.split()[0]} {turn.set_number}/{turn.sets}"
            if turn.now
            else f"{key}: done"
            for key, turn in turns.items()
        ]
        self.tell(f"{second // 60:4d} min  " + "   ".join(said))


def main(folder: str, class_key: str, day: date, tell: Tell) -> Played:
    """Make the demo gym in a folder, plan its season and one class, and play it.

    A class that was played before is left alone: the one a week later is played.
    """
    os.environ["HEFTWRIGHT_DATA"] = folder
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "heftwright.config.settings")
    import django

    django.setup()
    from pathlib import Path

    from heftwright.demo.build import GYM, is_made, make_demo
    from heftwright.usecases import classes, clock, season
    from heftwright.usecases.actor import Actor
    from heftwright.usecases.live_class import DatedClass, get_class_clock
    from heftwright.usecases.start import open_house

    open_house()
    by = Actor.at_terminal("Hilde")
    with clock.held_at(noon(day)):
        if not is_made():
            make_demo(Path(folder) / "demo-spreadsheets", lambda _: None)
            season.plan_season(gym=GYM, by=by, limit_s=5.0)
        first = season.get_season(gym=GYM).work[0].monday
        while day < first or get_class_clock(DatedClass(GYM, class_key, day)) is not None:
            day += timedelta(weeks=1)
        sheet = classes.plan_class(gym=GYM, class_key=class_key, on=day, by=by, keep_close=False)
    begins = datetime.combine(day, sheet.starts_at, tzinfo=clock.zone(GYM))
    played = Player(DatedClass(GYM, class_key, day), tell).play(begins)
    tell(
        f"{sum(played.sets.values())} sets logged in {played.minutes} min, {played.missed} missed."
    )
    for fault in played.faults:
        tell(f"FAULT {fault}")
    return played


def noon(day: date) -> datetime:
    """The middle of a day, aware."""
    return datetime.combine(day, datetime.min.time(), tzinfo=UTC) + timedelta(hours=12)


def next_day(class_key: str) -> date:
    """The coming day of a class by the first letters of its key, today if it is one."""
    today = date.today()  # noqa: DTZ011 - the player's own calendar
    weekday = ("mon", "tue", "wed", "thu", "fri", "sat", "sun").index(class_key[:3])
    return today + timedelta(days=(weekday - today.weekday()) % 7)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as throwaway:
        chosen = sys.argv[1] if len(sys.argv) > 1 else throwaway
        key = sys.argv[2] if len(sys.argv) > 2 else "mon-1830"
        sys.exit(bool(main(chosen, key, next_day(key), print).faults))

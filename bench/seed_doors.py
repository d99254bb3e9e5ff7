"""Seeded errors sent through a real gym's doors: form, card, coach's adjustment, device's file.

Run by ``trust_doors`` in a process of its own, with the data folder in HEFTWRIGHT_DATA. Writes one
JSON object: class of error -> [seeded, stopped].
"""

from __future__ import annotations

import json
import math
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import numpy as np
from numpy.random import Generator

EACH = 40


def main() -> None:
    """Make the demo gym and seed every class of error into it."""
    from heftwright.usecases.start import open_house

    open_house()
    from heftwright.demo.build import make_demo

    make_demo(Path(os.environ["HEFTWRIGHT_DATA"]) / "sheets", lambda _: None)
    from django.db import transaction

    rng, gym, found = np.random.default_rng(2026), _Gym(), {}
    for name, seed in seeds().items():
        stopped = 0
        for _ in range(EACH):
            with transaction.atomic():
                stopped += seed(gym, rng)
                transaction.set_rollback(True)
        found[name] = [EACH, stopped]
    json.dump(found, sys.stdout)


def seeds() -> dict[str, Callable[[_Gym, Generator], bool]]:
    """Every class of error, by the door it comes through; the last ones are the control arm."""
    return {
        "form: single in the wrong unit": lambda gym, rng: gym.form(rng, _slip_unit),
        "form: single out by ten": lambda gym, rng: gym.form(rng, _slip_ten),
        "form: set of reps in the wrong unit": lambda gym, rng: gym.form(rng, _slip_unit, reps=5),
        "form: set of reps out by ten": lambda gym, rng: gym.form(rng, _slip_ten, reps=5),
        "form: a day to come": lambda gym, rng: gym.form(rng, _no_slip, days_ago=-30),
        "card: top set in the wrong unit": lambda gym, rng: gym.card(rng, _slip_unit),
        "card: top set out by ten": lambda gym, rng: gym.card(rng, _slip_ten),
        "coach: adjusted in the wrong unit": lambda gym, rng: gym.adjusted(rng, _slip_unit),
        "coach: adjusted out by ten": lambda gym, rng: gym.adjusted(rng, _slip_ten),
        "file: bar speed read in pounds for kilograms": lambda gym, rng: gym.file(rng, 2.2046),
        "file: bar speeds in the wrong unit": lambda gym, rng: gym.file(rng, 1.0, speed=1000.0),
        "strain: rating out by ten": lambda gym, rng: gym.rating(rng, 10.0),
        "clean: form": lambda gym, rng: gym.form(rng, _no_slip),
        "clean: card": lambda gym, rng: gym.card(rng, _no_slip),
        "clean: adjusted": lambda gym, rng: gym.adjusted(rng, _no_slip),
        "clean: file": lambda gym, rng: gym.file(rng, 1.0),
        "clean: strain": lambda gym, rng: gym.rating(rng, 1.0),
    }


def _no_slip(kg: float, _: Generator) -> float:
    return kg


def _slip_unit(kg: float, rng: Generator) -> float:
    return kg * (2.2046 if rng.random() < 0.5 else 1 / 2.2046)


def _slip_ten(kg: float, rng: Generator) -> float:
    return kg * (10.0 if rng.random() < 0.5 else 0.1)


@dataclass(frozen=True, slots=True)
class _Known:
    athlete: str
    lift: str
    kg: float


class _Gym:
    """The demo gym's doors; every method says whether the error was stopped or asked about."""

    def __init__(self) -> None:
        from heftwright.demo.build import GYM
        from heftwright.usecases import clock, maxes
        from heftwright.usecases.actor import Actor

        self.gym, self.by, self.today = GYM, Actor.house("bench"), clock.today(GYM)
        beliefs = maxes.get_beliefs(gym=GYM)
        self.known = [
            _Known(athlete, lift, belief.median_kg)
            for (athlete, lift), belief in beliefs.items()
            if belief.may_target_top(self.today)
        ]

    def _drawn(self, rng: Generator) -> tuple[_Known, float]:
        """Somebody's tested lift, and what they would lift today."""
        one = self.known[int(rng.integers(len(self.known)))]
        return one, one.kg * math.exp(rng.normal(0.0, 0.02))

    def form(
        self,
        rng: Generator,
        slip: Callable[[float, Generator], float],
        reps: int = 1,
        days_ago: int = 1,
    ) -> bool:
        from heftwright.domain.refusal import Refusal
        from heftwright.domain.strength import EvidenceKind
        from heftwright.domain.strength.formulas import implied_max_ratio
        from heftwright.usecases import maxes

        one, kg = self._drawn(rng)
        kind = EvidenceKind.TEST if reps == 1 else EvidenceKind.REP_SET
        try:
            item = self._evidence(one, slip(kg / implied_max_ratio(reps), rng))
            item = replace(item, kind=kind, reps=reps, on=self.today - timedelta(days=days_ago))
            maxes.record_max(gym=self.gym, by=self.by, evidence=item)
        except Refusal:
            return True
        return False

    def _evidence(self, one: _Known, kg: float):  # type: ignore[no-untyped-def]
        from heftwright.domain.catalogue import LiftKey
        from heftwright.domain.mass import Mass
        from heftwright.domain.squad import AthleteId
        from heftwright.domain.strength import Evidence, EvidenceKind

        return Evidence(
            AthleteId(one.athlete), LiftKey(one.lift), EvidenceKind.TEST,
            Mass.nearest_kg(max(0.5, kg)), self.today,
        )  # fmt: skip

    def card(self, rng: Generator, slip: Callable[[float, Generator], float]) -> bool:
        """A top set on the card, the proposal looked at and accepted without an answer."""
        from heftwright.domain.refusal import Refusal
        from heftwright.usecases import maxes

        key = self._proposed(rng, slip)
        if key is None:
            return True
        try:
            maxes.accept_proposal(gym=self.gym, by=self.by, proposal=key)
        except Refusal:
            return True
        return False

    def adjusted(self, rng: Generator, slip: Callable[[float, Generator], float]) -> bool:
        """A sound top set, whose load the coach types anew."""
        from heftwright.domain.mass import Mass
        from heftwright.domain.refusal import Refusal
        from heftwright.usecases import maxes

        key = self._proposed(rng, _no_slip)
        if key is None:
            raise SystemExit("A sound top set was not proposed: the seed is broken.")
        found = next(item for item in maxes.get_proposals(gym=self.gym) if item.key == key)
        kg = max(0.5, slip(found.load.in_kg, rng))
        try:
            maxes.adjust_proposal(gym=self.gym, by=self.by, proposal=key, load=Mass.nearest_kg(kg))
        except Refusal:
            return True
        return False

    def _proposed(self, rng: Generator, slip: Callable[[float, Generator], float]) -> int | None:
        from heftwright.domain.catalogue import LiftKey
        from heftwright.domain.log import LoggedSet, SetOutcome
        from heftwright.domain.mass import EnteredMass, MassUnit
        from heftwright.domain.squad import AthleteId
        from heftwright.usecases import clock, log, maxes

        one, kg = self._drawn(rng)
        load = EnteredMass(min(9_999_500, 500 * round(2 * slip(kg, rng))), MassUnit.KG)
        fact = LoggedSet(
            uuid4(), AthleteId(one.athlete), LiftKey(one.lift), f"{self.today}/seeded", 1, load, 1,
            SetOutcome.DONE, 0.0, 1, clock.now(), is_max_attempt=True,
        )  # fmt: skip
        log.log_sets(gym=self.gym, by=self.by, sets=[fact])
        maxes.propose_from_log(gym=self.gym, by=self.by)
        return next(
            (
                item.key
                for item in maxes.get_proposals(gym=self.gym)
                if (item.athlete, item.lift) == (one.athlete, one.lift)
                and any(found.on == self.today for found in item.proposal.evidence)
            ),
            None,
        )

    def file(self, rng: Generator, load: float, speed: float = 1.0) -> bool:
        """A device's file of two loads, accepted, and its max taken as evidence."""
        from heftwright.domain.catalogue import LiftKey
        from heftwright.domain.mass import MassUnit
        from heftwright.domain.refusal import Refusal
        from heftwright.domain.squad import AthleteId
        from heftwright.imports.bar_speed_file import SpeedColumn, SpeedMapping
        from heftwright.usecases import bar_speed
        from heftwright.usecases.bar_speed import UploadedFile

        benches = [one for one in self.known if one.lift == "bench"]
        one = benches[int(rng.integers(len(benches)))]
        # A line that points at the max: 0.9 m/s at 45 % and 0.1 m/s at it (Helms et al. 2017).
        rows = ["athlete,lift,date,set,load,mean speed"]
        for number, share in enumerate((0.45, 0.65, 0.85), 1):
            kg, m_s = load * share * one.kg, speed * (0.9 - 0.8 * (share - 0.45) / 0.55)
            rows.append(f"x,bench,{self.today},{number},{kg:.1f},{m_s:.3f}")
        file = UploadedFile("speeds.csv", "\n".join(rows).encode())
        columns = {column: place for place, column in enumerate(SpeedColumn)}
        del columns[SpeedColumn.ATHLETE]
        mapping = SpeedMapping(columns, athlete=AthleteId(one.athlete), load_unit=MassUnit.KG)
        way = {"gym": self.gym, "by": self.by}
        try:
            preview = bar_speed.preview_bar_speed(**way, file=file, mapping=mapping)
            mark = bar_speed.speed_mark(preview)
            bar_speed.accept_bar_speed(**way, file=file, mapping=mapping, was_seen=mark)
            bar_speed.take_speed_max(**way, athlete=AthleteId(one.athlete), lift=LiftKey("bench"))
        except Refusal:
            return True
        return False

    def rating(self, rng: Generator, factor: float) -> bool:
        from heftwright.domain.refusal import Refusal
        from heftwright.domain.squad import AthleteId
        from heftwright.domain.strain.session import SessionEffort
        from heftwright.usecases import strain

        one, _ = self._drawn(rng)
        rpe = float(rng.integers(2, 10))
        try:
            effort = SessionEffort(
                AthleteId(one.athlete), self.today, f"{self.today}/seeded", factor * rpe, 75
            )
            strain.rate_sessions(gym=self.gym, by=self.by, efforts=[effort])
        except Refusal:
            return True
        return False


if __name__ == "__main__":
    main()

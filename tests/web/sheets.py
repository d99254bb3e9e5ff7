# ruff: noqa: E501 - a lifter a line reads as the floor does
"""A class sheet to draw pages from: invented people on an invented floor."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time

from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import (
    ClassSheet,
    LadderStep,
    LifterLine,
    LoadedSleeve,
    PlateOnBar,
    PlatformSheet,
    RopeChart,
    Unplaced,
)
from heftwright.domain.sheet.class_sheet import BAND_CAUTION, CLOSING_CAUTION
from heftwright.domain.squad import AthleteId

_PLATES = {
    "25": ("#b3262d", 450, 54), "20": ("#1f4fa3", 450, 46), "15": ("#e7c21a", 450, 40),
    "10": ("#2c7a3f", 450, 33), "5": ("#e9e9e4", 230, 26), "2.5": ("#b3262d", 210, 18),
    "1.25": ("#8b949b", 160, 13),
}  # fmt: skip


def plate(label: str) -> PlateOnBar:
    colour, diameter, thickness = _PLATES[label]
    return PlateOnBar(f"p{label}", Mass.kg(label), label, diameter, thickness, colour)


def plates(*labels: str) -> tuple[PlateOnBar, ...]:
    return tuple(plate(label) for label in labels)


def make_sleeve(on_bar, off=(), on=()) -> LoadedSleeve:
    return LoadedSleeve("Axle 1", 415, plates(*on_bar), Mass.kg("0.5"), plates(*off), plates(*on))


def make_rope(bar_kg: float, top_kg: float, max_kg: float) -> RopeChart:
    heights = (0.225, 0.35, 0.5, 0.65, 0.8)
    share = (0.43, 0.6, 0.75, 0.88, 1.0)
    return RopeChart(
        heights,
        (bar_kg,) * 5,
        tuple(bar_kg + (top_kg - bar_kg) * s for s in share),
        (1.0, 1.5, 2.0, 2.4, 2.8),
        (("floor", 0.225), ("knee", 0.52), ("lockout", 0.8)),
        max_kg,
    )


def make_line(
    number: int, name: str, load: str, sleeve: LoadedSleeve | None, **changes
) -> LifterLine:
    bar = float(load)
    line = LifterLine(
        athlete=AthleteId(f"a{number}"),
        number=number,
        name=name,
        lift_name="Block deadlift, 10 cm",
        scheme=Scheme(12, 2, 60),
        load=Mass.kg(load),
        unit=MassUnit.KG,
        sleeve=sleeve,
        rig="grey pair, low pegs",
        bottom_kg=bar + 21,
        top_kg=bar + 49,
        top_sd_kg=2.8,
        bar_share_pct=50.0,
        top_share_pct=25.2,
        max_words=f"estimated {round(bar * 2)} ± 6 kg",
        is_estimated=True,
        is_minor=False,
        reasons=(
            f"{load} kg on the axle: week 1 of 3 asks for 50 % of your max on the bar.",
            f"Your axle max is estimated at {round(bar * 2)} ± 6 kg, from conventional tested 19 days ago.",
            f"{load} kg is the nearest load this platform can make.",
            "The grey pair on the low pegs adds 21 kg at the floor and 49 kg at your lockout.",
        ),
        rope=make_rope(bar, bar + 49, bar * 2),
    )
    return replace(line, **changes)


def make_work_up(line: LifterLine, *steps: tuple[float, int]) -> LifterLine:
    """The line on a max-effort day: (kg, reps) from the lightest step to the top set."""
    made = tuple(
        LadderStep(Mass.kg(str(kg)), reps, make_sleeve(("20", "10"), (), ("10",)), number)
        for number, (kg, reps) in enumerate(steps, 1)
    )
    return replace(
        line, load=made[-1].load, scheme=Scheme(1, made[-1].reps, 150), steps=made,
        ladder=tuple(step.load for step in made), is_max_attempt=True, rig="", rope=None,
        sleeve=made[-1].sleeve, bottom_kg=made[-1].load.in_kg, top_kg=made[-1].load.in_kg,
    )  # fmt: skip


def make_max_effort_sheet() -> ClassSheet:
    """A class that works up to a heavy set of 6, seven steps each."""
    kg = (70, 92.5, 122.5, 140, 155, 165, 175)
    ways = tuple(zip(kg, (5, 3, 3, 3, 3, 6, 6), strict=True))
    sheet = make_class_sheet(slot_name="Max-effort lower", wave_words="Rep max")
    platforms = tuple(
        replace(
            item, rig="", rounds_s=(120.0,) * 7,
            lifters=tuple(make_work_up(line, *ways) for line in item.lifters),
        )
        for item in sheet.platforms
    )  # fmt: skip
    return replace(sheet, platforms=platforms)


def make_platforms() -> tuple[PlatformSheet, ...]:
    first = PlatformSheet(
        "A", "Axle 1", "grey pair, low pegs",
        (
            make_line(7, "Tove", "97.5", make_sleeve(("25", "10", "2.5"), ("15", "5"), ("10", "2.5"))),
            make_line(12, "Marek", "110", make_sleeve(("25", "15", "5"), ("10", "2.5"), ("15", "5"))),
            make_line(
                3, "Ilse", "82.5", make_sleeve(("25", "5"), ("15",), ()),
                is_minor=True,
                cautions=("Under 18: no single; supervisor tonight is Runa.",),
            ),
        ),
        148.0, 41.0, 132,
    )  # fmt: skip
    second = PlatformSheet(
        "B", "Bar 2", "black pair, low pegs",
        (
            make_line(1, "Brannock", "147.5", make_sleeve(("25", "25", "10", "2.5"), (), ("10", "2.5"))),
            make_line(22, "Oddny", "122.5", make_sleeve(("25", "25"), ("10", "2.5"), ())),
            make_line(9, "Casimir", "122.5", make_sleeve(("25", "25"), (), ())),
            make_line(
                15, "Wilhelmina", "132.5", make_sleeve(("25", "25", "5"), (), ("5",)),
                is_estimated=False, max_words="tested 265 kg, 19 days ago",
            ),
        ),
        196.0, 49.0, 204,
    )  # fmt: skip
    third = PlatformSheet(
        "C", "Bar 3", "",
        (
            make_line(4, "Anouk", "70", make_sleeve(("20", "5"), (), ("20", "5")), rig="", rope=None),
            make_line(18, "Petr", "100", make_sleeve(("20", "20"), ("5",), ("20",)), rig="", rope=None),
            make_line(31, "Solveig", "75", make_sleeve(("20", "5", "2.5"), ("20",), ("5", "2.5")), rig="", rope=None),
        ),
        140.0, 38.5, 96,
    )  # fmt: skip
    return first, second, third


def make_class_sheet(**changes) -> ClassSheet:
    sheet = ClassSheet(
        gym="dunnock",
        class_key="mon-1830",
        coach="Runa",
        on=date(2026, 11, 23),
        starts_at=time(18, 30),
        minutes=75,
        slot_name="Dynamic-effort lower",
        lift_name="Block deadlift, 10 cm",
        wave_words="Week 2 of 3",
        why=(
            "Axle deadlift for a max stands in both contests in view.",
            "Seven of twelve name lockout as their weak point; blocks train it.",
        ),
        platforms=make_platforms(),
        unplaced=(
            Unplaced(
                AthleteId("a40"), 40, "Gwil", "No bar height on record: tape the lockout first."
            ),
        ),
        rep_work=("Row: 3 × 12 at the rack", "Belt squat: 3 × 15", "Plank with plate: 3 × 40 s"),
        floor_words=(
            "432 plate moves a class; the usual way (sorted by strength) needs 728.",
            "Last platform done after 49 min; the usual way: 51 min.",
        ),
        plan_version=3,
        planned_at=datetime(2026, 11, 23, 17, 58, tzinfo=UTC),
        caution=f"{BAND_CAUTION} {CLOSING_CAUTION}",
    )
    return replace(sheet, **changes)

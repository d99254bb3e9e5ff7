"""An invented class to print."""

from datetime import UTC, date, datetime, time

from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import (
    ClassSheet,
    LifterLine,
    LoadedSleeve,
    PlateOnBar,
    PlatformSheet,
    RopeChart,
    Unplaced,
)
from heftwright.domain.sheet.class_sheet import CLOSING_CAUTION
from heftwright.domain.squad import AthleteId

NAMES = (
    "Ida Brandt", "Marek Novák", "Şule Yıldız", "Tomas Ek", "Δημήτρης Ράλλης", "Олена Коваль",
    "Jo-Anne van der Westhuizen", "Bo Li", "Fatima Zahra El-Amrani", "Rune Aasen",
    "Petra Häkkinen", "Kwame Mensah", "Lucía Peña", "Győző Szűcs", "Ada Quill", "Sam Orr",
    "Noor Haddad", "Tove Lind", "Ezra Stone", "Mina Park", "Óscar Vidal", "Wren Ash",
    "Ilse Kranz", "Teo Marsh", "Una Frost", "Piet de Boer",
)  # fmt: skip
STACKS = ("25 20 5 2.5", "25 10", "20 5", "25 25 15 2.5 1.25", "15 2", "20 15 1.5", "25 25 25 10 5")
SIZES = {
    "25": ("#c8102e", 450, 52), "20": ("#1d4f9e", 450, 46), "15": ("#f2b705", 450, 40),
    "10": ("#1b7f3b", 450, 32), "5": ("#ffffff", 228, 26), "2.5": ("#c8102e", 190, 19),
    "2": ("#1d4f9e", 175, 18), "1.5": ("#f2b705", 165, 16), "1.25": ("#333333", 160, 12),
}  # fmt: skip


def plates(text):
    return tuple(
        PlateOnBar(f"p{label}", Mass.kg(label), label, SIZES[label][1], SIZES[label][2],
                   SIZES[label][0])
        for label in text.split()
    )  # fmt: skip


def rope():
    heights = tuple(0.325 + 0.5 * i / 20 for i in range(21))
    bar = tuple(112.5 for _ in heights)
    total = tuple(112.5 + 12 + 90 * (h - 0.325) for h in heights)
    return RopeChart(
        heights, bar, total, tuple(2 + 6 * (h - 0.325) for h in heights),
        (("start", 0.325), ("knee", 0.52), ("lockout", 0.825)), 205.0,
    )  # fmt: skip


def line(index, *, name=None, before="", **changes):
    stack = STACKS[index % len(STACKS)]
    on_bar = plates(stack)
    kept = 0
    for mine, theirs in zip(stack.split(), before.split(), strict=False):
        if mine != theirs:
            break
        kept += 1
    side = sum(float(label) for label in stack.split())
    load = Mass.kg(str(25 + 2 * side))
    usual = {
        "athlete": AthleteId(f"a{index}"),
        "number": 7 + 3 * index,
        "name": name or NAMES[index % len(NAMES)],
        "lift_name": "Block deadlift, 10 cm",
        "scheme": Scheme(8, 2, 45),
        "load": load,
        "unit": MassUnit.KG,
        "sleeve": LoadedSleeve(
            "Barbell 20", 415, on_bar, Mass.kg("2.5"),
            plates(" ".join(reversed(before.split()[kept:]))), on_bar[kept:],
        ),
        "rig": "two red bands, doubled, low pegs",
        "bottom_kg": load.in_kg + 11,
        "top_kg": load.in_kg + 51,
        "top_sd_kg": 4.2,
        "bar_share_pct": 55.0,
        "top_share_pct": 78.0,
        "max_words": "estimated 196 ± 6 kg" if index % 3 == 0 else "tested 215 kg, 19 days ago",
        "is_estimated": index % 3 == 0,
        "is_minor": index % 11 == 4,
        "reasons": ("Week 2 of 3: 55 % on the bar.", "Bands bring the top to 78 %."),
        "cautions": ("No singles above 90 %.",) if index % 11 == 4 else (),
        "rope": rope(),
    }  # fmt: skip
    return LifterLine(**(usual | changes))


def platform(key, first, count, rig="two red bands, doubled, low pegs"):
    lifters = []
    for index in range(first, first + count):
        before = STACKS[(index - 1) % len(STACKS)] if index > first else ""
        lifters.append(line(index, before=before))
    return PlatformSheet(key, "Barbell 20", rig, tuple(lifters), 262.0, 38.0, 84)


def class_sheet(*counts, **changes):
    counts = counts or (7, 7, 6, 6)
    platforms = tuple(
        platform(f"P{place + 1}", sum(counts[:place]), count) for place, count in enumerate(counts)
    )
    usual = {
        "gym": "Quarry Hall",
        "class_key": "Thursday strength",
        "coach": "M. Ortega",
        "on": date(2027, 2, 11),
        "starts_at": time(18, 30),
        "minutes": 75,
        "slot_name": "Dynamic-effort lower",
        "lift_name": "Block deadlift, 10 cm",
        "wave_words": "Week 2 of 3",
        "why": (
            "Feeds the deadlift medley of Quarry Games, 3 Apr.",
            "The start from 10 cm was the weak point in January's tests.",
        ),
        "platforms": platforms,
        "unplaced": (
            Unplaced(AthleteId("z"), 91, "Nils Berg", "All bars rated for 300 kg are taken: "
                     "let Nils start on P4 after 38 min."),
        ),
        "rep_work": (
            "Back raise 3 × 12, any platform", "Sandbag carry 4 × 20 m, lane A",
            "Hanging leg raise 3 × 10, rig",
        ),
        "floor_words": (
            "84 plates moved, against 132 in the order of arrival.",
            "All done after 38 min; bar changes take 11 min of it.",
        ),
        "plan_version": 7,
        "planned_at": datetime(2027, 2, 11, 16, 5, tzinfo=UTC),
        "caution": CLOSING_CAUTION,
    }  # fmt: skip
    return ClassSheet(**(usual | changes))


def urls(sheet):
    return {
        one.athlete: f"https://quarry.example/card/{one.athlete}-7f3a9c"
        for item in sheet.platforms
        for one in item.lifters
    }

"""Invented sleeves, curves and seasons for looking at and for testing the pictures."""

from datetime import date, timedelta

from heftwright.domain.mass import Mass
from heftwright.domain.sheet import (
    ContestPost,
    LoadedSleeve,
    PlateOnBar,
    RopeChart,
    SeasonStrip,
    StripBlock,
    StripLane,
    StripWeek,
)

# Colours: IWF technical and competition rules (25 red, 20 blue, 15 yellow, 10 green, 5 white,
# 2.5 red, 2 blue, 1.5 yellow, 1 green, 0.5 white); sizes of small plates invented.
COLOURS = {
    "25": ("#c8102e", 450, 52), "20": ("#1d4f9e", 450, 46), "15": ("#f2b705", 450, 40),
    "10": ("#1b7f3b", 450, 32), "5": ("#ffffff", 228, 26), "2.5": ("#c8102e", 190, 19),
    "2": ("#1d4f9e", 175, 18), "1.5": ("#f2b705", 165, 16), "1": ("#1b7f3b", 150, 15),
    "0.5": ("#ffffff", 130, 13), "1.25": ("#333333", 160, 12),
}  # fmt: skip


def plate(label):
    colour, diameter, thickness = COLOURS[label]
    return PlateOnBar(f"p{label}", Mass.kg(label), label, diameter, thickness, colour)


def sleeve(on_bar, off="", on="", *, collar="2.5"):
    def plates(text):
        return tuple(plate(label) for label in text.split())

    return LoadedSleeve("Barbell 20", 415, plates(on_bar), Mass.kg(collar), plates(off), plates(on))


def rope(steps=41):
    heights = tuple(0.225 + 0.60 * i / (steps - 1) for i in range(steps))
    bar = tuple(112.5 for _ in heights)
    total = tuple(112.5 + max(0.0, 14 + 95 * (h - 0.225) - 22 * (h - 0.225) ** 2) for h in heights)
    sd = tuple(1.5 + 7.5 * (h - 0.225) for h in heights)
    return RopeChart(
        heights, bar, total, sd, (("floor", 0.225), ("knee", 0.52), ("lockout", 0.825)), 205.0
    )


def season():
    monday = date(2027, 1, 4)
    kinds = ["normal"] * 6 + ["easy"] + ["normal"] * 4 + ["taper", "contest", "easy"] + [
        "normal"
    ] * 3 + ["contest"]  # fmt: skip
    weeks = tuple(StripWeek(monday + timedelta(weeks=i), k) for i, k in enumerate(kinds))
    names = ["Log press", "Floor press", "Push press", "Close-grip bench press", "Axle press"]
    lower = ["Block deadlift, 10 cm", "Box squat", "Yoke walk", "Deficit deadlift", "Front squat"]
    upper_me = tuple(
        StripBlock(
            i, 1, names[i % 5], "straight weight, work up to 1",
            (0.4 if kinds[i] == "easy" else 0.9,),
            (f"Feeds the log for max (week {i + 1}).", "Not pressed for 5 weeks."),
            "Incline press, 0.4 points worse", is_done=i < 5, is_pinned=i == 8,
        )
        for i in range(18)
        if i not in (12, 17)
    )  # fmt: skip
    lower_me = tuple(
        StripBlock(
            i, 1, lower[i % 5], "work up to 1", (0.92 if kinds[i] != "easy" else 0.45,),
            ("Trains the deadlift medley.",), "", is_done=i < 5,
        )
        for i in range(18)
        if i not in (12, 17)
    )  # fmt: skip
    waves = [
        (0, 3, "Box squat", (0.5, 0.6, 0.7)), (3, 3, "Box squat, wide", (0.55, 0.65, 0.75)),
        (6, 1, "Speed deadlift", (0.35,)), (7, 3, "Yoke starts", (0.5, 0.6, 0.7)),
        (10, 2, "Speed deadlift", (0.5, 0.4)), (13, 1, "Box squat", (0.3,)),
        (14, 3, "Box squat", (0.5, 0.6, 0.7)),
    ]  # fmt: skip
    lower_de = tuple(
        StripBlock(
            w, n, name, "bands to 25 %, 10 × 2", steps,
            ("Three-week wave (two before the contest).", "Bands change with every wave."),
            "Straight weight, 0.8 points worse", is_done=w + n <= 5,
        )
        for w, n, name, steps in waves
    )  # fmt: skip
    upper_de = tuple(
        StripBlock(w, n, name, "chains, 9 × 3", steps, ("Speed before strength.",), "")
        for w, n, name, steps in [
            (0, 3, "Bench press", (0.45, 0.5, 0.55)), (3, 3, "Axle bench press", (0.45, 0.5, 0.55)),
            (6, 1, "Bench press", (0.3,)), (7, 3, "Push press", (0.5, 0.55, 0.6)),
            (10, 2, "Log press", (0.5, 0.4)), (14, 3, "Bench press", (0.45, 0.5, 0.55)),
        ]
    )  # fmt: skip
    lanes = (
        StripLane("me-lower", "Max-effort lower", lower_me),
        StripLane("me-upper", "Max-effort upper", upper_me),
        StripLane("de-lower", "Dynamic-effort lower", lower_de),
        StripLane("de-upper", "Dynamic-effort upper", upper_de),
    )
    posts = (
        ContestPost(
            12, 5, "Quarry Games", date(2027, 4, 3),
            ("log for reps", "deadlift medley", "yoke 20 m", "stones"), True, 9,
        ),
        ContestPost(17, 6, "Harbour Throwdown", date(2027, 5, 9), ("max deadlift",), False, 3),
    )  # fmt: skip
    return SeasonStrip(weeks, lanes, posts, 5, 7)


def beliefs():
    from heftwright.pictures.belief_bars import BeliefBar, TestDot

    return (
        BeliefBar("Deadlift", 246.0, 4.0, (TestDot(245, 19), TestDot(235, 110))),
        BeliefBar("Block deadlift, 10 cm", 259.0, 7.0, (TestDot(255, 70),)),
        BeliefBar("Axle clean and press", 112.0, 6.0),
        BeliefBar("Log press", 121.0, 2.0, (TestDot(120, 200), TestDot(122.5, 0))),
        BeliefBar("Yoke walk, 20 m", 300.0, 25.0, (TestDot(280, 230),)),
    )

"""The invented squad of Dunnock Row: 26 athletes of very different strength.

Each row states who somebody is and how strong; everything else (maxes of single lifts, history,
what was logged) is derived from it by :mod:`heftwright.demo.truth` and
:mod:`heftwright.demo.history`, from one seed.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.domain.squad import Sex

GYM_NAME = "Dunnock Row"
GYM_KEY = "dunnock-row"
TIME_ZONE = "Europe/London"
SEED = 4107


@dataclass(frozen=True, slots=True)
class DemoAthlete:
    """One invented athlete.

    Parameters
    ----------
    number, name, sex, born_on
        Who.
    body_mass_kg, stature_cm : float or None
        None: never measured.
    pull_kg, squat_kg, bench_kg, press_kg : float
        True maxes today of deadlift, squat, bench press and strict press [kg]; the program never
        sees them.
    weak_points : str
        As the coach writes them.
    days : str
        Letters of the class times the athlete usually comes to: m t h f.
    taped : bool
        Whether squat, bench and pull heights were taped.
    note : str
        What is special, for the generator: "", "minor", "lay-off", "no overhead", "novice".
    """

    number: int
    name: str
    sex: Sex
    born_on: date
    body_mass_kg: float | None
    stature_cm: float | None
    pull_kg: float
    squat_kg: float
    bench_kg: float
    press_kg: float
    weak_points: str
    days: str
    taped: bool
    note: str = ""


W, M = Sex.WOMAN, Sex.MAN
_ROWS = (
    (1, "Bram Ockley", M, (1990, 3, 14), 128.0, 188, 330, 285, 195, 128, "lockout", "mthf", True, ""),
    (2, "Tove Larkrise", W, (1994, 7, 2), 84.5, 172, 205, 170, 96, 72, "triceps", "mthf", True, ""),
    (3, "Idris Fennimore", M, (1998, 11, 23), 104.0, 181, 270, 225, 150, 98, "off the floor", "mthf", True, ""),
    (4, "Maud Tarrow", W, (2001, 1, 9), 71.0, 165, 160, 132, 72, 54, "grip", "mthf", True, ""),
    (5, "Osric Penhale", M, (1986, 5, 30), 141.0, 193, 345, 290, 200, 138, "conditioning", "mhf", True, ""),
    (6, "Linnea Cobb", W, (1997, 9, 17), 92.0, 176, 215, 182, 104, 79, "off the floor; grip", "mthf", True, ""),
    (7, "Jory Wexcombe", M, (2003, 2, 6), 93.0, 178, 235, 200, 132, 84, "upper back", "mthf", True, ""),
    (8, "Perrin Ashgate", M, (1979, 12, 1), 110.0, 183, 250, 210, 158, 96, "leg drive", "mth", True, ""),
    (9, "Sunniva Holt", W, (1989, 4, 25), 66.0, 162, 148, 120, 70, 50, "lockout", "mth", True, ""),
    (10, "Callum Brae-Norris", M, (1995, 8, 19), 119.0, 186, 300, 250, 172, 118, "grip", "mthf", True, ""),
    (11, "Odile Marchbank", W, (2004, 10, 8), 78.0, 169, 172, 145, 82, 58, "quads", "mtf", True, ""),
    (12, "Rufus Tidewell", M, (1992, 6, 11), 99.0, 175, 255, 218, 146, 92, "triceps", "mthf", True, ""),
    (13, "Hanne Quillon", W, (1983, 2, 27), 74.0, 167, 150, 126, 74, 52, "bracing", "thf", True, ""),
    (14, "Dafydd Orme", M, (2000, 5, 5), 107.0, 184, 265, 228, 150, 101, "lockout; triceps", "mthf", True, ""),
    (15, "Greta Stannard", W, (1999, 12, 12), 101.0, 174, 200, 175, 100, 74, "conditioning", "mhf", True, ""),
    (16, "Eskil Vane", M, (1988, 1, 21), 125.0, 191, 290, 248, 168, 110, "off the floor", "mthf", True, ""),
    (17, "Nell Aldous", W, (2009, 6, 18), 63.0, 166, 110, 92, 52, 37, "bracing", "mh", True, "minor"),
    (18, "Torin Blackmere", M, (1993, 9, 3), 132.0, 187, 310, 262, 180, 116, "upper back", "mthf", True, "no overhead"),
    (19, "Wilf Carraday", M, (1971, 3, 29), 96.0, 177, 205, 175, 122, 76, "leg drive", "th", True, ""),
    (20, "Ines Ravenhill", W, (1996, 11, 4), 69.5, 170, 155, 128, 71, 55, "triceps; grip", "mthf", True, ""),
    (21, "Anselm Grieve", M, (2002, 8, 26), 88.0, 179, 215, 180, 120, 78, "grip", "mth", True, ""),
    (22, "Bettany Sorrel", W, (1991, 7, 15), 88.0, 171, 185, 158, 90, 66, "lockout", "mthf", True, "lay-off"),
    (23, "Kit Lowmoor", M, (1997, 4, 7), 101.0, 182, 240, 205, 140, 90, "quads", "hf", True, ""),
    (24, "Thora Wick", W, (2005, 3, 3), 60.0, None, 118, 98, 55, 40, "bracing", "mtf", True, "novice"),
    (25, "Leopold Asker", M, (1999, 10, 20), 85.0, 176, 175, 150, 100, 62, "conditioning", "mth", True, "novice"),
    (26, "Mirren Foulds", W, (1987, 8, 31), 79.0, None, 140, 118, 68, 48, "off the floor", "mhf", True, "novice"),
)  # fmt: skip

SQUAD: tuple[DemoAthlete, ...] = tuple(
    DemoAthlete(number, name, sex, date(*born), *rest) for number, name, sex, born, *rest in _ROWS
)
DAY_LETTERS = {"m": "mon-1830", "t": "tue-1830", "h": "thu-1830", "f": "fri-1830"}


@dataclass(frozen=True, slots=True)
class DemoContest:
    """An invented contest, so many weeks from the demo's first day, on a Saturday."""

    name: str
    weeks_ahead: int
    importance: int
    squad_taper: bool
    events: tuple[tuple[str, ...], ...]
    entrants: tuple[int, ...]

    def on(self, today: date) -> date:
        """Its Saturday."""
        monday = today - timedelta(days=today.weekday())
        return monday + timedelta(weeks=self.weeks_ahead, days=5)


# name, family, style, implement, start height cm, grip, load men kg, load women kg, cap s, course m
CONTESTS: tuple[DemoContest, ...] = (
    DemoContest(
        "Saltpan Novice Day", 5, 1, False,
        (
            ("Log press for reps", "press_reps", "reps", "log", "", "neutral", "80", "50", "60", ""),
            ("Deadlift for reps", "deadlift_reps", "reps", "straight_bar", "22", "mixed", "180", "120", "60", ""),
            ("Farmers carry", "farmers", "run", "farmers", "", "neutral", "90", "60", "60", "20"),
            ("Sandbag to shoulder", "sandbag", "reps", "sandbag", "", "hug", "80", "50", "60", ""),
        ),
        (4, 11, 21, 24, 25, 26),
    ),
    DemoContest(
        "Gannet Rock Strongest", 11, 3, True,
        (
            ("Axle deadlift, one rep", "deadlift_max", "max", "axle", "22", "thick", "", "", "", ""),
            ("Log press, rising bar", "press_max", "max", "log", "", "neutral", "", "", "", ""),
            ("Yoke carry", "yoke", "run", "yoke", "", "", "300", "180", "60", "20"),
            ("Frame carry", "farmers", "run", "frame", "", "neutral", "260", "170", "60", "20"),
            ("Stone series", "stones", "run", "stones", "", "hug", "140", "90", "75", ""),
        ),
        (1, 2, 3, 5, 6, 7, 10, 12, 14, 15, 16, 18, 20),
    ),
    DemoContest(
        "Winterhay Open", 17, 3, True,
        (
            ("Deadlift for reps", "deadlift_reps", "reps", "straight_bar", "22", "mixed", "240", "150", "60", ""),
            ("Axle clean and press for reps", "press_reps", "reps", "axle", "", "thick", "100", "60", "60", ""),
            ("Squat for reps", "squat", "reps", "straight_bar", "", "back", "180", "110", "60", ""),
            ("Keg and sandbag medley", "medley", "run", "keg", "", "hug", "100", "60", "75", "15"),
        ),
        (1, 2, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 20, 21, 23),
    ),
)  # fmt: skip

TIMETABLE: tuple[tuple[str, str, str, int, str, str], ...] = (
    ("mon-1830", "Monday", "18:30", 90, "Dynamic-effort lower", "Hilde Marsh"),
    ("tue-1830", "Tuesday", "18:30", 90, "Max-effort upper", "Hilde Marsh"),
    ("thu-1830", "Thursday", "18:30", 90, "Max-effort lower", "Hilde Marsh"),
    ("fri-1830", "Friday", "18:30", 90, "Dynamic-effort upper", "Ned Passmore"),
)

"""Which sheets Heftwright reads and writes, and what stands in each of their columns.

One table for the import, the export, the templates and the documentation. A column of masses or
lengths is headed with its unit, ``Body mass (kg)``, or has it in every cell, ``215 lb``; where
neither says it the preview asks once for the column.
"""

from __future__ import annotations

from enum import StrEnum

from heftwright.domain.catalogue import EventFamily, Implement, WeakPoint
from heftwright.domain.contest import EventStyle
from heftwright.domain.squad import Sex
from heftwright.domain.stock import ChainMassSource, ReadingDirection, RigKind, Side
from heftwright.domain.strength.evidence import EvidenceKind
from heftwright.imports.columns import (
    ColumnKind,
    SheetSpec,
    column,
    day,
    length,
    mass,
    plain,
    spoken,
    text,
    whole,
    word,
)
from heftwright.imports.week_sheets import TIMETABLE, WAVES


def _words(*values: StrEnum) -> tuple[tuple[str, str], ...]:
    return tuple((value.value, spoken(value)) for value in values)


SEX_WORDS = _words(*Sex)
IMPLEMENT_WORDS = _words(*Implement)
FAMILY_WORDS = _words(*EventFamily)
STYLE_WORDS = _words(*EventStyle)
SIDE_WORDS = _words(*Side)
DIRECTION_WORDS = _words(*ReadingDirection)
RIG_WORDS = _words(*RigKind)
CHAIN_WORDS = _words(*ChainMassSource)
WEAK_POINT_WORDS = tuple((point.value, point.shown) for point in WeakPoint)
MAX_KIND_WORDS = _words(*EvidenceKind)


_KEY = text("key", "Key", help="Steady name; made from the name when left empty.")

SQUAD = SheetSpec(
    key="squad",
    title="Squad",
    aliases=("athletes", "lifters", "members", "people"),
    help="One row an athlete. An empty cell keeps what the gym already knows.",
    columns=(
        whole(
            "number",
            "Number",
            "7",
            aliases=("no", "nr", "squad number", "#"),
            lowest=1,
            highest=9999,
            help="Squad number; the next free one when left empty.",
        ),
        text("name", "Name", "Robin Example", required=True,
             aliases=("athlete", "lifter", "full name", "athlete name")),
        word(
            "sex",
            "Sex",
            "woman",
            SEX_WORDS,
            aliases=("gender", "m/f"),
            help="woman or man, as contest classes use it; needed for a new athlete.",
        ),
        day(
            "born_on",
            "Born",
            "1996-04-23",
            is_past=True,
            aliases=("born on", "birth date", "date of birth", "birthday", "dob"),
            help="Date of birth; without one the athlete counts as a minor.",
        ),
        mass(
            "body_mass",
            "Body mass",
            "82.5",
            aliases=("bodyweight", "body weight", "bw"),
            lowest=25_000,
            highest=250_000,
        ),
        length(
            "stature",
            "Stature",
            "178",
            aliases=("height", "body height"),
            lowest=100_000,
            highest=230_000,
        ),
        length("pull_lockout", "Pull lockout", "80", lowest=40_000, highest=130_000,
               aliases=("deadlift lockout", "lockout height"),
               help="Bar at deadlift lockout, above the floor."),
        length("front_rack", "Front rack", "146", lowest=80_000, highest=200_000,
               help="Bar on the shoulders before a press, above the floor."),
        length("overhead", "Overhead", "214", lowest=120_000, highest=300_000,
               aliases=("overhead lockout",),
               help="Bar locked out overhead, above the floor."),
        length("squat_top", "Squat top", "148", lowest=80_000, highest=200_000,
               help="Bar on the back, standing, above the floor."),
        length("squat_bottom", "Squat bottom", "88", lowest=30_000, highest=150_000,
               help="Bar on the back, at depth, above the floor."),
        length("bench_top", "Bench top", "108", lowest=50_000, highest=150_000,
               help="Bar locked out over the bench, above the floor."),
        length("bench_bottom", "Bench bottom", "70", lowest=40_000, highest=120_000,
               help="Bar on the chest, above the floor."),
        column("weak_points", "Weak points", ColumnKind.WEIGHTS, "lockout: 1; grip: 0.5",
               words=WEAK_POINT_WORDS,
               help="Words with a weight 0–1 (1 when none is said), split by semicolons."),
        column("restrictions", "Restrictions", ColumnKind.RESTRICTIONS,
               "overhead until 2026-12-20",
               help="As: overhead until (ask again) DAY cleared DAY by NAME: note; grip_heavy."),
        column("classes", "Classes", ColumnKind.NAMES, "mon-1830",
               aliases=("class",), help="Timetable classes the athlete usually comes to."),
        column("priority", "Priority", ColumnKind.NUMBER, "1", lowest=500, highest=3_000,
               help="How much the season leans to this athlete, 0.5–3."),
        day("away_since", "Away since", is_past=True, help="Last day trained before a lay-off."),
        day("back_on", "Back on", help="First day back after it."),
        text("guardian", "Guardian", help="For minors: a name."),
        text("supervisor", "Supervisor", help="For minors: the named coach."),
        day("joined_on", "Joined", "2024-01-15", is_past=True,
            aliases=("joined on", "member since")),
    ),
)  # fmt: skip

MAXES = SheetSpec(
    key="maxes",
    title="Maxes",
    aliases=("max", "tests", "bests", "records", "1rm"),
    help="One row a test, contest result or rep set; or an athlete a row and a lift a column.",
    columns=(
        column("athlete", "Athlete", ColumnKind.ATHLETE, "Robin Example", required=True,
               aliases=("name", "number", "lifter"), help="Squad number or name."),
        column("lift", "Lift", ColumnKind.LIFT, "Conventional deadlift", required=True,
               aliases=("exercise",), help="A name from the catalogue."),
        mass("load", "Max", "215", required=True,
             aliases=("load", "weight", "1rm", "best", "result"),
             lowest=1_000, highest=600_000, help="What was lifted."),
        day("on", "Date", "2026-09-14", required=True, is_past=True,
            aliases=("day", "tested on", "on")),
        word("kind", "Kind", "test", MAX_KIND_WORDS,
             help="test (a single, the usual), contest, or rep set."),
        whole("reps", "Reps", "1", lowest=1, highest=30, aliases=("repetitions",)),
        column("reps_in_reserve", "Reps in reserve", ColumnKind.NUMBER, "", lowest=0,
               highest=10_000, help="Felt repetitions left, 0–10."),
        column("note", "Note", ColumnKind.NOTE, aliases=("notes", "remark")),
    ),
)  # fmt: skip

BARS = SheetSpec(
    key="bars",
    title="Bars",
    aliases=("bar",),
    help="Bars, axles and logs that take plates, as weighed.",
    columns=(
        text("name", "Bar", "Platform bar", required=True, aliases=("name",)),
        _KEY,
        word("implement", "Implement", "straight bar", IMPLEMENT_WORDS, required=True,
             aliases=("kind", "type")),
        mass("mass", "Mass", "20", required=True, aliases=("weight",), lowest=1_000,
             highest=150_000, help="Without collars, as weighed."),
        mass("collar", "Collar", "2.5", highest=10_000, help="ONE collar."),
        length("sleeve", "Sleeve", "41.5", highest=100_000, help="Loadable length of one end."),
        whole("count", "Count", "4", lowest=1, highest=200, aliases=("how many",)),
        mass("rating", "Rating", "450", highest=2_000_000, help="With bands at the top."),
    ),
)  # fmt: skip

PLATES = SheetSpec(
    key="plates",
    title="Plates",
    aliases=("plate", "discs"),
    help="Pairs of plates of one kind.",
    columns=(
        text("key", "Plate", "25 red", required=True, aliases=("key", "name")),
        mass("mass", "Mass", "25", required=True, aliases=("weight",), lowest=50,
             highest=60_000, help="Of ONE plate, as weighed."),
        whole("pairs", "Pairs", "8", required=True, lowest=0, highest=500),
        length("diameter", "Diameter", "45", lowest=5_000, highest=60_000),
        length("thickness", "Thickness", "5.4", lowest=100, highest=20_000),
        column("colour", "Colour", ColumnKind.COLOUR, "#c8102e", aliases=("color",),
               help="A CSS colour, name or #rrggbb."),
        mass("nominal", "Printed mass", "25", aliases=("nominal",), highest=60_000,
             help="What is printed on it, where that differs."),
    ),
)  # fmt: skip

BANDS = SheetSpec(
    key="bands",
    title="Bands",
    aliases=("band",),
    help="Pairs of one kind of loop band. A colour is only a name, never a tension.",
    columns=(
        text("name", "Band", "Grey", required=True, aliases=("name",)),
        _KEY,
        whole("pairs", "Pairs", "6", required=True, lowest=0, highest=200),
        length("rest_length", "Rest length", "104", required=True, lowest=10_000,
               highest=300_000, help="Laid flat, one loop end to the other."),
        mass("guess_top_force", "Guessed top force", "", highest=200_000,
             aliases=("guess",),
             help="A label or guess [kgf, lbf]; never prescribed without acceptance."),
        length("safe_length", "Safe length", "", highest=900_000,
               help="The maker's limit of stretched length; 2 × rest length when empty."),
        mass("rated_force", "Rated pull", "", highest=200_000,
             help="The maker's limit of ONE loop [kgf, lbf]."),
        day("inspected_on", "Inspected", "2026-08-30", is_past=True, aliases=("inspected on",)),
        day("retire_on", "Retire on", "2028-06-01"),
    ),
)  # fmt: skip

BAND_READINGS = SheetSpec(
    key="band_readings",
    title="Band readings",
    aliases=("readings", "band reading", "calibration"),
    help="One row a reading of ONE band with a scale.",
    columns=(
        text("band", "Band", "Grey", required=True, help="As on the Bands sheet."),
        length("length", "Length", "140", required=True, lowest=10_000, highest=900_000,
               aliases=("path length",), help="From anchor to bar."),
        mass("force", "Force", "21", required=True, aliases=("tension", "reading"),
             highest=200_000, help="Shown by the scale [kgf, lbf]."),
        day("taken_on", "Date", "2026-08-30", required=True, is_past=True,
            aliases=("taken on", "day")),
        word("side", "Side", "both", SIDE_WORDS),
        word("direction", "Direction", "up", DIRECTION_WORDS,
             help="up while stretching, down while letting back."),
        word("rig", "Rig", "choked", RIG_WORDS),
    ),
)  # fmt: skip

CHAINS = SheetSpec(
    key="chains",
    title="Chains",
    aliases=("chain",),
    help="Pairs of chains of one kind.",
    columns=(
        text("name", "Chain", "Long chain", required=True, aliases=("name",)),
        _KEY,
        whole("pairs", "Pairs", "3", required=True, lowest=0, highest=200),
        mass("mass_per_m", "Mass per metre", "5.5", required=True, lowest=50, highest=60_000,
             help="Of one strand."),
        length("length", "Length", "180", required=True, lowest=10_000, highest=900_000),
        mass("leader", "Leader", "0.6", highest=30_000, help="Leader and clips of one side."),
        word("known_by", "Known by", "weighed", CHAIN_WORDS),
        day("known_on", "Known on", "2026-08-30", is_past=True, aliases=("weighed on", "weighed"),
            help="Day of weighing or measuring; a chain without one is not prescribed."),
    ),
)  # fmt: skip

BLOCKS = SheetSpec(
    key="blocks",
    title="Blocks",
    aliases=("block", "mats"),
    help="Pairs of blocks or mats that raise the bar.",
    columns=(
        text("key", "Block", "Block 10", required=True, aliases=("key", "name")),
        length("height", "Height", "10", required=True, lowest=100, highest=200_000),
        whole("pairs", "Pairs", "2", required=True, lowest=0, highest=200),
        mass("rating", "Rating", "600", highest=5_000_000),
    ),
)  # fmt: skip

IMPLEMENTS = SheetSpec(
    key="implements",
    title="Implements",
    aliases=("implement", "strongman implements"),
    help="Yoke, handles, stones, sandbags … not loaded like a bar.",
    columns=(
        text("name", "Name", "Sandbag 80", required=True, aliases=("implement name",)),
        _KEY,
        word("implement", "Implement", "sandbag", IMPLEMENT_WORDS, required=True,
             aliases=("kind", "type")),
        mass("mass", "Mass", "80.4", aliases=("weight",), lowest=500, highest=1_000_000,
             help="Empty, as weighed (one handle of a pair); never weighed: leave it empty."),
        whole("count", "Count", "1", lowest=1, highest=200),
        length("pick_height", "Pick height", "", highest=300_000),
        day("weighed_on", "Weighed on", "2026-08-30", is_past=True, aliases=("weighed",)),
        column("takes_plates", "Takes plates", ColumnKind.YES_NO, "no"),
    ),
)  # fmt: skip

PLATFORMS = SheetSpec(
    key="platforms",
    title="Platforms",
    aliases=("platform", "racks"),
    help="Places to lift.",
    columns=(
        text("key", "Platform", "P1", required=True, aliases=("key", "name")),
        column("has_rack", "Rack", ColumnKind.YES_NO, "yes", aliases=("has rack",)),
        column("peg_heights", "Peg heights", ColumnKind.LENGTHS, "8; 22", unit="cm",
               aliases=("pegs",), help="Band pegs above the floor; empty: no bands here."),
        length("peg_offset", "Peg offset", "12", highest=200_000, help="From peg to bar's line."),
        mass("rack_rating", "Rack rating", "450", highest=5_000_000, help="With bands at the top."),
    ),
)  # fmt: skip

KIT = SheetSpec(
    key="kit",
    title="Kit",
    aliases=("other kit",),
    help="What is only counted: boxes, benches, boards, sleds …",
    columns=(
        text("kit", "Kit", "box", required=True, aliases=("key", "name")),
        whole("count", "Count", "4", required=True, lowest=0, highest=1000),
    ),
)

CONTESTS = SheetSpec(
    key="contests",
    title="Contests",
    aliases=("contest", "calendar", "competitions"),
    help="One row a contest; its events stand on the Events sheet.",
    columns=(
        text("name", "Contest", "Harbour Stones", required=True,
             aliases=("name", "competition", "comp")),
        _KEY,
        day("on", "Date", "2027-03-13", required=True, aliases=("day", "on", "when")),
        whole("importance", "Importance", "2", required=True, lowest=1, highest=3,
              help="1 minor, 2 wanted, 3 the one."),
        column("squad_taper", "Squad tapers", ColumnKind.YES_NO, "yes",
               aliases=("squad taper",), help="Whether the whole squad eases for it."),
    ),
)  # fmt: skip

EVENTS = SheetSpec(
    key="events",
    title="Events",
    aliases=("event", "contest events"),
    help="One row an event of a contest.",
    columns=(
        text("contest", "Contest", "Harbour Stones", required=True),
        text("name", "Event", "Axle for reps", required=True, aliases=("event name",)),
        word("family", "Family", "press reps", FAMILY_WORDS, required=True),
        word("style", "Style", "reps", STYLE_WORDS, required=True,
             help="max: one big lift; reps on a clock; run."),
        word("implement", "Implement", "axle", IMPLEMENT_WORDS),
        length("start_height", "Start height", "", highest=300_000),
        text("grip", "Grip", "thick", help="A grip word of the catalogue."),
        mass("load_men", "Load men", "110", aliases=("men",), highest=1_500_000),
        mass("load_women", "Load women", "70", aliases=("women",), highest=1_500_000),
        column("time_cap_s", "Time cap", ColumnKind.SECONDS, "60", unit="s",
               aliases=("time limit", "time")),
        length("course_m", "Course", "", unit="m", highest=50_000_000, aliases=("distance",)),
    ),
)  # fmt: skip

ENTRIES = SheetSpec(
    key="entries",
    title="Entries",
    aliases=("entry", "entrants"),
    help="One row an athlete's entry in a contest.",
    columns=(
        text("contest", "Contest", "Harbour Stones", required=True),
        column("athlete", "Athlete", ColumnKind.ATHLETE, "Robin Example", required=True,
               aliases=("name", "number"), help="Squad number or name."),
        text("contest_class", "Class", "open", aliases=("contest class", "division")),
        column("need", "Needs", ColumnKind.WEIGHTS, "Axle for reps: 1.5", aliases=("need",),
               help="Event and weight 0.3–2, split by semicolons."),
    ),
)  # fmt: skip

SHEETS: tuple[SheetSpec, ...] = (
    SQUAD, MAXES, BARS, PLATES, BANDS, BAND_READINGS, CHAINS, BLOCKS, IMPLEMENTS, PLATFORMS, KIT,
    CONTESTS, EVENTS, ENTRIES, TIMETABLE, WAVES,
)  # fmt: skip


def sheet_named(title: str) -> SheetSpec | None:
    """The sheet whose title, key or alias is written in ``title``, case and spaces aside."""
    wanted = plain(title)
    for sheet in SHEETS:
        if wanted in {plain(name) for name in (sheet.key, sheet.title, *sheet.aliases)}:
            return sheet
    return None

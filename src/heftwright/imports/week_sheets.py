"""The sheets of what the gym's week holds: its classes, and the waves that they train."""

from __future__ import annotations

from heftwright.domain.catalogue import Slot
from heftwright.domain.dose.waves import WAVE_TEMPLATES
from heftwright.domain.resistance import TopShareMeaning
from heftwright.domain.squad import Weekday
from heftwright.imports.columns import ColumnKind, SheetSpec, column, text, whole, word

SLOT_WORDS = tuple((slot.value, slot.shown) for slot in Slot)
DAY_WORDS = tuple((str(day.value), day.shown) for day in Weekday)
WAVE_WORDS = tuple((key, wave.name) for key, wave in WAVE_TEMPLATES.items())
MEANING_WORDS = tuple((meaning.value, meaning.shown) for meaning in TopShareMeaning)

TIMETABLE = SheetSpec(
    key="timetable",
    title="Timetable",
    aliases=("classes", "schedule"),
    help="One row a class of the week.",
    columns=(
        text("key", "Class", "mon-1830", required=True, aliases=("key", "class key")),
        word("weekday", "Day", "Monday", DAY_WORDS, required=True, aliases=("weekday",)),
        column("starts_at", "Starts", ColumnKind.TIME, "18:30", required=True,
               aliases=("start", "starts at", "time")),
        whole("minutes", "Minutes", "90", required=True, lowest=20, highest=240,
              aliases=("length", "duration", "min")),
        word("slot", "Slot", "Dynamic-effort lower", SLOT_WORDS, required=True,
             aliases=("work", "main work")),
        text("coach", "Coach", "Coach Example"),
        column("members", "Members", ColumnKind.ATHLETES, "7", aliases=("athletes",),
               help="Squad numbers or names, split by semicolons; or use Squad's Classes."),
    ),
)  # fmt: skip

WAVES = SheetSpec(
    key="waves",
    title="Waves",
    aliases=("wave", "percentages", "speed waves"),
    help="One row a week of a wave; weeks that are not named stay as they are.",
    columns=(
        word("wave", "Wave", "Lower day with bands", WAVE_WORDS, required=True,
             aliases=("name", "template")),
        whole("week", "Week", "1", required=True, lowest=1, highest=6),
        column("load", "Load (%)", ColumnKind.NUMBER, "50", required=True, lowest=1_000,
               highest=150_000, aliases=("load", "bar", "percent", "% of max"),
               help="Of the max, as you write it: 50 for 50 %."),
        column("bands", "Bands (%)", ColumnKind.NUMBER, "25", lowest=0, highest=100_000,
               aliases=("bands", "chains", "band share", "bands or chains"),
               help="Share of bands or chains; what it is a share of stands in Share of."),
        word("meaning", "Share of", "share of the max at the top, on top of the bar load",
             MEANING_WORDS, aliases=("meaning", "bands mean"),
             help="What the share is a share of; asked once where a sheet does not say."),
        whole("most_reps", "Total reps at most", "24", required=True, lowest=4, highest=40,
              aliases=("reps", "total reps", "most reps")),
    ),
)  # fmt: skip

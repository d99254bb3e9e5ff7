"""Speed and size of pictures and paper: a class of 26, a season of 18 weeks."""

from __future__ import annotations

import gzip
import time
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from datetime import time as clock_time
from importlib.resources import files
from statistics import median

from bench.figure import Figure
from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import (
    ClassSheet,
    LifterLine,
    LoadedSleeve,
    PlateOnBar,
    PlatformSheet,
    RopeChart,
    SeasonStrip,
    StripBlock,
    StripLane,
    StripWeek,
)
from heftwright.domain.squad import AthleteId
from heftwright.paper.card import card_pdf
from heftwright.paper.class_sheet import class_sheet_pdf
from heftwright.pictures.rope_chart import rope_chart_svg
from heftwright.pictures.season_strip import season_strip_svg
from heftwright.pictures.sleeve import sleeve_svg

PREFIXES = ("pictures_", "paper_")
POINTS = 41


def rope() -> RopeChart:
    """A pull with bands: invented."""
    heights = tuple(0.225 + 0.6 * i / (POINTS - 1) for i in range(POINTS))
    total = tuple(112.5 + 14 + 90 * (height - 0.225) for height in heights)
    sd = tuple(1.5 + 7 * (height - 0.225) for height in heights)
    marks = (("floor", 0.225), ("knee", 0.52), ("lockout", 0.825))
    return RopeChart(heights, (112.5,) * POINTS, total, sd, marks, 205.0)


def sleeve(number: int) -> LoadedSleeve:
    """Three to six plates, the outermost of them new."""
    sizes = (("25", 450, 52), ("20", 450, 46), ("10", 450, 32), ("5", 228, 26), ("2.5", 190, 19))
    plates = tuple(
        PlateOnBar(label, Mass.kg(label), label, wide, thick, "#c8102e")
        for label, wide, thick in (sizes[0], *sizes[number % 3 :])
    )
    return LoadedSleeve("Barbell 20", 415, plates, Mass.kg("2.5"), plates[:1], plates[-1:])


def line(number: int) -> LifterLine:
    """One of 26 lifters."""
    return LifterLine(
        AthleteId(f"a{number}"), number, f"Lifter {number}", "Box squat", Scheme(8, 2, 45),
        Mass.kg("112.5"), MassUnit.KG, sleeve(number), "two bands", 126.0, 176.0, 6.0, 55.0, 86.0,
        "tested 205 kg, 19 days ago", is_estimated=False, is_minor=False, reasons=("Week 2 of 3.",),
        rope=rope(),
    )  # fmt: skip


def class_sheet() -> ClassSheet:
    """26 lifters on four platforms."""
    groups = (range(1, 8), range(8, 15), range(15, 21), range(21, 27))
    platforms = tuple(
        PlatformSheet(f"P{place}", "Barbell 20", "two bands", tuple(map(line, group)), 260, 38, 84)
        for place, group in enumerate(groups, start=1)
    )
    return ClassSheet(
        "Quarry Hall", "Thursday", "M. Ortega", date(2027, 2, 11), clock_time(18, 30), 75,
        "Dynamic-effort lower", "Box squat", "Week 2 of 3", ("Feeds the yoke.",), platforms, (),
        ("Back raise 3 × 12",), ("84 plates moved.",), 7, datetime(2027, 2, 11, 16, 5, tzinfo=UTC),
        "Your coach decides.",
    )  # fmt: skip


def season() -> SeasonStrip:
    """18 weeks, four lanes, six waves each."""
    monday = date(2027, 1, 4)
    weeks = tuple(StripWeek(monday + timedelta(weeks=week), "normal") for week in range(18))
    blocks = tuple(
        StripBlock(
            3 * wave, 3, "Box squat", "bands, 10 × 2", (0.5, 0.6, 0.7), ("Earned.",), "Next."
        )
        for wave in range(6)
    )
    lanes = tuple(StripLane(f"l{n}", f"Main day {n}", blocks) for n in range(4))
    return SeasonStrip(weeks, lanes, (), 5, 7)


def figures() -> Iterator[Figure]:
    """What a page or a printed sheet costs."""
    sheet = class_sheet()
    urls = {AthleteId(f"a{n}"): f"https://gym.example/card/a{n}-7f3a9c" for n in range(1, 27)}
    pdf_ms = milliseconds(lambda: class_sheet_pdf(sheet, card_urls=urls), 5)
    yield Figure("paper_class_sheet_ms", pdf_ms, "ms", "lower", 1000, note="26 lifters, 26 codes")
    card_ms = milliseconds(lambda: card_pdf(sheet, [AthleteId("a3")], paper="a6"), 5)
    yield Figure("paper_card_ms", card_ms, "ms", "lower", 250, note="one A6 card")
    sleeve_ms = milliseconds(lambda: sleeve_svg(sleeve(0), id_prefix="s"), 50)
    yield Figure("pictures_sleeve_ms", sleeve_ms, "ms", "lower", 2)
    yield from rope_figures()
    strip = season()
    strip_ms = milliseconds(lambda: season_strip_svg(strip, id_prefix="s"), 20)
    yield Figure("pictures_season_ms", strip_ms, "ms", "lower", 30, note="18 weeks, 24 blocks")
    packed = len(gzip.compress(season_strip_svg(strip, id_prefix="s").encode())) / 1000
    yield Figure("pictures_season_kb", packed, "kB", "lower", 12, note="gzip, inlined in a page")
    font = files("heftwright") / "web/static/heftwright/fonts/sofia-sans-semi-condensed-latin.woff2"
    yield Figure("pictures_font_kb", len(font.read_bytes()) / 1000, "kB", "lower", 40)


def rope_figures() -> Iterator[Figure]:
    """Our drawing against the same curves by a general chart library, alternating."""
    chart = rope()
    ours, theirs = [], []
    for _ in range(7):
        ours.append(once(lambda: rope_chart_svg(chart, id_prefix="r")))
        theirs.append(once(lambda: general_chart(chart)))
    note = "baseline: the same curves through Vega-Lite"
    yield Figure("pictures_rope_ms", median(ours), "ms", "lower", 5, median(theirs), note=note)
    sizes = [
        len(gzip.compress(svg.encode())) / 1000
        for svg in (rope_chart_svg(chart, id_prefix="r"), general_chart(chart))
    ]
    yield Figure("pictures_rope_kb", sizes[0], "kB", "lower", 4, sizes[1], note="gzip; " + note)


def general_chart(chart: RopeChart) -> str:
    """Two lines and an area, without our marks, captions and description."""
    import vl_convert

    rows = [
        {"h": h, "bar": bar, "total": total, "low": total - sd, "high": total + sd}
        for h, bar, total, sd in zip(
            chart.heights_m, chart.bar_kg, chart.total_kg, chart.sd_kg, strict=True
        )
    ]
    y = {"field": "h", "type": "quantitative"}

    def x(name: str) -> dict[str, str]:
        return {"field": name, "type": "quantitative"}

    layers = [
        {"mark": {"type": "area", "orient": "horizontal"},
         "encoding": {"y": y, "x": x("low"), "x2": {"field": "high"}}},
        {"mark": {"type": "line", "orient": "horizontal"}, "encoding": {"y": y, "x": x("bar")}},
        {"mark": {"type": "line", "orient": "horizontal"}, "encoding": {"y": y, "x": x("total")}},
    ]  # fmt: skip
    return str(vl_convert.vegalite_to_svg({"data": {"values": rows}, "layer": layers}))


def once(work: Callable[[], object]) -> float:
    """Milliseconds of one call [ms]."""
    start = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - start)


def milliseconds(work: Callable[[], object], runs: int) -> float:
    """Median of several calls after one to warm up [ms]."""
    work()
    return median(once(work) for _ in range(runs))

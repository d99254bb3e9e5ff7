"""The import door: 5,000 rows from upload to preview, child process and all."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from io import BytesIO
from statistics import median
from time import perf_counter

from openpyxl import Workbook, load_workbook

from bench.figure import Figure
from bench.hostile_files import hostile_files
from heftwright.imports.export import Exporter, write_csv_files, write_workbook
from heftwright.imports.hardening import UploadedFile
from heftwright.imports.preview import read_files
from heftwright.imports.records import KnownGym

TODAY = date(2026, 11, 25)
ATHLETES, MAXES, RUNS = 200, 4800, 3
LIFTS = ("Conventional deadlift", "Axle deadlift", "Bench press", "Push press", "Back squat")


def figures() -> Iterator[Figure]:
    """Yield the import figures."""
    content = workbook_of_5000_rows()
    known = KnownGym(TODAY)
    file = UploadedFile("gym.xlsx", content)
    preview = read_files([file], known=known)
    assert preview.records.count == ATHLETES + MAXES, preview.problems[:3]
    seconds, naive = _alternating(
        lambda: read_files([file], known=known), lambda: naive_rows(content)
    )
    yield Figure(
        "import_5000_rows_s", seconds, "s", "lower", bound=2.0, baseline=naive,
        note="XLSX, 200 squad and 4,800 max rows; baseline: openpyxl to tuples, nothing checked",
    )  # fmt: skip
    exporter = Exporter(preview.records)
    files = [UploadedFile(n, t.encode()) for n, t in write_csv_files(exporter).items()]
    seconds, _ = _alternating(lambda: read_files(files, known=known), lambda: None)
    yield Figure("import_5000_rows_csv_s", seconds, "s", "lower", bound=2.0, note="two CSV files")
    seconds, _ = _alternating(lambda: write_workbook(preview.records), lambda: None)
    yield Figure("export_5000_rows_s", seconds, "s", "lower", bound=60.0, note="XLSX")
    yield _refusal()


def _alternating(ours: Callable[[], object], theirs: Callable[[], object]) -> tuple[float, float]:
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(RUNS):
        for taken, run in zip(times, (ours, theirs), strict=True):
            gc.collect()
            start = perf_counter()
            run()
            taken.append(perf_counter() - start)
    return median(times[0]), median(times[1])


def workbook_of_5000_rows() -> bytes:
    """A squad of 200 with 24 dated maxes each."""
    book = Workbook(write_only=True)
    squad = book.create_sheet("Squad")
    squad.append(["Number", "Name", "Sex", "Born", "Body mass (kg)", "Stature (cm)", "Weak points"])
    for at in range(1, ATHLETES + 1):
        sex = "woman" if at % 2 else "man"
        born = date(1990, 1, 1) + timedelta(days=at)
        squad.append([at, f"Lifter {at}", sex, born, 60 + at / 4, 160 + at % 30, "grip: 0.5"])
    maxes = book.create_sheet("Maxes")
    maxes.append(["Athlete", "Lift", "Max (kg)", "Date", "Kind", "Reps", "Note"])
    for at in range(MAXES):
        on = date(2024, 1, 1) + timedelta(days=at // 8)
        load = 100 + (at % 40) * 2.5
        maxes.append(
            [1 + at % ATHLETES, LIFTS[at // ATHLETES % 5], load, on, "test", 1, f"set {at}"]
        )
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def naive_rows(content: bytes) -> int:
    """The usual way: a library's rows as they come, nothing checked."""
    book = load_workbook(BytesIO(content), read_only=True, data_only=True)
    return sum(1 for sheet in book for _ in sheet.iter_rows(values_only=True))


def _refusal() -> Figure:
    known = KnownGym(TODAY)
    slowest = 0.0
    for file in hostile_files():
        start = perf_counter()
        preview = read_files([file], known=known)
        slowest = max(slowest, perf_counter() - start)
        assert not preview.records.count, file.name
    return Figure(
        "import_hostile_slowest_s", slowest, "s", "lower", bound=1.0, note="slowest refusal (S5)"
    )

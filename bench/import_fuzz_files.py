"""Fuzz of whole files at the import door; see `bench.import_fuzz` for single cells."""

from __future__ import annotations

import csv
import json
import random
import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from io import BytesIO, StringIO

from openpyxl import Workbook

from bench.import_fuzz import TODAY, FuzzCount, a_number, any_cell
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.imports.cells import Cell, CellKind, RawFile, from_document, number_text
from heftwright.imports.child import answer
from heftwright.imports.hardening import FileRefusedError, UploadedFile, kind_of
from heftwright.imports.preview import Preview, read_files
from heftwright.imports.records import KnownGym


@dataclass(frozen=True, slots=True)
class _Made:
    """A file made up, and what stands in its load cells, by row."""

    file: UploadedFile
    loads: dict[int, Cell]


def fuzz_files(count: int, seed: int) -> FuzzCount:
    """Read ``count`` whole Maxes files, CSV and XLSX in turn, of 40 rows with odd cells."""
    rng = random.Random(seed)
    done = FuzzCount()
    athlete = Athlete(AthleteId("a"), "Robin Example", 7, Sex.WOMAN)
    for at in range(count):
        made = _made_workbook(rng) if at % 2 else _made_csv(rng)
        done.cells += 4 * len(made.loads)
        try:
            preview = read_files([made.file], known=KnownGym(TODAY, (athlete,)), read=in_process)
        except Exception as error:
            done.crashes += 1
            done.faults.append(f"crash in {made.file.name}: {error!r}")
            continue
        _judge(made, preview, done)
    return done


def in_process(file: UploadedFile) -> RawFile:
    """Cells of a file without the child process, as quick as a fuzz needs it."""
    document = answer(kind_of(file), file.content)
    if "refused" in document:
        raise FileRefusedError(str(document["refused"]))
    return from_document(json.loads(json.dumps(document["file"])))


def _judge(made: _Made, preview: Preview, done: FuzzCount) -> None:
    """Every row is a record with its load as written, or named, or waits for a question."""
    named = {problem.row for problem in preview.problems if problem.is_blocking}
    good = {int(found.note.removeprefix("row ")): found for found in preview.records.maxes}
    (count,) = preview.counts
    open_rows = set(made.loads) - named - set(good)
    done.accepted += len(good)
    done.named += len(named)
    done.asked += len(open_rows)
    is_whole = count.good == len(good) and len(open_rows) == count.waiting
    if not is_whole or (open_rows and not preview.questions):
        done.silent_changes += 1
        done.faults.append(f"{made.file.name}: rows {sorted(open_rows)} vanished")
    for row, found in good.items():
        if not _says(made.loads[row].text, found.load):
            done.silent_changes += 1
            done.faults.append(f"{made.loads[row]!r} -> {found.load}")


def _says(text: str, load: Mass) -> bool:
    number = re.sub("(kilo|kg)s?$", "", text, flags=re.IGNORECASE).strip()
    try:
        return Decimal(number) == load.exactly(MassUnit.KG)
    except InvalidOperation:
        return False


def _rows(rng: random.Random) -> tuple[list[tuple[str, str, Cell, str, str]], dict[int, Cell]]:
    rows, loads = [], {}
    for number in range(2, 42):
        load = any_cell(rng) if rng.random() < 0.5 else Cell(a_number(rng))
        on = f"2026-{rng.randint(1, 10):02d}-{rng.randint(1, 28):02d}"
        who = "7" if rng.random() < 0.9 else any_cell(rng).text
        load = _stored(load)
        rows.append((who, "deadlift", load, on, f"row {number}"))
        loads[number] = load
    return rows, loads


def _made_csv(rng: random.Random) -> _Made:
    rows, loads = _rows(rng)
    out = StringIO(newline="")
    writer = csv.writer(out, delimiter=rng.choice((",", ";", "\t")))
    writer.writerow(("Athlete", "Lift", "Max (kg)", "Date", "Note"))
    for who, lift, load, on, note in rows:
        writer.writerow((who, lift, load.text, on, note))
    text = out.getvalue().replace("\0", "?")
    content = rng.choice((text.encode(), b"\xef\xbb\xbf" + text.encode(), text.encode("utf-16")))
    return _Made(UploadedFile("maxes.csv", content), {at: Cell(c.text) for at, c in loads.items()})


def _made_workbook(rng: random.Random) -> _Made:
    rows, loads = _rows(rng)
    book = Workbook()
    sheet = book.active
    sheet.title = "Maxes"
    sheet.append(("Athlete", "Lift", "Max (kg)", "Date", "Note"))
    for at, (who, lift, load, on, note) in enumerate(rows, start=2):
        values = (_clean(who), lift, _typed(load), on, note)
        for column, value in enumerate(values, start=1):
            cell = sheet.cell(at, column)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"
    out = BytesIO()
    book.save(out)
    return _Made(UploadedFile("maxes.xlsx", out.getvalue()), loads)


def _clean(text: str) -> str:
    return re.sub(r"[\x00-\x08\x0b-\x1f]", "?", text)


def _stored(cell: Cell) -> Cell:
    """A number cell as openpyxl will store it: floats with 16 digits."""
    if cell.kind is not CellKind.NUMBER:
        return cell
    try:
        return Cell(number_text(float(f"{float(cell.text):.16g}")), CellKind.NUMBER)
    except ValueError:
        return Cell(cell.text)


def _typed(cell: Cell) -> str | float:
    is_finite = cell.kind is CellKind.NUMBER and "n" not in cell.text
    return float(cell.text) if is_finite else _clean(cell.text)


def fuzz_bytes(count: int, seed: int) -> FuzzCount:
    """Flip, cut and double bytes of good files: the reader refuses or reads, and never crashes."""
    rng = random.Random(seed)
    done = FuzzCount()
    good = [_made_csv(rng).file, _made_workbook(rng).file]
    for at in range(count):
        file = good[at % 2]
        done.cells += 1
        try:
            in_process(UploadedFile(file.name, _damaged(file.content, rng)))
        except FileRefusedError:
            done.named += 1
        except Exception as error:
            done.crashes += 1
            done.faults.append(f"crash in damaged {file.name}: {error!r}")
        else:
            done.accepted += 1
    return done


def _damaged(content: bytes, rng: random.Random) -> bytes:
    damaged = bytearray(content)
    for _ in range(rng.randint(1, 20)):
        damaged[rng.randrange(len(damaged))] = rng.randrange(256)
    if rng.random() < 0.2:
        del damaged[rng.randrange(len(damaged)) :]
    return bytes(damaged)

"""Maxes as many coaches keep them: one row an athlete, one column a lift.

Such a sheet is read as one narrow Maxes sheet for each lift column, so that every check and
question is the same, and names the cell where it really stands.
"""

from __future__ import annotations

import re
from datetime import date

from heftwright.domain.catalogue import Catalogue
from heftwright.imports.cells import Cell, RawRow, RawSheet, column_letters
from heftwright.imports.columns import plain
from heftwright.imports.findings import Findings, Place, SkippedColumn, nearest
from heftwright.imports.grammar import said_unit
from heftwright.imports.headers import EXAMPLE_HEADER, header_row, match_header
from heftwright.imports.rows import ParsedRow, read_rows
from heftwright.imports.sheets import MAXES

_BASE = frozenset(("athlete", "on", "kind", "reps", "reps_in_reserve", "note"))
_LIFT_COLUMN = 100_000  # beyond any real column
_LOAD = next(column for column in MAXES.columns if column.key == "load")
_NUMBER = re.compile(r"[0-9]+([.,][0-9]+)? ?[a-z]*")
_UNIT_LAST = re.compile(r"(.*?)\s*[(\[]([^()\[\]]*)[)\]]")


def wide_header(raw: RawSheet, catalogue: Catalogue) -> RawRow | None:
    """The header row of a sheet with a column a lift; None if it is not one."""
    row, _ = header_row(raw, MAXES)
    if row is None:
        return None
    matches = (match_header(cell.text, MAXES) for cell in row.cells.values())
    keys = {match[0].key for match in matches if match}
    is_wide = "athlete" in keys and not keys & {"lift", "load"}
    return row if is_wide and _lift_columns(row, catalogue, _below(raw, row)) else None


def _below(raw: RawSheet, header: RawRow) -> tuple[RawRow, ...]:
    return tuple(row for row in raw.rows if row.number > header.number)


def _lift_columns(
    header: RawRow, catalogue: Catalogue, body: tuple[RawRow, ...] = ()
) -> dict[int, tuple[str, str]]:
    """Column -> its lift's name and the bracketed unit, as written.

    A name that only looks like lifts, as “Squat” does, is taken where it heads loads: its lift is
    asked for as in a cell.
    """
    names = tuple(lift.name for lift in catalogue.values())
    found = {}
    for at, cell in header.cells.items():
        match = _UNIT_LAST.fullmatch(cell.text)
        name, unit = (match[1], match[2]) if match else (cell.text, "")
        if match_header(cell.text, MAXES):
            continue
        lift = catalogue.named(name)
        if lift is not None:
            found[at] = (lift.name, unit)
        elif nearest(name, names) and _heads_loads(at, unit, body):
            found[at] = (name, unit)
    return found


def _heads_loads(at: int, unit: str, body: tuple[RawRow, ...]) -> bool:
    """Whether a column holds numbers, and in no unit but one of mass."""
    cells = [row.cells[at].text for row in body if at in row.cells]
    is_mass = not unit or bool(said_unit(unit, _LOAD))
    return is_mass and bool(cells) and all(_NUMBER.fullmatch(text) for text in cells)


def read_wide(
    raw: RawSheet, place: Place, findings: Findings, today: date, catalogue: Catalogue
) -> list[ParsedRow]:
    """Rows of a sheet for which `wide_header` found a header, lift column by lift column."""
    header = wide_header(raw, catalogue)
    if header is None:
        return []
    lifts = _lift_columns(header, catalogue, _below(raw, header))
    base = {at: cell for at, cell in header.cells.items() if _is_base(cell)}
    _name_skipped(header, place, findings, {*lifts, *base}, catalogue)
    rows: list[ParsedRow] = []
    for at, (lift, unit) in lifts.items():
        narrow = _narrow(raw, header, base, at, (lift, unit))
        found = read_rows(narrow, MAXES, place, findings, today)
        rows += [_labelled(row, at, header) for row in found]
    return rows


def _is_base(cell: Cell) -> bool:
    match = match_header(cell.text, MAXES)
    is_known = match is not None and match[0].key in _BASE
    return is_known or plain(cell.text) == plain(EXAMPLE_HEADER)


def _name_skipped(
    header: RawRow, place: Place, findings: Findings, read: set[int], catalogue: Catalogue
) -> None:
    names = tuple(lift.name for lift in catalogue.values())
    for at, cell in header.cells.items():
        if at not in read:
            unit = _UNIT_LAST.fullmatch(cell.text)
            near = nearest(unit[1] if unit else cell.text, names)
            findings.skipped.append(
                SkippedColumn(place.file, place.sheet, column_letters(at), cell.text, near)
            )


def _narrow(
    raw: RawSheet, header: RawRow, base: dict[int, Cell], at: int, lift: tuple[str, str]
) -> RawSheet:
    """The sheet with one lift column, headed Max, and a Lift column that says its name."""
    unit = f" ({lift[1]})" if lift[1] else ""
    heads = base | {at: Cell(f"Max{unit}"), _LIFT_COLUMN: Cell("Lift")}
    rows = [RawRow(header.number, dict(sorted(heads.items())))]
    for row in raw.rows:
        if row.number > header.number and at in row.cells:
            loose = {
                one: cell
                for one, cell in row.cells.items()
                if one in base or one == at or one not in header.cells
            }
            rows.append(RawRow(row.number, loose | {_LIFT_COLUMN: Cell(lift[0])}))
    return RawSheet(raw.name, tuple(rows), raw.merged)


def _labelled(row: ParsedRow, at: int, header: RawRow) -> ParsedRow:
    row.labels["load"] = f"{column_letters(at)}, {header.cells[at].text}"
    return row

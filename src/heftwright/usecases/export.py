"""Files out: everything entered, in a form that reads back the same; and all about one athlete."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from io import StringIO
from typing import Any

from heftwright.domain.height import LengthUnit
from heftwright.domain.log import LoggedSet
from heftwright.domain.mass import MassUnit
from heftwright.domain.squad import AthleteId
from heftwright.imports.export import Exporter, neutral, write_csv_files, write_workbook
from heftwright.imports.records import ImportRecords
from heftwright.store import log_rows, records
from heftwright.store import models as rows
from heftwright.store.coaching_rows import read_waves
from heftwright.store.documents import to_document
from heftwright.store.gym_rows import find_gym
from heftwright.store.squad_rows import athlete_row
from heftwright.usecases import contests, maxes, squad, stock, timetable
from heftwright.usecases.actor import Actor, Door, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.permissions import Right, check_may, check_own_card

LOG_COLUMNS = (
    "id", "class", "athlete", "lift", "set", "load", "unit", "reps", "outcome",
    "reps in reserve", "top set", "plan version", "logged at", "corrects",
)  # fmt: skip


def export_workbook(*, gym: GymKey, by: Actor) -> bytes:
    """Squad, maxes, stock, contests and timetable as one XLSX workbook that imports again.

    Raises
    ------
    ForbiddenError
        If they may not export.
    """
    check_may(by, gym, Right.EXPORT)
    unit = MassUnit(find_gym(gym).unit)
    return write_workbook(_everything_entered(gym), mass_unit=unit, length_unit=_length_unit(unit))


def export_csv_files(*, gym: GymKey, by: Actor) -> dict[str, str]:
    """The same as CSV texts by file name.

    Raises
    ------
    ForbiddenError
        If they may not export.
    """
    check_may(by, gym, Right.EXPORT)
    unit = MassUnit(find_gym(gym).unit)
    return write_csv_files(Exporter(_everything_entered(gym), (), unit, _length_unit(unit)))


def export_log(*, gym: GymKey, by: Actor) -> Iterator[str]:
    """The whole log as CSV lines, oldest first, corrected facts included; made as it is read.

    Raises
    ------
    ForbiddenError
        If they may not export.
    """
    check_may(by, gym, Right.EXPORT)
    found = log_rows.find_sets(find_gym(gym), {}).order_by("logged_at", "pk")
    return _log_lines(log_rows.stream_sets(found))


@verb
def export_athlete(*, gym: GymKey, by: Actor, athlete: AthleteId) -> dict[str, Any]:
    """Everything the gym keeps about one athlete, as a document; they may ask for it themselves.

    Raises
    ------
    NotFoundError
        If the gym never had them.
    ForbiddenError
        If somebody may not, or a card asks about somebody else.
    """
    right = Right.REPORT_PAIN if by.door is Door.CARD else Right.EXPORT
    with change(gym, by, "export_athlete", right) as trail:
        check_own_card(by, athlete)
        row = athlete_row(trail.gym, athlete)
        trail.note(f"health/{athlete}")
        return _all_about(row)


def _everything_entered(gym: GymKey) -> ImportRecords:
    return ImportRecords(
        athletes=squad.get_squad(gym=gym),
        maxes=tuple(kept.evidence for kept in maxes.get_evidence(gym=gym)),
        stock=stock.get_stock(gym=gym),
        contests=contests.get_contests(gym=gym),
        classes=timetable.get_timetable(gym=gym).classes,
        waves=tuple(read_waves(find_gym(gym)).values()),
    )


def _length_unit(unit: MassUnit) -> LengthUnit:
    return LengthUnit.CM if unit is MassUnit.KG else LengthUnit.IN


def _log_lines(sets: Iterator[LoggedSet]) -> Iterator[str]:
    yield _line(LOG_COLUMNS)
    for item in sets:
        number, _, unit = str(item.load).partition(" ")
        yield _line(
            (
                str(item.id), item.class_key, item.athlete, item.lift, item.set_number, number,
                unit, item.reps_done, item.outcome.value, _or_empty(item.reps_in_reserve),
                "yes" if item.is_max_attempt else "no", item.plan_version,
                item.logged_at.isoformat(), _or_empty(item.corrects),
            )
        )  # fmt: skip


def _line(cells: tuple[object, ...]) -> str:
    out = StringIO(newline="")
    csv.writer(out).writerow([neutral(cell) if isinstance(cell, str) else cell for cell in cells])
    return out.getvalue()


def _or_empty(value: object) -> object:
    return "" if value is None else str(value)


def _all_about(row: rows.Athlete) -> dict[str, Any]:
    gym, key = row.gym, row.key
    sets = log_rows.read_sets(log_rows.find_sets(gym, {"athlete": row}).order_by("logged_at"))
    trail = rows.AuditRow.objects.filter(gym=gym, subject__in=(f"athlete/{key}", f"health/{key}"))
    evidence = rows.MaxEvidence.objects.filter(gym=gym, athlete=row)
    return {
        "athlete": records.document_of(records.read_record(gym, records.RecordKind.ATHLETE, key)),
        "left_at": _or_empty(row.removed_at),
        "evidence": [_columns(item) for item in evidence.order_by("on", "pk")],
        "log": [to_document(item) for item in sets],
        "attendance": _all(rows.Attendance, row),
        "pain": _all(rows.Pain, row),
        "sessions": _all(rows.SessionEffort, row),
        "readiness": _all(rows.ReadinessReport, row),
        "bar_speed": _all(rows.BarSpeedSet, row),
        "read_and_changed_by": [
            {"at": str(item.at), "who": item.who, "verb": item.verb}
            for item in trail.order_by("at", "pk")
        ],
    }


def _all(model: Any, athlete: rows.Athlete) -> list[dict[str, str]]:
    return [_columns(item) for item in model.objects.filter(athlete=athlete).order_by("pk")]


def _columns(row: Any) -> dict[str, str]:
    shown = (f for f in row._meta.concrete_fields if f.name not in ("id", "gym", "athlete"))
    return {field.name: field.value_to_string(row) for field in shown}

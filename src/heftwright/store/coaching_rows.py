"""The coach's waves and settings, session ratings, readiness, bar speeds: rows and values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any, TypeVar

from django.db.models import QuerySet

from heftwright.domain.catalogue import Lift, LiftKey
from heftwright.domain.contest import Travel
from heftwright.domain.dose.waves import WaveTemplate
from heftwright.domain.prescription.settings import CoachSettings
from heftwright.domain.squad import AthleteId
from heftwright.domain.squad.closed import ClosedSpan
from heftwright.domain.stock import RatingOverride
from heftwright.domain.strain.reports import FIVE_ITEMS, FOUR_ITEMS, PAIN_0_10, Report
from heftwright.domain.strain.session import SessionEffort
from heftwright.domain.strength.bar_speed_log import BarSpeedSet
from heftwright.store import models as rows
from heftwright.store.documents import from_document, to_document
from heftwright.store.once import once
from heftwright.store.squad_rows import athlete_row, athlete_rows

T = TypeVar("T")
SCALES = {scale.id: scale for scale in (FIVE_ITEMS, FOUR_ITEMS, PAIN_0_10)}
_KIND_OF: dict[type[Any], str] = {
    WaveTemplate: "wave",
    CoachSettings: "settings",
    Lift: "lift",
    ClosedSpan: "closed",
    Travel: "travel",
    RatingOverride: "rating_override",
}


def read_setting(gym: rows.Gym, kind: type[Any], key: str) -> Any | None:
    """The coach's own wave or settings, or None where nothing was changed."""
    row = rows.CoachSetting.objects.filter(gym=gym, kind=_KIND_OF[kind], key=key).first()
    return None if row is None else from_document(row.document, kind)


def read_waves(gym: rows.Gym) -> Mapping[str, WaveTemplate]:
    """The coach's own waves by key."""
    found = rows.CoachSetting.objects.filter(gym=gym, kind=_KIND_OF[WaveTemplate])
    waves = (from_document(row.document, WaveTemplate) for row in found.order_by("pk"))
    return {wave.key: wave for wave in waves}


@once
def read_settings(gym: rows.Gym, kind: type[T]) -> tuple[T, ...]:
    """All settings of a kind, in the order of entering."""
    found = rows.CoachSetting.objects.filter(gym=gym, kind=_KIND_OF[kind]).order_by("pk")
    return tuple(from_document(row.document, kind) for row in found)


def write_setting(gym: rows.Gym, value: Any) -> None:
    """Keep a wave or the settings."""
    rows.CoachSetting.objects.update_or_create(
        gym=gym, kind=_KIND_OF[type(value)], key=value.key,
        defaults={"document": to_document(value)},
    )  # fmt: skip


def drop_setting(gym: rows.Gym, kind: type[Any], key: str) -> None:
    """Back to what ships."""
    rows.CoachSetting.objects.filter(gym=gym, kind=_KIND_OF[kind], key=key).delete()


def read_efforts(
    gym: rows.Gym, *, since: date, athlete: str | None = None
) -> tuple[SessionEffort, ...]:
    """Session ratings from a day on, oldest first, in one query."""
    found = _efforts(gym).filter(on__gte=since)
    if athlete is not None:
        found = found.filter(athlete__key=athlete)
    return tuple(_effort(row) for row in found.order_by("on", "pk"))


def read_effort(gym: rows.Gym, key: str) -> SessionEffort | None:
    """One session rating by its key ``"2026-11-23/mon-1830/ada"``, or None."""
    class_key, _, athlete = key.rpartition("/")
    row = _efforts(gym).filter(class_key=class_key, athlete__key=athlete).first()
    return None if row is None else _effort(row)


def write_effort(gym: rows.Gym, effort: SessionEffort) -> None:
    """Keep a rating, or change it."""
    rows.SessionEffort.objects.update_or_create(
        gym=gym, athlete=athlete_row(gym, effort.athlete), class_key=effort.class_key,
        defaults={"on": effort.on, "rpe": effort.rpe, "minutes": effort.minutes},
    )  # fmt: skip


def read_efforts_of(gym: rows.Gym, class_keys: set[str]) -> tuple[SessionEffort, ...]:
    """The ratings of some dated classes, in one query."""
    return tuple(_effort(row) for row in _efforts(gym).filter(class_key__in=class_keys))


def write_efforts(gym: rows.Gym, efforts: Sequence[SessionEffort]) -> None:
    """Keep the ratings of a whole class, or change them: two queries, however many."""
    athletes = athlete_rows(gym, {item.athlete for item in efforts})
    new = [
        rows.SessionEffort(
            gym=gym, athlete=athletes[item.athlete], class_key=item.class_key, on=item.on,
            rpe=item.rpe, minutes=item.minutes,
        )
        for item in efforts
    ]  # fmt: skip
    rows.SessionEffort.objects.bulk_create(
        new, update_conflicts=True, update_fields=["on", "rpe", "minutes"],
        unique_fields=["gym", "athlete", "class_key"],
    )  # fmt: skip


def drop_effort(gym: rows.Gym, key: str) -> None:
    """Take a rating away."""
    class_key, _, athlete = key.rpartition("/")
    _efforts(gym).filter(class_key=class_key, athlete__key=athlete).delete()


def read_speed_sets(
    gym: rows.Gym, *, athlete: str | None = None, since: date | None = None
) -> tuple[BarSpeedSet, ...]:
    """Measured sets, oldest first, in one query."""
    found = rows.BarSpeedSet.objects.filter(gym=gym).select_related("athlete")
    if athlete is not None:
        found = found.filter(athlete__key=athlete)
    if since is not None:
        found = found.filter(on__gte=since)
    return tuple(_speed_set(row) for row in found.order_by("on", "set_number", "pk"))


def read_speed_set(gym: rows.Gym, key: str) -> BarSpeedSet | None:
    """One measured set, or None."""
    found = rows.BarSpeedSet.objects.filter(gym=gym, key=key).select_related("athlete")
    row = found.first()
    return None if row is None else _speed_set(row)


def write_speed_set(gym: rows.Gym, item: BarSpeedSet) -> None:
    """Keep a measured set."""
    columns: dict[str, Any] = {
        "athlete": athlete_row(gym, item.athlete),
        "lift": item.lift,
        "on": item.on,
        "set_number": item.set_number,
        "load": item.load,
        "speeds_m_s": list(item.speeds_m_s),
    }
    rows.BarSpeedSet.objects.update_or_create(gym=gym, key=item.key, defaults=columns)


def drop_speed_set(gym: rows.Gym, key: str) -> None:
    """Take a measured set away."""
    rows.BarSpeedSet.objects.filter(gym=gym, key=key).delete()


def write_report(gym: rows.Gym, report: Report, moment: datetime) -> int:
    """Keep a readiness report, one a day and scale; returns its row's number."""
    row, _ = rows.ReadinessReport.objects.update_or_create(
        gym=gym, athlete=athlete_row(gym, report.athlete), on=report.on, scale=report.scale.id,
        defaults={"answers": list(report.answers), "reported_at": moment},
    )  # fmt: skip
    return int(row.pk)


def read_reports(gym: rows.Gym, athlete: str, since: date) -> tuple[Report, ...]:
    """An athlete's readiness reports, oldest first."""
    found = rows.ReadinessReport.objects.filter(gym=gym, athlete__key=athlete, on__gte=since)
    return tuple(
        Report(AthleteId(athlete), row.on, SCALES[row.scale], tuple(row.answers))
        for row in found.order_by("on", "pk")
    )


def known_athletes(gym: rows.Gym, keys: set[str]) -> set[str]:
    """Which of these keys the gym has or had."""
    return set(athlete_rows(gym, keys))


def _efforts(gym: rows.Gym) -> QuerySet[rows.SessionEffort, rows.SessionEffort]:
    return rows.SessionEffort.objects.filter(gym=gym).select_related("athlete")


def _effort(row: rows.SessionEffort) -> SessionEffort:
    return SessionEffort(AthleteId(row.athlete.key), row.on, row.class_key, row.rpe, row.minutes)


def _speed_set(row: rows.BarSpeedSet) -> BarSpeedSet:
    return BarSpeedSet(
        AthleteId(row.athlete.key), LiftKey(row.lift), row.on, row.set_number, row.load,
        tuple(row.speeds_m_s),
    )  # fmt: skip


def read_trained_days(gym: rows.Gym, since: datetime) -> tuple[tuple[str, str], ...]:
    """(Athlete, dated class) of every class in which somebody logged a set, in one query."""
    found = rows.LoggedSet.objects.filter(gym=gym, logged_at__gte=since, athlete__removed_at=None)
    pairs = found.values_list("athlete__key", "class_key").distinct()
    return tuple((athlete, class_key) for athlete, class_key in pairs.order_by())


def read_added_loads(
    gym: rows.Gym, athlete: str, since: date
) -> Mapping[str, tuple[float, float, float]]:
    """By dated class: what bands or chains added for an athlete, on average and at the top, and
    the max in use [kg]; from the latest plan of each class. The documents are read without
    building whole plans, since a page shows months of them.
    """
    found = rows.ClassPlanRow.objects.filter(gym=gym, on__gte=since).order_by("version")
    latest = {
        f"{on.isoformat()}/{key}": document
        for on, key, document in found.values_list("on", "class_key", "document")
    }
    added = ((key, _added(document, athlete)) for key, document in latest.items())
    return {key: pair for key, pair in added if pair is not None}


def _added(document: Any, athlete: str) -> tuple[float, float, float] | None:
    for platform in document["sheet"]["platforms"]:
        for line in platform["lifters"]:
            if line["athlete"] == athlete:
                return _added_on(line)
    return None


def _added_on(line: Any) -> tuple[float, float, float]:
    share = line["bar_share_pct"] / 100
    rope = line["rope"]
    bar_kg = rope["bar_kg"][0] if rope else line["top_kg"]
    max_kg = bar_kg / share if share > 0 else 0.0
    if not rope or not line["rig"]:
        return 0.0, 0.0, max_kg
    extra = [total - bar for total, bar in zip(rope["total_kg"], rope["bar_kg"], strict=True)]
    return sum(extra) / len(extra), extra[-1], max_kg

"""A lift as a form: how it is done, what it costs, what it carries over to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from heftwright.domain.catalogue import (
    EventFamily,
    Implement,
    Lift,
    Region,
    WeakPoint,
    load_catalogue,
)
from heftwright.domain.catalogue.own import with_implement
from heftwright.domain.height import Length
from heftwright.web.render.forms import Field, Form, Kind, form_of

TAGS = {
    "overhead": "Overhead",
    "spine_heavy": "Heavy for the spine",
    "knee_heavy": "Heavy for the knees",
    "grip_heavy": "Heavy for the grip",
    "biceps_risk": "A risk for the biceps",
}
_SHIPPED = tuple(load_catalogue().values())


def _words(values: set[str]) -> tuple[tuple[str, str], ...]:
    return tuple((value, value.replace("_", " ")) for value in sorted(values))


def _fields() -> Iterator[Field]:
    implements = tuple((item.value, item.shown) for item in Implement)
    yield Field("name", "Name", is_required=True)
    yield Field("implement", "Implement", Kind.CHOICE, choices=implements, is_required=True)
    yield Field("start_cm", "Bar's start above the floor, cm", Kind.NUMBER,
                hint="22 is the floor with full discs; empty: not fixed.")  # fmt: skip
    yield Field("grip", "Grip", Kind.CHOICE, choices=_words({i.grip for i in _SHIPPED}))
    yield Field("stance", "Stance", Kind.CHOICE, choices=_words({i.stance for i in _SHIPPED}))
    yield Field("range", "Range", Kind.CHOICE, choices=_words({i.range for i in _SHIPPED}))
    yield Field("setup_min", "Set-up, min", Kind.NUMBER, is_required=True)
    yield Field("last_heavy_days", "Last heavy day before a contest, days", Kind.WHOLE,
                is_required=True)  # fmt: skip
    for tag, words in TAGS.items():
        yield Field(f"tag_{tag}", words, Kind.CHECK, group="Left out for whoever may not do")
    for region in Region:
        yield Field(f"exposure_{region}", region.value.capitalize(), Kind.NUMBER,
                    group="Strain of a usual session, 0–5")  # fmt: skip
    for family in EventFamily:
        yield Field(f"transfer_{family}", family.value.replace("_", " ").capitalize(), Kind.NUMBER,
                    group="Carry-over to events, 0–1")  # fmt: skip
    for point in WeakPoint:
        yield Field(f"weak_{point}", point.shown.capitalize(), Kind.NUMBER,
                    group="Effect on weak points, 0–1")  # fmt: skip


LIFT_FORM = form_of(_fields())


def filled(lift: Lift) -> Form:
    """The form with a lift standing in it."""
    values: dict[str, object] = {
        "name": lift.name, "implement": lift.implement.value, "grip": lift.grip,
        "stance": lift.stance, "range": lift.range, "setup_min": f"{lift.setup_min:g}",
        "last_heavy_days": lift.last_heavy_days,
        "start_cm": "" if lift.start_height is None else f"{100 * lift.start_height.in_m:g}",
        **{f"tag_{tag}": tag in lift.tags for tag in TAGS},
    }  # fmt: skip
    for prefix, numbers in _tables(lift).items():
        values |= {f"{prefix}_{key}": f"{number:g}" for key, number in numbers.items()}
    return LIFT_FORM.filled(values)


def lift_from(lift: Lift, values: Mapping[str, Any]) -> Lift:
    """The lift with what was typed."""
    height = values["start_cm"]
    changed = replace(
        with_implement(lift, Implement(values["implement"])),
        name=values["name"].strip(),
        grip=values["grip"] or lift.grip,
        stance=values["stance"] or lift.stance,
        range=values["range"] or lift.range,
        setup_min=values["setup_min"],
        last_heavy_days=values["last_heavy_days"],
        start_height=None if height is None else Length.cm(f"{height:g}"),
        tags=frozenset(tag for tag in TAGS if values[f"tag_{tag}"]),
    )
    return replace(
        changed,
        exposure={r: values[f"exposure_{r}"] or 0.0 for r in Region},
        transfer=_given(values, "transfer", EventFamily),
        weak_points=_given(values, "weak", WeakPoint),
    )


def _given(values: Mapping[str, Any], prefix: str, words: Any) -> dict[Any, float]:
    """Numbers that were typed; what is empty or nought counts as nothing."""
    typed = {word: values[f"{prefix}_{word}"] for word in words}
    return {word: number for word, number in typed.items() if number}


def _tables(lift: Lift) -> dict[str, Mapping[str, float]]:
    return {
        "exposure": {str(key): value for key, value in lift.exposure.items()},
        "transfer": {str(key): value for key, value in lift.transfer.items()},
        "weak": {str(key): value for key, value in lift.weak_points.items()},
    }

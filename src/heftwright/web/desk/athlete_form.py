"""The athlete's record as a form, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from heftwright.domain.catalogue import WeakPoint
from heftwright.domain.height import EnteredLength, Length, LengthUnit
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, BarHeights, Sex
from heftwright.web.render.forms import Field, Form, Kind, form_of

_HEIGHTS = (
    ("pull_lockout", "Bar at deadlift lockout"),
    ("front_rack", "Bar on the shoulders, before a press"),
    ("overhead", "Bar locked out overhead"),
    ("squat_top", "Bar on the back, standing"),
    ("squat_bottom", "Bar on the back, at depth"),
    ("bench_top", "Bar over the bench, locked out"),
    ("bench_bottom", "Bar on the chest"),
)
_SEX_WORDS = (("", "choose"), (Sex.WOMAN.value, "woman"), (Sex.MAN.value, "man"))
_WEAK_CHOICES = (("0", "no"), ("0.5", "some"), ("1", "much"))

ABOUT = (
    Field("name", "Name, as called", is_required=True),
    Field("number", "Squad number", Kind.WHOLE, is_required=True),
    Field("sex", "Contest class", Kind.CHOICE, choices=_SEX_WORDS, is_required=True),
    Field("born_on", "Born on", Kind.DAY, "Without a date the athlete counts as a minor."),
    Field("body_mass", "Body mass", Kind.MASS),
    Field("stature", "Stature", Kind.LENGTH, "Without shoes."),
    Field("priority", "Weight in the season", Kind.NUMBER, "0.5 to 3; most athletes: 1."),
    Field("away_since", "Away since", Kind.DAY, "Last day trained before a lay-off."),
    Field("back_on", "Back on", Kind.DAY),
    Field("guardian", "Guardian", hint="For minors."),
    Field("supervisor", "Named supervisor", hint="For minors."),
)
TAPED = tuple(
    Field(
        name, label, Kind.LENGTH, group="Taped heights: floor to the bar's middle, in lifting shoes"
    )
    for name, label in _HEIGHTS
)
WEAK = tuple(
    Field(
        f"weak_{point.value}",
        point.shown.capitalize(),
        Kind.CHOICE,
        choices=_WEAK_CHOICES,
        group="Where lifts fail first",
    )
    for point in WeakPoint
)
SEEN = Field("was_seen", "", Kind.HIDDEN)
ATHLETE_FORM = form_of((*ABOUT, *TAPED, *WEAK, SEEN))


def filled_for(athlete: Athlete, unit: MassUnit, was_seen: str) -> Form:
    """The form with an athlete's record standing in it."""
    values: dict[str, object] = {
        "name": athlete.name,
        "number": athlete.number,
        "sex": athlete.sex.value,
        "born_on": athlete.born_on,
        "priority": f"{athlete.priority:g}",
        "away_since": athlete.away_since,
        "back_on": athlete.back_on,
        "guardian": athlete.guardian,
        "supervisor": athlete.supervisor,
        "was_seen": was_seen,
        **_mass_in("body_mass", athlete.body_mass, unit),
        **_length_in("stature", athlete.stature),
    }
    for name, _ in _HEIGHTS:
        values |= _length_in(name, getattr(athlete.heights, name))
    for point in WeakPoint:
        values[f"weak_{point.value}"] = f"{athlete.weak_points.get(point, 0):g}"
    return ATHLETE_FORM.filled(values)


def blank(number: int, unit: MassUnit) -> Form:
    """The form for somebody new."""
    return ATHLETE_FORM.filled({"number": number, "priority": "1", "body_mass_unit": unit.value})


def athlete_from(values: Mapping[str, Any], key: AthleteId, old: Athlete | None = None) -> Athlete:
    """The record as answered; what the form does not ask stays as it was."""
    base = old or Athlete(id=key, name=values["name"], number=values["number"], sex=Sex.WOMAN)
    return replace(
        base,
        name=values["name"],
        number=values["number"],
        sex=Sex(values["sex"]),
        born_on=values["born_on"],
        body_mass=_mass(values["body_mass"], base.body_mass),
        stature=_length(values["stature"], base.stature),
        heights=BarHeights(
            **{n: _length(values[n], getattr(base.heights, n)) for n, _ in _HEIGHTS}
        ),
        weak_points=_weak_points(values, base),
        priority=1.0 if values["priority"] is None else values["priority"],
        away_since=values["away_since"],
        back_on=values["back_on"],
        guardian=values["guardian"],
        supervisor=values["supervisor"],
    )


def _weak_points(values: Mapping[str, Any], base: Athlete) -> dict[WeakPoint, float]:
    answers = {point: values[f"weak_{point.value}"] for point in WeakPoint}
    said = {
        point: base.weak_points.get(point, 0) if answer is None else float(answer)
        for point, answer in answers.items()
    }
    return {point: share for point, share in said.items() if share > 0}


def _mass(entered: EnteredMass | None, old: Mass | None) -> Mass | None:
    """What was entered, or the old exact value when the figure shown for it came back unchanged."""
    if entered is None:
        return None
    same = old is not None and str(entered) == old.shown(entered.unit, 3)
    return old if same else entered.mass


def _length(entered: EnteredLength | None, old: Length | None) -> Length | None:
    if entered is None:
        return None
    same = old is not None and str(entered) == old.shown(entered.unit, 3)
    return old if same else entered.length


def _mass_in(name: str, mass: Mass | None, unit: MassUnit) -> dict[str, object]:
    figure = "" if mass is None else mass.shown(unit, 3).partition(" ")[0]
    return {name: figure, f"{name}_unit": unit.value}


def _length_in(name: str, length: Length | None) -> dict[str, object]:
    figure = "" if length is None else length.shown(LengthUnit.CM, 3).partition(" ")[0]
    return {name: figure, f"{name}_unit": LengthUnit.CM.value}

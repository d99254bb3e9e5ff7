"""The wish for a set-up as typed: lift, load, share and its meaning, what may be changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from heftwright.domain.catalogue import BarPathKind, LiftKey, load_catalogue
from heftwright.domain.height import Length, LengthUnit
from heftwright.domain.mass import MassUnit
from heftwright.domain.resistance import DEFAULT_MEANING, TopShareMeaning
from heftwright.domain.stock import RigKind
from heftwright.usecases.rigged_bar import WhatIf
from heftwright.usecases.rigging import Kinds, Wish
from heftwright.web.http.reading import Answers, read_form
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.quantities import meant

_LIFTS = tuple(
    (lift.key, lift.name)
    for lift in load_catalogue().values()
    if lift.bar_path is not BarPathKind.NONE
)
USUAL_LIFT = "deadlift"
_MEANINGS = tuple((meaning.value, meaning.shown) for meaning in TopShareMeaning)
_KINDS = (
    (Kinds.BANDS.value, "bands"),
    (Kinds.CHAINS.value, "chains"),
    (Kinds.BOTH.value, "bands, chains, or both together"),
)
_WAYS = (
    ("", "as chosen"),
    (RigKind.CHOKED.value, "choked"),
    (RigKind.SINGLE.value, "single, laid over"),
    (RigKind.DOUBLED.value, "doubled"),
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked, read.

    Parameters
    ----------
    form, what_if_form : Form
        As typed.
    lift : LiftKey
        Which lift.
    wish, what_if
        None where something could not be read.
    rig : str
        Key of the rig that is looked at; empty: the best.
    """

    form: Form
    what_if_form: Form
    lift: LiftKey
    wish: Wish | None
    what_if: WhatIf | None
    rig: str


def wish_form(who: Field) -> Form:
    """The questions; ``who`` is the athlete or the class."""
    return form_of(
        (
            who,
            Field("lift", "Lift", Kind.CHOICE, choices=_LIFTS, is_required=True, value=USUAL_LIFT),
            Field("load", "Written load, % of max", Kind.NUMBER, is_required=True, value="50"),
            Field("share", "Bands or chains, %", Kind.NUMBER, is_required=True, value="25"),
            Field("slack", "Give or take, points", Kind.NUMBER, is_required=True, value="3"),
            Field(
                "meaning", "The % of bands is a", Kind.CHOICE, choices=_MEANINGS,
                is_required=True, value=DEFAULT_MEANING.value,
            ),
            Field("kinds", "Made with", Kind.CHOICE, choices=_KINDS, value=Kinds.BANDS.value),
        )
    )  # fmt: skip


def what_if_form(
    pegs: tuple[Length, ...], bars: tuple[tuple[str, str], ...], unit: MassUnit
) -> Form:
    """What may be changed on a rig that is chosen."""
    heights = tuple((_figure(peg), f"at {peg}") for peg in pegs)
    return form_of(
        (
            Field("peg", "Pegs", Kind.CHOICE, choices=(("", "as chosen"), *heights)),
            Field("way", "Bands", Kind.CHOICE, choices=_WAYS),
            Field(
                "raised", "Blocks or boards under the start", Kind.LENGTH, unit=LengthUnit.CM.value
            ),
            Field("bar", "Bar", Kind.CHOICE, choices=bars),
            Field("bar_load", "Bar with plates", Kind.MASS, "Empty: as written.", unit=unit.value),
        )
    )


def read_wish(form: Form, what_if: Form, typed: Mapping[str, str]) -> Asked:
    """What was typed; unanswered questions keep what stands in them."""
    answers = _read(form, typed)
    changes = _read(what_if, typed)
    return Asked(
        form=answers.form,
        what_if_form=changes.form,
        lift=LiftKey(answers.values["lift"] or USUAL_LIFT),
        wish=_wish(answers) if answers.is_sound else None,
        what_if=_what_if(changes) if changes.is_sound else None,
        rig=typed.get("rig", ""),
    )


def _read(form: Form, typed: Mapping[str, str]) -> Answers:
    standing = {field.name: field.value for field in form.fields}
    standing |= {f"{field.name}_unit": field.unit for field in form.fields if field.units}
    return _within(read_form(form, {**standing, **typed}))


def _within(answers: Answers) -> Answers:
    """Percentages inside what the accounts take."""
    complaints = {
        name: f"{100 * most:.0f} % at most."
        for name, most in (("load", 1.5), ("share", 1.0), ("slack", 1.0))
        if (answers.values.get(name) or 0.0) > 100 * most
    }
    if not complaints:
        return answers
    standing = {field.name: field.wrong for field in answers.form.fields if field.wrong}
    return Answers(answers.form.blamed(standing | complaints), answers.values)


def _wish(answers: Answers) -> Wish:
    values: Mapping[str, Any] = answers.values
    return Wish(
        load_ratio=values["load"] / 100,
        share_ratio=values["share"] / 100,
        slack_ratio=values["slack"] / 100,
        meaning=TopShareMeaning(values["meaning"]),
        kinds=Kinds(values["kinds"]),
    )


def _what_if(answers: Answers) -> WhatIf:
    values: Mapping[str, Any] = answers.values
    return WhatIf(
        peg=Length.cm(values["peg"]) if values["peg"] else None,
        way=RigKind(values["way"]) if values["way"] else None,
        raised=meant(values["raised"]) or Length(0),
        bar=values["bar"] or "",
        load=meant(values["bar_load"]),
    )


def _figure(length: Length) -> str:
    return length.shown(LengthUnit.CM, 3).partition(" ")[0]

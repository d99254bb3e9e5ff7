"""Every kind of stock as a form, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from typing import Any

from heftwright.domain.catalogue import Implement
from heftwright.domain.mass import MassUnit
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ChainMassSource,
    ImplementUnit,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
)
from heftwright.usecases.stock import RecordKind
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.quantities import meant, stated

_KEY = Field("key", "Short name", hint="Steady; small letters, digits, hyphens.", is_required=True)
_SEEN = Field("was_seen", "", Kind.HIDDEN)
_IMPLEMENTS = tuple((item.value, item.shown) for item in Implement)
_KNOWN = (
    (ChainMassSource.WEIGHED.value, "weighing it"),
    (ChainMassSource.TABLE.value, "a standard's table"),
    (ChainMassSource.CALLIPER.value, "three calliper readings"),
)
_PEGS = ("peg_1", "peg_2", "peg_3", "peg_4")


def _mass(name: str, label: str, hint: str = "", *, must: bool = False) -> Field:
    return Field(name, label, Kind.MASS, hint, is_required=must)


def _length(name: str, label: str, hint: str = "", *, must: bool = False) -> Field:
    return Field(name, label, Kind.LENGTH, hint, is_required=must)


def _whole(name: str, label: str) -> Field:
    return Field(name, label, Kind.WHOLE, is_required=True)


def _name(hint: str = "") -> Field:
    return Field("name", "Name", hint=hint, is_required=True)


@dataclass(frozen=True, slots=True)
class StockKind:
    """One kind of stock.

    Parameters
    ----------
    word : str
        In addresses.
    kind : RecordKind
        In the store.
    title, one : str
        Many and one, in words.
    value_type : type
        The domain's record.
    questions : tuple of Field
        Beside the short name.
    """

    word: str
    kind: RecordKind
    title: str
    one: str
    value_type: type[Any]
    questions: tuple[Field, ...]

    def form(self, *, is_new: bool) -> Form:
        """The questions; the short name only for something new."""
        return form_of((_KEY, *self.questions) if is_new else (*self.questions, _SEEN))

    def filled(self, item: Any, unit: MassUnit, was_seen: str) -> Form:
        """The form with an item standing in it."""
        values: dict[str, object] = {"was_seen": was_seen}
        for question in self.questions:
            values |= stated(question.name, _attribute(item, question.name), unit)
        return self.form(is_new=False).filled(values)

    def item_from(self, values: Mapping[str, Any], key: str, old: Any = None) -> Any:
        """The record as answered; what the form does not ask stays as it was."""
        answered = {
            question.name: meant(
                values[question.name], _attribute(old, question.name) if old else None
            )
            for question in self.questions
        }
        kept = {} if old is None else {item.name: getattr(old, item.name) for item in fields(old)}
        named = _renamed(self.value_type, answered)
        defaults = {f.name for f in fields(self.value_type) if f.default is not MISSING}
        said = {k: v for k, v in named.items() if v is not None or k not in defaults}
        for name in set(named) - set(said):
            kept.pop(name, None)  # an emptied answer means "as by default", not "as before"
        return self.value_type(**{**kept, **said, "key": key})


def _attribute(item: Any, name: str) -> Any:
    if name in _PEGS:
        place = _PEGS.index(name)
        return item.peg_heights[place] if place < len(item.peg_heights) else None
    value = getattr(item, name)
    return value.value if isinstance(value, Implement | ChainMassSource) else value


def _renamed(value_type: type[Any], answered: dict[str, Any]) -> dict[str, Any]:
    if "implement" in answered:
        answered["implement"] = Implement(answered["implement"])
    if answered.get("known_by"):
        answered["known_by"] = ChainMassSource(answered["known_by"])
    if value_type is Platform:
        pegs = [answered.pop(name) for name in _PEGS]
        answered["peg_heights"] = tuple(sorted(peg for peg in pegs if peg is not None))
    return answered


STOCK_KINDS: dict[str, StockKind] = {
    kind.word: kind
    for kind in (
        StockKind(
            "bars", RecordKind.BAR, "Bars", "bar", Bar,
            (
                _name("What is painted on it."),
                Field("implement", "Kind", Kind.CHOICE, choices=_IMPLEMENTS, is_required=True),
                _mass("mass", "Mass", "Weighed, without collars.", must=True),
                _mass("collar", "One collar", "Counts in the total."),
                _length("sleeve", "Sleeve", "Loadable length of one end."),
                _whole("count", "How many alike"),
                _mass("rating", "Maker's limit", "On the total with bands at the top."),
            ),
        ),
        StockKind(
            "plates", RecordKind.PLATE, "Plates", "pair of plates", PlatePair,
            (
                _mass("mass", "One plate", "Weighed.", must=True),
                _mass("nominal", "Printed on it", "Where that differs."),
                _whole("pairs", "Pairs"),
                _length("diameter", "Diameter"),
                _length("thickness", "Thickness"),
                Field("colour", "Colour", hint="As #1f4fa3; the mass is always shown too."),
            ),
        ),
        StockKind(
            "bands", RecordKind.BAND, "Bands", "pair of bands", Band,
            (
                _name("Its colour is only a name, never a tension."),
                _whole("pairs", "Pairs"),
                _length("rest_length", "Length laid flat", must=True),
                _length("safe_length", "Longest safe length", "Empty: 2 × the length laid flat."),
                _mass("rated_force", "Maker's limit of pull", "Of one loop; empty: not known."),
                _mass("guess_top_force", "Tension by its label", "Never used unasked."),
                Field("inspected_on", "Inspected on", Kind.DAY),
                Field("retire_on", "Retire on", Kind.DAY, "From that day it is blocked."),
            ),
        ),
        StockKind(
            "chains", RecordKind.CHAIN, "Chains", "pair of chains", Chain,
            (
                _name(),
                _whole("pairs", "Pairs"),
                _mass("mass_per_m", "Mass of one metre", must=True),
                _length("length", "Length of one chain", must=True),
                _mass("leader", "Leader and clips, a side"),
                Field("known_by", "Mass known by", Kind.CHOICE, choices=_KNOWN),
                Field("known_on", "Weighed or measured on", Kind.DAY, "Without it: not used."),
            ),
        ),
        StockKind(
            "blocks", RecordKind.BLOCK, "Blocks", "pair of blocks", Block,
            (
                _length("height", "Height", must=True),
                _whole("pairs", "Pairs"),
                _mass("rating", "Maker's limit", "Of the pair, with bands at the top."),
            ),
        ),
        StockKind(
            "implements", RecordKind.IMPLEMENT, "Implements", "implement", ImplementUnit,
            (
                _name(),
                Field("implement", "Kind", Kind.CHOICE, choices=_IMPLEMENTS, is_required=True),
                _mass("mass", "Mass, empty", "Never weighed: cannot be prescribed."),
                _whole("count", "How many"),
                _length("pick_height", "Height of the pick"),
                Field("weighed_on", "Weighed on", Kind.DAY),
                Field("takes_plates", "Takes plates", Kind.CHECK),
            ),
        ),
        StockKind(
            "platforms", RecordKind.PLATFORM, "Platforms", "platform", Platform,
            (
                Field("has_rack", "Has a rack", Kind.CHECK),
                *(_length(name, f"Band pegs {place}") for place, name in enumerate(_PEGS, 1)),
                _length("peg_offset", "Pegs beside the bar's line"),
                _mass("rack_rating", "Rack: maker's limit", "On the total with bands at the top."),
            ),
        ),
    )
}  # fmt: skip

READING_FORM = form_of(
    (
        _length("length", "From peg to bar", must=True),
        _mass("force", "Scale shows", must=True),
        Field("side", "Side", Kind.CHOICE, choices=tuple((s.value, s.value) for s in Side)),
        Field(
            "direction", "While", Kind.CHOICE,
            choices=tuple((d.value, w) for d, w in zip(
                (ReadingDirection.UNSAID, ReadingDirection.UP, ReadingDirection.DOWN),
                ("not said", "stretching", "letting back"), strict=True,
            )),
        ),
        Field(
            "rig", "Fixed", Kind.CHOICE,
            choices=tuple((r.value, r.value.replace("_", " ")) for r in RigKind),
        ),
    )
)  # fmt: skip


def reading_from(values: Mapping[str, Any], taken_on: Any) -> BandReading:
    """One calibration reading as answered."""
    return BandReading(
        length=meant(values["length"]),
        force=meant(values["force"]),
        taken_on=taken_on,
        side=Side(values["side"]),
        direction=ReadingDirection(values["direction"]),
        rig=RigKind(values["rig"]),
    )

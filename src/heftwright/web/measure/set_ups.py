"""Choosing a set-up for one athlete or a whole class, and trying changes on the rope chart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from django.http import HttpResponse
from django.utils.http import urlencode

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance import LoadCurve, StraightPolicy
from heftwright.domain.resistance.bar_path import TAPED_SD_M
from heftwright.domain.sheet import LoadedSleeve, PlateOnBar, RopeChart
from heftwright.domain.sheet.class_sheet import BAND_CAUTION, CHAIN_CAUTION
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.stock import PlatePair
from heftwright.pictures.rope_chart import rope_chart_table
from heftwright.pictures.table import ChartTable
from heftwright.usecases import clock, rigged_bar, rigging
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.rigged_bar import Rigged
from heftwright.usecases.rigging import ClassSheetOfRigs, Kinds, RigLine, RigSheet
from heftwright.web.access.requests import GymRequest
from heftwright.web.measure.wishes import Asked, read_wish, what_if_form, wish_form
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind

_KIND_WORDS = {
    Kinds.BANDS: "bands",
    Kinds.CHAINS: "chains",
    Kinds.BOTH: "bands or chains",
}
_CAUTIONS = {
    Kinds.BANDS: (BAND_CAUTION,),
    Kinds.CHAINS: (CHAIN_CAUTION,),
    Kinds.BOTH: (BAND_CAUTION, CHAIN_CAUTION),
}
_STRAIGHT = {
    StraightPolicy.SAME_MEAN: "as heavy on average",
    StraightPolicy.SAME_BOTTOM: "as heavy at the bottom",
    StraightPolicy.SAME_TOP: "as heavy at the top",
}


@dataclass(frozen=True, slots=True)
class RigRow:
    """A rig in the list."""

    line: RigLine
    is_chosen: bool
    total_top_kg: float | None
    share_pct: float | None


@dataclass(frozen=True, slots=True)
class OnBar:
    """The chosen rig on its bar."""

    rigged: Rigged
    rope: RopeChart
    before: RopeChart | None
    table: ChartTable
    sleeve: LoadedSleeve
    straight: tuple[tuple[str, float], ...]
    share_pct: float | None
    stripping_pct: int | None
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SetUpPage:
    """Rigs for one athlete."""

    template: ClassVar[str] = "measure/set_up.html"
    area: ClassVar[str] = "stock"

    form: Form
    unit: MassUnit
    has_people: bool
    athlete: Athlete | None = None
    sheet: RigSheet | None = None
    rows: tuple[RigRow, ...] = ()
    what_if_form: Form | None = None
    on_bar: OnBar | None = None
    problem: str = ""
    bar_problem: str = ""
    meaning: str = ""
    kind_words: str = ""
    as_chosen: str = ""

    @property
    def cautions(self) -> tuple[str, ...]:
        """Of what hangs on this bar."""
        if self.on_bar is None:
            return (BAND_CAUTION,)
        setup = self.on_bar.rigged.setup
        hazards = ((setup.band_parts, BAND_CAUTION), (setup.chain_parts, CHAIN_CAUTION))
        return tuple(words for parts, words in hazards if parts)

    @property
    def top_sd(self) -> Length:
        """How unsure the height of the top is."""
        return Length.nearest_m(self.sheet.path.sd_m if self.sheet else 0.0)

    @property
    def is_guessed_height(self) -> bool:
        """Whether the top was derived, not taped."""
        return self.sheet is not None and self.sheet.path.sd_m > TAPED_SD_M


@dataclass(frozen=True, slots=True)
class SetUpClassPage:
    """Rigs for a class."""

    template: ClassVar[str] = "measure/set_up_class.html"
    area: ClassVar[str] = "stock"

    form: Form
    unit: MassUnit
    has_classes: bool
    sheet: ClassSheetOfRigs | None = None
    problem: str = ""
    meaning: str = ""
    wish: str = ""
    cautions: tuple[str, ...] = ()


def set_up(request: GymRequest) -> HttpResponse:
    """Rigs for one athlete and lift."""
    known = Gathered(request.gym.key, clock.today(request.gym.key))
    people = known.athletes.values()
    choices = tuple((person.id, f"{person.number} {person.name}") for person in people)
    form = wish_form(
        Field("athlete", "Athlete", Kind.CHOICE, choices=choices, value=_first(choices))
    )
    asked = _asked(request, form, known)
    page = SetUpPage(asked.form, request.gym.unit, bool(people), what_if_form=asked.what_if_form)
    if asked.wish is None or not people:
        return show_desk(request, page)
    key = AthleteId(_value(asked.form, "athlete"))
    return show_desk(request, _rigs_page(known, page, asked, key))


def set_up_class(request: GymRequest) -> HttpResponse:
    """Rigs for everybody who usually comes to a class."""
    known = Gathered(request.gym.key, clock.today(request.gym.key))
    classes = known.timetable.classes
    choices = tuple(
        (item.key, f"{item.weekday.shown} {item.starts_at:%H:%M}, {item.slot.shown}")
        for item in classes
    )
    form = wish_form(Field("class", "Class", Kind.CHOICE, choices=choices, value=_first(choices)))
    asked = _asked(request, form, known)
    if asked.wish is None or not classes:
        return show_desk(request, SetUpClassPage(asked.form, request.gym.unit, bool(classes)))
    try:
        sheet, problem = rigging.rigs_for_class(
            known=known, class_key=_value(asked.form, "class"), lift=asked.lift, wish=asked.wish
        ), ""  # fmt: skip
    except Refusal as refusal:
        sheet, problem = None, str(refusal)
    meaning = asked.wish.meaning.shown
    page = SetUpClassPage(asked.form, request.gym.unit, has_classes=True)
    wish = _address(_without_class(asked.form))
    cautions = _CAUTIONS[asked.wish.kinds]
    page = replace(page, sheet=sheet, problem=problem, meaning=meaning, wish=wish)
    return show_desk(request, replace(page, cautions=cautions))


def _first(choices: tuple[tuple[str, str], ...]) -> str:
    return choices[0][0] if choices else ""


def _value(form: Form, name: str) -> str:
    return next(field.value for field in form.fields if field.name == name)


def _asked(request: GymRequest, form: Form, known: Gathered) -> Asked:
    typed = request.GET
    lift = typed.get("lift") or _value(form, "lift")
    bars = _bars(known, lift)
    changes = what_if_form(rigged_bar.peg_heights(known), bars, request.gym.unit)
    return read_wish(form, changes, _known_bar(typed, bars))


def _bars(known: Gathered, lift: str) -> tuple[tuple[str, str], ...]:
    try:
        bars = rigged_bar.bars_for(known, LiftKey(lift))
    except Refusal:
        bars = ()
    return (("", "the usual one"), *((bar.key, f"{bar.name}, {bar.mass}") for bar in bars))


def _known_bar(typed: Mapping[str, str], bars: tuple[tuple[str, str], ...]) -> dict[str, str]:
    """Another lift has other bars: one that is none of them counts as not chosen."""
    kept = {name: typed[name] for name in typed}
    if kept.get("bar") not in {key for key, _ in bars}:
        kept.pop("bar", None)
    return kept


def _rigs_page(known: Gathered, page: SetUpPage, asked: Asked, athlete: AthleteId) -> SetUpPage:
    wish = asked.wish
    assert wish is not None
    person = known.athletes[athlete]
    page = replace(
        page, athlete=person, meaning=wish.meaning.shown, kind_words=_KIND_WORDS[wish.kinds]
    )
    try:
        sheet = rigging.rigs_for(known=known, athlete=athlete, lift=asked.lift, wish=wish)
    except Refusal as refusal:
        return replace(page, problem=str(refusal))
    chosen = _chosen(sheet, asked.rig)
    rows = tuple(_row(line, chosen) for line in sheet.lines)
    on_bar, why = _on_bar(known, sheet, chosen, asked, page.unit)
    as_chosen = _address(page.form, rig=chosen)
    page = replace(page, sheet=sheet, rows=rows, as_chosen=as_chosen)
    return replace(page, on_bar=on_bar, bar_problem=why)


def _without_class(form: Form) -> Form:
    return Form(tuple(field for field in form.fields if field.name != "class"))


def _address(form: Form, **more: str) -> str:
    """The wish as it stands, for a link."""
    return urlencode({field.name: field.value for field in form.fields} | more)


def _chosen(sheet: RigSheet, wanted: str) -> str:
    keys = [line.setup.key for line in (*sheet.lines, *sheet.refused)]
    return wanted if wanted in keys else (keys[0] if sheet.lines else "")


def _row(line: RigLine, chosen: str) -> RigRow:
    bar_kg, share = line.bar_kg, line.share_ratio
    return RigRow(
        line=line,
        is_chosen=line.setup.key == chosen,
        total_top_kg=None if bar_kg is None else bar_kg + line.choice.top_kg,
        share_pct=None if share is None else 100 * share,
    )


def _on_bar(
    known: Gathered, sheet: RigSheet, chosen: str, asked: Asked, unit: MassUnit
) -> tuple[OnBar | None, str]:
    if not chosen or asked.what_if is None or asked.wish is None:
        return None, ""
    try:
        rigged = rigged_bar.rig_with(
            known=known, sheet=sheet, setup_key=chosen, wish=asked.wish, what_if=asked.what_if
        )
    except Refusal as refusal:
        return None, str(refusal)
    rope = _rope(rigged.curve, rigged, sheet.max_kg)
    on_bar = OnBar(
        rigged=rigged,
        rope=rope,
        before=_rope(rigged.before, rigged, sheet.max_kg) if rigged.before else None,
        table=rope_chart_table(rope, unit=unit),
        sleeve=_sleeve(rigged, unit),
        straight=tuple((_STRAIGHT[policy], kg) for policy, kg in rigged.straight),
        share_pct=None if rigged.share_ratio is None else 100 * rigged.share_ratio,
        stripping_pct=round(100 * rigged.stripping.used_ratio) if rigged.stripping else None,
        warnings=rigged.loaded.warnings(),
    )
    return on_bar, ""


def _rope(curve: LoadCurve, rigged: Rigged, max_kg: float) -> RopeChart:
    marks = rigged.path.marks
    return RopeChart(curve.heights_m, curve.bar_kg, curve.total_kg, curve.sd_kg, marks, max_kg)


def _sleeve(rigged: Rigged, unit: MassUnit) -> LoadedSleeve:
    bar = rigged.loaded.bar
    plates = tuple(_plate(plate, unit) for plate in rigged.loaded.left)
    return LoadedSleeve(bar.name, bar.sleeve.in_mm, plates, bar.collar, (), ())


def _plate(plate: PlatePair, unit: MassUnit) -> PlateOnBar:
    printed: Mass = plate.nominal or plate.mass
    return PlateOnBar(
        plate.key, plate.mass, printed.shown(unit).partition(" ")[0], plate.diameter.in_mm,
        plate.thickness.in_mm, plate.colour,
    )  # fmt: skip

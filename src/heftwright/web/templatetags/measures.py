"""Tags of the measuring pages: their pictures, and floats as figures with units."""

from __future__ import annotations

from django import template
from django.utils.safestring import SafeString, mark_safe

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import LoadedSleeve, RopeChart
from heftwright.domain.stock import RigKind
from heftwright.pictures.band_curve import BandChart, band_curve_svg
from heftwright.pictures.band_rig import Method, band_rig_svg
from heftwright.pictures.body_tape import body_tape_svg
from heftwright.pictures.rope_chart import rope_chart_svg
from heftwright.pictures.sleeve import sleeve_svg
from heftwright.web.templatetags.look import mass, number

register = template.Library()


@register.simple_tag
def band_curve(chart: BandChart, unit: MassUnit) -> SafeString:
    """Force against length of one band."""
    drawn = band_curve_svg(chart, id_prefix="band-curve", unit=unit)
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def band_curve_small(chart: BandChart, unit: MassUnit) -> SafeString:
    """The same, low enough to stay in sight above a phone's keyboard."""
    drawn = band_curve_svg(chart, id_prefix="band-mini", unit=unit, size=(360.0, 190.0))
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def band_rig(rig: RigKind, method: Method) -> SafeString:
    """How a band is read."""
    drawn = band_rig_svg(rig, method, id_prefix="band-rig")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def body_tape(name: str) -> SafeString:
    """Where the tape is held."""
    drawn = body_tape_svg(name, id_prefix=f"tape-{name}")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def rope(chart: RopeChart, before: RopeChart | None, unit: MassUnit) -> SafeString:
    """Load against bar height, with what it was before a change."""
    drawn = rope_chart_svg(chart, id_prefix="rope", unit=unit, before=before)
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def one_sleeve(sleeve: LoadedSleeve) -> SafeString:
    """One end of the bar."""
    drawn = sleeve_svg(sleeve, id_prefix="sleeve", view="half")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def kg(value_kg: float, unit: MassUnit) -> SafeString:
    """A computed load to a tenth, as a figure with its unit."""
    return mass(Mass.nearest_kg(value_kg, "0.1"), unit)


@register.simple_tag
def pct(ratio: float) -> SafeString:
    """A ratio as per cent to a tenth."""
    return number(100 * ratio, "%", 1)


@register.filter
def above(value: float, limit: float) -> bool:
    """Whether a figure is large enough to be said."""
    return abs(value) >= limit

"""Tags of the strength and strain pages: pictures, shares and floats as figures with units."""

from __future__ import annotations

from decimal import Decimal

from django import template
from django.utils.safestring import SafeString, mark_safe

from heftwright.domain.mass import Mass, MassUnit
from heftwright.pictures.progress_lines import ProgressLine, progress_lines_svg
from heftwright.pictures.strain_lines import StrainLine, strain_lines_svg
from heftwright.web.render.words import plain
from heftwright.web.templatetags.look import mass, number

register = template.Library()


@register.simple_tag
def load(kg: float, unit: MassUnit, step: str = "0.5") -> SafeString:
    """A computed load [kg], rounded to a step, in the gym's unit."""
    return mass(Mass.nearest_kg(kg, step), unit)


@register.simple_tag
def pct(ratio: float, places: int = 0) -> SafeString:
    """A share as a percentage."""
    return number(100 * ratio, "%", places)


@register.simple_tag
def signed_pct(ratio: float, places: int = 1) -> str:
    """A change as a percentage with its sign."""
    value = Decimal(repr(round(100 * abs(ratio), places)))
    sign = "±" if value == 0 else "+" if ratio > 0 else "−"
    return f"{sign}{plain(value, places)} %"


@register.simple_tag
def clock(seconds: int) -> str:
    """Seconds as ``1:40``."""
    return f"{seconds // 60}:{seconds % 60:02d}"


@register.simple_tag
def progress_lines(lines: tuple[ProgressLine, ...], unit: MassUnit) -> SafeString:
    """Each day's best over time."""
    drawn = progress_lines_svg(lines, id_prefix="progress", unit=unit)
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def strain_lines(lines: tuple[StrainLine, ...], weeks: tuple[str, ...]) -> SafeString:
    """Exposure by region against the own habit."""
    drawn = strain_lines_svg(lines, weeks=weeks, id_prefix="strain")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word

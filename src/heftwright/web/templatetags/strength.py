"""Tags of the strength and strain pages: pictures, shares and floats as figures with units."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from heftwright.domain.dose.waves import WaveTemplate
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.strength import Belief, Evidence
from heftwright.domain.strength.one_max import ago
from heftwright.pictures.level_lines import LevelLine, level_lines_svg
from heftwright.pictures.progress_lines import ProgressLine, progress_lines_svg
from heftwright.pictures.strain_lines import StrainLine, strain_lines_svg
from heftwright.pictures.wave_ramp import wave_ramp_svg
from heftwright.web.render.words import plain
from heftwright.web.templatetags.look import mass, number

register = template.Library()


@register.simple_tag
def load_kg(kg: float, unit: MassUnit, step: str = "0.5") -> SafeString:
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
def set_words(evidence: Evidence, unit: MassUnit) -> str:
    """What was lifted: load, reps, and what was felt to be left."""
    return evidence.set_words(unit)


@register.simple_tag
def belief_state(belief: Belief, today: date) -> SafeString:
    """How old the test is, in a word: tested, ask, too old, never."""
    days = belief.days_since_test(today)
    if days is None:
        return format_html('<span class="state wait">{}</span>', "untested")
    if not belief.may_target_top(today):
        return format_html('<span class="state bad">untested for {} weeks</span>', days // 7)
    if belief.asks_for_test(today):
        return format_html('<span class="state wait">untested for {} weeks</span>', days // 7)
    return format_html('<span class="state good">tested {}</span>', ago(days))


@register.filter
def of(names: Mapping[str, str], key: str) -> str:
    """The name that stands for a key."""
    return names.get(key, key)


@register.filter
def kit_name(key: str) -> str:
    """A kit key in words."""
    return key.replace("_", " ")


@register.simple_tag
def mass_as_entered(value: Mass) -> SafeString:
    """A mass in the unit it was entered in."""
    entered = EnteredMass.of(value)
    return mass(value, entered.unit)


@register.simple_tag
def speeds(values: tuple[float, ...]) -> str:
    """Speeds of a set to two places."""
    return ", ".join(f"{value:.2f}" for value in values)


@register.simple_tag
def wave_ramp(wave: WaveTemplate) -> SafeString:
    """A wave's weeks as rising steps: bar below, bands or chains on top of it."""
    drawn = wave_ramp_svg(wave, id_prefix=f"wave-{wave.key}")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


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
def level_lines(lines: tuple[LevelLine, ...], days: tuple[date, ...]) -> SafeString:
    """Everybody's level over time."""
    drawn = level_lines_svg(lines, spans=days, id_prefix="levels")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def strain_lines(lines: tuple[StrainLine, ...], weeks: tuple[str, ...]) -> SafeString:
    """Exposure by region against the own habit."""
    drawn = strain_lines_svg(lines, weeks=weeks, id_prefix="strain")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word

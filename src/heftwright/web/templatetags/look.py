"""Tags and filters of the templates: figures with their units, pictures, small words."""

from __future__ import annotations

from decimal import Decimal

from django import template
from django.templatetags.static import static
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import LifterLine, LoadedSleeve, SeasonStrip
from heftwright.domain.stock import PlatePair
from heftwright.pictures.belief_bars import BeliefBar, belief_bars_svg
from heftwright.pictures.colour import safe_colour
from heftwright.pictures.plate_chips import Change, plate_chips_svg
from heftwright.pictures.rope_chart import rope_chart_svg
from heftwright.pictures.season_phone import season_strip_phone_svg
from heftwright.pictures.season_strip import season_strip_svg, week_room_of
from heftwright.pictures.sleeve import View, sleeve_svg
from heftwright.web.render import words

register = template.Library()


@register.simple_tag
def mass(value: Mass, unit: MassUnit = MassUnit.KG) -> SafeString:
    """A mass as a figure with its unit: never one without the other."""
    figure, _, shown_unit = value.shown(unit).partition(" ")
    return _figure(figure, shown_unit)


@register.simple_tag
def number(value: float, unit: str, places: int = 0) -> SafeString:
    """Any other quantity as a figure with its unit."""
    return _figure(words.plain(Decimal(repr(float(value))), places), unit)


def _figure(figure: str, unit: str) -> SafeString:
    return format_html(
        '<span class="figure">{}<span class="unit">&#8239;{}</span></span>', figure, unit
    )


@register.simple_tag
def shares(line: LifterLine) -> str:
    """Bar and top share of a line in words."""
    return words.share_words(line)


@register.simple_tag
def change_words(sleeve: LoadedSleeve) -> words.ChangeWords:
    """What comes off and goes on a side."""
    return words.change_of(sleeve)


@register.simple_tag
def sleeve(line: LifterLine, where: str, view: View = "half") -> SafeString:
    """The loaded sleeve of a line as a picture; ``where`` keeps ids apart on one page."""
    if line.sleeve is None:
        return SafeString("")
    prefix = f"sleeve-{where}-{line.athlete}"
    # built by pictures.drawing, which escapes every word it is given
    return mark_safe(sleeve_svg(line.sleeve, id_prefix=prefix, view=view))  # noqa: S308


@register.simple_tag
def plate_chips(line: LifterLine, change: Change, where: str) -> SafeString:
    """What comes off or goes on for a line as small plates; empty where nothing does."""
    if line.sleeve is None:
        return SafeString("")
    plates = line.sleeve.off if change == "off" else line.sleeve.on
    if not plates:
        return SafeString("")
    prefix = f"chips-{where}-{change}-{line.athlete}"
    # built by pictures.drawing, which escapes every word it is given
    return mark_safe(plate_chips_svg(plates, change, id_prefix=prefix))  # noqa: S308


@register.simple_tag
def icon(name: str) -> SafeString:
    """A decorative icon from the sprite; the words beside it say what it means."""
    sprite = static("heftwright/icons.svg")
    return format_html(
        '<svg class="icon" aria-hidden="true" width="22" height="22">'
        '<use href="{}#{}"></use></svg>',
        sprite,
        name,
    )


@register.filter
def cap_first(text: str) -> str:
    """First letter upper, the rest untouched."""
    return text[:1].upper() + text[1:]


@register.filter
def lower_first(text: str) -> str:
    """First letter lower, the rest untouched: a lift's name inside a sentence."""
    return text[:1].lower() + text[1:]


@register.simple_tag
def stack(sleeve: LoadedSleeve) -> str:
    """The plates of a side in words, inner first."""
    return words.stack_words(sleeve.plates) or "no plates"


@register.simple_tag
def rope_chart(line: LifterLine) -> SafeString:
    """Load against bar height for one line."""
    if line.rope is None:
        return SafeString("")
    drawn = rope_chart_svg(line.rope, id_prefix=f"rope-{line.athlete}", unit=line.unit)
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def length(value: Length) -> SafeString:
    """A length [cm] as a figure with its unit."""
    figure, _, unit = value.shown().partition(" ")
    return _figure(figure, unit)


@register.simple_tag
def belief_bars(bars: tuple[BeliefBar, ...], unit: MassUnit) -> SafeString:
    """An athlete's maxes as believed today."""
    drawn = belief_bars_svg(bars, id_prefix="beliefs", unit=unit)
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def plate_mark(plate: PlatePair) -> SafeString:
    """A plate from the side, to scale; decorative, since its mass stands beside it."""
    height = max(6.0, plate.diameter.in_mm / 450 * 34)
    width = max(3.0, plate.thickness.in_mm / 450 * 34 * 1.6)
    return format_html(
        '<svg class="plate-mark" aria-hidden="true" width="14" height="36" viewBox="0 0 14 36">'
        '<rect x="{}" y="{}" width="{}" height="{}" rx="1.5" fill="{}" stroke="currentColor"/>'
        "</svg>",
        f"{7 - width / 2:.1f}",
        f"{18 - height / 2:.1f}",
        f"{width:.1f}",
        f"{height:.1f}",
        safe_colour(plate.colour),
    )


@register.simple_tag
def code(drawn: str) -> SafeString:
    """A code to scan, drawn by render.codes."""
    return mark_safe(drawn)  # noqa: S308 - segno's own SVG of squares; no text of ours is in it


@register.simple_tag
def role_words(role: str) -> str:
    """A coach's role in words."""
    return str(role).replace("_", " ")


@register.simple_tag
def season_strip(strip: SeasonStrip) -> SafeString:
    """The season from left to right."""
    drawn = season_strip_svg(strip, id_prefix="season", week_room=week_room_of(len(strip.weeks)))
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word


@register.simple_tag
def season_strip_phone(strip: SeasonStrip) -> SafeString:
    """The season for a narrow screen."""
    drawn = season_strip_phone_svg(strip, id_prefix="season-phone")
    return mark_safe(drawn)  # noqa: S308 - built by pictures.drawing, which escapes every word

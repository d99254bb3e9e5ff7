"""The class sheet: the whole class on one page to pin on the wall, tick and write on."""

from __future__ import annotations

from typing import Any

from heftwright.domain.sheet import ClassSheet, PlatformSheet
from heftwright.domain.sheet.class_sheet import BAND_CAUTION
from heftwright.domain.sheet.rig_cautions import is_banded
from heftwright.paper.lines import CardUrls, head_data, line_data
from heftwright.paper.press import Paper, pressed


def class_sheet_pdf(
    sheet: ClassSheet, *, paper: Paper = "a4", card_urls: CardUrls | None = None
) -> bytes:
    """Print the class: platforms as blocks, lifters in turn order, a box to tick for each set.

    Up to 26 athletes stand on one page; more, or very long words, go on to a second.

    Parameters
    ----------
    sheet : ClassSheet
        Tonight's class.
    paper : {"a4", "letter"}
        What lies in the printer.
    card_urls : mapping of AthleteId to str, optional
        Address of each athlete's card, printed as a QR code beside the name.

    Raises
    ------
    PaperError
        If the paper is not known.
    """
    data = {
        **head_data(sheet),
        "columns": _columns([_platform(sheet, item, card_urls) for item in sheet.platforms]),
        "unplaced": [
            {"number": str(one.number), "name": one.name, "why": one.why} for one in sheet.unplaced
        ],
        "rep_work": list(sheet.rep_work),
        "floor": list(sheet.floor_words),
        "has_sides": any(one.steps for item in sheet.platforms for one in item.lifters),
        "band_caution": BAND_CAUTION if _is_band_caution_missing(sheet) else "",
    }
    return pressed("class_sheet.typ", data, paper=paper, made_at=sheet.planned_at)


def _platform(
    sheet: ClassSheet, platform: PlatformSheet, card_urls: CardUrls | None
) -> dict[str, Any]:
    return {
        "key": platform.key,
        "bar": platform.bar_name,
        "rig": platform.rig or "straight weight",
        "scheme": _common_scheme(platform),
        "clock": f"round {platform.round_s / 60:.1f} min, done after {platform.finish_min:.0f} min",
        "lifters": [
            line_data(sheet, platform, line, view="half", card_urls=card_urls)
            for line in platform.lifters
        ],
    }


def _common_scheme(platform: PlatformSheet) -> str:
    """Sets × reps and rest if all share them, said once; else empty, and each line says its own."""
    schemes = {(line.work_words, line.scheme.rest_s) for line in platform.lifters}
    if len(schemes) != 1:
        return ""
    words, rest_s = schemes.pop()
    return f"{words}, rest {rest_s} s" if rest_s else words


def _columns(platforms: list[dict[str, Any]]) -> list[list[dict[str, Any]]]:
    """Two columns, platforms in their order, split where the longer column is shortest."""
    sizes = [1 + len(platform["lifters"]) for platform in platforms]
    splits = range(len(platforms) + 1)
    split = min(splits, key=lambda at: max(sum(sizes[:at]), sum(sizes[at:])))
    return [platforms[:split], platforms[split:]]


def _is_band_caution_missing(sheet: ClassSheet) -> bool:
    """The caution of bands stands where the hazard is, once: mostly at the foot already."""
    return BAND_CAUTION not in sheet.caution and any(
        is_banded(line.rig) for platform in sheet.platforms for line in platform.lifters
    )

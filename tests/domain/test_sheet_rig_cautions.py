"""Cautions stand for what really hangs on the bars."""

from __future__ import annotations

from datetime import date

import pytest

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance import band_part, set_up
from heftwright.domain.resistance.rigs import chain_part
from heftwright.domain.sheet.class_sheet import BAND_CAUTION, CHAIN_CAUTION
from heftwright.domain.sheet.rig_cautions import is_banded, rig_cautions
from heftwright.domain.stock import Band, BandReading, Chain, RigKind

GREY = Band(
    "grey",
    "Grey",
    2,
    Length.cm(100),
    (BandReading(Length.cm(150), Mass.kg(20), date(2026, 11, 2)),),
)
LINKS = Chain("links", "Rattler", 2, Mass.kg(5), Length.cm(160), known_on=date(2026, 11, 2))
BANDS = set_up(band_part(GREY, RigKind.DOUBLED, peg_height=Length.cm(4))).name
CHAINS = set_up(chain_part(LINKS)).name
MIXED = set_up(
    band_part(GREY, RigKind.CHOKED, peg_height=Length.cm(4)), chain_part(LINKS, is_looped=True)
).name


@pytest.mark.parametrize(
    ("rigs", "cautions"),
    [
        ((), ()),
        (("", ""), ()),
        ((BANDS, ""), (BAND_CAUTION,)),
        ((CHAINS,), (CHAIN_CAUTION,)),
        ((MIXED,), (BAND_CAUTION, CHAIN_CAUTION)),
        ((BANDS, CHAINS), (BAND_CAUTION, CHAIN_CAUTION)),
        (("something else",), (BAND_CAUTION,)),
    ],
)
def test_each_hazard_has_its_caution_whatever_the_gym_calls_its_gear(rigs, cautions):
    assert rig_cautions(rigs) == cautions


def test_a_band_without_the_word_in_its_name_is_a_band():
    assert "band" not in BANDS.lower()
    assert is_banded(BANDS)
    assert not is_banded(CHAINS)

"""What the gym owns: records that can be true, and kit counted for planning."""

from dataclasses import replace

import pytest
from resistance_gear import DAY

from heftwright.domain.catalogue import Implement, KitKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ImplementUnit,
    PlatePair,
    Platform,
    Stock,
    StockError,
)

BAR = Bar("bar", "Bar", Implement.STRAIGHT_BAR, Mass.kg(20), Mass.kg("2.5"), count=4)
PLATE = PlatePair("p25", Mass.kg(25), 3)
READ = (BandReading(Length.m("1.4"), Mass.kg(20), DAY),)
BAND = Band("grey", "Grey", 6, Length.m(1), READ)


@pytest.mark.parametrize(
    ("item", "more", "sentence"),
    [
        (BAR, {"mass": Mass(0)}, "its mass must be above 0"),
        (BAR, {"count": 0}, "count must be at least 1"),
        (PLATE, {"mass": Mass(0)}, "its mass must be above 0"),
        (PLATE, {"pairs": -1}, "pairs must be 0 or more"),
        (BAND, {"rest_length": Length(0)}, "measure its length laid flat"),
        (BAND, {"pairs": -1}, "pairs must be 0 or more"),
    ],
)
def test_a_record_that_cannot_be_true_is_refused(item, more, sentence):
    with pytest.raises(StockError, match=sentence):
        replace(item, **more)


def test_the_least_that_can_be_true_is_taken():
    assert replace(BAR, mass=Mass(1), count=1).empty == Mass(1) + 2 * Mass.kg("2.5")
    assert replace(PLATE, mass=Mass(1), pairs=0).pairs == 0
    assert replace(BAND, rest_length=Length(1), pairs=0).longest_safe == Length(2)


def test_a_bar_alone_counts_once_and_its_sleeve_is_that_of_the_rules():
    # IWF technical rules: sleeve 415 mm, full disc 450 mm.
    one = Bar("axle", "Axle", Implement.AXLE, Mass.kg(15))
    assert (one.count, one.collar, one.sleeve) == (1, Mass(0), Length.mm(415))
    assert (PLATE.diameter, PLATE.thickness) == (Length.mm(450), Length.mm(45))
    yoke = ImplementUnit("y", "Yoke", Implement.YOKE)
    assert (yoke.count, yoke.takes_plates) == (1, False)
    assert Chain("c", "C", 1, Mass.kg(3), Length.m(2)).leader == Mass(0)
    assert (Platform("P").has_rack, Platform("P").peg_offset) == (True, Length(0))


@pytest.mark.parametrize(("mm", "is_full"), [("440", True), ("439.9", False), ("450", True)])
def test_a_plate_holds_the_bar_at_floor_height_from_44_cm(mm, is_full):
    assert replace(PLATE, diameter=Length.mm(mm)).is_full_diameter is is_full


def test_bars_are_found_by_what_they_are():
    axle = Bar("axle", "Axle", Implement.AXLE, Mass.kg(15))
    assert Stock(bars=(BAR, axle)).bars_of(Implement.AXLE) == (axle,)


def test_kit_is_counted_in_units_that_serve_one_platform():
    stock = Stock(
        bars=(BAR, Bar("bar-2", "Bar 2", Implement.STRAIGHT_BAR, Mass.kg(20))),
        bands=(BAND, replace(BAND, key="unread", readings=())),
        chains=(Chain("c", "C", 5, Mass.kg(3), Length.m(2)),),
        blocks=(Block("low", Length.cm(10), 3), Block("high", Length.cm(20), 2)),
        implements=(ImplementUnit("y", "Yoke", Implement.YOKE, count=2),),
        platforms=(
            Platform("P1", peg_heights=(Length.cm(5),)),
            Platform("P2", has_rack=False, peg_heights=(Length.cm(5),)),
            Platform("P3"),
            Platform("P4", peg_heights=(Length.cm(5),)),
            Platform("P5", peg_heights=(Length.cm(5),)),
        ),
        kit={KitKey("box"): 5},
    )
    assert stock.kit_units() == {
        "box": 5, "straight_bar": 5, "yoke": 2, "rack": 4, "block": 5, "band": 3, "chain": 2,
    }  # fmt: skip


def test_bands_serve_no_more_platforms_than_have_pegs():
    pegged = Platform("P1", peg_heights=(Length.cm(5),))
    assert Stock(bands=(BAND,), platforms=(pegged,)).kit_units()["band"] == 1


def test_what_is_not_there_is_no_kit():
    assert Stock().kit_units() == {}

"""The stock list is exactly what the coach entered."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from yard_cast import TERMINAL

from heftwright.domain.catalogue import Implement, KitKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, MassGrammarError
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ImplementUnit,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
    Stock,
    StockError,
)
from heftwright.store.records import RecordKind
from heftwright.usecases import stock
from heftwright.usecases.changes import ChangedMeanwhileError, seen
from heftwright.usecases.stock import KitUnits

READING = BandReading(
    Length.cm(80),
    Mass.lb("23.5"),
    date(2026, 9, 1),
    Side.LEFT,
    ReadingDirection.UP,
    RigKind.DOUBLED,
)
AXLE = Bar("axle", "Axle", Implement.AXLE, Mass.lb(33), Mass.kg("0.25"), Length.mm(400), 2)
GREY = Band("grey", "grey", 3, Length.inches(41), (READING,), Mass.kg(40), Length.cm(200))
FULL = Stock(
    bars=(AXLE, Bar("bar", "Bar", Implement.STRAIGHT_BAR, Mass.kg(20), rating=Mass.kg(680))),
    plates=(
        PlatePair("p20", Mass.kg("20.04"), 6, nominal=Mass.kg(20)),
        PlatePair("p45", Mass.lb(45), 2),
    ),
    bands=(GREY, Band("red", "red", 2, Length.cm(104), retire_on=date(2027, 1, 1))),
    chains=(Chain("c", "heavy", 2, Mass.kg("8.4"), Length.m("1.5"), Mass.kg("1.1")),),
    blocks=(Block("b10", Length.cm(10), 2, Mass.kg(500)),),
    implements=(ImplementUnit("yoke", "Yoke", Implement.YOKE, None, takes_plates=True),),
    platforms=(
        Platform("P1", True, (Length.cm(5), Length.cm("12.5")), Length.cm(35)),
        Platform("P2", False),
    ),
    kit={KitKey("box"): 4},
)


def put(yard, what=FULL):
    stock.replace_stock(gym=yard, by=TERMINAL, stock=what)


def test_a_stock_list_reads_back_as_entered_and_in_order(yard):
    put(yard)
    assert stock.get_stock(gym=yard) == FULL


def test_the_list_keeps_the_coachs_order_when_it_changes(yard):
    put(yard)
    turned = replace(FULL, plates=FULL.plates[::-1], bands=FULL.bands[::-1])
    put(yard, turned)
    assert stock.get_stock(gym=yard) == turned


def test_what_is_not_on_the_new_list_leaves(yard):
    put(yard)
    put(yard, Stock(bars=(AXLE,)))
    assert stock.get_stock(gym=yard) == Stock(bars=(AXLE,))


def test_a_list_with_one_key_twice_is_refused(yard):
    with pytest.raises(stock.StockListError, match="“axle” is on the list twice"):
        put(yard, Stock(bars=(AXLE, AXLE)))


def test_an_item_is_added_changed_and_removed(yard):
    stock.add_item(gym=yard, by=TERMINAL, item=AXLE)
    heavier = replace(AXLE, mass=Mass.kg(16))
    stock.change_item(gym=yard, by=TERMINAL, item=heavier, was_seen=seen(AXLE))
    assert stock.get_item(gym=yard, kind=RecordKind.BAR, key="axle") == heavier
    stock.remove_item(gym=yard, by=TERMINAL, kind=RecordKind.BAR, key="axle")
    assert stock.get_stock(gym=yard) == Stock()


def test_a_key_is_given_once(yard):
    stock.add_item(gym=yard, by=TERMINAL, item=AXLE)
    with pytest.raises(Refusal, match="There is a bar “axle” already"):
        stock.add_item(gym=yard, by=TERMINAL, item=AXLE)


def test_a_change_over_somebody_elses_is_refused(yard):
    stock.add_item(gym=yard, by=TERMINAL, item=AXLE)
    with pytest.raises(ChangedMeanwhileError, match="changed by somebody else"):
        stock.change_item(gym=yard, by=TERMINAL, item=AXLE, was_seen="of another day")


def test_what_is_not_there_cannot_be_changed_removed_or_read(yard):
    with pytest.raises(NotFoundError, match="no bar “axle”"):
        stock.change_item(gym=yard, by=TERMINAL, item=AXLE)
    with pytest.raises(NotFoundError, match="no band “x”"):
        stock.remove_item(gym=yard, by=TERMINAL, kind=RecordKind.BAND, key="x")
    with pytest.raises(NotFoundError, match="no block “x”"):
        stock.get_item(gym=yard, kind=RecordKind.BLOCK, key="x")


@pytest.mark.parametrize("kind", [RecordKind.ATHLETE, RecordKind.CONTEST])
def test_an_athlete_is_no_stock(yard, kind):
    with pytest.raises(NotFoundError, match="There is no"):
        stock.remove_item(gym=yard, by=TERMINAL, kind=kind, key="ada")
    with pytest.raises(NotFoundError, match="There is no"):
        stock.get_item(gym=yard, kind=kind, key="ada")


def test_a_reading_is_added_to_its_band(yard):
    put(yard)
    later = replace(READING, taken_on=date(2026, 11, 1), rig=RigKind.CHOKED)
    stock.add_band_reading(gym=yard, by=TERMINAL, band="grey", reading=later)
    assert stock.get_item(gym=yard, kind=RecordKind.BAND, key="grey").readings == (READING, later)


def test_kit_is_counted(yard):
    stock.set_kit(gym=yard, by=TERMINAL, key=KitKey("bench"), units=3)
    assert stock.get_stock(gym=yard).kit == {"bench": 3}
    with pytest.raises(StockError, match="units must be 0 or more"):
        KitUnits(KitKey("bench"), -1)


def test_a_mass_that_nobody_can_have_written_is_refused(yard):
    odd = replace(AXLE, mass=Mass(AXLE.mass.ticks + 1))
    with pytest.raises(MassGrammarError, match="as it was weighed"):
        stock.add_item(gym=yard, by=TERMINAL, item=odd)
    assert stock.get_stock(gym=yard) == Stock()

"""A chain's mass of a metre by scale, table or calliper: live, kept, and honest about its ±."""

from __future__ import annotations

from datetime import date

import pytest
from floor_cast import ROW, TERMINAL
from measure_cast import fit_out

from heftwright.domain.mass import Mass
from heftwright.domain.stock import ChainMassSource
from heftwright.usecases import stock as stocks
from heftwright.usecases.chain_weighing import get_chain
from heftwright.usecases.stock import RecordKind

PAGE = f"/gym/{ROW}/stock/chains/links/mass"
WEIGHED = {
    "known_by": "weighed", "weight": "8.16", "weight_unit": "kg", "piece": "160",
    "piece_unit": "cm",
}  # fmt: skip
TABLE = {"known_by": "table", "size": "DIN 766/8"}
CALLIPER = {
    "known_by": "calliper", "wire": "8", "wire_unit": "mm", "pitch": "24", "pitch_unit": "mm",
    "outer": "27.2", "outer_unit": "mm",
}  # fmt: skip


@pytest.fixture(autouse=True)
def fitted(house):
    fit_out(date(2026, 11, 23))


@pytest.mark.parametrize(
    ("typed", "kg_per_m", "sd"),
    # checks.md C1: DIN 766, 8 mm: formula 1.413, printed 1.40 kg/m; 8.16 kg on 1.6 m is 5.1.
    [(WEIGHED, "5.1", "0.051"), (TABLE, "1.4", "0.056"), (CALLIPER, "1.413", "0.057")],
)
def test_each_way_gives_its_mass_with_its_own_margin(head, typed, kg_per_m, sd):
    head.post(f"{PAGE}/keep", typed)
    chain = get_chain(gym=ROW, key="links")
    assert chain.mass_per_m == Mass.kg(kg_per_m)
    assert chain.known_by == ChainMassSource(typed["known_by"])
    page = " ".join(head.get(PAGE).content.decode().split())
    assert f"{Mass.kg(sd).shown(places=2).partition(' ')[0]}" in page


def test_what_is_typed_is_shown_before_it_is_kept(assistant):
    page = assistant.get(PAGE, CALLIPER).content.decode()
    assert "A pair hanging by one end adds" in page
    assert get_chain(gym=ROW, key="links").mass_per_m == Mass.kg("5.1")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (WEIGHED | {"piece": ""}, "both are needed"),
        (TABLE | {"size": ""}, "Choose the standard and size"),
        (CALLIPER | {"outer": ""}, "Three calliper readings are needed"),
        (CALLIPER | {"outer": "15"}, "No link has wire 8 mm"),
        (WEIGHED | {"weight": "8,16"}, "has a comma"),
        (CALLIPER | {"wire": "0.8", "pitch": "2.4", "outer": "2.72"}, "no chain for a bar weighs"),
        (WEIGHED | {"weight": "816"}, "no chain for a bar weighs"),
    ],
)
def test_what_is_missing_or_cannot_be_is_said_and_nothing_is_kept(head, typed, sentence):
    answer = head.post(f"{PAGE}/keep", typed)
    assert answer.status_code >= 400
    assert sentence in answer.content.decode()
    assert get_chain(gym=ROW, key="links").mass_per_m == Mass.kg("5.1")


def test_what_cannot_be_read_is_said_while_it_is_typed(head):
    page = head.get(PAGE, WEIGHED | {"weight": "8,16"}).content.decode()
    assert "has a comma" in page.partition('id="found"')[2]


def test_a_mass_far_from_the_one_on_record_is_asked_about_before_it_is_kept(head):
    page = head.get(PAGE, WEIGHED | {"weight": "81.6"}).content.decode()
    assert "far from the 5.1 kg a metre on record" in page
    assert "far from" not in head.get(PAGE, WEIGHED).content.decode()


def test_the_hazard_stands_where_the_chain_is_handled(assistant):
    assert "look every link over for cracks" in assistant.get(PAGE).content.decode()


def test_an_assistant_reads_but_does_not_keep(assistant):
    assert "Keep this mass" not in assistant.get(PAGE).content.decode()
    assert assistant.post(f"{PAGE}/keep", TABLE).status_code == 403


def test_the_chains_record_leads_to_the_scale(head):
    page = head.get(f"/gym/{ROW}/stock/chains/links/").content.decode()
    assert PAGE in page


def test_a_chain_that_left_the_stock_is_said(head):
    stocks.remove_item(gym=ROW, by=TERMINAL, kind=RecordKind.CHAIN, key="links")
    assert head.get(PAGE).status_code == 404

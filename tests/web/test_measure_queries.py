"""The measuring pages stay within fifteen queries (trust.md: 15 queries a page)."""

from __future__ import annotations

from datetime import date

import pytest
from floor_cast import CLASS_KEY, ROW
from measure_cast import fit_out

MONDAY = date(2026, 11, 23)
MOST_QUERIES = 15
PAGES = {
    "stock": "stock/",
    "a band at the scale": "stock/bands/coal/curve",
    "an athlete at the tape": "squad/a7/tape",
    "a set-up for one athlete": "set-up/?athlete=a7",
    "another rig tried": "set-up/?athlete=a7&peg=20",
    "set-ups for a class": f"set-up/class?class={CLASS_KEY}",
}


@pytest.mark.parametrize("name", PAGES)
def test_a_measuring_page_takes_at_most_fifteen_queries(
    house, assistant, name, django_assert_max_num_queries
):
    fit_out(MONDAY)
    with django_assert_max_num_queries(MOST_QUERIES):
        assert assistant.get(f"/gym/{ROW}/{PAGES[name]}").status_code == 200

"""What a coach changes about the floor, for the test that every verb leaves a trail."""

from yard_cast import TERMINAL, YARD

from heftwright.domain.floor.terms import FloorTerms, FloorWish
from heftwright.domain.squad import AthleteId
from heftwright.usecases import floor_terms

IN_YARD = {"gym": YARD, "by": TERMINAL}


def floor_scenarios():
    """Verb -> (what comes before, the act)."""
    wish = FloorWish("ada", apart=(AthleteId("bo"),))
    return {
        "change_floor_terms": (
            None,
            lambda _: floor_terms.change_floor_terms(**IN_YARD, terms=FloorTerms(warm_up_min=12)),
        ),
        "change_floor_wish": (
            None,
            lambda _: floor_terms.change_floor_wish(**IN_YARD, wish=wish),
        ),
    }

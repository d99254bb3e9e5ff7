"""Masses are exact, whatever the unit they were written in."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.mass import (
    EnteredMass,
    Mass,
    MassGrammarError,
    MassUnit,
    parse_thousandths,
    total,
)

entered = st.builds(EnteredMass, st.integers(0, 9_999_999), st.sampled_from(MassUnit))


def test_a_pound_is_exactly_0_45359237_kg():
    # NIST SP 811, Appendix B (checks.md E6).
    assert Mass.lb(1).exactly(MassUnit.KG) == Decimal("0.45359237")


def test_45_lb_is_exactly_20_41165665_kg():
    # NIST SP 811 (checks.md E6).
    assert Mass.lb(45).exactly(MassUnit.KG) == Decimal("20.41165665")


def test_an_international_bar_with_25_15_and_2_5_a_side_and_collars_is_110_kg():
    # IWF technical rules: 20 kg bar, 2.5 kg a collar (checks.md E1).
    side = [Mass.kg(25), Mass.kg(15), Mass.kg("2.5"), Mass.kg("2.5")]
    assert Mass.kg(20) + 2 * total(side) == Mass.kg(110)


@given(entered, entered, entered)
def test_sums_do_not_depend_on_the_order_or_unit_of_adding(a, b, c):
    assert (a.mass + b.mass) + c.mass == a.mass + (c.mass + b.mass)
    assert total([a.mass, b.mass, c.mass]) - c.mass == b.mass + a.mass


@given(entered)
def test_what_was_entered_is_read_back_exactly(written):
    number = str(written).split(" ")[0]
    assert EnteredMass.read(number, written.unit) == written
    assert written.mass.exactly(written.unit) == Decimal(written.thousandths) / 1000


@pytest.mark.parametrize(
    ("kg", "shown"), [("100.0", "100 kg"), ("0.5", "0.5 kg"), ("97.50", "97.5 kg"), ("0", "0 kg")]
)
def test_masses_are_written_without_trailing_zeros_and_with_their_unit(kg, shown):
    # Dose-writing practice (ISMP): 100 not 100.0, 0.5 not .5, a space and the unit.
    assert Mass.kg(kg).shown() == shown


def test_masses_are_shown_to_the_hundredth_unless_more_is_asked_for():
    assert Mass.kg("1.234").shown() == "1.23 kg"
    assert Mass.kg("1.234").shown(places=3) == "1.234 kg"


@pytest.mark.parametrize(
    ("text", "shown"), [("x" * 40, "“" + "x" * 40 + "”"), ("x" * 41, "“" + "x" * 37 + "…”")]
)
def test_what_cannot_be_read_is_quoted_up_to_40_signs(text, shown):
    with pytest.raises(MassGrammarError) as refusal:
        parse_thousandths(text)
    assert str(refusal.value).startswith(f"{shown} is not a number")


@pytest.mark.parametrize(
    "text",
    [
        "",
        " 1",
        "1 ",
        "-1",
        "+1",
        "1e3",
        "1_0",
        ".5",
        "5.",
        "12345",
        "1.2345",
        "１２",
        "٣",
        "1 000",
        "nan",
    ],
)
def test_anything_outside_the_one_grammar_is_refused_with_a_sentence(text):
    with pytest.raises(MassGrammarError, match="not a number that can be read safely"):
        parse_thousandths(text)


def test_a_comma_gets_one_question_and_never_a_guess():
    with pytest.raises(MassGrammarError, match=r"is it 97\.5 or 975\?"):
        parse_thousandths("97,5")


def test_a_mass_finer_than_ten_nanograms_is_refused():
    with pytest.raises(MassGrammarError, match="cannot be kept exactly"):
        Mass.kg("0.000000000001")


@given(st.floats(0, 2000, allow_nan=False))
def test_the_nearest_mass_on_a_grid_is_within_half_a_step(kg):
    assert abs(Mass.nearest_kg(kg, "0.5").in_kg - kg) <= 0.25 + 1e-9


def test_a_mass_in_pounds_as_a_float():
    assert Mass.lb(45).in_lb == pytest.approx(45, rel=1e-12)
    assert Mass.kg("0.45359237").in_lb == pytest.approx(1, rel=1e-12)


@pytest.mark.parametrize("thousandths", [-1, 10_000_000])
def test_an_entry_outside_what_can_be_written_is_refused(thousandths):
    with pytest.raises(MassGrammarError, match="outside 0"):
        EnteredMass(thousandths, MassUnit.KG)
    assert EnteredMass(9_999_999, MassUnit.KG).mass == Mass.kg("9999.999")
    assert EnteredMass(0, MassUnit.KG).mass == Mass(0)


@given(st.integers(0, 9_999_999), st.sampled_from(MassUnit))
def test_a_mass_is_known_again_as_it_was_written(thousandths, unit):
    entered = EnteredMass(thousandths, unit)
    expected = entered if thousandths else EnteredMass(0, MassUnit.KG)
    assert EnteredMass.of(entered.mass) == expected


def test_a_mass_that_nobody_can_have_written_is_refused():
    with pytest.raises(MassGrammarError, match="write it as it was weighed"):
        EnteredMass.of(Mass(1))

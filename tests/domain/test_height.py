"""Exact lengths: whole ticks of 100 nm, written and read without losing one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.height import EnteredLength, Length, LengthExactnessError, LengthUnit


def test_an_inch_is_25_4_mm_exactly():
    # NIST SP 811, Appendix B.
    assert Length.inches(1) == Length.mm("25.4")
    assert Length.inches("0.001").ticks == 254


def test_a_length_finer_than_a_tick_is_refused():
    assert Length.mm("0.0001").ticks == 1
    with pytest.raises(LengthExactnessError, match="finer than"):
        Length.mm("0.00011")


def test_a_computed_length_is_kept_to_the_nearest_tick():
    assert repr(Length.nearest_m(1 / 3)) == "Length(ticks=3333333)"
    assert Length.nearest_m(0.00000005 * 1.01).ticks == 1


def test_lengths_add_and_differ_exactly():
    assert Length.cm(3) + Length.mm(5) == Length.cm("3.5")
    assert Length.cm(3) - Length.mm(5) == Length.cm("2.5")
    assert 2 * Length.cm(3) == Length.cm(3) * 2 == Length.cm(6)
    assert Length.cm(3) < Length.cm(4)


@given(st.integers(0, 9_999_999), st.sampled_from(LengthUnit))
def test_a_written_length_is_kept_as_written_and_read_back(thousandths, unit):
    entered = EnteredLength(thousandths, unit)
    again = EnteredLength.of(entered.length)
    assert again.length == entered.length
    number, _, word = str(entered).partition(" ")
    assert EnteredLength.read(number, LengthUnit(word)) == entered


@pytest.mark.parametrize(
    ("length", "written"),
    [
        (Length.cm("41.5"), "41.5 cm"),
        (Length.inches("0.001"), "0.001 in"),
        (Length.mm("0.001"), "0.001 mm"),
        (Length.cm("9999.999"), "9999.999 cm"),
        (Length.m(9999), "9999 m"),
        (Length(0), "0 cm"),
    ],
)
def test_a_length_is_written_in_the_first_unit_that_holds_it(length, written):
    assert str(EnteredLength.of(length)) == written


@pytest.mark.parametrize("length", [Length.m("10000"), Length(-1), Length(1), Length.cm(-5)])
def test_a_length_that_nobody_can_have_written_is_refused(length):
    with pytest.raises(LengthExactnessError, match="write it as it was measured"):
        EnteredLength.of(length)

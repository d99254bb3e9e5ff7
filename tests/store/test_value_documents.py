"""Domain values become documents and come back equal."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import NewType
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, Region, Slot, WeakPoint, load_catalogue
from heftwright.domain.height import EnteredLength, Length, LengthUnit
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.store.documents import DocumentError, digest, from_document, to_document
from heftwright.store.fields import length_text, mass_text, read_length, read_mass

Key = NewType("Key", str)


@dataclass(frozen=True, slots=True)
class Everything:
    """One field of each sort that plans use."""

    mass: Mass
    length: Length
    day: date
    clock: time
    moment: datetime
    span: timedelta
    word: Slot
    number: int
    share: float
    text: str
    flag: bool
    id: UUID
    exact: Decimal
    key: Key
    maybe: Mass | None
    masses: tuple[Mass, ...]
    pair: tuple[str, float]
    regions: frozenset[Region]
    by_word: Mapping[WeakPoint, float]
    by_pair: Mapping[tuple[AthleteId, LiftKey], Mass]
    by_day: Mapping[date, int]
    either: Solved[str] | Infeasible | None
    entered: EnteredMass


masses = st.builds(Mass, st.integers(-(10**15), 10**15))
lengths = st.builds(Length, st.integers(-(10**9), 10**9))
finite = st.floats(allow_nan=False)
moments = st.datetimes(timezones=st.just(UTC))
texts = st.text(max_size=8)
everything = st.builds(
    Everything,
    mass=masses,
    length=lengths,
    day=st.dates(),
    clock=st.times(),
    moment=moments,
    span=st.integers(-(10**6), 10**6).map(lambda s: timedelta(seconds=s)),
    word=st.sampled_from(Slot),
    number=st.integers(),
    share=finite,
    text=texts,
    flag=st.booleans(),
    id=st.uuids(),
    exact=st.decimals(allow_nan=False, allow_infinity=False),
    key=texts,
    maybe=st.none() | masses,
    masses=st.lists(masses, max_size=3).map(tuple),
    pair=st.tuples(texts, finite),
    regions=st.frozensets(st.sampled_from(Region)),
    by_word=st.dictionaries(st.sampled_from(WeakPoint), finite, max_size=3),
    by_pair=st.dictionaries(st.tuples(texts, texts), masses, max_size=3),
    by_day=st.dictionaries(st.dates(), st.integers(), max_size=3),
    either=st.none()
    | st.builds(Solved, texts, finite, finite, st.booleans())
    | st.builds(Infeasible, st.lists(texts, max_size=2).map(tuple)),
    entered=st.builds(EnteredMass, st.integers(0, 9_999_999), st.sampled_from(MassUnit)),
)


def words_of(value):
    """Types of the words: a word equals its text, so that == alone would not see one lost."""
    words = [value.word, value.entered.unit, *value.by_word, *value.regions]
    return sorted(map(repr, words))


@settings(max_examples=80)
@given(everything)
def test_every_sort_of_value_comes_back_equal_through_json(value):
    text = json.dumps(to_document(value), allow_nan=False)
    back = from_document(json.loads(text), Everything)
    assert back == value
    assert words_of(back) == words_of(value)


@settings(max_examples=30)
@given(everything)
def test_equal_values_have_equal_digests(value):
    assert digest(value) == digest(from_document(to_document(value), Everything))


def test_a_float_that_json_has_no_word_for_comes_back():
    assert math.isinf(from_document(to_document(math.inf), float))
    assert math.isnan(from_document(to_document(math.nan), float))


def test_a_whole_catalogue_lift_comes_back():
    for lift in load_catalogue().values():
        assert from_document(to_document(lift), type(lift)) == lift


def test_an_open_outcome_keeps_which_one_it_is():
    kind = Solved[str] | Infeasible | Stopped[str]
    stopped = Stopped("half a plan", 3.0)
    assert from_document(to_document(stopped, kind), kind) == stopped


def test_masses_read_as_they_were_written():
    athlete = Athlete(AthleteId("a"), "A", 1, Sex.MAN, body_mass=Mass.lb("231.5"))
    assert to_document(athlete)["body_mass"] == "231.5 lb"


@pytest.mark.parametrize(
    ("document", "kind"),
    [
        ({"ticks": 1, "more": 2}, EnteredMass),
        ("97.5 stone", Mass),
        ("high", Slot),
        (1.5, int),
        (True, int),
        (7, str),
        ("yes", bool),
        (None, Mass),
    ],
)
def test_a_document_of_another_kind_is_refused(document, kind):
    with pytest.raises(DocumentError, match="cannot be read"):
        from_document(document, kind)


entered_masses = st.builds(EnteredMass, st.integers(0, 9_999_999), st.sampled_from(MassUnit))


@given(entered_masses)
def test_a_mass_tells_how_it_was_written(written):
    # 10⁸ and 45 359 237 ticks share no factor: see EnteredMass.of.
    back = EnteredMass.of(written.mass)
    assert back == written or written.thousandths == 0
    assert read_mass(mass_text(written.mass)) == written.mass


@given(st.builds(EnteredLength, st.integers(0, 999_999), st.sampled_from(LengthUnit)))
def test_a_length_is_stored_exactly(written):
    assert read_length(length_text(written.length)) == written.length
    assert EnteredLength.of(written.length).length == written.length


def test_a_length_in_inches_stays_in_inches():
    assert length_text(Length.inches("41.5")) == "105.41 cm"  # exact either way
    assert length_text(Length.inches("16.123")) == "16.123 in"

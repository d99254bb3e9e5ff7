"""Words that fit where they stand."""

import itertools

from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from heftwright.pictures.axis import round_steps
from heftwright.pictures.lettering import shortened, spread, width_of, wrapped

names = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=40)
rooms = st.floats(20, 300)


@given(names, rooms)
def test_a_shortened_name_fits_or_is_a_bare_ellipsis(name, room):
    short = shortened(name, 14, room)
    assert short == name or short.endswith("…")
    assert width_of(short, 14) <= room


@given(names, rooms, st.integers(1, 4))
def test_wrapped_words_fit_in_their_lines(name, room, lines):
    rows = wrapped(name, 14, room, lines)
    assert len(rows) <= lines
    assert all(width_of(row, 14) <= room for row in rows)


@given(st.lists(st.from_regex(r"[a-z]{1,9}-?", fullmatch=True), max_size=6))
def test_wrapping_with_room_loses_no_letter(parts):
    text = " ".join(parts)
    rows = wrapped(text, 10, 200, 9)
    assert "".join(rows).replace(" ", "") == text.replace(" ", "")


def test_a_line_may_end_after_a_hyphen():
    assert wrapped("Close-grip bench press", 14, 50, 4) == ("Close-", "grip", "bench", "press")


@given(st.lists(st.tuples(st.floats(0, 500), st.floats(1, 80)), max_size=12))
def test_labels_move_as_little_as_possible(items):
    """Held against SciPy's isotonic regression, the same problem after taking the widths away."""
    middles, widths = [m for m, _ in items], [w for _, w in items]
    mine = spread(middles, widths, start=-10_000)
    offsets = [sum(widths[:i]) + widths[i] / 2 for i in range(len(widths))]
    if items:
        wanted = isotonic_regression([m - o for m, o in zip(middles, offsets, strict=True)]).x
        theirs = [level + offset for level, offset in zip(wanted, offsets, strict=True)]
        assert all(abs(a - b) < 1e-6 for a, b in zip(mine, theirs, strict=True))
    assert len(mine) == len(items)


@given(st.floats(0, 400), st.floats(1, 900), st.integers(2, 8))
def test_steps_of_an_axis_are_round_few_and_inside(low, span, at_most):
    steps = round_steps(low, low + span, at_most=at_most)
    assert len(steps) <= at_most + 1
    assert all(low - 1e-6 * span <= step <= low + span * (1 + 1e-6) for step in steps)
    gaps = {round(b - a, 6) for a, b in itertools.pairwise(steps)}
    assert len(gaps) <= 1
    assert all(f"{gap:e}"[0] in "125" for gap in gaps)


def test_a_word_too_long_for_a_line_is_broken_rather_than_cut():
    assert wrapped("Conventional deadlift", 13.5, 54, 4) == ("Conven-", "tional", "deadlift")
    assert wrapped("Conventional deadlift", 13.5, 54, 2)[-1].endswith("…")

"""Progress lines and wave ramps: to scale, in words too, and escaped."""

from __future__ import annotations

import re
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.dose.waves import WAVE_TEMPLATES
from heftwright.domain.mass import MassUnit
from heftwright.pictures.progress_lines import (
    ProgressDot,
    ProgressLine,
    ProgressLineError,
    progress_lines_svg,
    progress_lines_table,
)
from heftwright.pictures.wave_ramp import wave_ramp_svg, wave_ramp_table

FIRST = date(2026, 7, 6)


def line(*kgs, name="Back squat", singles=True):
    dots = (ProgressDot(FIRST + timedelta(weeks=n), kg, singles) for n, kg in enumerate(kgs))
    return ProgressLine(name, tuple(dots), (kgs[0], kgs[-1]) if kgs else (1, 1))


def circles(svg):
    return re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg)


def test_a_heavier_day_is_drawn_higher_and_a_later_one_further_right():
    marks = circles(progress_lines_svg((line(100, 110, 105),), id_prefix="p"))
    xs, ys = ([float(mark[axis]) for mark in marks] for axis in (0, 1))
    assert xs == sorted(xs)
    assert ys[1] < ys[2] < ys[0]


def test_lifts_share_one_axis_of_time():
    late = ProgressLine("Bench", tuple(ProgressDot(FIRST + timedelta(weeks=n), 80 + n, True)
                                       for n in (5, 10)), (85, 90))  # fmt: skip
    marks = circles(progress_lines_svg((line(*range(100, 111)), late), id_prefix="p"))
    assert marks[5][0] == marks[11][0]
    assert marks[10][0] == marks[12][0]


def test_the_table_says_first_last_and_change_in_the_gyms_unit():
    assert progress_lines_table((line(100, 112.5),)).rows == (
        ("Back squat", "100 kg on 2026-07-06", "112 kg on 2026-07-13", "+12.5 %", "2"),
    )
    (row,) = progress_lines_table((line(100, 95),), unit=MassUnit.LB).rows
    assert row[1:4] == ("220 lb on 2026-07-06", "209 lb on 2026-07-13", "−5.0 %")


def test_a_single_is_filled_and_a_worked_out_one_is_hollow():
    filled = progress_lines_svg((line(100, 110),), id_prefix="p")
    hollow = progress_lines_svg((line(100, 110, singles=False),), id_prefix="p")
    assert filled != hollow
    assert len(circles(filled)) == len(circles(hollow)) == 2


@pytest.mark.parametrize("kgs", [(100,), (), (0, 100), (100, 20_000)])
def test_a_line_needs_two_days_of_real_loads(kgs):
    with pytest.raises(ProgressLineError, match=r"two days|above 0"):
        line(*kgs)


def test_a_name_cannot_break_the_picture():
    drawn = progress_lines_svg((line(100, 110, name='<b onload="x">'),), id_prefix="p")
    ElementTree.fromstring(drawn)
    assert "<b" not in drawn


@given(st.lists(st.floats(1, 500), min_size=2, max_size=12))
def test_every_dot_stays_inside_the_picture(kgs):
    drawn = progress_lines_svg((line(*kgs),), id_prefix="p")
    width, height = map(float, re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawn).groups())
    for x, y in circles(drawn):
        assert 0 <= float(x) <= width
        assert 0 <= float(y) <= height


@pytest.mark.parametrize("key", sorted(WAVE_TEMPLATES))
def test_a_wave_is_as_tall_as_its_load_at_lockout(key):
    wave = WAVE_TEMPLATES[key]
    drawn = wave_ramp_svg(wave, id_prefix="w")
    heights = [float(h) for h in re.findall(r'<rect [^>]*height="([\d.]+)"', drawn)]
    bars, tops = heights[0::2], heights[1::2]
    for step, bar, top in zip(wave.steps, bars, tops, strict=True):
        assert bar / 90 == pytest.approx(step.bar_ratio, abs=0.01)
        assert top / 90 == pytest.approx(step.top_ratio, abs=0.01)


def test_the_table_of_a_wave_says_bar_and_top():
    rows = wave_ramp_table(WAVE_TEMPLATES["lower_banded"]).rows
    assert rows[0] == ("Week 1", "50 %", "75 %")

"""The demo gym is invented, whole and the same every time."""

import math
from collections import Counter
from datetime import date, timedelta
from itertools import pairwise
from statistics import fmean

from heftwright.demo.felt import HARD_DAYS, sessions
from heftwright.demo.history import WEEKS, history
from heftwright.demo.spreadsheets import WRONG_MAXES, write_spreadsheets
from heftwright.demo.squad import CONTESTS, SQUAD, TIMETABLE
from heftwright.demo.truth import BASE_RATIO, all_true_maxes
from heftwright.domain.catalogue import load_catalogue
from heftwright.domain.squad import Sex
from heftwright.domain.strain.reports import FIVE_ITEMS
from heftwright.imports.preview import KnownGym, UploadedFile, read_files

TODAY = date(2026, 11, 25)


def test_the_squad_is_26_athletes_of_both_sexes_and_very_different_strength():
    assert len(SQUAD) == 26
    assert min(Counter(a.sex for a in SQUAD).values()) >= 10
    pulls = [a.pull_kg for a in SQUAD]
    assert max(pulls) / min(pulls) > 3
    assert {Sex.WOMAN, Sex.MAN} == {a.sex for a in SQUAD}


def test_numbers_and_names_are_told_apart():
    assert len({a.number for a in SQUAD}) == len({a.name for a in SQUAD}) == 26


def test_there_are_four_class_times_and_three_contests_with_different_events():
    assert len(TIMETABLE) == 4
    assert len(CONTESTS) == 3
    events = [frozenset(event[0] for event in contest.events) for contest in CONTESTS]
    assert len(set(events)) == 3
    assert all(contest.on(TODAY).weekday() == 5 for contest in CONTESTS)


def test_the_same_day_gives_the_same_history_to_the_last_set():
    assert list(history(TODAY)) == list(history(TODAY))


def test_twenty_weeks_of_history_end_before_this_week():
    sets = list(history(TODAY))
    monday = TODAY - timedelta(days=TODAY.weekday())
    assert max(item.on for item in sets) < monday
    assert min(item.on for item in sets) == monday - timedelta(weeks=WEEKS)
    assert len(sets) > 10_000


def test_the_one_back_from_a_lay_off_has_a_gap_and_the_minor_no_heavy_single():
    sets = list(history(TODAY))
    away = next(a.number for a in SQUAD if a.note == "lay-off")
    days = sorted({item.on for item in sets if item.number == away})
    assert max(b - a for a, b in pairwise(days)) > timedelta(days=45)
    minor = next(a.number for a in SQUAD if a.note == "minor")
    heavy = [item for item in sets if item.number == minor and item.is_max_attempt]
    assert heavy
    assert all(item.reps >= 2 for item in heavy)


def test_no_made_set_is_above_the_true_max_of_that_lift_by_more_than_a_good_day():
    truth = all_true_maxes()
    for item in history(TODAY):
        if item.made:
            assert item.load_kg <= truth[item.number][item.lift] * math.exp(0.09)


def test_every_lift_of_the_truth_is_in_the_catalogue():
    assert set(BASE_RATIO) <= set(load_catalogue())


def test_the_spreadsheets_come_in_with_exactly_the_wrong_cells_named(tmp_path):
    files = write_spreadsheets(tmp_path, TODAY)
    uploads = [UploadedFile(path.name, path.read_bytes()) for path in files]
    preview = read_files(uploads, known=KnownGym(today=TODAY))
    named = sorted(problem.cell for problem in preview.problems)
    asked = sorted(question.sample for question in preview.questions)
    assert named == ["2950", "77", "about 215"]
    assert asked == ["147,5", "401", "Conventional dedlift"]
    written = {cell for row in WRONG_MAXES for cell in map(str, row[:3])}
    assert {*named, *asked} <= written
    assert len(named) + len(asked) == len(WRONG_MAXES)
    assert [column.header for column in preview.skipped] == ["Shirt size"]
    assert len(preview.records.athletes) == 26


def test_every_session_of_the_twenty_weeks_was_asked_about_but_for_a_few():
    sets = list(history(TODAY))
    trained = {(item.on, item.class_key, item.number) for item in sets}
    rated = list(sessions(sets, TODAY))
    assert {(item.on, item.class_key, item.number) for item in rated} <= trained
    assert 0.90 < len(rated) / len(trained) < 0.98
    assert all(0 <= item.rpe <= 10 and 60 <= item.minutes <= 120 for item in rated)
    assert rated == list(sessions(sets, TODAY))


def test_heavy_days_felt_harder_than_speed_days():
    rated = list(sessions(history(TODAY), TODAY))
    heavy = [item.rpe for item in rated if item.class_key in HARD_DAYS]
    speed = [item.rpe for item in rated if item.class_key not in HARD_DAYS]
    assert fmean(heavy) > fmean(speed) + 0.5


def test_what_athletes_said_of_themselves_fits_the_scale_and_the_weeks_that_are_shown():
    said = [item for item in sessions(history(TODAY), TODAY) if item.readiness is not None]
    assert len({item.number for item in said}) > 20
    assert all((TODAY - item.on).days < 84 for item in said)
    assert all(len(item.readiness) == len(FIVE_ITEMS.items) for item in said)
    assert {score for item in said for score in item.readiness} <= {1, 2, 3, 4, 5}

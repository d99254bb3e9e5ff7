"""The coach's own waves from a sheet: a share of bands says what it is a share of."""

import csv

import pytest
from import_cast import csv_file, preview_of, sentences

from heftwright.domain.dose.waves import WAVE_TEMPLATES
from heftwright.domain.resistance import TopShareMeaning
from heftwright.imports.export import Exporter, write_csv
from heftwright.imports.hardening import UploadedFile
from heftwright.imports.records import ImportRecords
from heftwright.imports.sheets import WAVES

HEADER = ("Wave", "Week", "Load (%)", "Bands (%)", "Total reps at most")
LOWER = "Lower day with bands"
MEANT = TopShareMeaning
AS_ADDED = {"share:waves.csv:waves": MEANT.MAX_ADDED.value}


def waves(*rows, header=HEADER, answers=None):
    return preview_of(csv_file("waves.csv", header, *rows), answers=answers)


def three(load=75, bands=25):
    return [(LOWER, week, load + 5 * (week - 1), bands, 24) for week in (1, 2, 3)]


def test_a_share_of_bands_that_does_not_say_of_what_is_asked_once_for_the_sheet():
    preview = waves(*three())
    (question,) = preview.questions
    assert "“25 % bands” with 75 % load: a share of what?" in question.sentence
    assert not preview.records.waves
    assert preview.counts[0].waiting == 3


# 75 % load and 25 % bands by the accounts in print (Nijem 2016 and Galpin 2015: of the total;
# Stevenson 2010: of the bar load; Joy 2016: of the max on top of the bar): bar and top shares.
@pytest.mark.parametrize(
    ("meaning", "bar", "top"),
    [
        (MEANT.MAX_ADDED, 0.75, 0.25),
        (MEANT.MAX_INSIDE, 0.50, 0.25),
        (MEANT.TOTAL_AT_TOP, 0.5625, 0.1875),
        (MEANT.BAR_LOAD, 0.75, 0.1875),
    ],
)
def test_each_meaning_makes_another_bar_of_the_same_words(meaning, bar, top):
    rows = [(LOWER, week, 75, 25, 24) for week in (1, 2, 3)]
    (question,) = waves(*rows).questions
    (wave,) = waves(*rows, answers={question.key: meaning.value}).records.waves
    assert (wave.steps[0].bar_ratio, wave.steps[0].top_ratio) == pytest.approx((bar, top))
    assert wave.written_as is meaning
    (label,) = (one.label for one in question.choices if one.value == meaning.value)
    assert f"{100 * bar:.4g} kg on the bar and {100 * top:.4g} kg of bands" in label


def test_a_share_on_average_is_refused_with_what_to_do_instead():
    rows = three()
    (question,) = waves(*rows).questions
    preview = waves(*rows, answers={question.key: MEANT.TOTAL_ON_AVERAGE.value})
    assert not preview.records.waves
    assert "hang the band on a scale" in sentences(preview)[0]


def test_a_sheet_that_says_its_meaning_asks_nothing():
    header = (*HEADER, "Share of")
    rows = [(*row, MEANT.MAX_INSIDE.shown) for row in three()]
    preview = waves(*rows, header=header)
    assert not preview.questions
    assert preview.records.waves[0].steps[2].bar_ratio == pytest.approx(0.60)


def test_straight_weight_has_no_share_to_ask_about():
    rows = [("straight", week, 65 + 5 * week, "", 20) for week in (1, 2, 3)]
    preview = waves(*rows)
    assert not preview.questions
    assert [step.bar_ratio for step in preview.records.waves[0].steps] == [0.7, 0.75, 0.8]


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([*three(), (LOWER, 5, 85, 25, 24)], "Week 4 of this wave is missing"),
        ([*three()[:2], (LOWER, 2, 85, 25, 24)], "stands twice"),
        ([*three()[:2], (LOWER, 3, 60, 25, 24)], "gets lighter"),
        ([*three()[:2], (LOWER, 3, 85, "", 24)], "needs a share of them"),
        ([*three()[:2], (LOWER, 3, 850, 25, 24)], "Another week of this wave"),
        ([("straight", week, 70, 20, 20) for week in (1, 2, 3)], "straight weight"),
    ],
)
def test_a_wave_that_nobody_could_train_is_left_out_whole(rows, said):
    answers = {"share:waves.csv:waves": MEANT.MAX_INSIDE.value}
    preview = waves(*rows, answers=answers)
    assert not preview.records.waves
    assert any(said in one for one in sentences(preview))


def test_a_week_that_the_sheet_does_not_name_stays_as_the_gym_has_it():
    (wave,) = waves((LOWER, 1, 45, 25, 20), answers=AS_ADDED).records.waves
    assert [step.bar_ratio for step in wave.steps] == [0.45, 0.55, 0.6]


@pytest.mark.parametrize("meaning", [one for one in MEANT if not one.is_on_average])
@pytest.mark.parametrize(("load", "bands"), [(75, 25), (63, 17.5), (55.5, 33.333)])
def test_a_wave_goes_out_as_it_was_written_and_comes_back_the_same(meaning, load, bands):
    rows = [(LOWER, week, load, bands, 24) for week in (1, 2, 3)]
    told = {"share:waves.csv:waves": meaning.value}
    (wave,) = waves(*rows, answers=told).records.waves
    text = write_csv(WAVES, Exporter(ImportRecords(waves=(wave,))))
    (row, *_) = list(csv.DictReader(text.splitlines()))
    assert (row["Load (%)"], row["Bands (%)"]) == (f"{load:g}", f"{bands:g}")
    again = preview_of(UploadedFile("waves.csv", text.encode()))
    assert again.records.waves == (wave,)


def test_the_waves_that_ship_are_known_already():
    rows = [
        ("lower_banded", at, 100 * step.bar_ratio, 25, step.most_reps)
        for at, step in enumerate(WAVE_TEMPLATES["lower_banded"].steps, start=1)
    ]
    preview = waves(*((*r[:2], f"{r[2]:g}", *r[3:]) for r in rows), answers=AS_ADDED)
    assert preview.records.waves
    assert not preview.has_something_to_save

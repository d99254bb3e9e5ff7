"""Guards at the door: wrong unit, out by ten, wrong athlete, swapped columns (trust.md)."""

import pytest
from import_cast import GYM, KIM, ROBIN, csv_file, max_preview, preview_of, sentences

from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.imports.preview import KnownGym


def test_a_max_in_the_wrong_unit_stops_and_asks():
    # 475 kg against a known 215 kg; 475 lb is 215.5 kg.
    row = (7, "deadlift", "475", "2026-09-14")
    asked = max_preview(row)
    (question,) = asked.questions
    assert not asked.records.maxes
    assert [choice.value for choice in question.choices] == ["keep", "other", "leave"]
    told = max_preview(row, answers={question.key: "other"})
    assert told.records.maxes[0].load == Mass.lb(475)
    assert told.records.written[0].value == EnteredMass(475_000, MassUnit.LB)
    kept = max_preview(row, answers={question.key: "keep"})
    assert kept.records.maxes[0].load == Mass.kg(475)
    left = max_preview(row, answers={question.key: "leave"})
    assert not left.records.maxes
    assert "left out" in sentences(left)[0]


@pytest.mark.parametrize("load", ["21.5", "21.45"])
def test_a_max_out_by_ten_stops_and_asks_about_the_point(load):
    (question,) = max_preview((7, "deadlift", load, "2026-09-14")).questions
    assert "point in the wrong place" in question.sentence


@pytest.mark.parametrize(("load", "asks"), [("107.4", 1), ("107.5", 0), ("279.5", 0), ("279.6", 1)])
def test_a_max_of_50_to_130_percent_of_the_known_one_passes(load, asks):
    # trust.md: outside 50–130 % of the known max (215 kg) stops and asks.
    preview = max_preview((7, "deadlift", load, "2026-09-14"))
    assert len(preview.questions) == asks
    assert len(preview.records.maxes) == 1 - asks


def test_a_light_rep_set_is_no_wrong_unit_but_a_heavy_one_may_be():
    header = ("Athlete", "Lift", "Max (kg)", "Date", "Reps")
    light = max_preview((7, "deadlift", "90", "2026-09-14", 10), header=header)
    heavy = max_preview((7, "deadlift", "400", "2026-09-14", 10), header=header)
    assert light.records.maxes[0].reps == 10
    assert heavy.questions


def test_without_a_known_max_the_files_own_middle_guards():
    rows = [
        (7, "axle deadlift", str(load), f"2026-09-{load % 28 + 1:02d}")
        for load in (150, 155, 160, 165, 171)
    ]
    asked = max_preview(
        *rows, (8, "axle deadlift", "1", "2026-08-01"), (8, "axle deadlift", "17", "2026-07-01")
    )
    assert len(asked.records.maxes) == 5
    assert len(asked.questions) == 2


def test_a_changed_cell_asks_again_even_when_the_row_was_answered_before():
    (question,) = max_preview((7, "deadlift", "475", "2026-09-14")).questions
    again = max_preview((7, "deadlift", "575", "2026-09-14"), answers={question.key: "keep"})
    assert again.questions


SQUAD = ("Number", "Name", "Body mass (kg)", "Stature (cm)")


def test_swapped_body_mass_and_stature_are_named():
    preview = preview_of(csv_file("squad.csv", SQUAD, (7, "Robin Example", "178", "82.5")))
    assert not preview.records.athletes
    assert "Stature must be 100–230 cm" in sentences(preview)[0]


def test_a_body_mass_far_from_the_known_one_asks_with_the_other_unit():
    row = (7, "Robin Example", "182", "178")
    (question,) = preview_of(csv_file("squad.csv", SQUAD, row)).questions
    assert [choice.value for choice in question.choices] == ["keep", "other", "leave"]
    told = preview_of(csv_file("squad.csv", SQUAD, row), answers={question.key: "other"})
    assert told.records.athletes[0].body_mass == Mass.lb(182)


def test_a_stature_far_from_the_known_one_asks():
    assert preview_of(csv_file("squad.csv", SQUAD, (7, "Robin Example", "82.5", "150"))).questions


@pytest.mark.parametrize(
    ("columns", "heights"),
    [
        (("Squat top (cm)", "Squat bottom (cm)"), (88, 148)),
        (("Front rack (cm)", "Overhead (cm)"), (214, 146)),
        (("Bench top (cm)", "Bench bottom (cm)"), (70, 108)),
        (("Pull lockout (cm)", "Front rack (cm)"), (130, 120)),
    ],
)
def test_heights_that_stand_upside_down_are_swapped_columns(columns, heights):
    preview = preview_of(
        csv_file("squad.csv", ("Number", "Name", *columns), (7, "Robin Example", *heights))
    )
    assert not preview.records.athletes
    assert any(word in sentences(preview)[0] for word in ("swapped", "below the stature"))


def test_a_known_number_with_another_name_asks_who_it_is():
    row = (7, "Robin Sample", "82.5", "178")
    (question,) = preview_of(csv_file("squad.csv", SQUAD, row)).questions
    told = preview_of(csv_file("squad.csv", SQUAD, row), answers={question.key: "same"})
    assert (told.records.athletes[0].id, told.records.athletes[0].name) == (
        ROBIN.id,
        "Robin Sample",
    )
    left = preview_of(csv_file("squad.csv", SQUAD, row), answers={question.key: "leave"})
    assert not left.records.athletes


def test_a_known_name_with_another_number_asks_who_it_is():
    header, row = ("Number", "Name", "Sex"), (70, "Robin Example", "woman")
    (question,) = preview_of(csv_file("squad.csv", header, row)).questions
    same = preview_of(csv_file("squad.csv", header, row), answers={question.key: "same"})
    assert (same.records.athletes[0].id, same.records.athletes[0].number) == (ROBIN.id, 70)
    new = preview_of(csv_file("squad.csv", header, row), answers={question.key: "new"})
    assert new.records.athletes[0].id == "athlete-70"


def test_two_athletes_of_one_name_must_be_told_apart_by_number():
    twin = type(ROBIN)(id="a-twin", name="Robin Example", number=17, sex=ROBIN.sex)
    known = KnownGym(GYM.today, athletes=(ROBIN, twin, KIM))
    preview = max_preview(("robin  example", "bench", "100", "2026-09-14"), known=known)
    assert "name of 2 athletes" in sentences(preview)[0]
    told = max_preview(("17 Robin Example", "bench", "100", "2026-09-14"), known=known)
    assert told.records.maxes[0].athlete == "a-twin"


def test_an_athlete_twice_in_the_file_is_named():
    rows = ((7, "Robin Example", "82", "178"), (7, "Robin Example", "84", "178"))
    preview = preview_of(csv_file("squad.csv", SQUAD, *rows))
    assert preview.records.athletes[0].body_mass == Mass.kg(82)
    assert "already" in sentences(preview)[0]


def test_a_new_athlete_needs_a_sex():
    assert (
        "“Sex” is needed"
        in sentences(preview_of(csv_file("squad.csv", ("Number", "Name"), (5, "Sam New"))))[0]
    )


def test_the_same_max_twice_is_named_not_counted_twice():
    row = (7, "deadlift", "215", "2026-09-14")
    preview = max_preview(row, row)
    assert len(preview.records.maxes) == 1
    assert "already" in sentences(preview)[0]


def test_a_test_of_several_reps_is_no_test():
    header = ("Athlete", "Lift", "Max (kg)", "Date", "Kind", "Reps")
    preview = max_preview((7, "deadlift", "200", "2026-09-14", "test", 3), header=header)
    assert "single" in sentences(preview)[0]


def test_an_unknown_athlete_gets_the_nearest_name():
    assert (
        "did you mean Robin Example?"
        in sentences(max_preview(("Robin Exmple", "bench", "90", "2026-09-14")))[0]
    )


def test_on_a_new_gym_a_second_test_far_from_the_first_in_the_same_files_asks_for_its_unit():
    # 401 in a kg column beside 172.5 of the same athlete and lift: 401 lb is 181.9 kg.
    rows = [(8, "back squat", "172.5", "2026-09-01"), (8, "back squat", "401", "2026-09-14")]
    preview = max_preview(*rows)
    (question,) = preview.questions
    assert "401 lb" in " ".join(choice.label for choice in question.choices)
    assert len(preview.records.maxes) == 1


FIRST_SQUAD = ("Name", "Sex", "Body mass (kg)")
FIRST_MAXES = ("Athlete", "Lift", "Max (kg)", "Date")


def first_import(*lifts, squad_row=("Ada Lind", "woman", "50"), answers=None):
    """A gym's first import: one athlete and her maxes, nothing known beforehand."""
    rows = [(squad_row[0], lift, load, "2026-09-14") for lift, load in lifts]
    return preview_of(
        csv_file("squad.csv", FIRST_SQUAD, squad_row), csv_file("maxes.csv", FIRST_MAXES, *rows),
        known=KnownGym(GYM.today), answers=answers,
    )  # fmt: skip


def test_a_first_import_asks_about_a_bench_and_a_press_of_many_body_masses():
    questions = first_import(("bench", "400"), ("strict press", "300")).questions
    assert [one.row for one in questions] == [2, 3]
    assert "400 kg is 8.0 times the body mass of 50 kg" in questions[0].sentence


@pytest.mark.parametrize("turn", [1, -1])
def test_a_bench_of_400_kg_beside_a_deadlift_of_182_5_is_asked_about(turn):
    lifts = [("bench", "400"), ("deadlift", "182.5")][::turn]
    asked = first_import(*lifts, squad_row=("Bo Hult", "man", ""))
    (question,) = asked.questions
    assert question.sample == "400"
    assert len(asked.records.maxes) == 1
    kept = first_import(*lifts, squad_row=("Bo Hult", "man", ""), answers={question.key: "keep"})
    assert len(kept.records.maxes) == 2


def test_a_bench_beside_a_smaller_deadlift_is_asked_about_by_the_ratio_of_the_two():
    (question,) = first_import(
        ("bench", "190"), ("deadlift", "120"), squad_row=("Bo Hult", "man", "110")
    ).questions
    assert "deadlift of 120 kg makes likely, about 74 kg" in question.sentence


@pytest.mark.parametrize(
    ("body_mass", "lifts"),
    [
        # Possible people: light and strong, press-shy, bench specialist, a heavyweight.
        ("50", (("deadlift", "215"), ("bench", "105"), ("strict press", "60"))),
        ("90", (("deadlift", "260"), ("bench", "110"), ("strict press", "55"))),
        ("125", (("deadlift", "250"), ("bench", "220"))),
        ("180", (("deadlift", "460"), ("strict press", "190"), ("yoke", "600"))),
    ],
)
def test_possible_people_are_let_in_without_a_question(body_mass, lifts):
    found = first_import(*lifts, squad_row=("Bo Hult", "man", body_mass))
    assert not found.questions
    assert len(found.records.maxes) == len(lifts)

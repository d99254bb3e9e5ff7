"""“Did you mean”: what is near is offered, what is far is not; one alone must be nearer than some.

Near is twice the letters that stand in both in one order, over all letters of both (the ratio of
Ratcliff and Obershelp, from memory). Counted by hand beside each pair.
"""

import pytest
from import_cast import max_preview, sentences

from heftwright.imports.findings import nearest

ALONE, OF_SEVERAL = 1, 3


def lift_ask(name):
    """Problems and questions of a sheet with one max in a lift of that name."""
    preview = max_preview(("7", name, "215", "2026-11-02"))
    return sentences(preview), [question.sentence for question in preview.questions]


@pytest.mark.parametrize(
    ("written", "name", "letters", "count", "is_offered"),
    [
        ("Robin Triple", "Robin Example", 2 * 9 / 25, ALONE, True),  # “robin ” and “ple”: 0.72
        ("Robin Trisimple", "Robin Example", 2 * 10 / 28, ALONE, False),  # “mple”: 0.714
        ("Squatted", "Back squat", 2 * 5 / 18, OF_SEVERAL, True),  # “squat”: 0.556
        ("Front squats", "Back squat", 2 * 6 / 22, OF_SEVERAL, False),  # “ squat”: 0.545
    ],
)
def test_a_name_is_offered_up_to_the_bound_and_not_a_letter_beyond(
    written, name, letters, count, is_offered
):
    bound = {ALONE: 0.72, OF_SEVERAL: 0.55}[count]
    assert abs(letters - bound) < 0.01
    assert nearest(written, (name,), count) == ((name,) if is_offered else ())


def test_one_of_several_may_be_farther_than_one_that_is_offered_alone():
    assert nearest("Squatted", ("Back squat",), OF_SEVERAL) == ("Back squat",)
    assert nearest("Squatted", ("Back squat",), ALONE) == ()


def test_the_nearest_comes_first_and_no_more_than_are_wanted():
    names = ("Box squat", "Front squats", "Front squat", "Back squat", "Log press")
    assert nearest("FRONT SQUAT", names) == ("Front squat", "Front squats", "Box squat")
    assert nearest("FRONT SQUAT", names, ALONE) == ("Front squat",)


def test_an_athlete_is_offered_up_to_the_bound_and_else_to_be_added():
    (near,) = sentences(max_preview(("Robin Triple", "Deadlift", "215", "2026-11-02")))
    assert near.endswith("did you mean Robin Example?")
    (far,) = sentences(max_preview(("Robin Trisimple", "Deadlift", "215", "2026-11-02")))
    assert far.endswith("add them to the Squad sheet.")


def test_a_lift_that_resembles_none_is_refused_and_never_asked_about():
    problems, questions = lift_ask("Jogging")
    assert questions == []
    assert "“Jogging” is no lift of the catalogue" in problems[0]
    problems, (question,) = lift_ask("Squat")
    assert problems == []
    assert "Which lift is it?" in question

"""What the floor's plan says in words counts people as people do."""

from __future__ import annotations

import pytest

from heftwright.usecases.floor_solving import wider_words


@pytest.mark.parametrize(
    ("gained", "said"), [(1, "1 more person has a bar"), (3, "3 more people have a bar")]
)
def test_one_person_has_and_three_people_have(gained, said):
    assert said in wider_words(gained)

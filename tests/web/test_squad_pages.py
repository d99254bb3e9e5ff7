"""The squad's pages: what is typed is kept, what is wrong is said at its field."""

from datetime import date

import pytest
from floor_cast import ROW, TERMINAL

from heftwright.domain.mass import Mass
from heftwright.usecases import squad

FORM = {
    "name": "Ada", "number": "50", "sex": "woman", "born_on": "1999-04-01", "body_mass": "181.5",
    "body_mass_unit": "lb", "stature": "170", "stature_unit": "cm", "priority": "1.5",
    "pull_lockout": "78.9", "pull_lockout_unit": "cm", "weak_grip": "0.5",
}  # fmt: skip
URL = f"/gym/{ROW}/squad/"


def text_of(answer):
    return answer.content.decode()


def test_somebody_new_is_in_the_squad_with_exact_measures(head, house):
    answer = head.post(URL + "new", FORM, follow=True)
    assert "Ada is in the squad." in answer.content.decode()
    (ada,) = [item for item in squad.get_squad(gym=ROW) if item.name == "Ada"]
    assert ada.body_mass == Mass.lb("181.5")
    assert ada.born_on == date(1999, 4, 1)
    assert [point.value for point in ada.weak_points] == ["grip"]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"body_mass": "82,5"}, "has a comma"),
        ({"body_mass": "8e1"}, "not a number"),
        ({"number": "7"}, "Tove"),
        ({"number": "1.5"}, "whole number"),
        ({"name": " "}, "is missing"),
        ({"born_on": "1.4.1999"}, "year-month-day"),
        ({"stature_unit": "ell"}, "choose a unit"),
        ({"sex": "other"}, "not one of the choices"),
        ({"stature": "1.7"}, "Stature 1.7 cm is not between 100 cm and 230 cm"),
        ({"body_mass": "980"}, "Body mass 444.52 kg is not between 25 kg and 250 kg"),
        ({"pull_lockout": "31.5"}, "Pull lockout 31.5 cm is not between 40 cm and 130 cm"),
        ({"pull_lockout": "60"}, "far from the 76.9 cm that stature tells"),
        ({"pull_lockout": "60"}, "If it is right: leave it out here, and enter it under Tape."),
        (
            {
                "bench_top": "60",
                "bench_top_unit": "cm",
                "bench_bottom": "69",
                "bench_bottom_unit": "cm",
            },
            "Bench top 60 cm must be above Bench bottom 69 cm",
        ),
        ({"sex": ""}, "is missing"),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_typed_is_lost(head, house, wrong, said):
    answer = head.post(URL + "new", {**FORM, **wrong})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert 'value="1999-04-01"' in page or "born_on" in wrong
    assert "Ada" not in {item.name for item in squad.get_squad(gym=ROW)}


def test_saving_an_untouched_form_changes_nothing(head, house):
    pounds = squad.get_athlete(gym=ROW, athlete=house.card_athlete)
    from dataclasses import replace

    squad.change_athlete(gym=ROW, by=TERMINAL, athlete=replace(pounds, body_mass=Mass.lb("181.5")))
    before = squad.get_athlete(gym=ROW, athlete=house.card_athlete)
    head.post(f"{URL}a7/change", typed_back(head.get(f"{URL}a7/change").content.decode()))
    assert squad.get_athlete(gym=ROW, athlete=house.card_athlete) == before


def typed_back(page):
    """What a browser would send back without a touch."""
    import re

    typed = dict(re.findall(r'<input[^>]* name="([^"]+)" value="([^"]*)"', page))
    for select in re.findall(r"<select.*?</select>", page, re.S):
        name = re.search(r'name="([^"]+)"', select).group(1)
        chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)<', select)
        first = re.search(r'<option(?: value="([^"]*)")?\s*>([^<]*)<', select)
        value, words = (chosen or first).groups()
        typed[name] = words if value is None else value
    return typed


def test_who_was_slower_keeps_their_text_and_is_told(head, owner, house):
    url = f"{URL}a7/change"
    mine, theirs = (typed_back(client.get(url).content.decode()) for client in (head, owner))
    owner.post(url, theirs | {"name": "Tova"})
    answer = head.post(url, mine | {"name": "Thova"})
    assert answer.status_code == 412
    page = answer.content.decode()
    assert 'value="Thova"' in page
    assert "changed by somebody else" in page
    assert squad.get_athlete(gym=ROW, athlete=house.card_athlete).name == "Tova"


def test_leaving_the_squad_can_be_undone(head, house):
    page = head.post(f"{URL}a7/remove", follow=True).content.decode()
    assert "Tove has left the squad" in page
    undo = page.split('action="/gym/dunnock-row/undo/')[1].split('"')[0]
    answer = head.post(f"/gym/{ROW}/undo/{undo}")
    assert answer.status_code == 302, answer.content.decode()
    assert squad.get_athlete(gym=ROW, athlete=house.card_athlete).name == "Tove"


def test_a_restriction_is_added_and_cleared(head, house):
    head.post(f"{URL}a7/restrictions", {"tag": "overhead", "until": "", "note": "coach's call"})
    (rule,) = squad.get_athlete(gym=ROW, athlete=house.card_athlete).restrictions
    assert (rule.tag, rule.until) == ("overhead", None)
    assert "Nothing is cleared" in text_of(head.post(f"{URL}a7/restrictions/0", follow=True))
    assert squad.get_athlete(gym=ROW, athlete=house.card_athlete).restrictions == (rule,)
    clearing = {"cleared_by": "Runa", "cleared_on": "2026-12-09"}
    shown = text_of(head.post(f"{URL}a7/restrictions/0", clearing, follow=True))
    assert "cleared by Runa from 9 December 2026 on; a ramp of four weeks follows" in shown
    (rule,) = squad.get_athlete(gym=ROW, athlete=house.card_athlete).restrictions
    assert (rule.cleared_by, rule.cleared_on) == ("Runa", date(2026, 12, 9))


def test_clearing_before_it_began_is_refused(head, house):
    head.post(f"{URL}a7/restrictions", {"tag": "overhead", "until": "", "note": ""})
    clearing = {"cleared_by": "Runa", "cleared_on": "2020-12-09"}
    assert "before it began" in text_of(head.post(f"{URL}a7/restrictions/0", clearing, follow=True))
    (rule,) = squad.get_athlete(gym=ROW, athlete=house.card_athlete).restrictions
    assert rule.is_open


def test_a_card_link_is_shown_once_with_its_code(head, anyone, house):
    answer = head.post(f"{URL}a12/card-link")
    page = answer.content.decode()
    assert answer.headers["Cache-Control"] == "no-store"
    assert '<svg class="qr"' in page.replace(" width", " width") or "qr" in page
    path = page.split('href="http://testserver')[1].split('"')[0]
    assert "Marek" in anyone.get(path).content.decode()


def test_a_max_far_from_the_known_one_is_asked_about_then_taken(head, house):
    typed = {"lift": "deadlift", "kind": "test", "load": "200", "load_unit": "kg",
             "reps": "1", "reps_in_reserve": "", "on": ""}  # fmt: skip
    assert head.post(f"{URL}a7/max", typed).status_code == 302
    wild = typed | {"load": "100", "load_unit": "lb"}
    asked = head.post(f"{URL}a7/max", wild)
    assert asked.status_code == 422
    assert 'name="is_confirmed"' in asked.content.decode()
    assert head.post(f"{URL}a7/max", wild | {"is_confirmed": "yes"}).status_code == 302


def test_the_athletes_page_shows_what_is_believed(head, house):
    typed = {"lift": "deadlift", "kind": "test", "load": "200", "load_unit": "kg",
             "reps": "1"}  # fmt: skip
    head.post(f"{URL}a7/max", typed)
    page = head.get(f"{URL}a7/").content.decode()
    assert "Conventional deadlift" in page
    assert "tested today" in page

"""The coach on the floor: attendance, loads, misses, pain."""

from dataclasses import replace

from floor_cast import ROW, TERMINAL, at, save_plan

from heftwright.domain.sheet.live import first_round
from heftwright.usecases import attendance, clock, pain
from heftwright.usecases import gym as gyms
from heftwright.usecases import log as logs


def floor(house):
    return house.class_url + "floor/"


def test_everybody_stands_by_platform_and_turn_with_their_load(assistant, house):
    page = assistant.get(floor(house)).content.decode()
    assert page.index("Tove") < page.index("Marek") < page.index("Brannock") < page.index("Gwil")
    assert page.count("person-load") == 10


def test_marking_somebody_away_asks_for_a_new_plan(assistant, house):
    page = assistant.post(
        floor(house) + "attendance", {"athlete": "a7", "state": "away"}, follow=True
    ).content.decode()
    assert attendance.get_attendance(gym=ROW, class_key=house.dated_key)["a7"].state == "away"
    assert "Who is here has changed" in page


def test_a_state_that_is_none_is_refused(assistant, house):
    answer = assistant.post(floor(house) + "attendance", {"athlete": "a7", "state": "asleep"})
    assert answer.status_code == 422


def test_a_miss_is_logged_as_the_next_set_at_the_planned_load(assistant, house):
    assistant.post(floor(house) + "missed", {"athlete": "a7"})
    assistant.post(floor(house) + "missed", {"athlete": "a7"})
    sets = sorted(logs.get_log(gym=ROW), key=lambda item: item.set_number)
    assert [(s.set_number, s.outcome, str(s.load)) for s in sets] == [
        (1, "missed", "97.5 kg"),
        (2, "missed", "97.5 kg"),
    ]
    assert "2 missed" in assistant.get(floor(house)).content.decode()


def test_a_miss_of_somebody_without_a_bar_says_what_to_do(assistant, house):
    answer = assistant.post(floor(house) + "missed", {"athlete": "a40"})
    assert answer.status_code == 422
    assert "plan again" in answer.content.decode()


def test_pain_is_noted_and_never_stands_on_the_page(assistant, house):
    assistant.post(floor(house) + "pain", {"athlete": "a7", "place": "knee", "score": "6"})
    (report,) = pain.read_pain(gym=ROW, by=TERMINAL, athlete="a7")
    assert (report.place, report.score_0_10) == ("knee", 6)


def test_the_floor_says_who_spoke_of_pain_but_neither_where_nor_how_much(assistant, anyone, house):
    said = "Says it hurts: stop and ask"
    page = assistant.get(floor(house)).content.decode()
    assert said not in page
    anyone.post(
        f"/card/{house.card_secret}/pain",
        {"class_key": house.dated_key, "place": "shoulder", "score": "8"},
    )
    page = assistant.get(floor(house)).content.decode()
    assert page.count(said) == 1
    assert f"/squad/{house.card_athlete}/health" in page
    assert "8 of 10" not in page
    assert said not in anyone.get(f"/board/{house.board_secret}/").content.decode()


def test_no_place_and_no_score_of_pain_is_chosen_beforehand(assistant, house):
    page = assistant.get(floor(house)).content.decode()
    form = page.split('class="pain-form"')[1].split("</form>")[0]
    assert form.count('<option value="">choose</option>') == 2
    assert "selected" not in form
    answer = assistant.post(floor(house) + "pain", {"athlete": "a7", "place": "", "score": ""})
    assert answer.status_code == 422
    assert pain.read_pain(gym=ROW, by=TERMINAL, athlete="a7") == ()


def test_no_pain_is_no_mark(assistant, house):
    assistant.post(floor(house) + "pain", {"athlete": "a7", "place": "knee", "score": "0"})
    assert "Says it hurts" not in assistant.get(floor(house)).content.decode()


def test_a_load_far_above_the_max_is_refused_with_its_reason(assistant, house):
    typed = {"athlete": "a7", "load": "400", "load_unit": "kg", "reason": "mistyped"}
    answer = assistant.post(floor(house) + "load", typed)
    assert answer.status_code == 422
    assert "110 %" in answer.content.decode()


def test_a_load_without_a_reason_is_refused(assistant, house):
    typed = {"athlete": "a7", "load": "95", "load_unit": "kg", "reason": ""}
    assert assistant.post(floor(house) + "load", typed).status_code == 422


def test_clock_times_are_the_gyms_own_not_the_servers(assistant, house):
    # Planned at 17:58 UTC; Vienna is one hour ahead of UTC in November (IANA time zones).
    assert "made 17:58" in assistant.get(floor(house)).content.decode()
    gyms.change_gym(gym=ROW, by=TERMINAL, time_zone="Europe/Vienna")
    with clock.held_at(at(house.on, 17, 30)):  # half past five in Vienna: an hour to go
        page = assistant.get(floor(house)).content.decode()
    assert "made 18:58" in page
    first = first_round(house.sheet.platforms[0], at(house.on, 18, 30)).round_began
    assert f">{first:%H:%M}</time>" in page


def test_every_platform_says_what_is_lifted_there(assistant, house):
    first, *rest = house.sheet.platforms
    twins = tuple(replace(line, lift_name="Deadlift from mats") for line in first.lifters)
    platforms = (replace(first, lifters=twins), *rest)
    everybody = tuple(line.athlete for item in platforms for line in item.lifters)
    save_plan(replace(house.sheet, platforms=platforms, plan_version=2), everybody)
    page = assistant.get(floor(house)).content.decode()
    assert page.count("<strong>Deadlift from mats</strong>") == 1
    assert page.count("<strong>Block deadlift, 10 cm</strong>") == len(rest)

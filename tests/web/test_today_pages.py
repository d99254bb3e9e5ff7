"""Today: the class with its plan, or what to do when there is none."""

from dataclasses import replace

from floor_cast import CLASS_KEY, ROW, save_plan


def test_today_shows_every_lifters_number_name_and_load(head, house):
    page = head.get(f"/gym/{ROW}/today/").content.decode()
    for platform in house.sheet.platforms:
        for line in platform.lifters:
            assert line.name in page
            assert f"{line.load.shown(line.unit).split()[0]}<span" in page


def test_nobody_unplaced_is_dropped_in_silence(head, house):
    page = head.get(f"/gym/{ROW}/today/").content.decode()
    assert "No bar yet" in page
    assert "tape the lockout first" in page


def test_every_load_answers_why(head, house):
    page = head.get(f"/gym/{ROW}/today/").content.decode()
    assert page.count("<summary><span>Why <span") == 10


def test_plan_version_stands_on_the_page(head, house):
    assert "Plan 1, made" in head.get(f"/gym/{ROW}/today/").content.decode()


def test_a_class_without_a_plan_offers_to_plan_it(head, house):
    page = head.get(f"/gym/{ROW}/class/2026-11-30/{CLASS_KEY}/").content.decode()
    assert "Plan this class" in page


def test_a_day_on_which_the_class_does_not_meet_is_not_there(head, house):
    assert head.get(f"/gym/{ROW}/class/2026-11-24/{CLASS_KEY}/").status_code == 404


def test_a_date_that_is_none_is_not_there(head, house):
    assert head.get(f"/gym/{ROW}/class/2026-02-31/{CLASS_KEY}/").status_code == 404


def test_planning_without_a_season_says_why_not(head, house):
    answer = head.post(house.class_url + "plan", follow=True)
    assert "season" in answer.content.decode().lower()


def test_the_first_turn_says_that_the_bar_starts_empty_before_what_comes_off(head, house):
    said = "The bar starts empty. From set 2:"
    assert said not in head.get(f"/gym/{ROW}/today/").content.decode()
    platforms = tuple(replace(item, on_bar=()) for item in house.sheet.platforms)
    everybody = tuple(line.athlete for item in platforms for line in item.lifters)
    save_plan(replace(house.sheet, platforms=platforms, plan_version=2), everybody)
    page = head.get(f"/gym/{ROW}/today/").content.decode()
    assert page.count(said) == len(platforms)  # one first turn a platform


def test_the_title_names_both_lifts_where_half_the_class_does_the_twin(head, house):
    first, *rest = house.sheet.platforms
    twins = tuple(replace(line, lift_name="Deadlift from mats") for line in first.lifters)
    platforms = (replace(first, lifters=twins), *rest)
    everybody = tuple(line.athlete for item in platforms for line in item.lifters)
    save_plan(replace(house.sheet, platforms=platforms, plan_version=2), everybody)
    page = head.get(f"/gym/{ROW}/today/").content.decode()
    assert "<h1>Block deadlift, 10 cm and Deadlift from mats</h1>" in page
    assert page.count("<strong>Deadlift from mats</strong>") == len(twins)


def test_one_lifters_own_lift_stands_on_their_line_and_not_in_the_title(head, house):
    first, *rest = house.sheet.platforms
    one, *others = first.lifters
    mine = (replace(one, lift_name="Deadlift from mats"), *others)
    platforms = (replace(first, lifters=mine), *rest)
    everybody = tuple(line.athlete for item in platforms for line in item.lifters)
    save_plan(replace(house.sheet, platforms=platforms, plan_version=2), everybody)
    page = head.get(f"/gym/{ROW}/today/").content.decode()
    assert "<h1>Block deadlift, 10 cm</h1>" in page
    assert page.count("<strong>Deadlift from mats</strong>") == 1

"""From the card's top set to a max: logged as an attempt, proposed, accepted by the coach."""

import re
from dataclasses import replace
from datetime import date
from html import unescape

import pytest
from django.urls import reverse
from floor_cast import CLASS_KEY, ROW, TERMINAL, at, save_plan
from sheets import make_max_effort_sheet
from test_card_pages import fact, send

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass
from heftwright.domain.sheet.live import Phase, Turn, turn_at
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.usecases import clock, maxes, squad
from heftwright.usecases import log as logs
from heftwright.usecases.live_class import DatedClass, mark_round, start_class
from heftwright.web.card.pages import work_of
from heftwright.web.desk.floor_pages import LivePlatform, people_of

PULL = LiftKey("block_deadlift")


@pytest.fixture
def work(house):
    """The same class as a max-effort day, the card's athlete tested at 200 kg two months ago."""
    sheet = make_max_effort_sheet()
    everybody = tuple(line.athlete for item in sheet.platforms for line in item.lifters)
    save_plan(sheet, everybody)
    test = Evidence(house.card_athlete, PULL, EvidenceKind.TEST, Mass.kg(200), date(2026, 9, 21))
    maxes.record_max(gym=ROW, by=TERMINAL, evidence=test)
    return work_of(sheet, house.card_athlete)


def as_the_card_logs(house, work, number, **changes):
    asked = {
        "set_number": number, "load": work.load_figures[number - 1],
        "reps_done": int(work.rep_figures[number - 1]), "plan_version": 3,
        "is_max_attempt": number == work.attempt_set,
    }  # fmt: skip
    return fact(house, **(asked | changes))


def in_order():
    return sorted(logs.get_log(gym=ROW), key=lambda item: item.set_number)


def proposed():
    return maxes.get_proposals(gym=ROW)


def test_every_step_is_in_the_log_with_its_own_load_and_reps(anyone, house, work):
    send(anyone, house, *(as_the_card_logs(house, work, number) for number in range(1, 8)))
    kept = [(str(item.load), item.reps_done, item.is_max_attempt) for item in in_order()]
    assert kept == [
        ("70 kg", 5, False), ("92.5 kg", 3, False), ("122.5 kg", 3, False), ("140 kg", 3, False),
        ("155 kg", 3, False), ("165 kg", 6, False), ("175 kg", 6, True),
    ]  # fmt: skip


def test_a_made_top_set_is_proposed_when_the_coach_opens_the_maxes_and_can_be_accepted(
    anyone, head, house, work
):
    top = as_the_card_logs(house, work, 7, reps_in_reserve=1)
    send(anyone, house, as_the_card_logs(house, work, 6), top)
    page = head.get(f"/gym/{ROW}/strength/").content.decode()
    assert "175 kg × 6, 1 in reserve" in page
    (waiting,) = proposed()
    assert (waiting.load, waiting.reps) == (Mass.kg(175), 6)
    assert waiting.proposal.new_kg > waiting.proposal.old_kg
    url = reverse("strength_decide", args=[ROW, house.card_athlete, waiting.key])
    assert head.post(url, {"decision": "accept"}).status_code == 302
    belief = maxes.get_beliefs(gym=ROW)[house.card_athlete, PULL]
    assert belief.median_kg == pytest.approx(waiting.proposal.new_kg)


def test_what_raises_no_hard_question_is_shown_then_accepted_together_and_taken_back(
    anyone, head, house, work
):
    send(anyone, house, as_the_card_logs(house, work, 7, reps_in_reserve=1))
    url = reverse("strength_all", args=[ROW])
    page = head.get(url).content.decode()
    assert "Accept these 1" in page
    assert head.post(url, {"seen": "something older"}).status_code == 412
    assert len(proposed()) == 1
    mark = re.search(r'name="seen" value="([^"]+)"', page).group(1)
    shown = head.post(url, {"seen": mark}, follow=True).content.decode()
    assert "1 max accepted" in shown
    assert proposed() == ()
    back = re.search(r'"(/gym/[^"]+/strength/all/[^"]+/back)"', shown).group(1)
    assert head.post(back).status_code == 302
    assert len(proposed()) == 1


def test_a_missed_top_set_and_the_lighter_steps_propose_nothing(anyone, head, house, work):
    missed = as_the_card_logs(house, work, 7, outcome="missed", reps_done=0)
    send(anyone, house, *(as_the_card_logs(house, work, n) for n in range(1, 7)), missed)
    head.get(f"/gym/{ROW}/strength/")
    assert proposed() == ()


def test_a_top_set_made_as_asked_never_lowers_a_max_when_nobody_said_what_was_left(
    anyone, head, house, work
):
    lighter = as_the_card_logs(house, work, 7, outcome="changed", load="150")
    send(anyone, house, lighter)
    head.get(f"/gym/{ROW}/strength/")
    assert proposed() == ()


def test_a_miss_noted_by_the_coach_is_logged_at_that_step_and_only_the_top_as_an_attempt(
    head, house, work
):
    url = f"{house.class_url}floor/missed"
    for _ in range(7):
        assert head.post(url, {"athlete": house.card_athlete}).status_code == 302
    kept = [(str(item.load), item.is_max_attempt) for item in in_order()]
    assert kept[0] == ("70 kg", False)
    assert kept[5:] == [("165 kg", False), ("175 kg", True)]


def test_what_is_neither_true_nor_false_is_refused(anyone, house, work):
    strange = as_the_card_logs(house, work, 7, is_max_attempt="yes")
    assert send(anyone, house, strange).json()["answers"][0]["state"] == "refused"


def test_on_the_floor_page_everybody_stands_at_this_rounds_step(house, work):
    platform = make_max_effort_sheet().platforms[0]
    turn = Turn(Phase.LIFTING, platform.lifters[0], None, 2, 7, clock.now())
    lines = LivePlatform(platform, turn, 1).lines
    assert [(str(line.load), line.scheme.reps) for line in lines] == [("92.5 kg", 3)] * 3


def seen_on_the_floor(client, house):
    """Each athlete's load on a platform, and how often it stands there."""
    page = client.get(f"{house.class_url}floor/").content.decode()
    loads = re.findall(r'class="person-load hero">(.*?)</span>\n', page, re.DOTALL)
    shown = [" ".join(unescape(re.sub(r"<[^>]+>", "", load)).split()) for load in loads]
    return shown, page


def test_on_the_floor_page_nobody_stands_at_another_rounds_load(assistant, house, work):
    of = DatedClass(ROW, CLASS_KEY, house.on)
    with clock.held_at(at(house.on, 17)):
        shown, page = seen_on_the_floor(assistant, house)
        assert set(shown) == {"70 kg × 5"}
        assert page.count('class="person-top"') == len(shown) == 10
        assert "× 6</span>" in page.partition('class="person-top"')[2]
    start_class(of, by=TERMINAL)
    for done, asked in ((0, "70 kg × 5"), (1, "92.5 kg × 3"), (6, "175 kg × 6")):
        for key in "ABC":
            mark_round(of, by=TERMINAL, platform=key, done_sets=done)
        shown, page = seen_on_the_floor(assistant, house)
        assert shown == [asked] * 10
    assert 'class="person-top"' not in page  # everybody is at the top


def test_whoever_sits_a_round_out_shows_the_next_step_and_says_so(house):
    platform = make_max_effort_sheet().platforms[0]
    first, *others = platform.lifters
    late = replace(
        first, steps=tuple(replace(s, round_number=s.round_number + 1) for s in first.steps)
    )
    group = replace(platform, lifters=(late, *others), rounds_s=(120.0,) * 8)
    sheet = replace(make_max_effort_sheet(), platforms=(group,))
    starts = at(house.on, 18, 30)
    turn = turn_at(group, starts, starts)
    people = people_of(squad.get_squad(gym=ROW), {}, sheet, (), frozenset(), {})
    mine = tuple(one for one in people if one.platform_key == group.key)
    turns = LivePlatform(group, turn, 0, mine).turns
    assert [(str(one.line.load), one.sits_out) for one in turns] == [
        ("70 kg", True), ("70 kg", False), ("70 kg", False),
    ]  # fmt: skip

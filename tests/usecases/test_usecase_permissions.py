"""Who may: a total table over roles, doors and rights; "no" looks like "not there"."""

from __future__ import annotations

import pytest
from yard_cast import OTHER, TERMINAL, YARD, athlete

from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.store import models as rows
from heftwright.usecases import accounts, gym, permissions, squad
from heftwright.usecases.actor import Actor, Door, GymKey
from heftwright.usecases.permissions import ForbiddenError, Right, Role, can, can_for_athlete

ADA, BO = AthleteId("ada"), AthleteId("bo")
PLANS = {
    Right.EDIT_SQUAD,
    Right.EDIT_STOCK,
    Right.EDIT_CONTESTS,
    Right.EDIT_TIMETABLE,
    Right.PLAN_SEASON,
    Right.EDIT_DOSE,
    Right.DECIDE_MAX,
    Right.IMPORT,
    Right.EXPORT,
    Right.UNDO,
    Right.MAKE_LINKS,
}


def rights_of(who, where=YARD):
    return {right for right in Right if can(who, where, right)}


def test_every_role_and_every_door_is_in_the_table():
    assert set(permissions.RIGHTS_OF_ROLE) == set(Role)
    assert set(permissions.RIGHTS_OF_DOOR) == set(Door)


def test_an_owner_may_everything_in_their_gym(people):
    assert rights_of(people.owner) == set(Right)


def test_a_head_coach_may_everything_but_manage_people(people):
    assert rights_of(people.head) == set(Right) - {Right.MANAGE_GYM}


def test_an_assistant_runs_classes_and_changes_no_plans(people):
    assert rights_of(people.assistant) == set(Right) - PLANS - {Right.MANAGE_GYM}


def test_the_terminal_may_everything(yard):
    assert rights_of(TERMINAL) == rights_of(Actor.house()) == set(Right)


def test_a_board_sees_the_class_and_nothing_else(yard):
    assert rights_of(Actor.board(YARD)) == {Right.SEE_CLASS}


def test_a_card_sees_the_class_logs_and_reports_for_its_own_athlete(yard):
    card = Actor.card_of(ADA, "Ada", YARD)
    assert rights_of(card) == {Right.SEE_CLASS, Right.LOG_SETS, Right.REPORT_PAIN}
    assert can_for_athlete(card, YARD, Right.LOG_SETS, ADA)
    assert not can_for_athlete(card, YARD, Right.LOG_SETS, BO)


@pytest.mark.parametrize("name", ["owner", "head", "assistant"])
def test_nobody_may_anything_in_another_gym(people, name):
    assert rights_of(getattr(people, name), OTHER) == set()


def test_a_link_opens_its_own_gym_only(yard):
    assert rights_of(Actor.board(YARD), OTHER) == set()
    assert rights_of(Actor.card_of(ADA, "Ada", YARD), OTHER) == set()


def test_a_desk_without_an_account_may_nothing(yard):
    assert rights_of(Actor("nobody", Door.DESK)) == set()


def test_a_suspended_or_switched_off_coach_may_nothing(people):
    accounts.suspend_coach(gym=YARD, by=people.owner, account=people.assistant.account)
    assert rights_of(people.assistant) == set()
    rows.Account.objects.filter(pk=people.head.account).update(is_active=False)
    assert rights_of(people.head) == set()


def test_no_and_not_there_are_told_with_the_same_sentence(people):
    said = []
    for key in (OTHER, GymKey("no-such-gym")):
        with pytest.raises(NotFoundError, match="no gym") as caught:
            permissions.check_may(people.owner, key, Right.SEE_SQUAD)
        said.append(str(caught.value).replace(key, "…"))
    assert said[0] == said[1]


def test_what_is_not_ones_to_do_is_refused_with_whom_to_ask(people):
    with pytest.raises(ForbiddenError, match="Asa may not change the squad in Iron Yard: ask"):
        squad.add_athlete(gym=YARD, by=people.assistant, athlete=athlete("dot", 9))
    assert len(squad.get_squad(gym=YARD)) == 3


def test_a_stranger_changes_nothing(people):
    with pytest.raises(NotFoundError, match="no gym"):
        squad.remove_athlete(gym=YARD, by=people.stranger, athlete=ADA)
    assert len(squad.get_squad(gym=YARD)) == 3


def test_everybody_is_shown_their_own_gyms(people):
    def shown(who):
        return [card.key for card in gym.get_gyms(by=who)]

    assert shown(people.owner) == [YARD]
    assert shown(people.stranger) == [OTHER]
    assert shown(TERMINAL) == [OTHER, YARD]
    assert shown(Actor.board(OTHER)) == [OTHER]
    assert shown(Actor("nobody", Door.DESK)) == []

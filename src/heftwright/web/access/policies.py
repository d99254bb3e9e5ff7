"""The table of addresses: URL name -> who may, by which method, with which right.

*When* something is possible is the use cases' to say; here stands only *who*. An address without
a row is shut, and a test fails for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from heftwright.usecases.permissions import Right

READ = frozenset({"GET", "HEAD"})
WRITE = frozenset({"POST"})


class Who(StrEnum):
    """How somebody comes in."""

    ANYONE = "anyone"
    SIGNED_IN = "signed_in"
    COACH = "coach"
    BOARD = "board"
    CARD = "card"
    FEED = "feed"


@dataclass(frozen=True, slots=True)
class Policy:
    """One row.

    Parameters
    ----------
    who : Who
        COACH, BOARD, CARD and FEED rows belong to one gym.
    methods : frozenset of str
        HTTP methods; any other gets 405.
    right : Right or None
        Needed in that gym.
    """

    who: Who
    methods: frozenset[str]
    right: Right | None = None


def _see(right: Right) -> Policy:
    return Policy(Who.COACH, READ, right)


def _do(right: Right) -> Policy:
    return Policy(Who.COACH, WRITE, right)


def _form(right: Right) -> Policy:
    return Policy(Who.COACH, READ | WRITE, right)


POLICIES: dict[str, Policy] = {
    "home": Policy(Who.SIGNED_IN, READ),
    "sign_in": Policy(Who.ANYONE, READ | WRITE),
    "first_sign_in": Policy(Who.ANYONE, READ | WRITE),
    "sign_out": Policy(Who.SIGNED_IN, WRITE),
    "undo": _do(Right.UNDO),
    # today and the floor
    "today": _see(Right.SEE_CLASS),
    "class_day": _see(Right.SEE_CLASS),
    "class_plan": _do(Right.PLAN_CLASS),
    "class_paper": _see(Right.SEE_CLASS),
    "class_cards": _see(Right.SEE_CLASS),
    "floor": _see(Right.TAKE_ATTENDANCE),
    "floor_attendance": _do(Right.TAKE_ATTENDANCE),
    "floor_load": _do(Right.PLAN_CLASS),
    "floor_load_back": _do(Right.PLAN_CLASS),
    "floor_missed": _do(Right.LOG_SETS),
    "floor_pain": _do(Right.REPORT_PAIN),
    "floor_start": _do(Right.TAKE_ATTENDANCE),
    "floor_start_back": _do(Right.TAKE_ATTENDANCE),
    "floor_round": _do(Right.TAKE_ATTENDANCE),
    "floor_people": _do(Right.PLAN_CLASS),
    "floor_move": _do(Right.PLAN_CLASS),
    "floor_turn": _do(Right.PLAN_CLASS),
    "floor_broken": _do(Right.PLAN_CLASS),
    "floor_scheme": _do(Right.PLAN_CLASS),
    "floor_lift": _do(Right.PLAN_CLASS),
    "floor_take": _do(Right.PLAN_CLASS),
    "floor_leave": _do(Right.PLAN_CLASS),
    "floor_put_back": _do(Right.PLAN_CLASS),
    "board_here": _see(Right.SEE_CLASS),
    "board_here_floor": _see(Right.SEE_CLASS),
    # wall board and card
    "board": Policy(Who.BOARD, READ, Right.SEE_CLASS),
    "board_floor": Policy(Who.BOARD, READ, Right.SEE_CLASS),
    "card": Policy(Who.CARD, READ, Right.SEE_CLASS),
    "card_plan": Policy(Who.CARD, READ, Right.SEE_CLASS),
    "card_worker": Policy(Who.CARD, READ, Right.SEE_CLASS),
    "card_log": Policy(Who.CARD, WRITE, Right.LOG_SETS),
    "card_readiness": Policy(Who.CARD, READ, Right.REPORT_PAIN),
    "card_pain": Policy(Who.CARD, WRITE, Right.REPORT_PAIN),
    # season
    "season": _see(Right.SEE_SQUAD),
    "season_plan": _do(Right.PLAN_SEASON),
    "season_progress": _see(Right.SEE_SQUAD),
    "season_stop": _do(Right.PLAN_SEASON),
    "season_choices": _see(Right.SEE_SQUAD),
    "season_take": _do(Right.PLAN_SEASON),
    "season_after": _see(Right.SEE_SQUAD),
    "season_after_take": _do(Right.PLAN_SEASON),
    "season_after_free": _do(Right.PLAN_SEASON),
    "season_unpin": _do(Right.PLAN_SEASON),
    "season_forbid": _do(Right.PLAN_SEASON),
    "season_allow": _do(Right.PLAN_SEASON),
    "season_kit_back": _do(Right.PLAN_SEASON),
    "season_settle": _do(Right.PLAN_SEASON),
    "season_back": _do(Right.PLAN_SEASON),
    "what_if": _form(Right.PLAN_SEASON),
    "what_if_copy": _see(Right.SEE_SQUAD),
    "what_if_adopt": _do(Right.PLAN_SEASON),
    "shut_days": _form(Right.EDIT_TIMETABLE),
    "shut_day_remove": _do(Right.EDIT_TIMETABLE),
    "lifts": _see(Right.SEE_SQUAD),
    "lift_new": _do(Right.EDIT_DOSE),
    "lift": _form(Right.EDIT_DOSE),
    "lift_drop": _do(Right.EDIT_DOSE),
    "own_season": _see(Right.SEE_SQUAD),
    "feed": Policy(Who.FEED, READ, Right.SEE_CLASS),
    "feed_link": _do(Right.MAKE_LINKS),
    "athlete_feed_link": _do(Right.MAKE_LINKS),
    # files in and out
    "import": _see(Right.IMPORT),
    "import_preview": _do(Right.IMPORT),
    "import_accept": _do(Right.IMPORT),
    "import_undo": _do(Right.IMPORT),
    "import_template": _see(Right.SEE_SQUAD),
    "export_book": _see(Right.EXPORT),
    # squad
    "squad": _see(Right.SEE_SQUAD),
    "athlete": _see(Right.SEE_SQUAD),
    "athlete_new": _form(Right.EDIT_SQUAD),
    "athlete_change": _form(Right.EDIT_SQUAD),
    "athlete_remove": _do(Right.EDIT_SQUAD),
    "max_new": _form(Right.RECORD_MAX),
    "proposal_decide": _do(Right.DECIDE_MAX),
    "restriction_add": _do(Right.EDIT_SQUAD),
    "restriction_clear": _do(Right.EDIT_SQUAD),
    "company": _form(Right.PLAN_CLASS),
    "card_link": _do(Right.MAKE_LINKS),
    # stock
    "stock": _see(Right.SEE_SQUAD),
    "stock_new": _form(Right.EDIT_STOCK),
    "stock_item": _form(Right.EDIT_STOCK),
    "stock_remove": _do(Right.EDIT_STOCK),
    "band_reading": _do(Right.EDIT_STOCK),
    "rating_lift": _do(Right.MANAGE_GYM),
    "rating_restore": _do(Right.MANAGE_GYM),
    # measuring bands and athletes, choosing set-ups
    "band_curve": _see(Right.SEE_SQUAD),
    "band_calibrate": _do(Right.EDIT_STOCK),
    "band_inspected": _do(Right.EDIT_STOCK),
    "chain_mass": _see(Right.SEE_SQUAD),
    "chain_mass_keep": _do(Right.EDIT_STOCK),
    "tape": _see(Right.SEE_SQUAD),
    "tape_keep": _do(Right.EDIT_SQUAD),
    "set_up": _see(Right.SEE_SQUAD),
    "set_up_class": _see(Right.SEE_SQUAD),
    # contests
    "contests": _see(Right.SEE_SQUAD),
    "contest": _see(Right.SEE_SQUAD),
    "contest_new": _form(Right.EDIT_CONTESTS),
    "contest_change": _form(Right.EDIT_CONTESTS),
    "contest_travel": _do(Right.EDIT_CONTESTS),
    "contest_remove": _do(Right.EDIT_CONTESTS),
    "event_add": _do(Right.EDIT_CONTESTS),
    "event_remove": _do(Right.EDIT_CONTESTS),
    "entry_set": _do(Right.EDIT_CONTESTS),
    # maxes and doses
    "strength": _see(Right.SEE_SQUAD),
    "strength_athlete": _see(Right.SEE_SQUAD),
    "strength_decide": _do(Right.DECIDE_MAX),
    "strength_take_back": _do(Right.DECIDE_MAX),
    "strength_all": _form(Right.DECIDE_MAX),
    "strength_all_back": _do(Right.DECIDE_MAX),
    "evidence_withdraw": _do(Right.DECIDE_MAX),
    "waves": _see(Right.SEE_SQUAD),
    "wave": Policy(Who.COACH, READ | WRITE, Right.SEE_SQUAD),  # the use case asks for EDIT_DOSE
    "wave_reset": _do(Right.EDIT_DOSE),
    "dose": Policy(Who.COACH, READ | WRITE, Right.SEE_SQUAD),  # the use case asks for EDIT_DOSE
    "dose_reset": _do(Right.EDIT_DOSE),
    "work_up": _see(Right.SEE_SQUAD),
    "circuit": _see(Right.SEE_SQUAD),
    "bar_speed": _see(Right.RECORD_MAX),
    "bar_speed_preview": _do(Right.RECORD_MAX),
    "bar_speed_accept": _do(Right.RECORD_MAX),
    "athlete_speed": _see(Right.SEE_SQUAD),
    "speed_take": _do(Right.RECORD_MAX),
    # strain
    "strain": _see(Right.SEE_SQUAD),
    "strain_class": _form(Right.LOG_SETS),
    "strain_athlete": _see(Right.SEE_SQUAD),
    "health_notes": _see(Right.READ_HEALTH),
    "readiness_add": _do(Right.REPORT_PAIN),
    # settings
    "settings": _see(Right.SEE_SQUAD),
    "floor_terms": _form(Right.EDIT_DOSE),
    "floor_times_take": _do(Right.EDIT_DOSE),
    "gym_change": _do(Right.MANAGE_GYM),
    "board_link": _do(Right.MAKE_LINKS),
    "link_revoke": _do(Right.MAKE_LINKS),
    "coach_invite": _do(Right.MANAGE_GYM),
    "coach_suspend": _do(Right.MANAGE_GYM),
    "class_time_new": _form(Right.EDIT_TIMETABLE),
    "class_time": _form(Right.EDIT_TIMETABLE),
    "class_time_remove": _do(Right.EDIT_TIMETABLE),
}

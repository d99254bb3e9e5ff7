"""Every address of the pages. Each name has its row in web/access/policies.py."""

from __future__ import annotations

from datetime import date

from django.urls import URLPattern, URLResolver, include, path, register_converter

from heftwright.web.board import views as board
from heftwright.web.card import views as card
from heftwright.web.desk import (
    class_times,
    contests,
    floor,
    floor_live,
    floor_terms,
    importing,
    maxes,
    paper,
    season,
    settings,
    squad,
    stock,
    stock_limits,
    today,
    undo,
)
from heftwright.web.door import views as door
from heftwright.web.season import feed


class DayConverter:
    """A date in an address, ``2026-11-23``; anything else is no address of ours."""

    regex = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        """The date; a 31 June is no address either."""
        return date.fromisoformat(value)

    def to_url(self, value: date) -> str:
        """As written."""
        return value.isoformat()


register_converter(DayConverter, "day")

_CLASS: list[URLPattern | URLResolver] = [
    path("", today.class_day, name="class_day"),
    path("plan", today.class_plan, name="class_plan"),
    path("sheet.pdf", paper.class_paper, name="class_paper"),
    path("cards.pdf", paper.class_cards, name="class_cards"),
    path("floor/", floor.floor, name="floor"),
    path("floor/attendance", floor.floor_attendance, name="floor_attendance"),
    path("floor/load", floor.floor_load, name="floor_load"),
    path("floor/load-back", floor.floor_load_back, name="floor_load_back"),
    path("floor/missed", floor.floor_missed, name="floor_missed"),
    path("floor/pain", floor.floor_pain, name="floor_pain"),
    path("floor/start", floor_live.floor_start, name="floor_start"),
    path("floor/start-back", floor_live.floor_start_back, name="floor_start_back"),
    path("floor/round", floor_live.floor_round, name="floor_round"),
    path("floor/people", floor_live.floor_people, name="floor_people"),
    path("floor/move", floor_live.floor_move, name="floor_move"),
    path("floor/turn", floor_live.floor_turn, name="floor_turn"),
    path("floor/broken", floor_live.floor_broken, name="floor_broken"),
    path("floor/scheme", floor_live.floor_scheme, name="floor_scheme"),
    path("floor/lift", floor_live.floor_lift, name="floor_lift"),
    path("floor/take", floor_live.floor_take, name="floor_take"),
    path("floor/leave", floor_live.floor_leave, name="floor_leave"),
    path("floor/put-back", floor_live.floor_put_back, name="floor_put_back"),
]
_SEASON = [
    path("", season.season, name="season"),
    path("plan", season.season_plan, name="season_plan"),
    path("progress/<int:job>", season.season_progress, name="season_progress"),
    path("stop/<int:job>", season.season_stop, name="season_stop"),
]
_IMPORT = [
    path("", importing.import_door, name="import"),
    path("preview", importing.import_preview, name="import_preview"),
    path("accept", importing.import_accept, name="import_accept"),
    path("<int:batch>/undo", importing.import_undo, name="import_undo"),
    path("template.xlsx", importing.import_template, name="import_template"),
    path("everything.xlsx", importing.export_book, name="export_book"),
]
_SQUAD = [
    path("", squad.squad, name="squad"),
    path("new", squad.athlete_new, name="athlete_new"),
    path("<str:athlete>/", squad.athlete, name="athlete"),
    path("<str:athlete>/change", squad.athlete_change, name="athlete_change"),
    path("<str:athlete>/remove", squad.athlete_remove, name="athlete_remove"),
    path("<str:athlete>/company", floor_terms.company, name="company"),
    path("<str:athlete>/card-link", settings.card_link, name="card_link"),
    path("<str:athlete>/max", maxes.max_new, name="max_new"),
    path("<str:athlete>/proposals/<int:proposal>", maxes.proposal_decide, name="proposal_decide"),
    path("<str:athlete>/restrictions", squad.restriction_add, name="restriction_add"),
    path(
        "<str:athlete>/restrictions/<int:index>", squad.restriction_clear, name="restriction_clear"
    ),
]
_STOCK = [
    path("", stock.stock, name="stock"),
    path("<str:kind>/new", stock.stock_new, name="stock_new"),
    path("<str:kind>/<str:key>/", stock.stock_item, name="stock_item"),
    path("<str:kind>/<str:key>/remove", stock.stock_remove, name="stock_remove"),
    path("<str:kind>/<str:key>/limit", stock.rating_lift, name="rating_lift"),
    path(
        "<str:kind>/<str:key>/limit/<str:day>", stock_limits.rating_restore, name="rating_restore"
    ),
    path("bands/<str:key>/readings", stock.band_reading, name="band_reading"),
]
_CONTESTS = [
    path("", contests.contests, name="contests"),
    path("new", contests.contest_new, name="contest_new"),
    path("<str:contest>/", contests.contest, name="contest"),
    path("<str:contest>/change", contests.contest_change, name="contest_change"),
    path("<str:contest>/remove", contests.contest_remove, name="contest_remove"),
    path("<str:contest>/events", contests.event_add, name="event_add"),
    path("<str:contest>/events/<int:index>/remove", contests.event_remove, name="event_remove"),
    path("<str:contest>/entries", contests.entry_set, name="entry_set"),
]
_SETTINGS = [
    path("", settings.settings, name="settings"),
    path("gym", settings.gym_change, name="gym_change"),
    path("floor/", floor_terms.floor_terms, name="floor_terms"),
    path("floor/times", floor_terms.floor_times_take, name="floor_times_take"),
    path("boards", settings.board_link, name="board_link"),
    path("links/<int:link>/revoke", settings.link_revoke, name="link_revoke"),
    path("coaches", settings.coach_invite, name="coach_invite"),
    path("coaches/<int:account>/suspend", settings.coach_suspend, name="coach_suspend"),
    path("classes/new", class_times.class_time_new, name="class_time_new"),
    path("classes/<str:key>/", class_times.class_time, name="class_time"),
    path("classes/<str:key>/remove", class_times.class_time_remove, name="class_time_remove"),
]
_DESK: list[URLPattern | URLResolver] = [
    path("today/", today.today, name="today"),
    path("class/<day:on>/<str:class_key>/", include(_CLASS)),
    path("board/", board.board_here, name="board_here"),
    path("board/floor", board.board_here_floor, name="board_here_floor"),
    path("season/", include(_SEASON)),
    path("", include("heftwright.web.season.urls")),
    path("import/", include(_IMPORT)),
    path("", include("heftwright.web.measure.urls")),
    path("", include("heftwright.web.strength.urls")),
    path("", include("heftwright.web.strain.urls")),
    path("squad/", include(_SQUAD)),
    path("stock/", include(_STOCK)),
    path("contests/", include(_CONTESTS)),
    path("settings/", include(_SETTINGS)),
    path("undo/<uuid:act>", undo.undo, name="undo"),
]
urlpatterns: list[URLPattern | URLResolver] = [
    path("", door.home, name="home"),
    path("sign-in", door.sign_in, name="sign_in"),
    path("sign-out", door.sign_out, name="sign_out"),
    path("first/<str:secret>", door.first_sign_in, name="first_sign_in"),
    path("gym/<str:gym>/", include(_DESK)),
    path("board/<str:secret>/", board.board, name="board"),
    path("board/<str:secret>/floor", board.board_floor, name="board_floor"),
    path("calendar/<str:secret>/classes.ics", feed.feed, name="feed"),
    path("card/<str:secret>/", card.card, name="card"),
    path("card/<str:secret>/plan", card.card_plan, name="card_plan"),
    path("card/<str:secret>/worker.js", card.card_worker, name="card_worker"),
    path("card/<str:secret>/log", card.card_log, name="card_log"),
    path("card/<str:secret>/readiness", card.card_readiness, name="card_readiness"),
    path("card/<str:secret>/pain", card.card_pain, name="card_pain"),
]

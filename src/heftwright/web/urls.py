"""Every address of the pages. Each name has its row in web/access/policies.py."""

from __future__ import annotations

from datetime import date

from django.urls import URLPattern, URLResolver, include, path, register_converter

from heftwright.web.board import views as board
from heftwright.web.card import views as card
from heftwright.web.desk import floor, squad, today, undo
from heftwright.web.door import views as door


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
    path("floor/", floor.floor, name="floor"),
    path("floor/attendance", floor.floor_attendance, name="floor_attendance"),
    path("floor/load", floor.floor_load, name="floor_load"),
    path("floor/load-back", floor.floor_load_back, name="floor_load_back"),
    path("floor/missed", floor.floor_missed, name="floor_missed"),
    path("floor/pain", floor.floor_pain, name="floor_pain"),
]
_SQUAD = [
    path("", squad.squad, name="squad"),
    path("new", squad.athlete_new, name="athlete_new"),
    path("<str:athlete>/", squad.athlete, name="athlete"),
    path("<str:athlete>/change", squad.athlete_change, name="athlete_change"),
    path("<str:athlete>/remove", squad.athlete_remove, name="athlete_remove"),
    path("<str:athlete>/restrictions", squad.restriction_add, name="restriction_add"),
    path(
        "<str:athlete>/restrictions/<int:index>", squad.restriction_clear, name="restriction_clear"
    ),
]
_DESK: list[URLPattern | URLResolver] = [
    path("today/", today.today, name="today"),
    path("class/<day:on>/<str:class_key>/", include(_CLASS)),
    path("board/", board.board_here, name="board_here"),
    path("board/floor", board.board_here_floor, name="board_here_floor"),
    path("squad/", include(_SQUAD)),
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
    path("card/<str:secret>/", card.card, name="card"),
    path("card/<str:secret>/plan", card.card_plan, name="card_plan"),
    path("card/<str:secret>/worker.js", card.card_worker, name="card_worker"),
    path("card/<str:secret>/log", card.card_log, name="card_log"),
    path("card/<str:secret>/pain", card.card_pain, name="card_pain"),
]

"""The wall board: the picture of the floor, asked for every second."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.http import HttpResponse
from django.urls import reverse

from heftwright.usecases import classes, clock
from heftwright.usecases.classes import ClassLine
from heftwright.usecases.live_class import DatedClass, get_class_clock
from heftwright.web.access.requests import GymRequest
from heftwright.web.board.pages import BoardFloor, BoardPage, board_of, empty_board
from heftwright.web.render.page import show

SHOWN_AFTER_END = timedelta(minutes=20)


def board(request: GymRequest) -> HttpResponse:
    """The board of a secret link."""
    return show(request, _board(request, reverse("board_floor", args=[request.secret])))


def board_floor(request: GymRequest) -> HttpResponse:
    """The next picture; 204 while nothing on it has changed."""
    return _floor(request, reverse("board_floor", args=[request.secret]))


def board_here(request: GymRequest) -> HttpResponse:
    """The same board for a coach who is signed in."""
    return show(request, _board(request, reverse("board_here_floor", args=[request.gym.key])))


def board_here_floor(request: GymRequest) -> HttpResponse:
    """The next picture for a coach who is signed in."""
    return _floor(request, reverse("board_here_floor", args=[request.gym.key]))


def _floor(request: GymRequest, floor_url: str) -> HttpResponse:
    page = _board(request, floor_url)
    if request.GET.get("have") == page.version:
        return HttpResponse(status=204)
    return show(request, BoardFloor(page))


def _board(request: GymRequest, floor_url: str) -> BoardPage:
    gym, now = request.gym.key, clock.local_now(request.gym.key)
    line = _class_on_now(classes.get_today(gym=gym).classes, now)
    if line is None or not line.plan_version:
        return empty_board(floor_url=floor_url, gym_name=request.gym.name)
    sheet = classes.get_class_sheet(gym=gym, class_key=line.class_time.key, on=line.on)
    running = get_class_clock(DatedClass(gym, line.class_time.key, line.on))
    return board_of(
        sheet, _starts(line, now), now, running, floor_url=floor_url, gym_name=request.gym.name
    )


def _class_on_now(lines: tuple[ClassLine, ...], now: datetime) -> ClassLine | None:
    """The first class of the day that is not long over, or the last."""
    for line in lines:
        ends = _starts(line, now) + timedelta(minutes=line.class_time.minutes)
        if now <= ends + SHOWN_AFTER_END:
            return line
    return lines[-1] if lines else None


def _starts(line: ClassLine, now: datetime) -> datetime:
    return datetime.combine(line.on, line.class_time.starts_at, tzinfo=now.tzinfo)

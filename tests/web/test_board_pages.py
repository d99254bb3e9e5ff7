"""The wall board: one picture, asked for every second, nothing entered."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from django.template.loader import render_to_string
from floor_cast import ROW, at
from sheets import make_platforms

from heftwright.domain.sheet.live import turn_at
from heftwright.usecases import clock


def test_the_board_opens_by_its_secret_alone(anyone, house):
    page = anyone.get(f"/board/{house.board_secret}/").content.decode()
    assert "Block deadlift, 10 cm" in page
    assert 'hx-trigger="every 1s"' in page


def test_a_wrong_secret_opens_nothing(anyone, house):
    assert anyone.get(f"/board/{house.board_secret[:-1]}x/").status_code == 404


def version_of(answer):
    return answer.content.decode().split("?have=")[1].split('"')[0]


def test_an_unchanged_picture_is_answered_with_204(anyone, house):
    url = f"/board/{house.board_secret}/floor"
    version = version_of(anyone.get(url))
    assert anyone.get(url, {"have": version}).status_code == 204


def test_a_turn_later_the_picture_is_new(anyone, house):
    url = f"/board/{house.board_secret}/floor"
    version = version_of(anyone.get(url))
    with clock.held_at(at(house.on, 18, 47)):
        assert anyone.get(url, {"have": version}).status_code == 200


def test_the_board_says_who_lifts_who_is_next_and_the_change(anyone, house):
    page = anyone.get(f"/board/{house.board_secret}/floor").content.decode()
    row = page.split("board-platform")[1]
    assert "Tove" in row or "Marek" in row or "Ilse" in row
    assert "board-next" in row
    assert "off " in row or "on " in row


def test_pain_never_reaches_the_board(anyone, house, head):
    head.post(
        house.class_url + "floor/pain",
        {"athlete": house.card_athlete, "place": "knee", "score": "7"},
    )
    page = anyone.get(f"/board/{house.board_secret}/").content.decode()
    assert "knee" not in page
    assert "pain" not in page.lower()


def test_long_after_the_class_the_platforms_are_done(anyone, house):
    with clock.held_at(at(house.on, 21)):
        page = anyone.get(f"/board/{house.board_secret}/").content.decode()
    assert page.count("done") >= 3


def test_a_coach_opens_the_same_board_from_the_desk(head, house):
    assert "Block deadlift" in head.get(f"/gym/{ROW}/board/").content.decode()
    url = f"/gym/{ROW}/board/floor"
    assert head.get(url, {"have": version_of(head.get(url))}).status_code == 204


def test_whoever_has_a_platform_alone_is_told_of_the_last_set_only_at_the_last():
    platform = replace(make_platforms()[2], lifters=make_platforms()[2].lifters[:1])

    def said(minutes):
        starts = datetime(2026, 11, 23, 17, 30, tzinfo=UTC)
        turn = turn_at(platform, starts, starts + timedelta(minutes=minutes))
        return render_to_string("board/next.html", {"line": turn.next_up, "turn": turn})

    assert "same again" in said(20)
    assert "last set" not in said(20)
    assert "last set" in said(platform.finish_min - 0.5)

"""Settings: links, coaches, the week's classes, the gym."""

from floor_cast import CLASS_KEY, ROW

from heftwright.usecases import accounts, timetable
from heftwright.usecases import gym as gyms

URL = f"/gym/{ROW}/settings/"


def test_a_board_link_opens_until_it_is_revoked(head, anyone, house):
    page = head.post(URL + "boards").content.decode()
    path = page.split('href="http://testserver')[1].split('"')[0]
    assert anyone.get(path).status_code == 200
    link = accounts.get_links(gym=ROW)[0].key
    head.post(f"{URL}links/{link}/revoke")
    assert anyone.get(path).status_code == 404


def test_an_invited_coach_comes_in_with_the_role_that_was_said(owner, anyone, house):
    page = owner.post(URL + "coaches", {"role": "assistant", "label": "Ida"}).content.decode()
    path = page.split('href="http://testserver')[1].split('"')[0]
    anyone.post(path, {"name": "Ida", "email": "", "password": "a long enough secret"})
    assert {c.name: c.role for c in accounts.get_coaches(gym=ROW)}["Ida"] == "assistant"


def test_the_last_owner_cannot_be_suspended(owner, house):
    olga = next(c.account for c in accounts.get_coaches(gym=ROW) if c.name == "Olga")
    answer = owner.post(f"{URL}coaches/{olga}/suspend", {"suspend": "yes"})
    assert answer.status_code == 422
    assert "needs an owner" in answer.content.decode()


def test_a_class_is_added_to_the_week_with_its_members(head, house):
    typed = {"weekday": "4", "starts_at": "17:15", "minutes": "75", "slot": "max_effort_upper",
             "coach": "Asa", "member": ["a7", "a12"]}  # fmt: skip
    assert head.post(URL + "classes/new", typed).status_code == 302
    added = timetable.get_class_time(gym=ROW, key="fri-1715")
    assert (added.minutes, added.members) == (75, ("a7", "a12"))


def test_a_class_taken_out_can_be_brought_back(head, house):
    page = head.post(f"{URL}classes/{CLASS_KEY}/remove", follow=True).content.decode()
    assert timetable.get_timetable(gym=ROW).classes == ()
    head.post(f"/gym/{ROW}/undo/{page.split('/undo/')[1].split(chr(34))[0]}")
    assert timetable.get_class_time(gym=ROW, key=CLASS_KEY).members


def test_a_time_zone_that_is_none_is_refused_and_the_text_kept(owner, house):
    typed = {"name": "Dunnock Row", "time_zone": "Mars/Olympus", "unit": "kg"}
    answer = owner.post(URL + "gym", typed)
    assert answer.status_code == 422
    assert 'value="Mars/Olympus"' in answer.content.decode()


def test_the_gym_shows_pounds_when_told_so(owner, house):
    owner.post(URL + "gym", {"name": "Dunnock Row", "time_zone": "UTC", "unit": "lb"})
    assert gyms.get_gym(gym=ROW).unit == "lb"

"""A fault of ours is seen by whoever tapped and by whoever runs the server, and says no more."""

import logging
from io import StringIO

import pytest
from django.test import Client
from floor_cast import ROW

from heftwright.config.faults import FaultFormatter
from heftwright.web.http.refusals import OUR_FAULT

SECRET_WORDS = "sore left hip after the class"


@pytest.fixture
def broken(monkeypatch, house):
    """A server whose reading of imports fails, with a health note in the error's own words."""

    def fail(**_):
        try:
            raise LookupError(SECRET_WORDS)
        except LookupError as error:
            raise RuntimeError(SECRET_WORDS) from error

    monkeypatch.setattr("heftwright.usecases.imports.get_imports", fail)


def as_seen(client: Client) -> Client:
    client.raise_request_exception = False
    return client


def test_a_fault_has_a_page_with_a_sentence(broken, head):
    answer = as_seen(head).get(f"/gym/{ROW}/import/")
    assert answer.status_code == 500
    assert OUR_FAULT in answer.content.decode()


def test_a_fault_answers_json_where_json_was_asked_for(broken, head):
    answer = as_seen(head).get(f"/gym/{ROW}/import/", headers={"accept": "application/json"})
    assert (answer.status_code, answer.json()) == (500, {"why": OUR_FAULT})


def test_the_log_says_where_and_never_what_was_written(broken, head, monkeypatch):
    handlers = logging.getLogger("django.request").handlers
    (handler,) = (one for one in handlers if isinstance(one.formatter, FaultFormatter))
    monkeypatch.setattr(handler, "stream", StringIO())
    as_seen(head).get(f"/gym/{ROW}/import/?note=achilles")
    told = handler.stream.getvalue()
    assert "GET /gym/<str:gym>/import/" in told
    assert "LookupError" in told
    assert "RuntimeError" in told
    assert "importing.py" in told
    assert SECRET_WORDS not in told
    assert "achilles" not in told


def test_every_desk_page_has_the_place_where_silence_is_told(head):
    page = head.get(f"/gym/{ROW}/import/").content.decode()
    assert 'id="no-answer"' in page
    assert "heftwright/no-answer.js" in page

"""The terminal speaks the trade's words, to people and to machines, with documented exit codes."""

import json
import os
import socket
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner

from heftwright.cli import reference
from heftwright.cli.house import plain
from heftwright.cli.main import COMMANDS, heftwright
from heftwright.cli.serve import PortError, check_port_free
from heftwright.domain.height import Length
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.usecases import gym
from heftwright.usecases.actor import Actor, GymKey

ROOT = Path(__file__).parents[2]


def ran(*words):
    return CliRunner().invoke(heftwright, words)


def in_a_process(tmp_path, *words):
    return subprocess.run(
        [sys.executable, "-m", "heftwright.cli.main", "--data", str(tmp_path), *words],
        capture_output=True, text=True, check=False,
        env={k: v for k, v in os.environ.items() if k != "DJANGO_SETTINGS_MODULE"},
    )  # fmt: skip


@pytest.fixture
def two_gyms(db):
    for key in ("iron-yard", "far-shed"):
        gym.create_gym(gym=GymKey(key), name=key, by=Actor.at_terminal())


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_has_its_help_and_says_what_it_does(name):
    shown = ran(name, "--help")
    assert shown.exit_code == 0
    assert "Usage:" in shown.output


def test_the_reference_pages_say_what_the_code_says():
    for name, text in reference.pages().items():
        assert (ROOT / "docs" / "reference" / name).read_text(encoding="utf-8") == text


def test_every_command_is_on_the_reference_page():
    page = (ROOT / "docs" / "reference" / "commands.md").read_text(encoding="utf-8")
    assert all(f"## heftwright {name}" in page for name in COMMANDS)


def test_exit_code_2_for_words_that_are_off(tmp_path):
    assert in_a_process(tmp_path, "tonight", "--no-such").returncode == 2


def test_exit_code_1_and_a_sentence_when_there_is_no_gym(tmp_path):
    answer = in_a_process(tmp_path, "squad")
    assert answer.returncode == 1
    assert "There is no gym here yet" in answer.stderr
    assert "Traceback" not in answer.stderr


@pytest.mark.usefixtures("two_gyms")
def test_with_two_gyms_the_command_asks_which_and_an_unknown_one_is_not_there():
    assert "name one with --gym" in str(ran("squad").exception)
    assert "There is no gym “barn”" in str(ran("squad", "--gym", "barn").exception)


def test_a_taken_port_is_refused_with_what_to_do():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(PortError, match=rf"Port {port} is taken.*PORT={port + 1}"):
            check_port_free("127.0.0.1", port)


def test_json_keeps_masses_exact_and_values_plain():
    told = plain(
        {"load": Mass.lb(45), "rest": Length.cm(104), "as": EnteredMass(97_500, MassUnit.KG)}
    )
    assert told == {"load": {"kg": "20.41165665"}, "rest": {"mm": 1040.0}, "as": "97.5 kg"}
    assert Decimal(told["load"]["kg"]) == Mass.lb(45).exactly(MassUnit.KG)


def test_lifts_as_json_are_readable_by_a_machine():
    lifts = json.loads(ran("lifts", "--json").output)
    assert {"deadlift", "yoke"} <= {lift["key"] for lift in lifts}

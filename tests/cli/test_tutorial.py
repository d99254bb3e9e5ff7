"""The tutorial is run as it is read: every command block marked as tested, in order."""

import re
import shlex
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from heftwright.cli.main import heftwright
from heftwright.demo.spreadsheets import write_spreadsheets

ROOT = Path(__file__).parents[2]
TUTORIAL = (ROOT / "docs" / "tutorial" / "first-class.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```sh tested\n(.*?)```", TUTORIAL, re.DOTALL)
COMMANDS = [line for block in BLOCKS for line in block.strip().splitlines()]


@pytest.mark.django_db(transaction=True)
def test_every_command_of_the_tutorial_does_what_the_page_says(tmp_path, monkeypatch):
    write_spreadsheets(tmp_path, datetime.now(UTC).date())
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "160")
    said = {}
    for command in COMMANDS:
        ran = CliRunner().invoke(heftwright, shlex.split(command)[1:], catch_exceptions=False)
        assert ran.exit_code == 0, ran.output
        said[command.split()[1] + ("+" if "--accept" in command else "")] = ran.output
    assert "/first/" in said["gym"]
    for cell in ("2950", "about 215", "77", "147,5", "Conventional dedlift"):
        assert cell in said["import"]
    assert "Nothing is saved yet" in said["import"]
    assert "Accepted as import" in said["import+"]
    assert "Maud Tarrow" in said["squad"]
    assert "Plum band" in said["stock"].split("Not offered:")[1]
    assert "estimated" in said["maxes"]
    assert "Gannet Rock Strongest" in said["season"]
    assert "Platform" in said["tonight"]
    assert "Maud Tarrow" in said["why"]
    assert list(tmp_path.glob("*.pdf"))


def test_the_page_has_commands_and_all_are_ours():
    assert len(COMMANDS) >= 8
    assert all(command.startswith("heftwright ") for command in COMMANDS)

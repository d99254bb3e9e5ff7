"""Whatever is typed behind a command, the answer is a sentence and never a trace."""

import json

import pytest
from click.testing import CliRunner
from test_commands import in_a_process

from heftwright.cli.main import heftwright
from heftwright.usecases import gym
from heftwright.usecases.actor import Actor, GymKey

ALWAYS = (
    ("serve", "--port", "99999999"), ("serve", "--port", "-1"), ("serve", "--port", "0"),
    ("serve", "--port", "８０００x"), ("serve", "--host", ""), ("serve", "--host", "no such host"),
    ("serve", "--host", "192.0.2.1"),
    ("demo", "--port", "70000"), ("gym", ""), ("gym", "  "), ("gym", "x\ny"), ("gym", "a" * 500),
    ("gym", "--link"), ("gym", "nobody", "--link"), ("gym", "x", "--zone", "../../etc/passwd"),
    ("tonight", "--on", "2026-13-45"), ("season", "--limit", "nan"), ("season", "--limit", "-1"),
    ("import",), ("import", "not-here.csv"), ("squad", "--gym", "ü"), ("why", ""), ("maxes", ""),
    ("templates", "--out", "no-such-folder/x.xlsx"), ("nonsense",), ("lifts", "extra"),
)  # fmt: skip


@pytest.mark.parametrize("words", ALWAYS, ids=" ".join)
def test_hostile_words_get_a_sentence_and_no_trace(tmp_path, monkeypatch, words):
    monkeypatch.chdir(tmp_path)
    answer = in_a_process(tmp_path, *words)
    assert answer.returncode in (1, 2, 3)
    assert answer.stderr.strip()
    assert "Traceback" not in answer.stderr + answer.stdout


def test_a_data_folder_that_is_a_file_or_cannot_be_made_is_a_sentence(tmp_path):
    (tmp_path / "file").write_text("x")
    for target in (tmp_path / "file", tmp_path / "file" / "below"):
        answer = in_a_process(target, "squad")
        assert answer.returncode == 1
        assert "Traceback" not in answer.stderr
        assert str(tmp_path / "file") in answer.stderr


@pytest.fixture
def shed(db):
    gym.create_gym(gym=GymKey("iron-shed"), name="Iron Shed", by=Actor.at_terminal())


def said(*words):
    return CliRunner().invoke(heftwright, words)


@pytest.mark.usefixtures("shed")
@pytest.mark.parametrize("on", ["0001-01-01", "9999-12-31"])
def test_a_day_more_than_a_year_away_is_a_slip_of_the_pen(on):
    assert said("tonight", "--on", on).exit_code != 0


@pytest.mark.usefixtures("shed")
@pytest.mark.parametrize("on", ["２０２６-11-30", "20261130", "2026-1-1", "today"])
def test_a_day_is_written_in_ascii_digits_year_first(on):
    answer = said("tonight", "--on", on)
    assert answer.exit_code == 2
    assert "is not a date" in answer.output


@pytest.mark.usefixtures("shed")
class TestImportThatSavesNothing:
    def test_an_unreadable_file_ends_with_1_and_one_clear_line(self, tmp_path):
        empty = tmp_path / "empty.csv"
        empty.write_bytes(b"")
        answer = said("import", str(empty))
        assert answer.exit_code == 1
        assert "“”" not in answer.output
        assert "row 0" not in answer.output
        assert "nothing to save" in str(answer.exception)

    def test_only_questions_end_with_1_and_say_that_answers_are_waited_for(self, tmp_path):
        file = tmp_path / "things.csv"
        file.write_text("a,b\n1,2\n")
        answer = said("import", str(file))
        assert answer.exit_code == 1
        assert "before the questions are answered" in str(answer.exception)

    def test_machines_get_the_preview_and_the_same_exit(self, tmp_path):
        file = tmp_path / "squad.csv"
        file.write_text("Number,Name,Sex\nseven,Robin Example,woman\n")
        answer = said("import", "--json", str(file))
        assert answer.exit_code == 1
        assert json.loads(answer.output)["problems"][0]["row"] == 2

    def test_something_to_save_ends_with_0_and_saves_nothing(self, tmp_path):
        file = tmp_path / "squad.csv"
        file.write_text("Number,Name,Sex\n7,Robin Example,woman\n")
        answer = said("import", str(file))
        assert answer.exit_code == 0
        assert "Nothing is saved yet" in answer.output
        assert "Robin" not in said("squad").output

    def test_a_list_that_the_gym_knows_is_no_change_and_ends_with_0(self, tmp_path):
        file = tmp_path / "squad.csv"
        file.write_text("Number,Name,Sex\n7,Robin Example,woman\n")
        assert "Accepted as import" in said("import", "--accept", str(file)).output
        for more in ((), ("--accept",)):
            answer = said("import", *more, str(file))
            assert answer.exit_code == 0
            assert "No change" in answer.output
            assert "Accepted" not in answer.output

    def test_under_another_name_a_known_list_is_no_change_as_well(self, tmp_path):
        file, same = tmp_path / "squad.csv", tmp_path / "our-people.csv"
        for one in (file, same):
            one.write_text("Number,Name,Sex\n7,Robin Example,woman\n")
        assert "Accepted as import" in said("import", "--accept", str(file)).output
        for more in ((), ("--accept",)):
            answer = said("import", *more, str(same))
            assert answer.exit_code == 0
            assert "is read as Squad" in answer.output
            assert "No change" in answer.output

    def test_a_known_list_with_a_bad_row_is_not_called_known(self, tmp_path):
        file = tmp_path / "squad.csv"
        file.write_text("Number,Name,Sex\n7,Robin Example,woman\n")
        said("import", "--accept", str(file))
        file.write_text(file.read_text() + "x,Eve Sample,woman\n")
        answer = said("import", "--accept", str(file))
        assert answer.exit_code == 1
        assert "No change" not in answer.output
        assert "see the problems named" in str(answer.exception)


def test_gyms_in_any_letters_get_their_own_short_names(db):
    assert "as uni-lodz" in said("gym", "Ünï Łódź").output
    assert "as uni-lodz-2" in said("gym", "Uni Lodz").output
    assert "as gym." in said("gym", "健身房").output
    assert "is here already, as uni-lodz" in str(said("gym", "Ünï Łódź").exception)
    assert "/first/" in said("gym", "uni lodz", "--link").output


@pytest.mark.usefixtures("shed")
def test_an_answer_that_nothing_asks_for_is_refused_with_the_open_questions(tmp_path):
    file = tmp_path / "squad.csv"
    file.write_text("Name,Sex,Body mass\nAda Lind,woman,64\n", encoding="utf-8")
    answer = said("import", str(file), "--answer", "bogus=1", "--accept")
    assert answer.exit_code == 2
    assert "takes the answer “bogus=1”" in answer.output
    assert "(kg or lb" in answer.output
    assert "good row" not in answer.output


def test_an_import_of_a_missing_file_ends_with_3(tmp_path):
    answer = in_a_process(tmp_path, "import", "not-here.csv")
    assert answer.returncode == 3
    assert "There is no file “not-here.csv”" in answer.stderr

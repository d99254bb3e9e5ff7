"""Hostile files are refused with a sentence, and what is only damaged never crashes the door.

Limits are those of the trust page (S5); the attacks are those that OWASP and the authors of
defusedxml describe: zip bombs, entity bombs, outside entities, macros, nests, floods.
"""

import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from import_cast import NEW_GYM, in_process, xlsx_file

sys.path.append(str(Path(__file__).parents[2]))

from bench.hostile_files import good_workbook, hostile_files, with_part

from heftwright.imports import child, hardening
from heftwright.imports.hardening import FileRefusedError, UploadedFile, kind_of, read_guarded
from heftwright.imports.limits import MAX_FILE_BYTES, CellBudget, HostileFileError
from heftwright.imports.preview import read_files

HOSTILE = {file.name: file for file in hostile_files()}
SAID = {
    "bomb-ratio.xlsx": "tighter than 200:1", "bomb-lying.xlsx": "damaged",
    "bomb-aside.xlsx": "tighter than 200:1", "entities.xlsx": "does not write",
    "outside-entity.xlsx": "does not write", "flood-of-cells.xlsx": "more than 100,000",
    "flood-of-tags.xlsx": "more than 100,000", "deep.xlsx": "tighter|deeper",
    "macros.xlsx": "macros", "nest.xlsx": "other files inside",
    "embedded.xlsx": "other files inside", "many-parts.xlsx": "more than 200 parts",
    "shared-flood.xlsx": "more than 100,000", "no-such-string.xlsx": "names a text",
    "too-large.csv": "larger than 5 MB", "wrong-magic.xlsx": "no .xlsx workbook inside",
    "zip-as.csv": "spreadsheet or zip", "old.xls": "old .xls", "locked.xlsx": "password",
    "picture.csv": "a picture", "zeros.csv": "not a text file", "open-quote.csv": "never closed",
    "wide.csv": "300,000 cells|300,001 cells", "empty.csv": "is empty",
    "../../etc/passwd": "neither .csv nor .xlsx", "cut.xlsx": "damaged",
}  # fmt: skip


def test_every_hostile_file_has_its_sentence():
    assert set(HOSTILE) == set(SAID)


@pytest.mark.parametrize("name", sorted(SAID))
def test_a_hostile_file_is_refused_by_name_and_nothing_is_read(name):
    with pytest.raises(FileRefusedError, match=SAID[name]):
        in_process(HOSTILE[name])


@pytest.mark.parametrize("name", ["bomb-lying.xlsx", "entities.xlsx", "flood-of-cells.xlsx"])
def test_the_guarded_door_refuses_what_the_child_refuses(name):
    preview = read_files([HOSTILE[name]], known=NEW_GYM)
    assert not preview.has_something_to_save
    (problem,) = preview.problems
    assert (problem.file, problem.is_blocking) == (name, True)


def test_one_hostile_file_does_not_keep_a_good_one_out():
    good = UploadedFile("squad.xlsx", good_workbook())
    preview = read_files([HOSTILE["macros.xlsx"], good], known=NEW_GYM)
    assert [athlete.name for athlete in preview.records.athletes] == ["Robin Example"]


def test_the_control_arm_a_good_workbook_is_read():
    assert read_guarded(UploadedFile("gym.xlsx", good_workbook())).sheets[0].name == "Squad"


@pytest.mark.slow
def test_the_child_cannot_take_more_than_its_memory():
    code = (
        "from heftwright.imports.child import limit_this_process; limit_this_process();"
        "x = bytearray(300 * 2**20)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert b"MemoryError" in done.stderr


def test_the_child_says_when_memory_ran_out(monkeypatch):
    def greedy(kind, content):
        raise MemoryError

    monkeypatch.setattr(child, "parse", greedy)
    assert "too much memory" in child.answer("csv", b"")["refused"]


def test_a_child_that_dies_is_a_refusal(monkeypatch):
    def dies(*args, **more):
        return subprocess.CompletedProcess([], -9, b"", b"")

    monkeypatch.setattr(hardening.subprocess, "run", dies)
    with pytest.raises(FileRefusedError, match="could not be read safely"):
        read_guarded(UploadedFile("squad.csv", b"Name\nRobin\n"))


def test_a_child_that_takes_too_long_is_a_refusal(monkeypatch):
    def slow(*args, **more):
        raise subprocess.TimeoutExpired("child", 10)

    monkeypatch.setattr(hardening.subprocess, "run", slow)
    with pytest.raises(FileRefusedError, match="longer than 10 s"):
        read_guarded(UploadedFile("squad.csv", b"Name\nRobin\n"))


def test_the_child_reads_standard_input_and_answers_in_json(monkeypatch, capsys):
    monkeypatch.setattr(child, "limit_this_process", lambda: None)
    monkeypatch.setattr(child.gc, "disable", lambda: None)
    monkeypatch.setattr(sys, "argv", ["child", "csv"])
    monkeypatch.setattr(sys, "stdin", type("In", (), {"buffer": BytesIO(b"Name\nRobin\n")}))
    child.main()
    assert '"Robin"' in capsys.readouterr().out


def test_the_size_limit_is_five_megabytes_and_not_a_byte_more():
    assert kind_of(UploadedFile("a.csv", b"x" * MAX_FILE_BYTES)) == "csv"
    with pytest.raises(FileRefusedError, match="larger than 5 MB"):
        kind_of(UploadedFile("a.csv", b"x" * (MAX_FILE_BYTES + 1)))


def test_the_cell_budget_ends():
    budget = CellBudget(cells=99_999)
    budget.spend("x")
    with pytest.raises(HostileFileError, match="more than 100,000"):
        budget.spend("x")


@pytest.mark.parametrize("name", ["a.xlsm", "a.xlsb", "a.ods", "a.XLS"])
def test_other_kinds_of_spreadsheets_are_named(name):
    with pytest.raises(FileRefusedError, match=r"save it as \.xlsx or CSV"):
        kind_of(UploadedFile(name, b"x"))


def test_a_path_in_a_file_name_is_only_a_name():
    file = UploadedFile("..\\..\\gym\\Squad.CSV", b"x")
    assert (file.stem, file.ending) == ("Squad", ".csv")


def test_deep_xml_is_refused_by_depth_when_its_ratio_is_ordinary():
    noise = b"".join(b"<a%d>" % (at * 7919 % 100_003) for at in range(5_000))
    file = UploadedFile("deep.xlsx", with_part("xl/worksheets/sheet1.xml", noise))
    with pytest.raises(FileRefusedError, match="nested deeper"):
        in_process(file)


def test_a_hidden_sheet_is_named_and_not_read():
    def hide(book):
        book["Squad"].sheet_state = "hidden"

    rows = [("Number", "Name", "Sex"), (7, "Robin Example", "woman")]
    file = xlsx_file({"Kit": [("Kit", "Count"), ("box", 4)], "Squad": rows}, change=hide)
    preview = read_files([file], known=NEW_GYM, read=in_process)
    assert not preview.records.athletes
    assert "hidden" in preview.problems[0].sentence

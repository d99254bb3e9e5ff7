"""The tutorial and the how-tos are run as they are read, in the reader's own place.

The place is a fresh folder in which the demo was started once. Every ``sh`` block runs in a real
shell, in the page's order; the ``text`` block under it is held against what came out.
"""

import http.client
import os
import re
import signal
import socket
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
HOW_TOS = sorted(page.name for page in (DOCS / "how-to").glob("*.md"))
# Run elsewhere: make demo needs the whole project (see the fixture for its recipe), serve goes on.
SET_UP, SERVES = "make demo", re.compile(r"heftwright serve .*")
TOO_LONG_S = 400


@dataclass(frozen=True)
class Block:
    """One block of commands and the lines that the page shows under it."""

    commands: str
    shown: tuple[str, ...]


def blocks_of(page):
    """The ``sh`` blocks of a page, each with the ``text`` block that follows it."""
    text = re.sub(r"^ {3}", "", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    found = []
    for kind, body in re.findall(r"^```(sh|text)\n(.*?)^```", text, re.MULTILINE | re.DOTALL):
        if kind == "sh":
            found.append(Block(body.strip(), ()))
        else:
            found[-1] = Block(found[-1].commands, tuple(body.strip().splitlines()))
    return found


def environment():
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("HEFTWRIGHT_", "DJANGO_"))}
    return {key: value for key, value in kept.items() if key != "COLUMNS"}


def run_by_the_shell(script, place):
    return subprocess.run(
        ["bash", "-e", "-c", script], cwd=place, env=environment(), text=True, check=False,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        timeout=TOO_LONG_S,
    )  # fmt: skip


@pytest.fixture(scope="module")
def after_demo(tmp_path_factory):
    """The folder as `make demo` leaves it: the set-up, the demo's data, nothing else."""
    place = tmp_path_factory.mktemp("project")
    (place / ".venv").symlink_to(ROOT / ".venv", target_is_directory=True)
    made = run_by_the_shell(".venv/bin/heftwright demo --no-serve", place)
    assert made.returncode == 0, made.stdout
    assert "HiGHS" not in made.stdout
    return place


def test_the_demo_target_starts_the_demo_that_is_started_here():
    assert "$(BIN)/heftwright demo" in (ROOT / "Makefile").read_text(encoding="utf-8")


def told_by(blocks, place):
    """What came out of each block, run one after another in one shell window."""
    marked = "\n".join(f"{block.commands}\necho '== end =='" for block in blocks)
    ran = run_by_the_shell(marked, place)
    assert ran.returncode == 0, ran.stdout[-3000:]
    return ran.stdout.split("== end ==")


def check_shown(blocks, told):
    for block, output in zip(blocks, told, strict=False):
        flat = " ".join(output.split())
        for line in block.shown:
            assert " ".join(line.split()) in flat, f"{line!r} did not come out of {block.commands}"
        assert "Traceback" not in output
        assert "HiGHS" not in output


def is_run_here(block):
    return block.commands != SET_UP and not SERVES.search(block.commands)


def test_the_tutorial_does_what_it_says_for_a_reader_who_types_it(after_demo):
    blocks = [b for b in blocks_of(DOCS / "tutorial" / "first-class.md") if is_run_here(b)]
    assert len(blocks) >= 9
    check_shown(blocks, told_by(blocks, after_demo))
    assert list((after_demo / "data").glob("*.pdf"))


@pytest.mark.parametrize("name", HOW_TOS)
def test_every_how_to_works_in_the_readers_place(after_demo, name):
    blocks = [block for block in blocks_of(DOCS / "how-to" / name) if is_run_here(block)]
    if blocks:
        check_shown(blocks, told_by(blocks, after_demo))


def test_serving_as_the_pages_say_prints_the_addresses(after_demo):
    pages = [DOCS / "tutorial" / "first-class.md", DOCS / "how-to" / "wall-board.md"]
    words = {b.commands for page in pages for b in blocks_of(page) if SERVES.search(b.commands)}
    assert len({line.removeprefix(".venv/bin/") for line in words}) == 1
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = f".venv/bin/heftwright serve --host 0.0.0.0 --port {port}"
    with subprocess.Popen(
        command.split(), cwd=after_demo, env={**environment(), "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE, text=True, start_new_session=True,
    ) as server:  # fmt: skip
        try:
            assert server.stdout.readline() == f"The web app: http://127.0.0.1:{port}/\n"
            wait_for_answer(port)
            os.killpg(server.pid, signal.SIGINT)
            server.wait(timeout=60)
        finally:
            if server.poll() is None:
                os.killpg(server.pid, signal.SIGKILL)


def wait_for_answer(port):
    """Until the server answers a request; a minute at most."""
    for _ in range(600):
        asked = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        try:
            asked.request("HEAD", "/")
            asked.getresponse()
        except OSError:
            time.sleep(0.1)
        else:
            return
        finally:
            asked.close()
    raise AssertionError("the server never answered")

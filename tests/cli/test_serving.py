"""Ctrl-C leaves nothing behind, and a second start keeps the data."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request

import pytest

TOO_LONG_S = 90


@pytest.fixture
def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def started(data, port):
    env = {k: v for k, v in os.environ.items() if k != "DJANGO_SETTINGS_MODULE"}
    words = ["-m", "heftwright.cli.main", "--data", str(data), "serve", "--port", str(port)]
    return subprocess.Popen(
        [sys.executable, *words], env=env, start_new_session=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def answers(port):
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in", timeout=5) as page:
            return page.status == 200
    except (urllib.error.URLError, OSError):
        return False


def wait_until(condition):
    ends = time.monotonic() + TOO_LONG_S
    while time.monotonic() < ends:
        if condition():
            return True
        time.sleep(0.2)
    return False


def nobody_in_session(leader):
    listed = subprocess.run(
        ["ps", "-o", "pid=", "-s", str(leader)], capture_output=True, text=True, check=False
    )
    return not listed.stdout.strip()


def test_ctrl_c_ends_the_server_and_every_process_it_started(tmp_path, free_port):
    server = started(tmp_path, free_port)
    try:
        assert wait_until(lambda: answers(free_port))
        os.killpg(server.pid, signal.SIGINT)
        server.wait(timeout=TOO_LONG_S)
        assert wait_until(lambda: nobody_in_session(server.pid))
        assert not answers(free_port)
        assert (tmp_path / "heftwright.sqlite3").exists()
    finally:
        if server.poll() is None:
            os.killpg(server.pid, signal.SIGKILL)

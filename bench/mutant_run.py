"""Run tests against mutants: each in a fork, only the tests that reach the changed line.

The tests run once with the line each of them reaches; a mutant is then given to those tests, the
quickest first, until one fails. A mutant that hangs is ended after a minute and counts as killed.
Every test starts with empty caches: else a band fitted for one test would hide from the record that
the next one rests on the same lines.
"""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import json
import multiprocessing as mp
import os
import signal
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import _lru_cache_wrapper
from pathlib import Path
from types import CodeType, ModuleType

import coverage
import hypothesis
import numpy as np  # loaded once, before the forks
import pytest
import scipy.optimize  # likewise

from bench.mutants import UNCHANGED, Mutant, mutated

LIMIT_S = 60
ROOT = str(Path(__file__).parents[1])
OPTIONS = (
    *("-c", os.devnull, "--rootdir", ROOT, "-q", "-x", "-W", "error", "--assert", "plain"),
    *("-p", "no:django", "-p", "no:randomly", "-p", "no:cacheprovider", "-p", "no:xdist"),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),
)


@dataclass(frozen=True, slots=True)
class Reached:
    """Which tests reach which lines.

    Parameters
    ----------
    by_line : dict
        (file, line) -> names of tests; lines run at import are in ``at_import``.
    seconds : dict
        Test -> duration.
    branches, branches_taken : int
        Ways out of the conditions of the sources, and those the tests went.
    """

    by_line: dict[tuple[str, int], frozenset[str]]
    seconds: dict[str, float]
    branches: int
    branches_taken: int

    def tests_for(self, mutant: Mutant) -> list[str]:
        """Quickest first; every test for a line that runs at import."""
        if mutant.number == UNCHANGED:
            return sorted(self.seconds)
        wanted = self.by_line.get((str(mutant.path), mutant.line), frozenset())
        names = self.seconds.keys() if "" in wanted else wanted & self.seconds.keys()
        return sorted(names, key=lambda name: (self.seconds[name], name))


class _Plugin:
    """Same examples every time; chosen tests in a chosen order; durations."""

    def __init__(self, names: Sequence[str] | None = None) -> None:
        self.names, self.seconds = names, dict[str, float]()

    def pytest_configure(self) -> None:
        hypothesis.settings.register_profile(
            "mutants", hypothesis.settings.get_profile("house"), derandomize=True, database=None
        )
        hypothesis.settings.load_profile("mutants")

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        if self.names is not None:
            known = {item.nodeid: item for item in items}
            items[:] = [known[name] for name in self.names if name in known]

    def pytest_runtest_setup(self) -> None:
        _empty_caches()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call":
            self.seconds[report.nodeid] = report.duration


class _Loader(importlib.abc.Loader):
    def __init__(self, code: CodeType) -> None:
        self.code = code

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)  # noqa: S102 - our own module with one change


class _Finder(importlib.abc.MetaPathFinder):
    """Gives one module with its change in it."""

    def __init__(self, name: str, path: Path, code: CodeType) -> None:
        self.name, self.path, self.code = name, path, code

    def find_spec(
        self, fullname: str, _path: object, _target: object = None
    ) -> importlib.machinery.ModuleSpec | None:
        if fullname != self.name:
            return None
        is_package = self.path.name == "__init__.py"
        loader = _Loader(self.code)
        return importlib.machinery.ModuleSpec(
            fullname, loader, origin=str(self.path), is_package=is_package
        )


def reached(sources: Sequence[Path], tests: Sequence[str]) -> Reached:
    """Run the tests unchanged; every one of them must pass.

    Raises
    ------
    RuntimeError
        If one fails: mutants would then prove nothing.
    """
    context = mp.get_context("fork")
    receiver, sender = context.Pipe(duplex=False)
    child = context.Process(target=_reach, args=(sources, tests, sender))
    child.start()
    sender.close()
    found = receiver.recv()
    child.join()
    if not isinstance(found, Reached):
        raise RuntimeError(f"The tests fail as they are: {found}")
    return found


def _reach(sources: Sequence[Path], tests: Sequence[str], sender: object) -> None:
    _quiet()
    _forget_ours()
    with tempfile.TemporaryDirectory() as folder:
        data_file = str(Path(folder) / "reached")
        cover = coverage.Coverage(
            data_file=data_file, include=[str(path) for path in sources], config_file=False,
            branch=True,
        )  # fmt: skip
        cover.start()
        plugin = _Contexts(cover)
        code = pytest.main([*OPTIONS, *tests], plugins=[plugin])
        cover.stop()
        cover.save()
        data = cover.get_data()
        by_line = {
            (name, line): frozenset(contexts)
            for name in data.measured_files()
            for line, contexts in data.contexts_by_lineno(name).items()
        }
        found = Reached(by_line, plugin.seconds, *_branches(cover, Path(folder) / "report.json"))
        sender.send(found if code == 0 else str(code))  # type: ignore[attr-defined]


def _branches(cover: coverage.Coverage, report: Path) -> tuple[int, int]:
    cover.json_report(outfile=str(report))
    totals = json.loads(report.read_text(encoding="utf-8"))["totals"]
    return totals["num_branches"], totals["covered_branches"]


class _Contexts(_Plugin):
    def __init__(self, cover: coverage.Coverage) -> None:
        super().__init__()
        self.cover = cover

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> object:
        self.cover.switch_context(item.nodeid)
        yield
        self.cover.switch_context("")


def survivors(
    mutants: Sequence[Mutant], tests: Reached, module_of: dict[Path, str], workers: int
) -> list[Mutant]:
    """Those that no test noticed."""
    jobs = [(mutant, tests.tests_for(mutant), module_of[mutant.path]) for mutant in mutants]
    with mp.get_context("fork").Pool(workers) as pool:
        lived = pool.starmap(_lives, jobs, chunksize=1)
    return [mutant for mutant, has_lived in zip(mutants, lived, strict=True) if has_lived]


def _lives(mutant: Mutant, names: list[str], module: str) -> bool:
    if not names:
        return True
    pid = os.fork()
    if pid == 0:
        os._exit(_judge(mutant, names, module))
    _, status = os.waitpid(pid, 0)
    return os.WIFEXITED(status) and os.WEXITSTATUS(status) == 0


def _judge(mutant: Mutant, names: list[str], module: str) -> int:
    signal.alarm(LIMIT_S)
    _quiet()
    _forget_ours()
    try:
        code = compile(mutated(mutant), str(mutant.path), "exec")
        sys.meta_path.insert(0, _Finder(module, mutant.path, code))
        files = sorted({name.partition("::")[0] for name in names})
        return int(pytest.main([*OPTIONS, *files], plugins=[_Plugin(names)]))
    except BaseException:  # a module that no longer loads is noticed at once
        return 1


def _quiet() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def _forget_ours() -> None:
    """Load our modules anew: another check of this run may have loaded them without a change."""
    for name in [name for name in sys.modules if name.partition(".")[0] == "heftwright"]:
        del sys.modules[name]


def _empty_caches() -> None:
    ours = [module for name, module in sys.modules.items() if name.startswith("heftwright.")]
    for kept in [value for module in ours for value in vars(module).values()]:
        if isinstance(kept, _lru_cache_wrapper):
            kept.cache_clear()


SHARED = (np, scipy)  # named, so that their import is not taken for unused: the forks share it

"""The house keeps its shape: layers, sizes, and nothing that ties it to one place."""

import ast
import re
import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "heftwright"
MODULES = sorted(p for p in SOURCE.rglob("*.py") if "migrations" not in p.parts)


def tracked_files():
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return [ROOT / line for line in listed.stdout.splitlines() if (ROOT / line).is_file()]


def text_of(path):
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


def test_no_link_is_tracked():
    """A link carries a machine's path and replaces what stands there in every other checkout."""
    listed = subprocess.run(
        ["git", "ls-files", "--stage"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert [line for line in listed.stdout.splitlines() if line.startswith("120000")] == []


def test_every_import_contract_holds():
    ran = subprocess.run(
        [str(ROOT / ".venv/bin/lint-imports"), "--no-cache"],
        check=False,
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stdout


def test_the_contract_checker_bites_on_a_domain_that_imports_a_framework():
    # Control arm: the same rule, asked of a layer that does use the framework, must fail.
    imports = {
        alias.name.split(".")[0]
        for path in (SOURCE / "store").rglob("*.py")
        for node in ast.walk(ast.parse(text_of(path)))
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in (
            [ast.alias(node.module or "")] if isinstance(node, ast.ImportFrom) else node.names
        )
    }
    assert "django" in imports


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_no_module_grows_past_400_lines(path):
    assert len(text_of(path).splitlines()) <= 400


def test_no_module_hides_behind_a_word_that_says_nothing():
    vague = {"utils", "util", "helpers", "helper", "common", "manager", "managers", "misc", "tools"}
    assert not [p for p in MODULES if p.stem in vague]


def test_no_commit_holds_a_registry_host_or_the_path_of_a_machine():
    hosts = [r"pypi\.org", r"pythonhosted", r"registry\.npmjs", r"deb\.debian", r"npmjs\.(com|org)"]
    places = [r"/work/", r"/root/", r"/tmp/", r"/home/[a-z]"]
    pattern = re.compile("|".join(hosts + places))
    here = Path(__file__).resolve()
    found = [
        f"{path.relative_to(ROOT)}: {match.group(0)}"
        for path in tracked_files()
        if path.resolve() != here
        for match in [pattern.search(text_of(path))]
        if match
    ]
    assert not found


def test_locks_pin_every_package_by_hash_and_name_no_address():
    for name in ("requirements.txt", "requirements-dev.txt"):
        text = text_of(ROOT / name)
        pins = re.findall(r"^[a-z0-9][^ ]*==", text, re.MULTILINE)
        assert len(pins) > 20
        assert text.count("--hash=sha256:") >= len(pins)
        assert "http" not in text


def test_every_source_key_used_in_the_code_is_in_sources_toml():
    known = set(tomllib.loads(text_of(ROOT / "docs" / "sources.toml")))
    used = {
        key
        for path in [*MODULES, *(ROOT / "tests").rglob("*.csv")]
        for key in re.findall(r"\[@([a-z0-9-]+)\]", text_of(path))
    }
    assert used, "no source is cited by its key: this check would prove nothing"
    assert used <= known, used - known


NAME = r"[A-ZÀ-Þ][a-zà-ÿ]+(?:-[A-Z][a-zà-ÿ]+)?"
AUTHOR_YEAR = re.compile(
    rf"\b({NAME})(?:,? (?:et al\.|(?:& |and )?{NAME},?)){{0,3}}[ ,]*\(?((?:19[5-9]|20[0-2])\d)\b"
)
OWN_YEARS = "2026"
"""From here on a year after a word is a date of the demo or a test."""


def _works_cited(text: str) -> set[tuple[str, str]]:
    return {(author, year) for author, year in AUTHOR_YEAR.findall(text) if year < OWN_YEARS}


def test_an_author_and_a_year_are_read_as_a_work():
    text = "Reynolds et al. 2006; Grgic & Mikulic (2017); Epley 1985; in April 2026"
    assert _works_cited(text) == {("Reynolds", "2006"), ("Grgic", "2017"), ("Epley", "1985")}


def test_every_work_cited_by_author_and_year_is_in_sources_toml():
    sources = tomllib.loads(text_of(ROOT / "docs" / "sources.toml")).values()
    here = {path for path in (ROOT / "tests").rglob("*") if path.suffix in {".py", ".csv"}}
    tables = set((ROOT / "src").rglob("*.json"))
    cited = {work for path in [*MODULES, *here, *tables] for work in _works_cited(text_of(path))}
    missing = {
        (author, year)
        for author, year in cited
        if not any(author in one["citation"] and year in one["citation"] for one in sources)
    }
    assert len(cited) > 30
    assert not missing, sorted(missing)

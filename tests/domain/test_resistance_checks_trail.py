"""Every row of the design's checks about resistance, bars and bodies leads to a test that cites it.

The table is ``tests/published/resist_checks_trail.csv``: id, test, source, status of the source.
"""

import ast
import re
from pathlib import Path

import pytest
from resistance_gear import PUBLISHED, published

HERE = Path(__file__).parent
# checks.md part B, and D1 and D3 of part A.
WANTED = [
    *("A-D1", "A-D3", "B1", "B3", "B4", "B5", "B6", "B8", "B10", "B11", "C1", "C3", "C5"),
    *("D1", "D2", "D5", "E1", "E2", "E5", "E6", "F1", "F5", "G1", "G2"),
]
STATUSES = {"seen", "secondary", "memory", "arithmetic", "property", "CP"}
ROWS = published("resist_checks_trail.csv")


def cited(row):
    """Source of the test, with the ids of the published tables that it reads."""
    text = (HERE / row["file"]).read_text(encoding="utf-8")
    found = [
        node
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.FunctionDef) and node.name == row["test"]
    ]
    assert found, f"{row['file']} has no {row['test']}"
    (test,) = found
    first = min([test.lineno, *(mark.lineno for mark in test.decorator_list)])
    lines = text.splitlines()[first - 1 : test.end_lineno]
    return "\n".join(lines)


def ids_read(source):
    """Ids of the rows of every published table that a test reads."""
    tables = re.findall(r'published\("([a-z0-9_]+\.csv)"\)', source)
    rows = (row for table in tables for row in published(table))
    return {row["id"] for row in rows if "id" in row}


def test_the_table_has_each_row_of_the_design_once():
    assert [row["id"] for row in ROWS] == WANTED


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_the_cited_test_is_there_and_cites_the_check(row):
    source = cited(row)
    plain = row["id"].removeprefix("A-")
    comments = " ".join(re.findall(r"checks\.md[^\n]*", source))
    is_said = re.search(rf"\b{plain}\b", comments)
    in_table = ids_read(source) & {row["id"], f"B-{plain}"}
    assert is_said or in_table, f"{row['test']} does not cite {row['id']}"
    assert "assert" in source or "pytest.raises" in source
    assert row["source"]
    assert row["status"] in STATUSES


def test_a_check_without_a_test_would_be_noticed():
    with pytest.raises(AssertionError, match="has no test_that_was_lost"):
        cited({"file": "test_resistance_bands.py", "test": "test_that_was_lost"})


def test_every_published_table_about_resistance_names_its_source():
    for path in PUBLISHED.glob("resist_*.csv"):
        assert all(row["source"].strip() for row in published(path.name)), path.name

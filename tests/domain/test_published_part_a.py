"""Every published check of this part is held by a test that takes its value from the table.

``part_a_tests.csv`` says which test holds which check, and what of it cannot be held.
"""

import ast
import csv
import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from strength_published import PUBLISHED

HERE = Path(__file__).parent
PART_A = {
    *(f"Z{n}" for n in (1, 2, 4, 6, 7, 8)),
    *(f"R{n}" for n in (1, 3, 5, 7, 8, 10)),
    *(f"E{n}" for n in (1, 2, 4, 5)),
    *(f"V{n}" for n in (1, 3, 4, 5, 8, 9)),
    *("D1", "D3"),
    *(f"X{n}" for n in (1, 3, 4, 6, 8, 9)),
    *(f"L{n}" for n in (1, 2, 4, 5, 6, 7, 9, 10, 12)),
    "W1",
}


def listed():
    with (HERE.parent / "published" / "part_a_tests.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@cache
def functions(name):
    text = (HERE / name).read_text(encoding="utf-8")
    nodes = [node for node in ast.parse(text).body if isinstance(node, ast.FunctionDef)]
    return {node.name: (node, ast.get_source_segment(text, node)) for node in nodes}


def values_taken(node):
    """The ids whose row of the table the function reads."""
    return {
        part.slice.value
        for part in ast.walk(node)
        if isinstance(part, ast.Subscript)
        and isinstance(part.value, ast.Name)
        and part.value.id == "PUBLISHED"
        and isinstance(part.slice, ast.Constant)
    }


def can_fail(node):
    """Whether it asserts something, or expects a refusal."""
    raises = any(isinstance(part, ast.Attribute) and part.attr == "raises"
                 for part in ast.walk(node))  # fmt: skip
    return raises or any(isinstance(part, ast.Assert) for part in ast.walk(node))


def test_every_check_of_part_a_is_listed_and_every_row_of_the_table_is_used():
    assert {row["id"] for row in listed()} == PART_A
    assert {*PUBLISHED, "D1", "D3"} == PART_A
    assert max(Counter((row["id"], row["test"]) for row in listed()).values()) == 1


@pytest.mark.parametrize("row", listed(), ids=lambda row: f"{row['id']}-{row['test']}")
def test_the_named_test_holds_the_published_value_and_can_fail(row):
    assert row["source"]
    node, source = functions(row["file"])[row["test"]]
    assert can_fail(node)
    if row["how"] == "value":
        decorators = {name for item in node.decorator_list for name in values_taken(item)}
        assert row["id"] in values_taken(node) | decorators
    else:
        assert re.search(rf"checks\.md[^\n]*\b{row['id']}\b", source)


def test_a_row_without_a_value_is_held_as_a_rule_and_every_other_by_its_value():
    rules = {row["id"] for row in listed() if row["how"] == "rule"}
    by_value = {row["id"] for row in listed() if row["how"] == "value"}
    without_value = {"R10", "V9", "X9", "L12"}
    assert by_value == set(PUBLISHED) - without_value
    assert without_value <= rules

"""Rows of the published table of this part, read once."""

import csv
import json
from dataclasses import dataclass
from pathlib import Path

TABLE = Path(__file__).parents[1] / "published" / "strength_dose_strain.csv"


@dataclass(frozen=True)
class PublishedRow:
    """One row: what goes in, what the source says comes out."""

    what: str
    input: object
    expected: object
    tolerance: float
    source: str
    status: str


def _read(text):
    try:
        return json.loads(text)
    except json.JSONDecodeError:
        return text


def _tolerance(text):
    try:
        return float(text.split()[0])
    except ValueError:
        return 0.0


def published_rows():
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {
            row["id"]: PublishedRow(
                row["what"],
                _read(row["input"]),
                _read(row["expected"]),
                _tolerance(row["tolerance"]),
                row["source"],
                row["status"],
            )
            for row in csv.DictReader(file)
        }


PUBLISHED = published_rows()

"""The look's own rules: contrast of the tokens, small files, nothing inline (strict CSP)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import heftwright.web
from heftwright.pictures.colour import contrast_ratio

WEB = Path(heftwright.web.__file__).parent
STATIC = WEB / "static" / "heftwright"
TEMPLATES = sorted((WEB / "templates").rglob("*.html"))
SCRIPTS = sorted(STATIC.glob("*.js"))
AAA = 7.0  # WCAG 2.2, 1.4.6 contrast (enhanced), normal text

TOKENS = dict(
    re.findall(
        r"--([a-z-]+): (light-dark\(.+?\)|#[0-9a-f]{6});", (STATIC / "tokens.css").read_text()
    )
)
ON = [
    ("ink", "ground"), ("ink", "mat"), ("ink", "sunk"), ("ink-soft", "ground"), ("ink-soft", "mat"),
    ("brass", "ground"), ("brass", "mat"), ("rust", "mat"), ("rust", "rust-fill"), ("moss", "mat"),
    ("moss", "moss-fill"), ("ink", "rust-fill"), ("ink", "moss-fill"), ("on-rubber", "rubber"),
    ("on-rubber-soft", "rubber"), ("strip", "rubber"), ("ink", "brass-fill"),
]  # fmt: skip


def colour(name: str, scheme: str) -> str:
    value = TOKENS[name]
    if not value.startswith("light-dark"):
        return value
    light, dark = re.findall(r"#[0-9a-f]{6}", value)
    return light if scheme == "light" else dark


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("front", "back"), ON)
def test_words_stand_out_from_their_ground_in_both_schemes(front, back, scheme):
    assert contrast_ratio(colour(front, scheme), colour(back, scheme)) >= AAA


def test_board_colours_stand_out():
    for front, back in (("#f7f5ee", "#0b0c0d"), ("#e6c36a", "#191a1c"), ("#2b0a04", "#ffb3a0")):
        assert contrast_ratio(front, back) >= AAA


def test_scripts_hold_one_behaviour_each():
    assert {p.name: n for p in SCRIPTS if (n := len(p.read_text().splitlines())) > 120} == {}


def test_templates_stay_small():
    assert {p.name: n for p in TEMPLATES if (n := len(p.read_text().splitlines())) > 130} == {}


@pytest.mark.parametrize(
    "wrong", [r"\sstyle=", r"\son[a-z]+=", r"<script>", r"javascript:", "hx-on"]
)
def test_nothing_is_inline(wrong):
    assert [p.name for p in TEMPLATES if re.search(wrong, p.read_text())] == []


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_scripts_neither_evaluate_text_nor_write_markup_nor_keep_things_elsewhere(path):
    text = path.read_text()
    for wrong in ("eval(", "innerHTML", "document.write", "localStorage", "sessionStorage", "http"):
        assert wrong not in text.replace("https;", "").replace("plain http ", "").replace(
            "needs https", ""
        ), wrong

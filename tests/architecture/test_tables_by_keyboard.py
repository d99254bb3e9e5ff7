"""A table that scrolls sideways is reached by keyboard and says so, wherever a template has one."""

import re
from pathlib import Path

import heftwright

TEMPLATES = Path(heftwright.__file__).parent / "web" / "templates"
FRAME = re.compile(r'<div class="table-frame[^>]*>')
WHOLE = re.compile(r'tabindex="0" role="region" aria-label="[^"]+, scrolls sideways"')


def test_every_table_frame_takes_the_focus_and_has_a_name():
    frames = [
        (path.name, found)
        for path in sorted(TEMPLATES.rglob("*.html"))
        for found in FRAME.findall(path.read_text(encoding="utf-8"))
    ]
    assert len(frames) >= 20
    assert [frame for frame in frames if not WHOLE.search(frame[1])] == []

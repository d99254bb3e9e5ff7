"""The season strip in words: reasons of a block, and the table behind the picture."""

from __future__ import annotations

from datetime import date

from heftwright.domain.sheet import ContestPost, SeasonStrip, StripAfter, StripBlock
from heftwright.pictures.table import ChartTable


def block_words(strip: SeasonStrip, block: StripBlock) -> str:
    """What is on, when, why, and what came second."""
    first, last = _span(strip, block)
    when = f"week of {day_words(first)}"
    if last != first:
        when = f"{block.weeks} weeks from {day_words(first)}"
    sentences = [f"{block.label}, {when}" + (f": {block.detail}" if block.detail else "")]
    sentences += [text for text in (_state(block),) if text]
    sentences += block.reasons
    if block.runner_up:
        sentences.append(f"Runner-up: {block.runner_up}")
    return " ".join(f"{sentence.rstrip('.')}." for sentence in sentences)


def after_words(strip: SeasonStrip, item: StripAfter) -> str:
    """What follows a main lift: what, when, why."""
    when = day_words(strip.weeks[item.week].monday)
    sentences = (
        f"{item.label}, {item.detail}, after {item.slot_name.lower()}, week of {when}",
        *item.reasons,
    )
    return " ".join(f"{sentence.rstrip('.')}." for sentence in sentences)


def on_block(block: StripBlock) -> str:
    """What stands on a block: light work says just that, its lift is the one before."""
    return "light" if block.is_light else block.label


def post_words(post: ContestPost) -> str:
    """A contest: its name, day, events and how many go."""
    events = ", ".join(post.events) or "events not entered yet"
    entrants = f"{post.entrants} {'athlete goes' if post.entrants == 1 else 'athletes go'}"
    kind = "the main contest" if post.is_main else "a contest on the way"
    return f"{post.name}, {day_words(post.on)} {post.on.year}, {kind}: {events}. {entrants}."


def day_words(day: date) -> str:
    """``4 Jan``: the same in every locale."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def season_strip_table(strip: SeasonStrip) -> ChartTable:
    """A row a week, a column a lane, what follows the main lifts, contests in the last column."""
    rows = tuple(_row(strip, week) for week in range(len(strip.weeks)))
    after = ("After the main lift",) if strip.after else ()
    columns = ("Week of", "Kind", *(lane.name for lane in strip.lanes), *after, "Contests")
    return ChartTable(f"The season, plan version {strip.plan_version}", columns, rows)


_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _row(strip: SeasonStrip, week: int) -> tuple[str, ...]:
    entry = strip.weeks[week]
    now = " (this week)" if week == strip.this_week else ""
    lanes = (_cell(lane.blocks, week) for lane in strip.lanes)
    posts = "; ".join(post.name for post in strip.posts if post.week == week)
    after = "; ".join(f"{i.label} ({i.detail})" for i in strip.after_in(week))
    last = (after or "–", posts or "–") if strip.after else (posts or "–",)
    return (f"{day_words(entry.monday)}{now}", entry.kind, *lanes, *last)


def _cell(blocks: tuple[StripBlock, ...], week: int) -> str:
    here = [block for block in blocks if block.week <= week < block.week + block.weeks]
    return "; ".join(_cell_words(block, week) for block in here) or "–"


def _cell_words(block: StripBlock, week: int) -> str:
    step = f" ({week - block.week + 1} of {block.weeks})" if block.weeks > 1 else ""
    state = _state(block)
    return f"{block.label}{step}" + (f", {state.lower()}" if state else "")


def _span(strip: SeasonStrip, block: StripBlock) -> tuple[date, date]:
    last = min(block.week + block.weeks, len(strip.weeks)) - 1
    return strip.weeks[block.week].monday, strip.weeks[last].monday


def _state(block: StripBlock) -> str:
    words = [word for word, so in (("done", block.is_done), ("pinned", block.is_pinned)) if so]
    return " and ".join(words).capitalize()

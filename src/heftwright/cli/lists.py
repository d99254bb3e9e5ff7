"""Tables in the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def print_table(
    title: str, columns: Sequence[str], rows: Iterable[Sequence[str]], *, whole: str = ""
) -> None:
    """Print a plain table; the column ``whole`` is never broken over two lines."""
    from rich.console import Console
    from rich.table import Table

    table = Table(
        title=title, title_justify="left", title_style="bold", show_edge=False, padding=(0, 1, 0, 0)
    )
    for column in columns:
        table.add_column(column, no_wrap=column == whole)
    for row in rows:
        table.add_row(*row)
    Console().print(table)

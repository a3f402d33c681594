"""The tables of columns in docs/importing.md, made from the columns themselves."""

from __future__ import annotations

from apps.exchange.visit_columns import SECTIONS, Column
from apps.records.marked_page import renewed


def with_columns(page: str) -> str:
    """Give the page with the tables between its two marks made anew.

    Raises
    ------
    ValueError
        If the page has no marks for the tables.
    """
    return renewed(page, "columns", columns_tables(), what="columns")


def columns_tables() -> str:
    """Give the tables as Markdown, one a subject and a row a column."""
    return "\n".join(
        f"### {subject}\n\n| column | cells | meaning |\n|---|---|---|\n"
        + "".join(map(_row, columns))
        for subject, columns in SECTIONS.items()
    )


def _row(column: Column) -> str:
    cells = f"{column.form}, needed" if column.required else str(column.form)
    meaning = column.meaning.replace("|", "\\|")
    return f"| `{column.name}` | {cells} | {meaning} |\n"

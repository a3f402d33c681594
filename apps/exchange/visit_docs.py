"""The tables of columns in docs/importing.md, made from the columns themselves."""

from __future__ import annotations

import re

from apps.exchange.visit_columns import SECTIONS, Column

_BETWEEN = re.compile(r"(<!-- columns: begin -->\n).*?(<!-- columns: end -->)", re.DOTALL)


def with_columns(page: str) -> str:
    """Give the page with the tables between its two marks made anew.

    Raises
    ------
    ValueError
        If the page has no marks for the tables.
    """
    if not _BETWEEN.search(page):
        raise ValueError("The page has no marks for the columns: begin and end.")
    return _BETWEEN.sub(lambda marks: marks[1] + columns_tables() + marks[2], page)


def columns_tables() -> str:
    """Give the tables as Markdown, one a subject and a row a column."""
    return "".join(
        f"### {subject}\n\n| column | cells | meaning |\n|---|---|---|\n"
        + "".join(map(_row, columns))
        + "\n"
        for subject, columns in SECTIONS.items()
    )


def _row(column: Column) -> str:
    cells = f"{column.form}, needed" if column.required else str(column.form)
    meaning = column.meaning.replace("|", "\\|")
    return f"| `{column.name}` | {cells} | {meaning} |\n"

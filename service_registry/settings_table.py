"""The table of settings in docs/operating.md, made from the environment's own fields."""

from __future__ import annotations

import re

from pydantic.fields import FieldInfo

from service_registry.environment import TRIAL_SECRET_KEY, Environment

_BETWEEN = re.compile(r"(<!-- settings: begin -->\n).*?(<!-- settings: end -->)", re.DOTALL)


def with_settings_table(page: str) -> str:
    """Give the page with the table between its two marks made anew.

    Raises
    ------
    ValueError
        If the page has no marks for the table.
    """
    if not _BETWEEN.search(page):
        raise ValueError("The page has no marks for the settings: begin and end.")
    return _BETWEEN.sub(lambda marks: marks[1] + settings_table() + marks[2], page)


def settings_table() -> str:
    """Give the table as Markdown, a row a variable."""
    rows = [
        f"| `{name.upper()}` | {_default(field)} | {field.description} |\n"
        for name, field in Environment.model_fields.items()
    ]
    return "| variable | default | meaning |\n|---|---|---|\n" + "".join(rows)


def _default(field: FieldInfo) -> str:
    value = field.get_default(call_default_factory=True, validated_data={})
    if value == TRIAL_SECRET_KEY:
        return "one for trying out"
    if value is None:
        return "a file in `DATA_DIR`"
    if value == []:
        return "none"
    return f"`{','.join(value) if isinstance(value, list) else value}`"

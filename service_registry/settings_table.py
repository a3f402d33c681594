"""The table of settings in docs/operating.md, made from the environment's own fields."""

from __future__ import annotations

from pydantic.fields import FieldInfo

from apps.records.marked_page import renewed
from service_registry.environment import TRIAL_SECRET_KEY, Environment


def with_settings_table(page: str) -> str:
    """Give the page with the table between its two marks made anew.

    Raises
    ------
    ValueError
        If the page has no marks for the table.
    """
    return renewed(page, "settings", settings_table(), what="settings")


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

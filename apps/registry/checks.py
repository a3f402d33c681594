"""System checks: settings with which a node would go wrong later and quietly."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, register

TRIAL_NODE_HOST = "localhost.invalid"


@register()
def check_node_host(**_kwargs: Any) -> list[CheckMessage]:
    """Refuse the trial node's name on a node that others rely on."""
    if not settings.PRODUCTION or settings.NODE_HOST != TRIAL_NODE_HOST:
        return []
    return [
        Error(
            f"NODE_HOST is still {TRIAL_NODE_HOST}, and it goes into every record for good.",
            hint="Set NODE_HOST to the host name of this node before the first record.",
            id="registry.E001",
        )
    ]


@register()
def check_secret_key(**_kwargs: Any) -> list[CheckMessage]:
    """Refuse the secret that everybody knows on a node that others rely on."""
    if not settings.PRODUCTION or not settings.SECRET_KEY_IS_FOR_TRIAL:
        return []
    return [
        Error(
            "SECRET_KEY is still the one for trying out, which everybody can read.",
            hint="Set SECRET_KEY to at least 32 random characters.",
            id="registry.E003",
        )
    ]


@register()
def check_connections(**_kwargs: Any) -> list[CheckMessage]:
    """Refuse PostgreSQL connections that are made anew for each request."""
    return list(_fleeting_connections())


def _fleeting_connections() -> Iterator[CheckMessage]:
    for alias, database in settings.DATABASES.items():
        if not database["ENGINE"].endswith("postgresql"):
            continue
        pooled = bool(database.get("OPTIONS", {}).get("pool"))
        if not pooled and database.get("CONN_MAX_AGE", 0) == 0:
            yield Error(
                f"The database {alias} connects anew for each request, which costs more than "
                "the request itself.",
                hint="Set CONN_MAX_AGE to None, or give OPTIONS a pool.",
                id="registry.E002",
            )

"""Prepares the node of the environment in one process: a shop, its keys, some skis.

``python -m tests.exchange.node_setup CODE SKIS`` prints what others need of it as JSON.
"""

from __future__ import annotations

import json
import os
import sys
from typing import Any

AT_ONCE = 25


def main(code: str, skis: int) -> dict[str, str]:
    """Prepare the node."""
    from apps.exchange.peers.keeping import own_key
    from apps.registry import actions
    from apps.registry.actors import OPERATOR, Scope, shop_actor
    from apps.registry.identity import node_handle
    from service_registry.commands.serving import prepare_database

    prepare_database(verbosity=0)
    shop = actions.add_shop(code=code, by=OPERATOR)
    write_skis(shop_actor(shop.handle), code, skis)
    feed = actions.issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR)
    bench = actions.issue_api_key(shop=shop.handle, scopes=[Scope.READ, Scope.WRITE], by=OPERATOR)
    return {
        "vkey": own_key().text,
        "feed": feed.token,
        "bench": bench.token,
        "shop": shop.handle,
    }


def write_skis(by: Any, code: str, skis: int) -> None:
    """Register skis, and write a job on the first of them."""
    from tests.registry.making import a_draft, write

    tags = [f"{code.upper()}-{number}" for number in range(skis)]
    for start in range(0, skis, AT_ONCE):
        drafts = (a_draft("description", shop=code, tag=tag) for tag in tags[start:][:AT_ONCE])
        write(by, *drafts)
    write(by, a_draft("job", shop=code, tag=tags[0]), a_draft("usage", shop=code, tag=tags[0]))


if __name__ == "__main__":
    os.environ["DJANGO_SETTINGS_MODULE"] = "service_registry.settings"
    import django

    django.setup()
    print(json.dumps(main(sys.argv[1], int(sys.argv[2]))))  # noqa: T201 - read by the tests

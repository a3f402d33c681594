"""Loads the whole scenario, with people who log in, onto the node of the environment.

``python -m tests.browser.loading`` prints, as JSON, who they are, and what of this node the
addresses of pages name.
"""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime
from typing import Any


def main() -> None:
    """Prepare the node, load it, and say what came of it."""
    from service_registry.commands.serving import prepare_database
    from service_registry.demo.loading import load
    from service_registry.demo.people import open_people
    from service_registry.demo.scenario import DEFAULT_SEED, make_scenario
    from service_registry.demo.shops import HIRE

    prepare_database(verbosity=0)
    shops = load(make_scenario(DEFAULT_SEED, datetime.now(UTC).date()), DEFAULT_SEED)
    shop = shops[HIRE.code].actor.handle
    people = {
        person.role: (person.nickname, person.password)
        for person in open_people(shops, DEFAULT_SEED)
        if person.shop in (HIRE.label, "")
    }
    loaded = {"people": people, "places": places(shop)}
    print(json.dumps(loaded))  # noqa: T201 - read by the tests


def places(shop: str) -> dict[str, Any]:
    """Make what some addresses name: a share link of the hero's ski, and a range of labels."""
    from apps.registry.actors import shop_actor
    from apps.registry.label_ranges import issue_range
    from apps.registry.sharing import make_share_link

    by = shop_actor(shop)
    link = make_share_link(shop=shop, tag="VH-107-A", days=30, by=by)
    labels = issue_range(prefix="VHL-", count=30, by=by)
    return {"share": link.token, "range": labels.pk}


if __name__ == "__main__":
    os.environ["DJANGO_SETTINGS_MODULE"] = "service_registry.settings"
    import django

    django.setup()
    main()

"""Loads the pair that the story is about onto the node of the environment.

``python -m tests.demo.first_node`` prints the API keys of the shops as JSON.
"""

from __future__ import annotations

import json
import os
from dataclasses import replace
from datetime import UTC, datetime

from service_registry.demo.scenario import DEFAULT_SEED, Scenario, make_scenario


def the_pair() -> Scenario:
    """The scenario with two skis on it, which load in a moment."""
    scenario = make_scenario(DEFAULT_SEED, datetime.now(UTC).date())
    pair = [book for book in scenario.chronicles if book.ski in (scenario.hero, scenario.partner)]
    return replace(scenario, chronicles=tuple(pair))


def main() -> None:
    """Prepare the node and load it."""
    from service_registry.commands.serving import prepare_database
    from service_registry.demo.loading import load

    prepare_database(verbosity=0)
    shops = load(the_pair(), DEFAULT_SEED)
    print(json.dumps({code: shop.token for code, shop in shops.items()}))  # noqa: T201


if __name__ == "__main__":
    os.environ["DJANGO_SETTINGS_MODULE"] = "service_registry.settings"
    import django

    django.setup()
    main()

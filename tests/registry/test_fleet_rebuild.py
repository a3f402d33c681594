"""The columns of the fleet can be made again, also after a change of the tables emptied them."""

from __future__ import annotations

import pytest

from apps.registry import models
from apps.registry.actions import set_practice
from apps.registry.actors import OPERATOR, Actor
from apps.registry.fsck import fsck
from apps.registry.rebuild import rebuild
from tests.registry.dumps import index_dump
from tests.registry.season import played

pytestmark = pytest.mark.django_db


def test_emptied_tables_are_filled(shop: Actor, other_shop: Actor) -> None:
    played(shop, other_shop)
    before = index_dump()
    models.Condition.objects.all().delete()
    models.Wear._default_manager.all().delete()
    assert not fsck().is_sound
    rebuild(by=OPERATOR)
    assert index_dump() == before


def test_the_shop_s_own_intervals_are_in_what_is_made_again(shop: Actor, other_shop: Actor) -> None:
    played(shop, other_shop)
    settings = {"due_after_days_out": 3, "season_first": "01-01", "season_last": "12-31"}
    set_practice(shop=shop.handle, settings=settings, by=shop)
    before = index_dump()
    rebuild(by=OPERATOR)
    assert index_dump() == before
    assert fsck().is_sound

"""The demo's people log in, each as what they are, and on the trial node only."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from django.contrib.auth import authenticate
from django.contrib.auth.models import User
from django.utils import timezone
from pytest_django import Settings

from apps.registry.errors import InvalidSetting
from apps.registry.models import Member
from apps.registry.sharing import open_share_link
from service_registry.demo import people
from service_registry.demo.loading import LoadedShop, load
from service_registry.demo.scenario import DEFAULT_SEED, Scenario
from service_registry.demo.shops import SHOPS
from tests.demo.first_node import the_pair

pytestmark = pytest.mark.django_db


@cache
def pair() -> Scenario:
    """The pair that the story is about."""
    return the_pair()


@pytest.fixture
def shops(db: None) -> dict[str, LoadedShop]:
    """The shops of the demo, without skis."""
    return load(replace(pair(), chronicles=()), DEFAULT_SEED)


def test_they_log_in_as_what_they_are(shops: dict[str, LoadedShop]) -> None:
    opened = people.open_people(shops, DEFAULT_SEED)
    labels = {shop.label: shops[shop.code].actor.handle for shop in SHOPS}
    for person in opened:
        user = authenticate(username=person.nickname, password=person.password)
        assert isinstance(user, User), person
        member = Member.objects.filter(user=user).first()
        if person.role == "operator":
            assert (user.is_superuser, member, person.shop) == (True, None, "")
        else:
            assert member is not None
            assert (member.role, member.shop_id) == (person.role, labels[person.shop])
    roles = {(person.shop, person.role) for person in opened}
    assert len(roles) == len(opened) == 8
    assert {shop for shop, role in roles if role == "owner"} == set(labels)


def test_an_alias_is_one_of_the_shop_s_records() -> None:
    for place in people.PLACES:
        assert place.alias in ("", *place.shop.technicians)


def test_passwords_follow_from_the_seed_and_differ() -> None:
    names = [place.nickname for place in people.PLACES]
    given = [people.password_of(name, seed) for seed in (DEFAULT_SEED, 0) for name in names]
    assert len(set(given)) == len(given)
    assert people.password_of(names[0], 0) == given[len(names)]


@pytest.mark.parametrize("seed", [0, 77, 2**70])
def test_any_seed_gives_passwords_that_hold(shops: dict[str, LoadedShop], seed: int) -> None:
    assert len(people.open_people(shops, seed)) == 8


def test_never_on_a_node_that_others_rely_on(
    shops: dict[str, LoadedShop], settings: Settings
) -> None:
    settings.NODE_HOST = "fell.example"
    with pytest.raises(InvalidSetting, match="trial node only"):
        people.open_people(shops, DEFAULT_SEED)
    assert not User.objects.exists()


def test_a_buyer_sees_the_ski_of_the_story() -> None:
    hero, shops = pair().hero, load(pair(), DEFAULT_SEED)
    token = people.share_with_a_buyer(shops, hero.tag)
    link = open_share_link(token, now=timezone.now())
    assert (link.shop_id, link.tag) == (shops[hero.shop.code].actor.handle, hero.tag)

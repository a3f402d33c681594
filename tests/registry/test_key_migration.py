"""From a database without records of keys to one with them, and back: only where it can be done."""

from __future__ import annotations

from importlib import import_module

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import connection

from apps.registry.actors import OPERATOR, Actor
from apps.registry.errors import WrongState
from apps.registry.fsck import fsck
from apps.registry.models import KeptKey, Record, SigningKey
from apps.registry.rebuild import rebuild
from tests.registry.making import a_draft, a_ski, write
from tests.registry.test_fsck import without_triggers

keys = import_module("apps.registry.migrations.0006_keys")


@pytest.mark.django_db
def test_records_without_keys_are_refused(shop: Actor) -> None:
    a_ski(shop)
    keys.records_have_keys(apps, None)
    KeptKey.objects.all().delete()
    SigningKey.objects.all().delete()
    with without_triggers():
        Record.objects.filter(kind="key").delete()
    with pytest.raises(WrongState, match="Begin a new database"):
        keys.records_have_keys(apps, None)


@pytest.mark.django_db
def test_an_empty_database_is_not() -> None:
    keys.records_have_keys(apps, None)


@pytest.mark.django_db
def test_records_that_the_version_before_can_not_read_keep_it_from_coming_back(
    shop: Actor,
) -> None:
    ski = a_ski(shop)
    keys.records_are_of_old_kinds(apps, None)
    write(shop, a_draft("dispute", refers_to=[ski.record_id]))
    with pytest.raises(WrongState, match="Stay with this version"):
        keys.records_are_of_old_kinds(apps, None)


@pytest.mark.django_db(transaction=True)
def test_back_and_forth_keeps_keys_and_ranks(shop: Actor) -> None:
    a_ski(shop)
    ranks = dict(Record.objects.values_list("id", "rank"))
    kept = set(KeptKey.objects.values_list("key_id", "shop_id"))
    try:
        call_command("migrate", "registry", "0005", verbosity=0)
        with connection.cursor() as cursor:
            cursor.execute("SELECT key_id, shop_id FROM registry_signingkey")
            assert set(cursor.fetchall()) == kept
    finally:
        call_command("migrate", "registry", verbosity=0)
    rebuild(by=OPERATOR)
    assert dict(Record.objects.values_list("id", "rank")) == ranks
    assert set(KeptKey.objects.values_list("key_id", "shop_id")) == kept
    write(shop, a_draft("usage"))
    assert fsck().problems == ()

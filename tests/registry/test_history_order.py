"""A history written under the order of clocks is put in the order of instants, and back."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.db import IntegrityError

from apps.registry.actors import OPERATOR, Actor
from apps.registry.fsck import fsck
from apps.registry.models import Record
from apps.registry.rebuild import rebuild
from tests.registry.making import a_draft, a_ski, write

# The instants are worked by hand.
TIMES = {
    "2025-01-31": ("2025-01-31T12:00:00/5", "2025-01-31T12:00:00/5"),
    "2025-01-31T23:30:00-05:00": ("2025-01-31T23:30:00/5", "2025-02-01T04:30:00/5"),
    "2025-02-01T08:00:00+13:00": ("2025-02-01T08:00:00/5", "2025-01-31T19:00:00/5"),
}


@pytest.mark.django_db(transaction=True)
def test_rows_from_before_are_put_in_order_and_back(shop: Actor) -> None:
    a_ski(shop)
    write(shop, *[a_draft("usage", performed_at=time) for time in TIMES])
    try:
        call_command("migrate", "registry", "0004", verbosity=0)
        assert keys() == {time: old for time, (old, _) in TIMES.items()}
    finally:
        call_command("migrate", "registry", verbosity=0)
    assert keys() == {time: new for time, (_, new) in TIMES.items()}
    rebuild(by=OPERATOR)
    assert fsck().problems == ()
    with pytest.raises(IntegrityError, match="append-only"):
        Record.objects.update(order_key="")


def keys() -> dict[str, str]:
    usage = Record.objects.filter(kind="usage")
    return dict(usage.values_list("performed_at", "order_key"))

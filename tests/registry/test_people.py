"""Who is let in, who may change that, and what ends at once."""

from __future__ import annotations

import pytest
from django.contrib.auth import SESSION_KEY, authenticate, get_user, login
from django.contrib.auth.models import User
from django.contrib.sessions.backends.db import SessionStore
from django.http import HttpRequest

from apps.registry import people
from apps.registry.actors import OPERATOR, Actor, Scope, shop_actor
from apps.registry.errors import (
    InvalidSetting,
    LastOwner,
    NotAllowed,
    PersonExists,
    RegistryError,
    UnknownPerson,
    UnknownShop,
    WeakPassword,
    WrongPassword,
)
from apps.registry.models import Member
from tests.registry.threads import at_once

pytestmark = pytest.mark.django_db

GOOD = "grey-slate-torrent"
OTHER = "warm-birch-lantern"


def owner_of(shop: Actor) -> Actor:
    """An owner of a shop, who keeps its keys and its people."""
    return shop_actor(shop.handle, Scope.READ, Scope.WRITE, Scope.KEYS)


def a_person(shop: Actor, username: str = "wren", role: str = "owner", alias: str = "") -> Member:
    """A person of a shop, let in by the operator."""
    return people.add_member(
        shop=shop.handle, username=username, password=GOOD, role=role, by=OPERATOR, alias=alias
    )


def session_of(username: str) -> HttpRequest:
    """A request of somebody who just logged in."""
    request = HttpRequest()
    request.session = SessionStore()
    user = authenticate(username=username, password=GOOD)
    assert user is not None
    login(request, user)
    return request


class TestAdding:
    def test_a_person_logs_in_with_a_role(self, shop: Actor) -> None:
        added = people.add_member(
            shop=shop.handle,
            username=" Wren ",
            password=GOOD,
            role="technician",
            by=owner_of(shop),
            alias="bench-2",
            unit="um",
            language="fr",
        )
        user = authenticate(username="wren", password=GOOD)
        assert user == added.user
        kept = Member.objects.get(user=user)
        assert (kept.shop_id, kept.role, kept.alias) == (shop.handle, "technician", "bench-2")
        assert (kept.unit, kept.language) == ("um", "fr")
        assert str(kept) == f"technician {added.user_id} of {shop.handle}"

    def test_what_is_not_said_is_the_usual(self, shop: Actor) -> None:
        added = a_person(shop)
        assert (added.alias, added.unit, added.language) == ("", "mm", "")

    def test_a_nickname_is_there_once_on_the_node(self, shop: Actor, other_shop: Actor) -> None:
        a_person(shop)
        with pytest.raises(PersonExists, match="called wren") as refused:
            a_person(other_shop, "WREN")
        assert refused.value.pointer == "/username"
        assert Member.objects.count() == 1

    def test_an_alias_is_there_once_a_shop(self, shop: Actor, other_shop: Actor) -> None:
        a_person(shop, alias="bench-2")
        with pytest.raises(PersonExists, match="alias bench-2") as refused:
            a_person(shop, "jay", alias="bench-2")
        assert refused.value.pointer == "/alias"
        a_person(other_shop, "jay", alias="bench-2")
        assert not User.objects.exclude(username__in=["wren", "jay"]).exists()

    @pytest.mark.parametrize(
        ("given", "pointer"),
        [
            ({"username": ""}, "/username"),
            ({"username": "wren@fell.example"}, "/username"),
            ({"username": "w" * 33}, "/username"),
            ({"username": "wrén"}, "/username"),
            ({"username": "-wren"}, "/username"),
            ({"role": "guest"}, "/role"),
            ({"unit": "in"}, "/unit"),
            ({"language": "it"}, "/language"),
            ({"alias": "two words"}, "/alias"),
            ({"alias": "a" * 33}, "/alias"),
        ],
    )
    def test_what_nobody_can_be_called(
        self, shop: Actor, given: dict[str, str], pointer: str
    ) -> None:
        members = {"username": "wren", "role": "reader", **given}
        with pytest.raises(InvalidSetting) as refused:
            people.add_member(shop=shop.handle, password=GOOD, by=OPERATOR, **members)
        assert refused.value.pointer == pointer
        assert not User.objects.exists()

    @pytest.mark.parametrize(
        ("password", "codes"),
        [
            ("short-one", {"password_too_short"}),
            ("1234567890", {"password_too_common", "password_entirely_numeric"}),
            ("basketball", {"password_too_common"}),
            ("fieldfare-1", {"password_too_similar"}),
            ("", {"password_too_short"}),
        ],
    )
    def test_a_password_that_is_guessed(self, shop: Actor, password: str, codes: set[str]) -> None:
        with pytest.raises(WeakPassword) as refused:
            people.add_member(
                shop=shop.handle,
                username="fieldfare",
                password=password,
                role="owner",
                by=OPERATOR,
            )
        assert set(refused.value.reasons) == codes
        assert refused.value.pointer == "/password"
        assert all(one in refused.value.sentence for one in refused.value.reasons.values())
        assert not User.objects.exists()

    def test_only_into_a_shop_of_this_node(self, db: None) -> None:
        with pytest.raises(UnknownShop):
            a_person(shop_actor("nobody@localhost.invalid"))

    def test_who_may_not(self, shop: Actor, other_shop: Actor) -> None:
        for by, sentence in (
            (shop, "Only owners"),
            (owner_of(other_shop), "may not change who works"),
        ):
            with pytest.raises(NotAllowed, match=sentence):
                people.add_member(
                    shop=shop.handle, username="jay", password=GOOD, role="reader", by=by
                )
        assert not User.objects.exists()


class TestChanging:
    def test_another_role(self, shop: Actor) -> None:
        a_person(shop)
        a_person(shop, "jay", "reader")
        assert people.change_role(username="Jay", role="owner", by=owner_of(shop)).role == "owner"
        people.change_role(username="wren", role="reader", by=owner_of(shop))
        roles = Member.objects.of_shop(shop.handle).values_list("user__username", "role")
        assert list(roles) == [("jay", "owner"), ("wren", "reader")]

    def test_the_same_role_again_is_well(self, shop: Actor) -> None:
        a_person(shop)
        assert people.change_role(username="wren", role="owner", by=OPERATOR).role == "owner"

    def test_no_such_role(self, shop: Actor) -> None:
        a_person(shop)
        with pytest.raises(InvalidSetting, match="owner, technician, reader"):
            people.change_role(username="wren", role="boss", by=OPERATOR)

    def test_another_alias(self, shop: Actor) -> None:
        a_person(shop, alias="bench-1")
        a_person(shop, "jay", "technician", alias="bench-2")
        by = owner_of(shop)
        assert people.change_alias(username="jay", alias="bench-3", by=by).alias == "bench-3"
        with pytest.raises(PersonExists, match="alias bench-1"):
            people.change_alias(username="jay", alias="bench-1", by=by)
        with pytest.raises(InvalidSetting, match="alias"):
            people.change_alias(username="jay", alias="bench 1", by=by)
        people.change_alias(username="jay", alias="", by=by)
        people.change_alias(username="wren", alias="", by=by)
        assert set(Member.objects.values_list("alias", flat=True)) == {""}

    def test_taste(self, shop: Actor) -> None:
        a_person(shop)
        assert people.set_taste(username="wren", unit="um").unit == "um"
        kept = people.set_taste(username="wren", language="de")
        assert (kept.unit, kept.language) == ("um", "de")
        for wrong in ({"unit": ""}, {"unit": "in"}, {"language": "en-gb"}):
            with pytest.raises(InvalidSetting):
                people.set_taste(username="wren", **wrong)
        with pytest.raises(UnknownPerson):
            people.set_taste(username="jay", unit="um")


class TestPasswords:
    def test_an_owner_sets_one_for_somebody_who_lost_it(self, shop: Actor) -> None:
        a_person(shop, "jay", "technician")
        session = session_of("jay")
        people.change_password(username="jay", password=OTHER, by=owner_of(shop))
        assert authenticate(username="jay", password=GOOD) is None
        assert authenticate(username="jay", password=OTHER) is not None
        assert not get_user(session).is_authenticated

    def test_one_replaces_ones_own(self, shop: Actor) -> None:
        a_person(shop, "jay", "reader")
        people.change_own_password(username="jay", old=GOOD, new=OTHER)
        assert authenticate(username="jay", password=OTHER) is not None
        with pytest.raises(WrongPassword) as refused:
            people.change_own_password(username="jay", old=GOOD, new=OTHER)
        assert refused.value.pointer == "/old"
        with pytest.raises(WeakPassword):
            people.change_own_password(username="jay", old=OTHER, new="jay")
        assert authenticate(username="jay", password=OTHER) is not None

    def test_who_may_not(self, shop: Actor, other_shop: Actor) -> None:
        a_person(shop, "jay", "technician")
        people.add_operator(username="ouzel", password=GOOD, by=OPERATOR)
        with pytest.raises(NotAllowed, match="Only owners"):
            people.change_password(username="jay", password=OTHER, by=shop)
        for name, by in (("jay", owner_of(other_shop)), ("nobody", OPERATOR)):
            with pytest.raises(UnknownPerson, match=f"called {name}"):
                people.change_password(username=name, password=OTHER, by=by)
        with pytest.raises(NotAllowed, match="Only the operator"):
            people.change_password(username="ouzel", password=OTHER, by=owner_of(shop))
        assert authenticate(username="jay", password=OTHER) is None


class TestRemoving:
    def test_everything_ends_at_once(self, shop: Actor) -> None:
        a_person(shop)
        a_person(shop, "jay", "technician", alias="bench-2")
        session = session_of("jay")
        assert get_user(session).is_authenticated
        people.remove_member(username="jay", by=owner_of(shop))
        assert session.session[SESSION_KEY]
        assert not get_user(session).is_authenticated
        assert authenticate(username="jay", password=GOOD) is None
        left = User.objects.get(username="jay")
        assert not left.is_active
        assert not left.has_usable_password()
        assert [one.user.username for one in Member.objects.of_shop(shop.handle)] == ["wren"]

    def test_who_left_may_come_back_elsewhere(self, shop: Actor, other_shop: Actor) -> None:
        a_person(shop)
        a_person(shop, "jay", "technician", alias="bench-2")
        session = session_of("jay")
        people.remove_member(username="jay", by=OPERATOR)
        a_person(other_shop, "jay", "reader")
        assert authenticate(username="jay", password=GOOD) is not None
        # The password is the same one, but the session began with another hash of it.
        assert not get_user(session).is_authenticated

    def test_who_was_the_operator_comes_back_as_none(self, shop: Actor) -> None:
        people.add_operator(username="ouzel", password=GOOD, by=OPERATOR)
        User.objects.update(is_active=False)
        assert not a_person(shop, "ouzel", "reader").user.is_superuser
        assert not User.objects.get(username="ouzel").is_superuser

    @pytest.mark.parametrize("role", ["technician", "reader"])
    def test_a_shop_keeps_an_owner(self, shop: Actor, other_shop: Actor, role: str) -> None:
        a_person(shop)
        a_person(shop, "jay", role)
        a_person(other_shop, "dunlin")
        with pytest.raises(LastOwner, match="without an owner"):
            people.remove_member(username="wren", by=OPERATOR)
        with pytest.raises(LastOwner):
            people.change_role(username="wren", role=role, by=owner_of(shop))
        assert authenticate(username="wren", password=GOOD) is not None
        assert Member.objects.get(user__username="wren").role == "owner"

    def test_who_may_not(self, shop: Actor, other_shop: Actor) -> None:
        a_person(shop)
        a_person(shop, "jay", "reader")
        with pytest.raises(NotAllowed, match="Only owners"):
            people.remove_member(username="jay", by=shop)
        for call in (
            lambda: people.remove_member(username="jay", by=owner_of(other_shop)),
            lambda: people.change_role(username="jay", role="owner", by=owner_of(other_shop)),
            lambda: people.remove_member(username="nobody", by=OPERATOR),
        ):
            with pytest.raises(UnknownPerson):
                call()
        assert Member.objects.count() == 2


class TestOperators:
    def test_an_operator_is_of_no_shop(self, shop: Actor) -> None:
        people.add_operator(username="ouzel", password=GOOD, by=OPERATOR)
        user = authenticate(username="ouzel", password=GOOD)
        assert isinstance(user, User)
        assert user.is_superuser
        for call in (
            lambda: people.change_role(username="ouzel", role="owner", by=OPERATOR),
            lambda: people.remove_member(username="ouzel", by=OPERATOR),
            lambda: people.set_taste(username="ouzel", unit="um"),
        ):
            with pytest.raises(UnknownPerson):
                call()
        people.change_password(username="ouzel", password=OTHER, by=OPERATOR)
        assert authenticate(username="ouzel", password=OTHER) is not None
        people.remove_operator(username="ouzel", by=OPERATOR)
        assert authenticate(username="ouzel", password=OTHER) is None
        assert not User.objects.get(username="ouzel").is_superuser

    def test_a_nickname_of_a_shop_is_taken(self, shop: Actor) -> None:
        a_person(shop)
        with pytest.raises(PersonExists):
            people.add_operator(username="wren", password=GOOD, by=OPERATOR)
        with pytest.raises(UnknownPerson, match="no operator"):
            people.remove_operator(username="wren", by=OPERATOR)
        assert not User.objects.get(username="wren").is_superuser

    def test_only_by_the_operator(self, shop: Actor) -> None:
        people.add_operator(username="ouzel", password=GOOD, by=OPERATOR)
        for call in (
            lambda: people.add_operator(username="jay", password=GOOD, by=owner_of(shop)),
            lambda: people.remove_operator(username="ouzel", by=owner_of(shop)),
        ):
            with pytest.raises(NotAllowed, match="Only the operator"):
                call()
        assert User.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_two_owners_who_leave_at_once_one_stays(shop: Actor) -> None:
    names = ("wren", "jay")
    for name in names:
        a_person(shop, name)
    outcomes = at_once(
        lambda number: people.remove_member(username=names[number], by=OPERATOR), threads=2
    )
    refused = [one for one in outcomes if isinstance(one, RegistryError)]
    assert [type(one) for one in refused] == [LastOwner], outcomes
    assert Member.objects.count() == 1

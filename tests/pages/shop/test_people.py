"""The people of a shop, kept by its owners."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from django.contrib.auth.models import User
from django.test import Client
from pytest_django import DjangoAssertNumQueries, Settings

from apps.pages.shop.passwords import ALPHABET, new_password
from apps.registry.actors import Actor
from apps.registry.models import Member
from tests.pages.people import a_person, an_operator, sitting, text_of
from tests.registry.making import a_shop

WANTED = {"username": "maro", "role": "technician", "alias": "T2"}


@pytest.fixture(autouse=True)
def quick_passwords(settings: Settings) -> None:
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def password_shown(client: Client) -> str:
    """The password that the page shows, "" where it shows none."""
    found = re.search(r'class="figure tag">([^<]+)<', client.get("/shop/people").content.decode())
    return found[1] if found else ""


def test_somebody_is_let_in_with_a_password_that_is_shown_once(owner: Client) -> None:
    assert owner.post("/shop/people", WANTED).headers["Location"] == "/shop/people"
    member = Member.objects.get(user__username="maro")
    assert (member.role, member.alias) == ("technician", "T2")
    password = password_shown(owner)
    assert member.user.check_password(password)
    assert password_shown(owner) == ""


def test_the_password_is_kept_nowhere_on_the_node(owner: Client) -> None:
    answer = owner.post("/shop/people", WANTED)
    cookie = answer.cookies["shown-once"]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Strict")
    assert cookie["path"] == "/shop/people"
    assert int(cookie["max-age"]) == 120
    assert not any("maro" in str(value) for value in owner.session.values())


def test_a_password_that_somebody_else_planted_is_not_shown(owner: Client) -> None:
    owner.cookies["shown-once"] = "maro known-to-me:1abcde:forged"
    assert password_shown(owner) == ""


def test_passwords_are_long_and_differ() -> None:
    first, second = new_password(), new_password()
    assert first != second
    assert re.fullmatch(rf"([{ALPHABET}]{{5}}-){{3}}[{ALPHABET}]{{5}}", first)


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"username": "Ma ro"}, "username", "A name has 1 to 32 small letters"),
        ({"username": ""}, "username", "This field is required."),
        ({"username": "owner.one"}, "username", "Somebody on this node has this name."),
        ({"alias": "O1"}, "alias", "Somebody of the shop has this alias."),
        ({"alias": "T 2"}, "alias", "An alias has up to 32 letters"),
        ({"role": "chief"}, "role", "not one of the available choices"),
    ],
)
def test_what_is_wrong_stands_at_its_field(
    changed: Mapping[str, str], field: str, said: str, owner: Client
) -> None:
    answer = owner.post("/shop/people", {**WANTED, **changed})
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert answer.content.decode().count("autofocus") == 1
    assert Member.objects.count() == 1


def test_a_role_is_changed(owner: Client, technician: Client) -> None:
    answer = owner.post("/shop/people/technician.one/role", {"role": "reader"})
    assert answer.headers["Location"] == "/shop/people"
    assert "technician.one has another role now." in text_of(owner.get("/shop/people"))
    assert technician.post("/labels", {}).status_code == 403


def test_an_alias_is_changed(owner: Client, technician: Client) -> None:
    owner.post("/shop/people/technician.one/alias", {"alias": " T9 "})
    assert Member.objects.get(user__username="technician.one").alias == "T9"
    assert technician.get("/own").status_code == 200


def test_a_lost_password_is_replaced(owner: Client, technician: Client) -> None:
    owner.post("/shop/people/technician.one/password")
    assert User.objects.get(username="technician.one").check_password(password_shown(owner))
    assert technician.get("/own").status_code == 302


def test_somebody_is_removed_at_once(owner: Client, technician: Client) -> None:
    owner.post("/shop/people/technician.one/remove")
    assert "technician.one is let in no more." in text_of(owner.get("/shop/people"))
    assert technician.get("/own").status_code == 302


def test_a_removal_is_asked_once_more(owner: Client, technician: Client) -> None:
    asked = owner.get("/shop/people/technician.one/remove")
    assert "Remove technician.one from the shop?" in text_of(asked)
    assert 'action="/shop/people/technician.one/remove"' in asked.content.decode()
    assert technician.get("/own").status_code == 200
    assert technician.get("/shop/people/owner.one/remove").status_code == 403
    assert technician.post("/shop/people/owner.one/remove").status_code == 403
    assert owner.put("/shop/people/technician.one/remove").status_code == 405


@pytest.mark.parametrize("name", ["nobody", "else"])
def test_the_removal_of_somebody_who_is_not_of_the_shop_is_not_asked(
    name: str, owner: Client
) -> None:
    a_person(a_shop("kelderby-bench").handle, "technician", "else")
    answer = owner.get(f"/shop/people/{name}/remove")
    assert answer.status_code == 404
    assert "Nobody of the shop has this name any more." in text_of(answer)


@pytest.mark.parametrize(("change", "sent"), [("role", {"role": "reader"}), ("remove", {})])
def test_the_last_owner_stays(change: str, sent: Mapping[str, str], owner: Client) -> None:
    answer = owner.post(f"/shop/people/owner.one/{change}", sent)
    assert answer.status_code == 422
    assert "The shop would have no owner." in text_of(answer)
    assert answer.content.decode().count("autofocus") == 1
    assert Member.objects.get().role == "owner"


def test_an_owner_among_several_may_step_down(owner: Client, shop: Actor) -> None:
    a_person(shop.handle, "owner", "second")
    answer = owner.post("/shop/people/owner.one/role", {"role": "reader"})
    assert answer.headers["Location"] == "/"
    assert owner.get("/shop/people").status_code == 403


@pytest.mark.parametrize("change", ["role", "alias", "password", "remove"])
def test_somebody_who_is_gone_is_said_to_be(change: str, owner: Client) -> None:
    answer = owner.post(f"/shop/people/nobody/{change}", {"role": "reader", "alias": "T7"})
    assert answer.status_code == 422
    assert "Nobody of the shop has this name any more." in text_of(answer)


@pytest.mark.parametrize("change", ["role", "alias", "password", "remove"])
def test_people_of_other_shops_are_out_of_reach(change: str, owner: Client) -> None:
    other = a_person(a_shop("kelderby-bench").handle, "technician", "else")
    answer = owner.post(f"/shop/people/else/{change}", {"role": "reader", "alias": "T7"})
    assert answer.status_code == 422
    other.refresh_from_db()
    member = Member.objects.get(user=other)
    assert (other.is_active, member.role, member.alias) == (True, "technician", "")


@pytest.mark.parametrize(
    ("change", "sent", "said"),
    [
        ("role", {"role": "chief"}, "This can't be done as asked"),
        ("alias", {"alias": "O1"}, "Somebody of the shop has this alias."),
    ],
)
@pytest.mark.usefixtures("technician")
def test_a_change_that_can_not_be_is_said_beside_the_person(
    change: str, sent: Mapping[str, str], said: str, owner: Client
) -> None:
    answer = owner.post(f"/shop/people/technician.one/{change}", sent)
    assert answer.status_code == 422
    page = answer.content.decode()
    beside = page[page.index("Change technician.one") :]
    assert said in beside.replace("&#x27;", "'")


@pytest.mark.parametrize("path", ["/shop/people", "/shop/keys"])
def test_people_and_keys_are_the_owners_to_keep(
    path: str, technician: Client, reader: Client
) -> None:
    for client in (technician, reader, sitting(an_operator())):
        assert client.get(path).status_code == 403
        assert client.post(path, WANTED).status_code == 403
    assert Client().get(path).status_code == 302


@pytest.mark.parametrize("change", ["role", "alias", "password"])
@pytest.mark.usefixtures("owner_user")
def test_no_address_alone_changes_a_person(change: str, owner: Client, technician: Client) -> None:
    assert owner.get(f"/shop/people/technician.one/{change}").status_code == 405
    assert technician.post(f"/shop/people/owner.one/{change}").status_code == 403


@pytest.mark.parametrize("count", [1, 6])
def test_the_list_asks_a_fixed_number_of_queries(
    count: int, owner: Client, shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(count):
        a_person(shop.handle, "reader", f"reader{number}")
    with django_assert_num_queries(4):
        owner.get("/shop/people")

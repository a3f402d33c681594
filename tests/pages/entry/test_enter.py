"""Logging in and out."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from pytest_django import DjangoAssertNumQueries, Settings

from apps.pages.entry import tries
from apps.registry.actors import OPERATOR, Actor
from apps.registry.people import add_member, remove_member
from tests.pages.people import PASSWORD, a_person, an_operator, sitting, text_of


def try_to_enter(
    client: Client, name: str, password: str, onward: str = "", address: str = "192.0.2.1"
) -> Any:
    sent = {"username": name, "password": password, "next": onward}
    return client.post("/enter", sent, REMOTE_ADDR=address)


def is_in(client: Client) -> bool:
    return "_auth_user_id" in client.session


@pytest.fixture
def technician(shop: Actor) -> User:
    return a_person(shop.handle, "technician", "maro", password=PASSWORD)


@pytest.mark.usefixtures("technician")
def test_a_name_and_its_password_let_in(guest: Client) -> None:
    answer = try_to_enter(guest, "maro", PASSWORD)
    assert (answer.status_code, answer.headers["Location"]) == (302, "/")
    assert is_in(guest)


@pytest.mark.usefixtures("technician")
def test_a_name_may_come_as_a_telephone_writes_it(guest: Client) -> None:
    try_to_enter(guest, " Maro ", PASSWORD)
    assert is_in(guest)


def test_the_operator_is_let_in(guest: Client) -> None:
    an_operator("keeper", password=PASSWORD)
    try_to_enter(guest, "keeper", PASSWORD)
    assert is_in(guest)


@pytest.mark.usefixtures("technician")
@pytest.mark.parametrize(("name", "password"), [("maro", "another-one"), ("nobody", PASSWORD)])
def test_a_wrong_name_and_a_wrong_password_read_the_same(
    name: str, password: str, guest: Client
) -> None:
    answer = try_to_enter(guest, name, password)
    assert answer.status_code == 422
    assert "This name and this password don't belong together." in text_of(answer)
    assert not is_in(guest)


@pytest.mark.usefixtures("technician")
def test_an_empty_field_is_named_at_the_field(guest: Client) -> None:
    page = try_to_enter(guest, "maro", "").content.decode()
    assert 'id="id_password_error"' in page
    assert 'aria-describedby="id_password_error"' in page


def test_somebody_without_a_shop_is_not_let_in(guest: Client) -> None:
    user = User.objects.create(username="alone")
    user.set_password(PASSWORD)
    user.save()
    answer = try_to_enter(guest, "alone", PASSWORD)
    assert "This name belongs to no shop any more." in text_of(answer)
    assert not is_in(guest)


def test_somebody_who_was_removed_is_not_let_in(shop: Actor, guest: Client) -> None:
    add_member(shop=shop.handle, username="maro", password=PASSWORD, role="reader", by=OPERATOR)
    remove_member(username="maro", by=OPERATOR)
    assert try_to_enter(guest, "maro", PASSWORD).status_code == 422
    assert not is_in(guest)


@pytest.mark.usefixtures("technician")
@pytest.mark.parametrize("onward", ["/labels?before=3", "/own"])
def test_the_way_goes_on_to_the_page_that_was_wanted(onward: str, guest: Client) -> None:
    assert try_to_enter(guest, "maro", PASSWORD, onward).headers["Location"] == onward


@pytest.mark.usefixtures("technician")
@pytest.mark.parametrize(
    "onward", ["https://elsewhere.example/", "//elsewhere.example", "javascript:1"]
)
def test_the_way_goes_on_to_no_other_host(onward: str, guest: Client) -> None:
    assert try_to_enter(guest, "maro", PASSWORD, onward).headers["Location"] == "/"


def test_a_guest_is_led_to_the_door_and_back(guest: Client) -> None:
    answer = guest.get("/labels?before=3")
    assert answer.headers["Location"] == "/enter?next=%2Flabels%3Fbefore%3D3"
    assert (
        'name="next" value="/labels?before=3"'
        in guest.get(answer.headers["Location"]).content.decode()
    )


def test_who_is_in_is_led_on(technician: User) -> None:
    assert sitting(technician).get("/enter?next=/own").headers["Location"] == "/own"


def test_leaving_ends_the_session(technician: User) -> None:
    client = sitting(technician)
    assert client.post("/leave").headers["Location"] == "/"
    assert not is_in(client)


def test_no_address_alone_ends_a_session(technician: User) -> None:
    client = sitting(technician)
    assert client.get("/leave").status_code == 405
    assert is_in(client)


def test_a_form_from_elsewhere_is_refused(technician: User) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(technician)
    assert client.post("/leave").status_code == 403
    assert client.post("/enter", {"username": "maro", "password": PASSWORD}).status_code == 403


@pytest.mark.usefixtures("technician")
def test_who_guesses_is_held_back_even_with_the_right_one(guest: Client) -> None:
    for _ in range(tries.MOST_A_NAME):
        assert try_to_enter(guest, "maro", "another-one").status_code == 422
    answer = try_to_enter(guest, "MARO", PASSWORD)
    assert answer.status_code == 429
    assert answer.headers["Retry-After"] == str(tries.PERIOD_S)
    assert "Too many tries. Wait 15 minutes" in text_of(answer)
    assert not is_in(guest)


@pytest.mark.usefixtures("technician")
def test_other_letters_of_the_same_name_are_no_new_tries(guest: Client) -> None:
    spellings = [
        "maro",
        "\uff4daro",
        "m\uff41ro",
        "ma\uff52o",
        "mar\uff4f",
        "MARO",
        " maro ",
        "\u24dcaro",
    ]
    for spelled in spellings[: tries.MOST_A_NAME]:
        assert try_to_enter(guest, spelled, "another-one").status_code == 422
    assert try_to_enter(guest, "\U0001d426aro", PASSWORD).status_code == 429


@pytest.mark.parametrize(
    ("one", "other", "counted_together"),
    [
        ("2001:db8:0:7::1", "2001:db8:0:7:ffff::2", True),
        ("2001:db8:0:7::1", "2001:db8:0:8::1", False),
        ("::ffff:192.0.2.1", "192.0.2.1", True),
        ("::ffff:192.0.2.1", "::ffff:192.0.2.2", False),
        ("192.0.2.1", "192.0.2.2", False),
        ("unknown", "unknown", True),
        ("unknown", "", False),
    ],
)
@pytest.mark.usefixtures("technician")
def test_a_house_has_as_many_tries_as_one_address(
    one: str, other: str, counted_together: bool, guest: Client
) -> None:
    for _ in range(tries.MOST_A_NAME):
        try_to_enter(guest, "maro", "another-one", address=one)
    status = try_to_enter(guest, "maro", "another-one", address=other).status_code
    assert status == (429 if counted_together else 422)


@pytest.mark.usefixtures("technician")
def test_guesses_from_elsewhere_lock_nobody_out(guest: Client) -> None:
    for _ in range(tries.MOST_A_NAME + 1):
        try_to_enter(guest, "maro", "another-one", address="198.51.100.7")
    try_to_enter(guest, "maro", PASSWORD, address="192.0.2.1")
    assert is_in(guest)


@pytest.mark.usefixtures("technician")
def test_one_address_that_tries_many_names_is_held_back(
    guest: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tries, "MOST_AN_ADDRESS", 3)
    for number in range(3):
        assert try_to_enter(guest, f"name{number}", "another-one").status_code == 422
    assert try_to_enter(guest, "maro", PASSWORD).status_code == 429


@pytest.mark.usefixtures("technician")
def test_whoever_knew_it_begins_anew(guest: Client) -> None:
    for _ in range(tries.MOST_A_NAME - 1):
        try_to_enter(guest, "maro", "another-one")
    try_to_enter(guest, "maro", PASSWORD)
    guest.post("/leave")
    for _ in range(tries.MOST_A_NAME):
        assert try_to_enter(guest, "maro", "another-one").status_code == 422


@pytest.mark.usefixtures("technician")
def test_a_header_that_no_proxy_of_ours_wrote_changes_no_address(guest: Client) -> None:
    sent = {"username": "maro", "password": "another-one"}
    for number in range(tries.MOST_A_NAME):
        guest.post("/enter", sent, headers={"X-Forwarded-For": f"203.0.113.{number}"})
    answer = guest.post("/enter", sent, headers={"X-Forwarded-For": "203.0.113.99"})
    assert answer.status_code == 429


@pytest.mark.usefixtures("technician")
def test_the_address_is_the_one_that_our_proxy_saw(guest: Client, settings: Settings) -> None:
    settings.REST_FRAMEWORK = {**settings.REST_FRAMEWORK, "NUM_PROXIES": 1}
    sent = {"username": "maro", "password": "another-one"}
    for _ in range(tries.MOST_A_NAME):
        guest.post("/enter", sent, headers={"X-Forwarded-For": "1.1.1.1, 203.0.113.5"})
    other = guest.post("/enter", sent, headers={"X-Forwarded-For": "203.0.113.5, 203.0.113.6"})
    same = guest.post("/enter", sent, headers={"X-Forwarded-For": "2.2.2.2, 203.0.113.5"})
    assert (other.status_code, same.status_code) == (422, 429)


def test_a_count_that_runs_out_in_between_begins_anew(
    monkeypatch: pytest.MonkeyPatch, guest: Client
) -> None:
    monkeypatch.setattr("apps.pages.entry.tries.cache.add", lambda *_args: False)
    assert try_to_enter(guest, "nobody", "another-one").status_code == 422


def test_a_page_for_a_guest_asks_the_database_nothing(
    guest: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for path in ("/", "/enter"):
        with django_assert_num_queries(0):
            assert guest.get(path).status_code == 200

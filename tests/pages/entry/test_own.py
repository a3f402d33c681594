"""What people choose for themselves: language, unit, password."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from django.contrib.auth.models import User
from django.test import Client

from apps.pages.entry import tries
from apps.registry.actors import Actor
from apps.registry.models import Member
from tests.pages.people import PASSWORD, a_person, an_operator, sitting, text_of

NEW = "wax-under-every-cloud"


@pytest.fixture
def user(shop: Actor) -> User:
    return a_person(shop.handle, "technician", "maro", password=PASSWORD, alias="T1")


@pytest.fixture
def client(user: User) -> Client:
    return sitting(user)


def member(user: User) -> Member:
    return Member.objects.get(user=user)


@pytest.mark.parametrize(("code", "kept"), [("de", "de"), ("fr", "fr"), ("en-gb", "en")])
def test_a_language_is_kept_in_a_cookie_and_beside_the_name(
    code: str, kept: str, client: Client, user: User
) -> None:
    answer = client.post("/language", {"language": code, "next": "/own"})
    assert answer.headers["Location"] == "/own"
    assert client.get("/own").headers["Content-Language"] == code
    assert member(user).language == kept


def test_a_guest_chooses_a_language_too(guest: Client) -> None:
    guest.post("/language", {"language": "fr"})
    assert guest.get("/").headers["Content-Language"] == "fr"


@pytest.mark.parametrize("language", ["", "xx", "de-AT"])
def test_a_language_without_pages_is_refused(language: str, guest: Client) -> None:
    assert guest.post("/language", {"language": language}).status_code == 400


def test_the_language_leads_to_no_other_host(guest: Client) -> None:
    answer = guest.post("/language", {"language": "de", "next": "//elsewhere.example/"})
    assert answer.headers["Location"] == "/"


def test_who_logs_in_on_another_device_reads_the_language_chosen(
    client: Client, guest: Client, user: User
) -> None:
    client.post("/language", {"language": "de"})
    guest.post("/enter", {"username": "maro", "password": PASSWORD})
    assert guest.get("/own").headers["Content-Language"] == "de"


def test_a_unit_is_kept(client: Client, user: User) -> None:
    assert client.post("/own", {"unit": "um"}).headers["Location"] == "/own"
    assert member(user).unit == "um"
    assert "Kept." in text_of(client.get("/own"))


def test_another_unit_is_refused_at_its_field(client: Client, user: User) -> None:
    answer = client.post("/own", {"unit": "inch"})
    assert answer.status_code == 422
    assert 'id="id_unit_error"' in answer.content.decode()
    assert member(user).unit == "mm"


def test_own_settings_are_for_people_of_a_shop(guest: Client) -> None:
    assert guest.get("/own").headers["Location"] == "/enter?next=%2Fown"
    assert sitting(an_operator()).get("/own").status_code == 403


def passwords(**changed: str) -> Mapping[str, str]:
    return {"old": PASSWORD, "new": NEW, "again": NEW, **changed}


def test_a_password_is_changed_and_the_session_goes_on(client: Client, user: User) -> None:
    other = sitting(user)
    assert client.post("/own/password", passwords()).headers["Location"] == "/"
    user.refresh_from_db()
    assert user.check_password(NEW)
    assert client.get("/own").status_code == 200
    assert other.get("/own").status_code == 302


@pytest.mark.django_db
def test_the_operator_changes_a_password_too() -> None:
    client = sitting(an_operator(password=PASSWORD))
    assert client.post("/own/password", passwords()).status_code == 302
    assert client.get("/own/password").status_code == 200


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"old": "another-one"}, "old", "That is not the password you have now."),
        ({"again": "another-one"}, "again", "This is another one than above."),
        ({"new": "short", "again": "short"}, "new", "too short"),
        ({"new": "password1234", "again": "password1234"}, "new", "too common"),
        ({"new": ""}, "new", "This field is required."),
    ],
)
def test_what_is_wrong_stands_at_the_field(
    changed: Mapping[str, str], field: str, said: str, client: Client, user: User
) -> None:
    answer = client.post("/own/password", passwords(**changed))
    assert answer.status_code == 422
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert said in text_of(answer)
    user.refresh_from_db()
    assert user.check_password(PASSWORD)


def test_who_guesses_the_old_one_is_held_back(client: Client) -> None:
    for _ in range(tries.MOST_A_NAME):
        client.post("/own/password", passwords(old="another-one"))
    answer = client.post("/own/password", passwords())
    assert answer.status_code == 429
    assert "Too many tries" in text_of(answer)

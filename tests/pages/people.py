"""People with a log-in, made without the door's slow passwords, and clients they sit at."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any

from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client

from apps.registry.models import Member, Shop

PASSWORD = "snow-on-every-ridge"


def a_person(
    shop: str, role: str, name: str = "", *, password: str | None = None, **more: Any
) -> User:
    """A person of a shop; without a password unless one is given."""
    user = User.objects.create(username=name or f"{role}.one")
    if password:
        user.set_password(password)
        user.save()
    Member.objects.create(user=user, shop=Shop._default_manager.get(pk=shop), role=role, **more)
    return user


def an_operator(name: str = "keeper", *, password: str | None = None) -> User:
    """The operator of the node."""
    user = User.objects.create(username=name, is_superuser=True)
    if password:
        user.set_password(password)
        user.save()
    return user


def sitting(user: User) -> Client:
    """A client at which somebody is logged in."""
    client = Client()
    client.force_login(user)
    return client


def text_of(response: Any) -> str:
    """What a page says, without its tags and with single blanks."""
    return Words(response).text


class Words(HTMLParser):
    """Gathers the words of a page."""

    def __init__(self, response: HttpResponse) -> None:
        super().__init__()
        self._parts: list[str] = []
        self.feed(response.content.decode())

    def handle_data(self, data: str) -> None:
        self._parts.append(data)

    @property
    def text(self) -> str:
        """All of it."""
        return " ".join(" ".join(self._parts).split())

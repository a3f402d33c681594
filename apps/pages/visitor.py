"""Who opens a page, what they may do, and the guards of views."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import wraps
from types import MappingProxyType
from typing import Any, cast
from urllib.parse import urlencode

from django.contrib.auth.models import AnonymousUser, User
from django.http import HttpRequest, HttpResponseRedirect
from django.http.response import HttpResponseBase
from django.urls import reverse

from apps.pages.numbers import Unit
from apps.registry.actors import OPERATOR, SHOP_SCOPES, Actor, Scope
from apps.registry.errors import NotAllowed
from apps.registry.models import Member
from apps.registry.models.people import OWNER, READER, TECHNICIAN

SCOPES: Mapping[str, frozenset[Scope]] = MappingProxyType(
    {
        OWNER: SHOP_SCOPES,
        TECHNICIAN: frozenset({Scope.READ, Scope.WRITE}),
        READER: frozenset({Scope.READ}),
    }
)


@dataclass(frozen=True, slots=True)
class Visitor:
    """Someone who opens a page.

    Parameters
    ----------
    user : User or None
        None for a guest.
    member : Member or None
        What ties the person to a shop; None for a guest and for the operator.
    """

    user: User | None = None
    member: Member | None = None

    @property
    def is_guest(self) -> bool:
        """Whether nobody logged in."""
        return self.user is None

    @property
    def is_operator(self) -> bool:
        """Whether it is the operator of the node."""
        return self.user is not None and self.user.is_superuser

    @property
    def role(self) -> str:
        """What the person is in the shop; "" for a guest and for the operator."""
        return self.member.role if self.member else ""

    @property
    def shop(self) -> str:
        """Handle of the shop; "" for a guest and for the operator."""
        return self.member.shop_id if self.member else ""

    @property
    def unit(self) -> Unit:
        """In which unit small lengths are shown."""
        return cast("Unit", self.member.unit) if self.member else "mm"

    @property
    def actor(self) -> Actor:
        """As whom the registry is asked.

        Raises
        ------
        NotAllowed
            For a guest, who is nobody there.
        """
        if self.member:
            return Actor(handle=self.member.shop_id, scopes=SCOPES[self.member.role])
        if self.is_operator:
            return OPERATOR
        raise NotAllowed("Log in first.")

    @property
    def may_write(self) -> bool:
        """Whether the person writes records."""
        return self.role in (OWNER, TECHNICIAN)

    @property
    def is_owner(self) -> bool:
        """Whether the person keeps the shop."""
        return self.role == OWNER


GUEST = Visitor()


class PageRequest(HttpRequest):
    """A request of a page, as the middleware hands it on."""

    visitor: Visitor


def visitor_of(request: HttpRequest) -> Visitor:
    """Say who opens a page: two queries for someone who is logged in, none for a guest."""
    user = request.user
    if isinstance(user, AnonymousUser) or not user.is_active:
        return GUEST
    member = member_of(user)
    if member is None and not user.is_superuser:
        return GUEST
    return Visitor(user, member)


def member_of(user: User) -> Member | None:
    """Give what ties a person to a shop; None for the operator and for who left: one query."""
    return Member.objects.filter(user=user).first()


View = Callable[..., HttpResponseBase]


def _guard(may: Callable[[Visitor], bool], why: str) -> Callable[[View], View]:
    def guarding(view: View) -> View:
        @wraps(view)
        def guarded(request: PageRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if request.visitor.is_guest:
                return _to_the_door(request)
            if not may(request.visitor):
                raise NotAllowed(why)
            return view(request, *args, **kwargs)

        return guarded

    return guarding


def _to_the_door(request: HttpRequest) -> HttpResponseBase:
    # What a form held can't be carried through the log-in, so the way back is to the page itself.
    back = urlencode({"next": request.get_full_path()})
    return HttpResponseRedirect(f"{reverse('pages:enter')}?{back}")


person = _guard(lambda _who: True, "")
reader = _guard(lambda who: who.member is not None, "Only people of a shop see this page.")
writer = _guard(lambda who: who.may_write, "Only owners and technicians of a shop may do this.")
owner = _guard(lambda who: who.is_owner, "Only owners of the shop may do this.")
operator = _guard(lambda who: who.is_operator, "Only the operator of the node sees this page.")

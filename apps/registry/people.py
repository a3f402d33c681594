"""Who logs in: the people of the shops and the operator. None of it ever goes into a record."""

from __future__ import annotations

import re
from collections.abc import Sequence

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from pydantic_core import PydanticCustomError

from apps.records.forms import Mode
from apps.records.names import ALIAS_FORM
from apps.registry import policies
from apps.registry.actors import Actor
from apps.registry.errors import (
    InvalidSetting,
    LastOwner,
    PersonExists,
    UnknownPerson,
    WeakPassword,
    WrongPassword,
)
from apps.registry.locking import locked_shop
from apps.registry.models import Member
from apps.registry.models.people import LANGUAGES, OWNER, ROLES, UNITS
from apps.registry.querysets import MemberQuerySet
from apps.registry.storage import writing

NICKNAME_PATTERN = r"[a-z0-9]([a-z0-9._-]{0,30}[a-z0-9])?"

NO_NICKNAME = (
    "A nickname has 1 to 32 small letters, digits, full stops, low lines and hyphens, and begins "
    "and ends with a letter or a digit."
)


def nickname_meant(text: str) -> str:
    """Give what somebody meant to type: a telephone writes capitals and blanks unasked."""
    return text.strip().lower()


def read_nickname(text: str) -> str:
    """Give the nickname that somebody typed.

    Raises
    ------
    InvalidSetting
        If nobody can be called that.
    """
    nickname = nickname_meant(text)
    if not re.fullmatch(NICKNAME_PATTERN, nickname, re.ASCII):
        raise InvalidSetting(NO_NICKNAME, pointer="/username")
    return nickname


def add_member(
    *,
    shop: str,
    username: str,
    password: str,
    role: str,
    by: Actor,
    alias: str = "",
    unit: str = "mm",
    language: str = "",
) -> Member:
    """Let a person into a shop.

    Parameters
    ----------
    shop : str
        Handle of the shop.
    username : str
        A nickname of the shop's choice, once on the node; one of somebody who left may come back.
    password : str
        The first one; the person changes it.
    role : str
        `owner`, `technician` or `reader`.
    by : Actor
        The operator, or an owner of the shop.
    alias : str
        What records call the person; "" for one who writes none.
    unit : str
        `mm` or `um`.
    language : str
        `en`, `de` or `fr`; "" for what the browser asks for.

    Raises
    ------
    NotAllowed, UnknownShop, InvalidSetting, WeakPassword, PersonExists
    """
    policies.may_keep_people(by, shop)
    nickname = read_nickname(username)
    _check_choice("role", role, ROLES)
    _check_taste(unit, language)
    _check_alias(alias)
    with writing():
        found = locked_shop(shop)
        _check_alias_is_free(alias, Member.objects.of_shop(shop), shop)
        user = _new_user(nickname, password)
        return Member.objects.create(
            user=user, shop=found, role=role, alias=alias, unit=unit, language=language
        )


def _new_user(nickname: str, password: str) -> User:
    """Make the log-in, or give back that of somebody who left."""
    user, _ = User.objects.select_for_update().get_or_create(
        username=nickname, defaults={"is_active": False}
    )
    if user.is_active:
        raise PersonExists(
            f"Somebody on this node is called {nickname}. Take another nickname.",
            pointer="/username",
        )
    user.is_active = True
    user.is_superuser = False
    _set_password(user, password)
    return user


def change_role(*, username: str, role: str, by: Actor) -> Member:
    """Give a person another role.

    Raises
    ------
    NotAllowed, UnknownPerson, InvalidSetting
    LastOwner
        If the shop would have no owner left.
    """
    _check_choice("role", role, ROLES)
    with writing():
        member = _locked_member(username, by)
        if role != OWNER:
            _check_other_owner(member)
        member.role = role
        member.save(update_fields=["role"])
    return member


def change_alias(*, username: str, alias: str, by: Actor) -> Member:
    """Give a person another alias for records to come; those written keep the one they have.

    Raises
    ------
    NotAllowed, UnknownPerson, InvalidSetting, PersonExists
    """
    _check_alias(alias)
    with writing():
        member = _locked_member(username, by)
        others = Member.objects.of_shop(member.shop_id).exclude(pk=member.pk)
        _check_alias_is_free(alias, others, member.shop_id)
        member.alias = alias
        member.save(update_fields=["alias"])
    return member


def remove_member(*, username: str, by: Actor) -> None:
    """Let a person in no more, at once: every session ends, and the password opens nothing.

    Raises
    ------
    NotAllowed, UnknownPerson
    LastOwner
        If the shop would have no owner left.
    """
    with writing():
        member = _locked_member(username, by)
        _check_other_owner(member)
        member.delete()
        _shut_out(member.user)


def change_password(*, username: str, password: str, by: Actor) -> None:
    """Set a password for a person who lost it; every session of that person ends.

    Raises
    ------
    NotAllowed, UnknownPerson, WeakPassword
    """
    with writing():
        user = _locked_user(username)
        if user.is_superuser:
            policies.only_the_operator(by)
        else:
            _check_keeps(by, _member(user.username))
        _set_password(user, password)


def change_own_password(*, username: str, old: str, new: str) -> None:
    """Replace a password by somebody who knows it; every session of that person ends.

    Raises
    ------
    UnknownPerson, WrongPassword, WeakPassword
    """
    with writing():
        user = _locked_user(username)
        if not user.check_password(old):
            raise WrongPassword("That is not the password you have now.", pointer="/old")
        _set_password(user, new)


def set_taste(*, username: str, unit: str | None = None, language: str | None = None) -> Member:
    """Keep how a person likes pages written: the unit of small lengths, and the language.

    Raises
    ------
    UnknownPerson, InvalidSetting
    """
    _check_taste("mm" if unit is None else unit, language or "")
    with writing():
        member = _member(_locked_user(username).username)
        member.unit = member.unit if unit is None else unit
        member.language = member.language if language is None else language
        member.save(update_fields=["unit", "language"])
    return member


def add_operator(*, username: str, password: str, by: Actor) -> User:
    """Let a person in as the operator of the node, who is of no shop.

    Raises
    ------
    NotAllowed, InvalidSetting, WeakPassword, PersonExists
    """
    policies.only_the_operator(by)
    nickname = read_nickname(username)
    with writing():
        user = _new_user(nickname, password)
        user.is_superuser = True
        user.save(update_fields=["is_superuser"])
    return user


def remove_operator(*, username: str, by: Actor) -> None:
    """Let an operator in no more. The command line on the machine stays.

    Raises
    ------
    NotAllowed, UnknownPerson
    """
    policies.only_the_operator(by)
    with writing():
        user = _locked_user(username)
        if not user.is_superuser:
            raise UnknownPerson(f"{user.username} is no operator of this node.")
        _shut_out(user)


def is_operator(username: str) -> bool:
    """Say whether a nickname is that of an operator of the node."""
    nickname = nickname_meant(username)
    return User.objects.filter(username=nickname, is_superuser=True, is_active=True).exists()


def _check_choice(name: str, given: str, allowed: Sequence[str]) -> None:
    if given not in allowed:
        words = ", ".join(one for one in allowed if one)
        raise InvalidSetting(f"For the {name} there is: {words}.", pointer=f"/{name}")


def _check_taste(unit: str, language: str) -> None:
    _check_choice("unit", unit, UNITS)
    _check_choice("language", language, LANGUAGES)


def _check_alias(alias: str) -> None:
    if not alias:
        return
    try:
        ALIAS_FORM.check(alias, Mode())
    except PydanticCustomError as error:
        raise InvalidSetting(error.message(), pointer="/alias") from error


def _check_alias_is_free(alias: str, others: MemberQuerySet, shop: str) -> None:
    if alias and others.filter(alias=alias).exists():
        raise PersonExists(f"Somebody of {shop} has the alias {alias}.", pointer="/alias")


def _set_password(user: User, password: str) -> None:
    """Set it, if it holds; the sessions begun with the one before end by that."""
    try:
        validate_password(password, user)
    except ValidationError as error:
        reasons = {str(one.code): " ".join(one.messages) for one in error.error_list}
        raise WeakPassword(reasons) from error
    user.set_password(password)
    user.save(update_fields=["password", "is_active", "is_superuser"])


def _shut_out(user: User) -> None:
    user.is_active = False
    user.is_superuser = False
    user.set_unusable_password()
    user.save(update_fields=["is_active", "is_superuser", "password"])


def _locked_user(username: str) -> User:
    nickname = nickname_meant(username)
    user = User.objects.select_for_update().filter(username=nickname, is_active=True).first()
    if user is None:
        raise _unknown(nickname)
    return user


def _locked_member(username: str, by: Actor) -> Member:
    """Give a person's row to change; the shop is locked first, so that its owners stay as read."""
    found = _member(nickname_meant(username))
    _check_keeps(by, found)
    locked_shop(found.shop_id)
    return _member(found.user.username)


def _member(nickname: str) -> Member:
    people = Member.objects.select_related("user").filter(user__is_active=True)
    member = people.filter(user__username=nickname).first()
    if member is None:
        raise _unknown(nickname)
    return member


def _check_keeps(by: Actor, member: Member) -> None:
    """Whoever is of another shop doesn't exist for an owner."""
    if not by.operator and by.handle != member.shop_id:
        raise _unknown(member.user.username)
    policies.may_keep_people(by, member.shop_id)


def _unknown(nickname: str) -> UnknownPerson:
    return UnknownPerson(f"Nobody here is called {nickname}.", pointer="/username")


def _check_other_owner(member: Member) -> None:
    if member.role != OWNER:
        return
    others = Member.objects.of_shop(member.shop_id).exclude(pk=member.pk)
    if not others.filter(role=OWNER).exists():
        raise LastOwner(
            f"{member.shop_id} would be left without an owner. Make somebody else one first."
        )

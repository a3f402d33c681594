"""Commands that let people in and out: those of the shops, and the operator of the pages."""

from __future__ import annotations

import argparse
import sys
from getpass import getpass
from typing import TYPE_CHECKING

from apps.registry import people
from apps.registry.actors import OPERATOR
from apps.registry.errors import InvalidSetting
from apps.registry.models.people import LANGUAGES, ROLES, UNITS
from service_registry.commands.shops import handle_of

if TYPE_CHECKING:
    from argparse import _SubParsersAction

NICKNAME = "what the person is called at log-in; never a person's full name"
ASKED = "The password is asked for, or read as one line from standard input."


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands of this family."""
    add = commands.add_parser("add-person", help="let a person log in", epilog=ASKED)
    add.add_argument("nickname", help=NICKNAME)
    where = add.add_mutually_exclusive_group(required=True)
    where.add_argument("--shop", metavar="CODE", help="code of the shop the person works in")
    where.add_argument("--operator", action="store_true", help="the operator, who is of no shop")
    add.add_argument("--role", choices=ROLES, default="technician", help="technician unless given")
    add.add_argument("--alias", default="", help="what records call the person")
    add.add_argument("--unit", choices=UNITS, default="mm", help="how small lengths are shown")
    add.add_argument("--language", choices=LANGUAGES[1:], default="", help="of the pages")
    add.set_defaults(command=add_person)
    remove = commands.add_parser("remove-person", help="let a person in no more, at once")
    remove.add_argument("nickname", help=NICKNAME)
    remove.set_defaults(command=remove_person)
    change = commands.add_parser(
        "set-password", help="set a password for a person who lost it", epilog=ASKED
    )
    change.add_argument("nickname", help=NICKNAME)
    change.set_defaults(command=set_password)


def add_person(options: argparse.Namespace) -> int:
    """Let a person in."""
    password = read_password()
    if options.operator:
        user = people.add_operator(username=options.nickname, password=password, by=OPERATOR)
        print(f"{user.username} logs in as an operator of this node.")
        return 0
    member = people.add_member(
        shop=handle_of(options.shop),
        username=options.nickname,
        password=password,
        role=options.role,
        by=OPERATOR,
        alias=options.alias,
        unit=options.unit,
        language=options.language,
    )
    print(f"{member.user.username} logs in as {member.role} of {member.shop_id}.")
    return 0


def remove_person(options: argparse.Namespace) -> int:
    """Let a person in no more."""
    if people.is_operator(options.nickname):
        people.remove_operator(username=options.nickname, by=OPERATOR)
    else:
        people.remove_member(username=options.nickname, by=OPERATOR)
    print(f"{options.nickname} is let in no more, and is logged out everywhere.")
    return 0


def set_password(options: argparse.Namespace) -> int:
    """Set a password anew."""
    people.change_password(username=options.nickname, password=read_password(), by=OPERATOR)
    print(f"{options.nickname} has a new password, and is logged out everywhere.")
    return 0


def read_password() -> str:
    """Ask for a password, or read one line where nobody sits at a terminal.

    It is never an argument: what stands on a command line is seen by everybody on the machine,
    and the shell remembers it.

    Raises
    ------
    InvalidSetting
        If it is written in two ways.
    """
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    password = getpass("Password: ")
    if getpass("The same again: ") != password:
        raise InvalidSetting("These were two passwords. Begin again.")
    return password

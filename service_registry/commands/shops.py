"""Commands that keep the shops of a node, their keys and their practice."""

from __future__ import annotations

import argparse
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings

from apps.records.strict_json import loads_strict
from apps.registry import actions
from apps.registry.actions import LONGEST_KEY_LIFE
from apps.registry.actors import BENCH_SCOPES, OPERATOR, SHOP_SCOPES, Scope
from apps.registry.errors import InvalidSetting
from service_registry.commands.places import whole_number
from service_registry.commands.serving import check_settings

if TYPE_CHECKING:
    from argparse import _SubParsersAction

SCOPES = {
    "read": [Scope.READ],
    "write": [Scope.WRITE],
    "both": list(BENCH_SCOPES),
    "keys": [Scope.KEYS],
    "all": sorted(SHOP_SCOPES),
    "feed": [Scope.FEED],
}


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands of this family."""
    shop = commands.add_parser("add-shop", help="add a shop of this node")
    shop.add_argument("code", help="lower-case letters, digits and hyphens")
    shop.add_argument("--label", default="", help="trading label, never a person's name")
    shop.set_defaults(command=add_shop)
    issue = commands.add_parser("issue-key", help="issue an API key for a shop, shown once")
    issue.add_argument("code", help="code of the shop; node for a peer, with the scope feed")
    issue.add_argument(
        "--scope",
        choices=sorted(SCOPES),
        default="both",
        help="both is read and write, all is keys too, feed reads the whole log",
    )
    issue.add_argument(
        "--days",
        type=whole_number(1, LONGEST_KEY_LIFE.days),
        default=365,
        help="how long it is valid",
    )
    issue.set_defaults(command=issue_key)
    revoke = commands.add_parser("revoke-key", help="end an API key at once")
    revoke.add_argument("prefix", help="the eight characters after skireg_")
    revoke.set_defaults(command=revoke_key)
    replace = commands.add_parser(
        "replace-signing-key", help="end a shop's signing key here in the log, and keep a new one"
    )
    replace.add_argument("code", help="code of the shop")
    replace.set_defaults(command=replace_signing_key)
    register = commands.add_parser(
        "register-key", help="register a signing key that a shop keeps itself"
    )
    register.add_argument("code", help="code of the shop")
    register.add_argument("--public", required=True, help="public key that new-key printed")
    register.add_argument("--proof", required=True, help="proof that new-key printed")
    register.set_defaults(command=register_key)
    practice = commands.add_parser("set-practice", help="set what a shop does by its own practice")
    practice.add_argument("code", help="code of the shop")
    practice.add_argument("file", type=Path, help="JSON file; what it leaves out is the default")
    practice.set_defaults(command=set_practice)


def handle_of(code: str) -> str:
    """Give the handle of a shop of this node."""
    return code if "@" in code else f"{code}@{settings.NODE_HOST}"


def add_shop(options: argparse.Namespace) -> int:
    """Add a shop; its handle is for good, so the settings that make it are checked first."""
    check_settings()
    shop = actions.add_shop(code=options.code, label=options.label, by=OPERATOR)
    print(f"Added {shop.handle}; the node keeps its signing key.")
    return 0


def issue_key(options: argparse.Namespace) -> int:
    """Issue an API key and show it this once."""
    issued = actions.issue_api_key(
        shop=handle_of(options.code),
        scopes=SCOPES[options.scope],
        by=OPERATOR,
        lasts=timedelta(days=options.days),
    )
    print(issued.token)
    print(f"Valid until {issued.expires_at:%Y-%m-%d}. It is shown only now; keep it safe.")
    return 0


def revoke_key(options: argparse.Namespace) -> int:
    """End an API key."""
    key = actions.revoke_api_key(prefix=options.prefix, by=OPERATOR)
    print(f"The key {key.prefix} of {key.shop_id} no longer works.")
    return 0


def replace_signing_key(options: argparse.Namespace) -> int:
    """End the signing key that the node keeps for a shop, and keep a new one."""
    key = actions.replace_signing_key(shop=handle_of(options.code), by=OPERATOR)
    print(f"{key.author} signs with {key.key_id} after place {key.valid_from} of the log.")
    return 0


def register_key(options: argparse.Namespace) -> int:
    """Register a key that a shop keeps itself; the node signs for it no more."""
    key = actions.register_key(
        shop=handle_of(options.code), public=options.public, proof=options.proof, by=OPERATOR
    )
    print(f"{key.author} signs with {key.key_id} itself, after place {key.valid_from} of the log.")
    return 0


def set_practice(options: argparse.Namespace) -> int:
    """Set a shop's practice from a file."""
    try:
        data = options.file.read_bytes()
    except OSError as error:
        raise InvalidSetting(f"{options.file} can't be read: {error.strerror}.") from error
    document = loads_strict(data, allow_fractions=True)
    if not isinstance(document, dict):
        raise InvalidSetting(f"{options.file} holds no JSON object; begin it with a brace.")
    shop = actions.set_practice(shop=handle_of(options.code), settings=document, by=OPERATOR)
    print(f"{shop.handle} now works by these settings: {shop.practice}")
    return 0

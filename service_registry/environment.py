"""Everything a node reads from its environment, with types, defaults and hints."""

from __future__ import annotations

import re
from ipaddress import ip_network
from pathlib import Path
from typing import Annotated
from zoneinfo import available_timezones

import dj_database_url
from pydantic import AfterValidator, BeforeValidator, Field, ValidationError
from pydantic_core import ErrorDetails
from pydantic_settings import BaseSettings, NoDecode, SettingsConfigDict

# RFC 2606 reserves .invalid, so a record made on a trial node can't be taken for a real node's.
TRIAL_NODE_HOST = "localhost.invalid"
TRIAL_SECRET_KEY = "only-for-trying-out-on-this-machine"  # noqa: S105 - refused in production

_DATABASE_HINT = "give sqlite:///folder/file.sqlite3 or postgresql://user@host:5432/name"
_HOST = re.compile(r"(?:[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z0-9-]{2,63}")
_RATE = re.compile(r"[1-9][0-9]*/(?:second|minute|hour|day)")


class WrongSettings(Exception):
    """The environment can't be used; the message has a line a variable, each with a hint."""


def _node_host(value: str) -> str:
    if not _HOST.fullmatch(value) or len(value) > 80:
        raise ValueError("give the host name of this node in lower case, such as ski.example.org")
    return value


def _time_zone(value: str) -> str:
    if value not in available_timezones():
        raise ValueError("give a time zone by its tz database name, such as Europe/Vienna")
    return value


def _rate(value: str) -> str:
    if not _RATE.fullmatch(value):
        raise ValueError("give a number and a period, such as 600/minute")
    return value


def _database_url(value: str) -> str:
    try:
        engine = str(dj_database_url.parse(value).get("ENGINE", ""))
    except (ValueError, dj_database_url.UnknownSchemeError) as error:
        raise ValueError(_DATABASE_HINT) from error
    if not engine.endswith(("postgresql", "sqlite3")):
        raise ValueError(_DATABASE_HINT)
    return value


def _networks(values: list[str]) -> list[str]:
    for value in values:
        try:
            ip_network(value)
        except ValueError as error:
            raise ValueError(
                "give networks such as 10.20.0.0/16 or fd00:20::/64, with commas between"
            ) from error
    return values


def _hosts(value: object) -> object:
    if not isinstance(value, str):
        return value
    return [part.strip() for part in value.split(",") if part.strip()]


Rate = Annotated[str, AfterValidator(_rate)]


class Environment(BaseSettings):
    """The variables of a node; each field is one, named in capitals."""

    model_config = SettingsConfigDict(extra="ignore", frozen=True, env_ignore_empty=True)

    production: bool = Field(
        default=False, description="Yes on a node that others rely on: trial defaults are refused."
    )
    node_host: Annotated[str, AfterValidator(_node_host)] = Field(
        default=TRIAL_NODE_HOST,
        description="Name of this node; it goes into every record, so never change it later.",
    )
    secret_key: str = Field(
        default=TRIAL_SECRET_KEY, min_length=32, description="At least 32 random characters."
    )
    data_dir: Path = Field(default=Path("var"), description="Folder of the embedded database.")
    database_url: Annotated[str, AfterValidator(_database_url)] | None = Field(
        default=None, description="The database; the embedded default is a file in DATA_DIR."
    )
    database_pool: int = Field(
        default=0, ge=0, le=100, description="PostgreSQL connections pooled a worker; 0: one kept."
    )
    allowed_hosts: Annotated[list[str], NoDecode, BeforeValidator(_hosts)] = Field(
        default_factory=lambda: ["localhost", "127.0.0.1", "[::1]"],
        description="Host names this node answers to, with commas between.",
    )
    rate_read: Rate = Field(default="1200/minute", description="Reads an API key may make.")
    rate_write: Rate = Field(default="600/minute", description="Writes an API key may make.")
    rate_compute: Rate = Field(
        default="300/minute",
        description="Computed answers (condition, plan) an API key may ask for.",
    )
    rate_unknown: Rate = Field(
        default="60/minute", description="Requests without a key that one address may make."
    )
    trusted_proxies: int = Field(
        default=0,
        ge=0,
        le=10,
        description="Proxies in front that add X-Forwarded-For; 0: the header is not believed.",
    )
    webhook_networks: Annotated[
        list[str], NoDecode, BeforeValidator(_hosts), AfterValidator(_networks)
    ] = Field(
        default_factory=list,
        description="Networks of your own that webhooks may lead into, with commas between; the "
        "public network is always allowed.",
    )
    time_zone: Annotated[str, AfterValidator(_time_zone)] = Field(
        default="UTC",
        description="The node's calendar, such as Europe/Vienna: no date after its today is taken.",
    )
    log_level: str = Field(
        default="INFO",
        pattern="^(DEBUG|INFO|WARNING|ERROR)$",
        description="DEBUG, INFO, WARNING or ERROR.",
    )


def _line(error: ErrorDetails) -> str:
    name = ".".join(str(part) for part in error["loc"]).upper()
    reason = str(error["msg"]).removeprefix("Value error, ")
    return f"{name}: {reason}"


def read_environment() -> Environment:
    """The environment of this process.

    Raises
    ------
    WrongSettings
        With a line for every variable that is missing or wrong.
    """
    try:
        return Environment()
    except ValidationError as error:
        lines = [_line(mistake) for mistake in error.errors()]
        raise WrongSettings("\n".join(lines)) from error

"""Gathers what the node says it can do from the code that does it."""

from __future__ import annotations

from typing import Any

from django.conf import settings

from apps.api.addresses import ROOT
from apps.api.answers.capabilities import (
    CapabilitiesAnswer,
    Limits,
    LogCapabilities,
    Policies,
    Rates,
    RecordCapabilities,
)
from apps.api.contract_about import NAME, VERSION
from apps.api.parsing import ONE_RECORD_BYTES, SEVERAL_RECORDS_BYTES
from apps.api.query import MOST_ITEMS
from apps.exchange.import_lines import MAX_LINE_BYTES
from apps.exchange.webhook_schedule import MOST_TRIES
from apps.exchange.webhooks import MOST_A_SHOP
from apps.records.checkpoint import log_origin
from apps.records.clusters import CAP
from apps.records.frame import FORMAT
from apps.records.kinds import KINDS
from apps.records.notes import VerifierKey
from apps.records.strict_json import MAX_BYTES, MAX_DEPTH
from apps.registry.actions import LIVE_KEYS
from apps.registry.errors import NoIdentity
from apps.registry.identity import node_key
from apps.registry.key_actions import LIVE_SHOP_KEYS
from apps.registry.sharing import LONGEST_SHARE_DAYS

POLICIES = Policies(
    unknown_fields="refused",
    later_formats="kept-and-relayed",
    author="own-name-only",
    reading="by-exact-tag",
    look_ups="noted",
    links="mutual",
    erasure="bytes-go-place-stays",
    time_zone="UTC",
)
LIMITS = Limits(
    record_bytes=MAX_BYTES,
    record_depth=MAX_DEPTH,
    request_bytes=ONE_RECORD_BYTES,
    bulk_request_bytes=SEVERAL_RECORDS_BYTES,
    import_line_bytes=MAX_LINE_BYTES,
    page_items=MOST_ITEMS,
    tags_of_one_ski=CAP,
    live_api_keys=LIVE_KEYS,
    live_own_signing_keys=LIVE_SHOP_KEYS,
    webhooks=MOST_A_SHOP,
    webhook_tries=MOST_TRIES,
    share_link_days=LONGEST_SHARE_DAYS,
)
RECORDS = RecordCapabilities(
    formats=[FORMAT],
    kinds=list(KINDS),
    canonical_form="RFC 8785",
    id="SHA-256",
    signature="Ed25519",
)


def capabilities() -> CapabilitiesAnswer:
    """Say what this node can do."""
    rates: Any = settings.REST_FRAMEWORK["DEFAULT_THROTTLE_RATES"]
    return CapabilitiesAnswer(
        name=NAME,
        node_host=settings.NODE_HOST,
        api=ROOT,
        api_version=VERSION,
        contract=f"{ROOT}/openapi.json",
        records=RECORDS,
        log=_log(settings.NODE_HOST, _verifier_key()),
        limits=LIMITS,
        rates=Rates(**rates),
        policies=POLICIES.model_copy(update={"time_zone": settings.TIME_ZONE}),
    )


def _log(host: str, key: str | None) -> LogCapabilities:
    return LogCapabilities(
        origin=log_origin(host),
        node_key=key,
        tree="RFC 6962",
        checkpoint=f"{ROOT}/log/checkpoint",
        records=f"{ROOT}/log/records",
    )


def _verifier_key() -> str | None:
    try:
        return VerifierKey(log_origin(settings.NODE_HOST), node_key().public).text
    except NoIdentity:
        return None


def example() -> dict[str, Any]:
    """Give the example of the contract; the key is that of C2SP signed-note's own example."""
    answer = CapabilitiesAnswer(
        name=NAME,
        node_host="node.example",
        api=ROOT,
        api_version=VERSION,
        contract=f"{ROOT}/openapi.json",
        records=RECORDS,
        log=_log(
            "node.example", "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k"
        ),
        limits=LIMITS,
        rates=Rates(
            read="1200/minute", write="600/minute", compute="300/minute", unknown="60/minute"
        ),
        policies=POLICIES,
    )
    return answer.model_dump(mode="json", exclude_none=True)

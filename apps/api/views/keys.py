"""The signing keys of the shop whose credential it is."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_keys
from apps.api.addresses import ROOT
from apps.api.bodies import read_body
from apps.api.idempotency import once, written
from apps.api.key_requests import KeyEnding, NewKey
from apps.api.operations import Operation
from apps.api.parsing import required_body_of
from apps.api.views.base import ApiView
from apps.records.signing import base64url
from apps.registry import actions
from apps.registry.idempotency import Answer
from apps.registry.key_actions import KeyEnd
from apps.registry.models import SigningKey


def key_members(key: SigningKey) -> dict[str, object]:
    """Give the members of an answer with a signing key."""
    shown: dict[str, object] = {
        "key": key.key_id,
        "shop": key.author,
        "public": base64url(bytes(key.public)),
        "held_by": key.held_by,
        "state": "live" if key.ends_at is None else "ended",
        "record": key.record_id,
        "valid_from": key.valid_from,
    }
    if key.ends_at is not None:
        shown |= {"ended_by": key.ended_by, "ends_at": key.ends_at}
    return shown


class KeyCollection(ApiView):
    """All signing keys of the shop."""

    operations: Mapping[str, Operation] = {
        "GET": contract_keys.LIST,
        "POST": contract_keys.REGISTER,
    }

    def get(self, request: Request) -> Response:
        """List them."""
        own = SigningKey.objects.of_author(self.actor(request).handle)
        return Response({"items": [key_members(key) for key in own]})

    def post(self, request: Request) -> Response:
        """Register one."""
        actor = self.actor(request)
        new = read_body(required_body_of(request).document, NewKey)

        def effect() -> Answer:
            key = actions.register_key(
                shop=actor.handle, public=new.public, proof=new.proof, by=actor
            )
            return written(key_members(key), location=f"{ROOT}/keys")

        return once(request, actor, effect)


class KeyEndings(ApiView):
    """The end of one signing key."""

    operations: Mapping[str, Operation] = {"POST": contract_keys.END}

    def post(self, request: Request, key: str) -> Response:
        """End it."""
        actor = self.actor(request)
        ending = read_body(required_body_of(request).document, KeyEnding)
        end = KeyEnd(str(ending.reason), ending.reason_text)

        def effect() -> Answer:
            ended = actions.end_key(shop=actor.handle, key_id=key, end=end, by=actor)
            return written(key_members(ended), location=f"{ROOT}/keys", status=200)

        return once(request, actor, effect)

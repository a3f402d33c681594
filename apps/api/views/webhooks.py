"""Webhooks of the shop whose key it is."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_webhooks
from apps.api.bodies import read_body
from apps.api.idempotency import once, written
from apps.api.operations import Operation
from apps.api.parsing import body_of, required_body_of
from apps.api.views.base import ApiView
from apps.api.webhook_requests import NewWebhook, WebhookReplay, WebhookResume
from apps.api.webhooks import delivery_members, webhook_address, webhook_members
from apps.exchange import webhooks
from apps.registry.idempotency import Answer


class WebhookCollection(ApiView):
    """All webhooks of the shop."""

    operations: Mapping[str, Operation] = {
        "GET": contract_webhooks.LIST,
        "POST": contract_webhooks.ADD,
    }

    def get(self, request: Request) -> Response:
        """List them."""
        own = webhooks.own_webhooks(self.actor(request))
        return Response({"items": [webhook_members(one) for one in own]})

    def post(self, request: Request) -> Response:
        """Add one, and show its secret this once."""
        actor = self.actor(request)
        wanted = read_body(required_body_of(request).document, NewWebhook)

        def effect() -> Answer:
            added = webhooks.add_webhook(url=wanted.url, by=actor)
            document = {**webhook_members(added.webhook), "secret": added.secret}
            return written(document, location=webhook_address(added.webhook))

        return once(request, actor, effect)


class WebhookItem(ApiView):
    """One webhook."""

    operations: Mapping[str, Operation] = {
        "GET": contract_webhooks.READ,
        "DELETE": contract_webhooks.REMOVE,
    }

    def get(self, request: Request, webhook: str) -> Response:
        """Show it with its last messages."""
        found = webhooks.find_webhook(webhook, by=self.actor(request))
        last = [delivery_members(one) for one in webhooks.last_deliveries(found)]
        return Response({**webhook_members(found), "deliveries": last})

    def delete(self, request: Request, webhook: str) -> Response:
        """Remove it."""
        return Response(webhook_members(webhooks.remove_webhook(webhook, by=self.actor(request))))


class WebhookResuming(ApiView):
    """Going on after a pause."""

    operations: Mapping[str, Operation] = {"POST": contract_webhooks.RESUME}

    def post(self, request: Request, webhook: str) -> Response:
        """Resume it."""
        wanted = read_body(body_of(request).document, WebhookResume)
        by = self.actor(request)
        return Response(webhook_members(webhooks.resume_webhook(webhook, by=by, skip=wanted.skip)))


class WebhookReplaying(ApiView):
    """Being told again."""

    operations: Mapping[str, Operation] = {"POST": contract_webhooks.REPLAY}

    def post(self, request: Request, webhook: str) -> Response:
        """Go back to a place of the log."""
        wanted = read_body(required_body_of(request).document, WebhookReplay)
        by = self.actor(request)
        replayed = webhooks.replay_webhook(webhook, begin=wanted.begin, by=by)
        return Response(webhook_members(replayed))

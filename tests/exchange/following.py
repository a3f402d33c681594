"""A follower of this node's own log: it asks the API, checks each proof, and keeps the ids."""

from __future__ import annotations

from django.test import Client

from apps.exchange.peers.keeping import own_key
from apps.exchange.peers.remote import Remote
from apps.exchange.peers.transport import JSON, Answer, Ask
from apps.records.tree import CompactRange, record_leaf, verify_consistency
from apps.registry.actions import issue_api_key
from apps.registry.actors import OPERATOR, Scope
from apps.registry.identity import node_handle


def feed_token() -> str:
    """An API key that reads the whole log."""
    return issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR).token


class ClientTransport:
    """Asks this node's own API, without a socket between."""

    def __init__(self, token: str) -> None:
        self.django = Client()
        self.headers = {"Authorization": f"Bearer {token}"}

    def ask(self, ask: Ask) -> Answer:
        """Carry one request."""
        path = f"/api/v1/{ask.path}"
        if ask.body is None:
            response = self.django.get(path, dict(ask.query), headers=self.headers)
        else:
            response = self.django.post(path, ask.body, content_type=JSON, headers=self.headers)
        media_type = response.headers["Content-Type"].partition(";")[0]
        assert len(response.content) <= ask.most_bytes
        return Answer(response.status_code, media_type, response.content)


class Follower:
    """Pages the log from where it is up to each checkpoint that it is shown."""

    def __init__(self, page: int = 200) -> None:
        self.remote = Remote(ClientTransport(feed_token()), own_key())
        self.page = page
        self.ids: list[str] = []
        self.tree = CompactRange()
        self.rounds = 0

    def follow(self) -> int:
        """Read up to the newest checkpoint; gives how many rows were new."""
        self.rounds += 1
        before = len(self.ids)
        said = self.remote.checkpoint().checkpoint
        if 0 < before < said.size:
            hashes = self.remote.consistency(before, said.size)
            check = verify_consistency(before, said.size, hashes, self.tree.root, said.root)
            assert check.holds, check.sentence
        while len(self.ids) < said.size:
            self._take(said.size)
        assert (self.tree.size, self.tree.root) == (said.size, said.root)
        return len(self.ids) - before

    def _take(self, until: int) -> None:
        for row in self.remote.rows(len(self.ids), until, at_most=self.page):
            assert row.is_what_it_says
            self.ids.append(row.record_id)
            self.tree = self.tree.append(record_leaf(row.record_id))

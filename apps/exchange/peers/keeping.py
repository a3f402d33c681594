"""Which peers there are: added with a pinned key, stopped for a reason, removed."""

from __future__ import annotations

import re

from django.conf import settings
from django.db.models import QuerySet
from django.utils import timezone

from apps.exchange.models import Evidence, Peer
from apps.exchange.models.peers import TOKEN_LENGTH, URL_LENGTH
from apps.exchange.peers.errors import InvalidPeer, PeerContradiction, PeerExists, UnknownPeer
from apps.exchange.peers.http import Base
from apps.records.checkpoint import log_origin, origin_host
from apps.records.errors import MalformedNote
from apps.records.names import HOST_PATTERN, node_handle
from apps.records.notes import NoteAlgorithm, VerifierKey
from apps.registry.actors import Actor
from apps.registry.identity import node_key
from apps.registry.models import SigningKey
from apps.registry.policies import only_the_operator
from apps.registry.storage import writing

MOST_HOST_LENGTH = 100


def own_key() -> VerifierKey:
    """Give the key under which this node signs its log, for its peers to pin."""
    return VerifierKey(log_origin(settings.NODE_HOST), node_key().public)


def add_peer(*, url: str, vkey: str, by: Actor, token: str = "") -> Peer:
    """Follow another node's log from now on, held to the key given here.

    Parameters
    ----------
    url : str
        Address of the node; https, or http on this machine itself.
    vkey : str
        Verifier key of its log, had from its operator and not from the address itself.
    by : Actor
        The operator.
    token : str
        API key of scope `feed` that the peer issued.

    Raises
    ------
    NotAllowed, InvalidPeer, PeerExists
    """
    only_the_operator(by)
    key = read_key(vkey)
    Base.from_text(url)
    _check_texts(url, token)
    host = origin_host(key.name)
    _check_known(key, host)
    with writing():
        if Peer.objects.filter(host=host).exists():
            raise PeerExists(f"The peer {host} is here already. Remove it first.")
        return Peer.objects.create(
            host=host, url=url.rstrip("/"), vkey=key.text, token=token, added_at=timezone.now()
        )


def read_key(text: str) -> VerifierKey:
    """Read the key of another node's log.

    Raises
    ------
    InvalidPeer
        With what to give instead.
    """
    try:
        key = VerifierKey.from_text(text.strip())
    except MalformedNote as error:
        raise InvalidPeer(f"This is no key of a log: {error}") from error
    host = origin_host(key.name)
    is_host = re.fullmatch(HOST_PATTERN, host, re.ASCII) and len(host) <= MOST_HOST_LENGTH
    if key.name != log_origin(host) or not is_host or key.algorithm is not NoteAlgorithm.ED25519:
        raise InvalidPeer("The name of a log's key is the node's host and /log. Copy it whole.")
    if host == settings.NODE_HOST:
        raise InvalidPeer("This is the key of this node itself. Give the other node's.")
    return key


def _check_texts(url: str, token: str) -> None:
    if len(url) > URL_LENGTH:
        raise InvalidPeer(f"The address has more than {URL_LENGTH} characters.")
    if len(token) > TOKEN_LENGTH or not re.fullmatch(r"[!-~]*", token):
        raise InvalidPeer("The token is no API key: one line without blanks. Copy it whole.")


def _check_known(key: VerifierKey, host: str) -> None:
    """Refuse a key that the records of the node that are here already speak against."""
    known = SigningKey.objects.of_author(node_handle(host)).values_list("key_id", flat=True)
    if known and key.public.key_id not in known:
        raise InvalidPeer(
            f"Records of {host} are here under another key. Ask its operator which one holds."
        )


def find_peer(host: str) -> Peer:
    """Give a peer.

    Raises
    ------
    UnknownPeer
    """
    peer: Peer | None = Peer.objects.filter(host=host).first()
    if peer is None:
        raise UnknownPeer(f"There is no peer {host} here. Add it with add-peer.")
    return peer


def peers() -> QuerySet[Peer]:
    """Give all peers by host."""
    return Peer.objects.order_by("host")


def remove_peer(*, host: str, by: Actor) -> None:
    """Follow a peer no longer, and forget what its log was; its records and the evidence stay.

    Raises
    ------
    NotAllowed, UnknownPeer
    """
    only_the_operator(by)
    with writing():
        find_peer(host).delete()


def follow_again(*, host: str, by: Actor) -> Peer:
    """Follow a stopped peer again; what was verified of its log before still binds it.

    Raises
    ------
    NotAllowed, UnknownPeer
    """
    only_the_operator(by)
    with writing():
        Peer.objects.filter(host=host).update(state="following", reason="")
        return find_peer(host)


def pin_key(*, host: str, vkey: str, by: Actor) -> Peer:
    """Hold a peer to another key from now on, since it replaced the one that was pinned.

    What was verified of its log before still binds it.

    Raises
    ------
    NotAllowed, UnknownPeer, InvalidPeer
    """
    only_the_operator(by)
    key = read_key(vkey)
    with writing():
        peer = find_peer(host)
        if origin_host(key.name) != host:
            raise InvalidPeer(f"This is the key of {origin_host(key.name)}, not of {host}.")
        peer.vkey = key.text
        peer.save(update_fields=["vkey"])
    return peer


def stop_peer(host: str, contradiction: PeerContradiction) -> None:
    """Stop following a peer that contradicted itself, and keep what proves it."""
    with writing():
        Evidence.objects.create(
            host=host,
            kind=contradiction.kind.value,
            index=contradiction.index,
            sentence=contradiction.sentence,
            before=contradiction.proof.before,
            after=contradiction.proof.after,
            answer=contradiction.proof.answer,
            found_at=timezone.now(),
        )
        Peer.objects.filter(host=host).update(
            state="stopped", reason=contradiction.sentence, trouble=""
        )

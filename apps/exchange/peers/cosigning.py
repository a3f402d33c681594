"""Cosignatures: ours under what we saw of peers, and theirs under what they saw of us."""

from __future__ import annotations

from django.conf import settings
from django.utils import timezone

from apps.exchange.models import Cosignature, Peer
from apps.exchange.peers.keeping import own_key
from apps.records.checkpoint import (
    Checkpoint,
    CheckpointReading,
    log_origin,
    origin_host,
    read_checkpoint,
)
from apps.records.errors import FieldError, MalformedNote
from apps.records.notes import Note, NoteSignature, VerifierKey, cosign_text
from apps.registry import tree
from apps.registry.errors import InvalidSubmission, NotAllowed, WrongState
from apps.registry.identity import node_key
from apps.registry.storage import writing


def cosigned(reading: CheckpointReading) -> Note:
    """Give a peer's checkpoint, seen and verified, with this node's cosignature under it."""
    now_s = int(timezone.now().timestamp())
    name = log_origin(settings.NODE_HOST)
    return Note(
        reading.note.text,
        (
            *(one for one in reading.note.signatures if one.name == reading.checkpoint.origin),
            cosign_text(reading.note.text, name, node_key(), time_s=now_s),
        ),
    )


def take_cosignature(note: bytes) -> Cosignature:
    """Keep what a peer says it saw of this node's log, if it is one of its checkpoints.

    Parameters
    ----------
    note : bytes
        The checkpoint with the cosignature under it.

    Returns
    -------
    Cosignature
        The latest of this peer, which may be a later one.

    Raises
    ------
    InvalidSubmission
        It is no signed checkpoint.
    WrongState
        It is no checkpoint of this log.
    NotAllowed
        No peer of this node signed it.
    """
    checkpoint, read = _own_checkpoint(note)
    peer, line = _witness(read)
    with writing():
        kept = Cosignature.objects.select_for_update().filter(witness=peer.host).first()
        if kept is not None and kept.size >= checkpoint.size:
            return kept
        made, _ = Cosignature.objects.update_or_create(
            witness=peer.host,
            defaults={
                "size": checkpoint.size,
                "root": checkpoint.root.hex(),
                "line": line,
                "noted_at": timezone.now(),
            },
        )
    return made


def _own_checkpoint(note: bytes) -> tuple[Checkpoint, Note]:
    try:
        reading = read_checkpoint(note, own_key())
    except MalformedNote as error:
        raise InvalidSubmission([FieldError("/note", "not-a-checkpoint", str(error))]) from error
    said = reading.checkpoint
    # The text is compared with one made anew, so that no line is vouched for that isn't ours.
    is_ours = reading.holds and said.size <= tree.log_size()
    if not is_ours or Checkpoint(own_key().name, said.size, tree.root(said.size)) != said:
        raise WrongState("This is no checkpoint of this node's log.", pointer="/note")
    return said, reading.note


def _witness(note: Note) -> tuple[Peer, str]:
    hosts = {origin_host(signature.name) for signature in note.signatures}
    for peer in Peer.objects.filter(host__in=hosts):
        key = VerifierKey.from_text(peer.vkey).as_cosigner
        if note.check(key).holds:
            return peer, _line_of(note, key).line
    raise NotAllowed(
        "No peer of this node has cosigned this checkpoint. Only peers that were added are heard.",
        pointer="/note",
    )


def _line_of(note: Note, key: VerifierKey) -> NoteSignature:
    return next(
        one for one in note.signatures if (one.name, one.key_hash) == (key.name, key.key_hash)
    )

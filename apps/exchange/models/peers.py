"""The nodes whose logs this one follows, what was seen of them, and who vouched for ours."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.names import HANDLE_LENGTH
from apps.registry.models.record import ID_LENGTH

URL_LENGTH = 400
VKEY_LENGTH = 240
TOKEN_LENGTH = 200
CODE_LENGTH = 40
STATES = ("following", "stopped")
KINDS = ("shrunk", "forked", "rewritten", "not-signed-for")


class Peer(models.Model):
    """A node whose log this one follows.

    `vkey` is the log's verifier key, pinned when the peer was added. `size` and `peaks` are the
    rows taken in so far and the compact range over them; `checkpoint` is the signed note that was
    verified last, which may be ahead of `size` where a pull was cut. `reread` is the old row that
    is read again next. A peer is stopped for a reason when its log contradicted itself;
    `trouble` is what went wrong last without proving anything. `token` is kept in the clear,
    since it is sent with each request.
    """

    host = models.CharField(max_length=HANDLE_LENGTH, primary_key=True)
    url = models.CharField(max_length=URL_LENGTH)
    vkey = models.CharField(max_length=VKEY_LENGTH, unique=True)
    token = models.CharField(max_length=TOKEN_LENGTH, blank=True, default="")
    state = models.CharField(max_length=10, default="following")
    reason = models.TextField(blank=True, default="")
    trouble = models.TextField(blank=True, default="")
    size = models.BigIntegerField(default=0)
    peaks = models.BinaryField(default=bytes)
    checkpoint = models.TextField(blank=True, default="")
    checkpoint_size = models.BigIntegerField(default=0)
    checkpoint_root = models.CharField(max_length=ID_LENGTH, blank=True, default="")
    reread = models.BigIntegerField(default=0)
    added_at = models.DateTimeField()
    pulled_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(name="peer_state", condition=Q(state__in=STATES)),
            models.CheckConstraint(
                name="peer_stopped_for_a_reason",
                condition=Q(state="following", reason="") | (Q(state="stopped") & ~Q(reason="")),
            ),
            models.CheckConstraint(
                name="peer_rows_within_checkpoint",
                condition=Q(size__gte=0, size__lte=F("checkpoint_size")),
            ),
            models.CheckConstraint(
                name="peer_rereads_old_rows", condition=Q(reread__gte=0, reread__lte=F("size"))
            ),
        ]

    def __str__(self) -> str:
        return self.host


class PeerEntry(models.Model):
    """Which record a peer's log has at an index, as it was when its tree was verified."""

    pk = models.CompositePrimaryKey("peer_id", "index")
    peer = models.ForeignKey(Peer, on_delete=models.CASCADE, db_index=False, related_name="entries")
    index = models.BigIntegerField()
    record_id = models.CharField(max_length=ID_LENGTH)

    class Meta:
        constraints = [
            models.CheckConstraint(name="peer_entry_from_zero", condition=Q(index__gte=0)),
            models.CheckConstraint(
                name="peer_entry_id_length", condition=Exact(Length("record_id"), ID_LENGTH)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.index} of {self.peer_id}"


class PeerRefusal(models.Model):
    """A record of a peer's log that the door refused here, and why; it is tried again."""

    pk = models.CompositePrimaryKey("peer_id", "index")
    peer = models.ForeignKey(
        Peer, on_delete=models.CASCADE, db_index=False, related_name="refusals"
    )
    index = models.BigIntegerField()
    record_id = models.CharField(max_length=ID_LENGTH)
    code = models.CharField(max_length=CODE_LENGTH)
    sentence = models.TextField()
    noted_at = models.DateTimeField()
    tried_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["peer", "tried_at"], name="peer_refusal_to_try")]
        constraints = [
            models.CheckConstraint(name="peer_refusal_for_a_reason", condition=~Q(code=""))
        ]

    def __str__(self) -> str:
        return f"{self.index} of {self.peer_id}: {self.code}"


class Evidence(models.Model):
    """What proves that a peer's log contradicted itself: its own signed words, kept for good.

    `before` and `after` are the two checkpoints as signed, `answer` what else it answered, such
    as the proof or the row. `index` is the first row that differs, where one could be named.
    """

    host = models.CharField(max_length=HANDLE_LENGTH)
    kind = models.CharField(max_length=CODE_LENGTH)
    index = models.BigIntegerField(null=True)
    sentence = models.TextField()
    before = models.TextField(blank=True, default="")
    after = models.TextField(blank=True, default="")
    answer = models.TextField(blank=True, default="")
    found_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["host", "found_at"], name="evidence_by_host")]
        constraints = [models.CheckConstraint(name="evidence_kind", condition=Q(kind__in=KINDS))]

    def __str__(self) -> str:
        return f"{self.host}: {self.kind}"


class Cosignature(models.Model):
    """The latest checkpoint of this node's log that a peer saw and cosigned.

    `line` is the signature line as C2SP tlog-cosignature writes it.
    """

    witness = models.CharField(max_length=HANDLE_LENGTH, primary_key=True)
    size = models.BigIntegerField()
    root = models.CharField(max_length=ID_LENGTH)
    line = models.TextField()
    noted_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["size"], name="cosignature_by_size")]
        constraints = [
            models.CheckConstraint(name="cosignature_size_from_zero", condition=Q(size__gte=0))
        ]

    def __str__(self) -> str:
        return f"{self.witness} saw {self.size}"

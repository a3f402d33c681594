"""The table of records, and the head of the log that orders them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact, GreaterThan

from apps.records.names import HANDLE_LENGTH
from apps.registry.models.document import DocumentField
from apps.registry.models.ski import Tag
from apps.registry.querysets import RecordQuerySet

ID_LENGTH = 64
SIGNATURE_LENGTH = 86
FORMAT = 1
RANKS = ("shop-signed", "node-attested", "node-signed")
AMENDING_KINDS = ("correction", "retraction", "dispute", "erasure")
NODE_KINDS = ("key", "key-end")


class Record(models.Model):
    """One signed record: its bytes are the truth, the columns beside them repeat what they say.

    `order_key` sorts a ski's history by time, a date alone as noon UTC, then by kind; author and
    `log_index` decide between equals. `performed_sort` is the instant in UTC. `target` is the
    record that a correction, retraction, dispute or erasure is about, "" for other kinds. `origin`
    is the node it came from, "" for one written here. `subject` is absent where the record is
    about no ski; it carries no foreign key in the database: tags are an index and are dropped and
    made again under the records. `rank` says who held the key that signed it. A record of a later
    `format` is kept as it came and is folded into nothing. `erased_by` is the erasure record by
    which the bytes were emptied, "" while they are here.
    """

    id = models.CharField(max_length=ID_LENGTH, primary_key=True)
    document = DocumentField()
    signature = models.CharField(max_length=SIGNATURE_LENGTH)
    author = models.CharField(max_length=HANDLE_LENGTH)
    key_id = models.CharField(max_length=43)
    format = models.BigIntegerField(default=FORMAT)
    rank = models.CharField(max_length=13)
    subject = models.ForeignKey(
        Tag,
        null=True,
        on_delete=models.DO_NOTHING,
        db_constraint=False,
        db_column="tag_key",
        db_index=False,
        related_name="records",
    )
    kind = models.CharField(max_length=40)
    performed_at = models.CharField(max_length=25)
    performed_day = models.DateField()
    performed_sort = models.CharField(max_length=20)
    order_key = models.CharField(max_length=24)
    target = models.CharField(max_length=ID_LENGTH, blank=True, default="")
    origin = models.CharField(max_length=HANDLE_LENGTH, blank=True, default="")
    received_at = models.DateTimeField()
    log_index = models.BigIntegerField()
    erased_by = models.CharField(max_length=ID_LENGTH, blank=True, default="")

    objects = RecordQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(
                fields=["subject", "order_key", "author", "log_index"], name="record_history"
            ),
            models.Index(fields=["author", "kind", "log_index"], name="record_own_by_kind"),
            models.Index(fields=["target"], name="record_amendments", condition=~Q(target="")),
        ]
        constraints = [
            models.UniqueConstraint(fields=["log_index"], name="record_log_index_once"),
            models.CheckConstraint(
                name="record_log_index_from_zero", condition=Q(log_index__gte=0)
            ),
            models.CheckConstraint(
                name="record_id_length", condition=Exact(Length("id"), ID_LENGTH)
            ),
            models.CheckConstraint(
                name="record_signature_length",
                condition=Exact(Length("signature"), SIGNATURE_LENGTH),
            ),
            models.CheckConstraint(
                name="record_has_bytes_or_was_erased",
                condition=Q(GreaterThan(Length("document"), 0), erased_by="")
                | Q(Exact(Length("document"), 0), Exact(Length("erased_by"), ID_LENGTH)),
            ),
            models.CheckConstraint(name="record_rank", condition=Q(rank__in=RANKS)),
            models.CheckConstraint(
                name="record_amendment_has_target",
                condition=Q(format__gt=FORMAT, target="")
                | Q(format=FORMAT, kind__in=AMENDING_KINDS, target__gt="")
                | (Q(format=FORMAT, target="") & ~Q(kind__in=AMENDING_KINDS)),
            ),
            models.CheckConstraint(
                name="record_of_a_ski_or_of_the_node",
                condition=Q(format__gt=FORMAT)
                | Q(format=FORMAT, kind__in=NODE_KINDS, subject__isnull=True)
                | (Q(format=FORMAT, subject__isnull=False) & ~Q(kind__in=NODE_KINDS)),
            ),
        ]

    def __str__(self) -> str:
        return self.id


class LogHead(models.Model):
    """How long the log is, in one row; whoever appends locks it until the commit."""

    ONLY = 1

    id = models.SmallIntegerField(primary_key=True, default=ONLY)
    size = models.BigIntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(name="log_head_only_one", condition=Q(id=1)),
            models.CheckConstraint(name="log_head_size_from_zero", condition=Q(size__gte=0)),
        ]

    def __str__(self) -> str:
        return f"log of {self.size}"

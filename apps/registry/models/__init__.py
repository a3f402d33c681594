"""The tables, by subject.

`Record` is the truth, with `Shop`, `KeptKey`, `ApiKey`, `LookUp`, `IdempotencyKey`, `Member`,
`ShareLink` and `LabelRange` beside it as the node's own. Everything else is an index, made from
the records and made again by `rebuild`.
"""

from apps.registry.models.condition import Condition
from apps.registry.models.idempotency import IdempotencyKey
from apps.registry.models.jobs import Finding, Job
from apps.registry.models.keeping import Pairing, StatusChange, Usage
from apps.registry.models.keys import ApiKey, KeptKey, SigningKey
from apps.registry.models.label_range import LabelRange
from apps.registry.models.likeness import Likeness, LikeValue, ModelKey
from apps.registry.models.link import Link
from apps.registry.models.people import Member
from apps.registry.models.readings import BevelSetting, Measurement
from apps.registry.models.record import LogHead, Record
from apps.registry.models.share import ShareLink
from apps.registry.models.shop import LookUp, Shop
from apps.registry.models.ski import Ski, Tag
from apps.registry.models.tree import TreeNode
from apps.registry.models.wear import Wear

__all__ = [
    "ApiKey",
    "BevelSetting",
    "Condition",
    "Finding",
    "IdempotencyKey",
    "Job",
    "KeptKey",
    "LabelRange",
    "LikeValue",
    "Likeness",
    "Link",
    "LogHead",
    "LookUp",
    "Measurement",
    "Member",
    "ModelKey",
    "Pairing",
    "Record",
    "ShareLink",
    "Shop",
    "SigningKey",
    "Ski",
    "StatusChange",
    "Tag",
    "TreeNode",
    "Usage",
    "Wear",
]

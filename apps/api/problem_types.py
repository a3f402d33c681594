"""Every kind of problem the API can answer with: its stable slug, status, title and meaning."""

from __future__ import annotations

from dataclasses import dataclass

PROBLEMS_PAGE = "/docs/problems"


@dataclass(frozen=True, slots=True)
class ProblemType:
    """One kind of problem (RFC 9457 section 3.1).

    Parameters
    ----------
    slug : str
        Stable name; clients may branch on it.
    status : int
        HTTP status (RFC 9110, RFC 6585, RFC 4918).
    title : str
        The same few words each time.
    meaning : str
        What happened and what mends it, for the page of problems.
    example : str
        A detail such an answer may carry.
    """

    slug: str
    status: int
    title: str
    meaning: str
    example: str

    @property
    def uri(self) -> str:
        """The `type` member: a reference to the page that explains it."""
        return f"{PROBLEMS_PAGE}#{self.slug}"


BAD_REQUEST = ProblemType(
    "bad-request",
    400,
    "The request can't be read",
    "The request is broken outside of its document, such as an unknown host name. "
    "Mend what `detail` names.",
    "The request is broken outside of its document; check the host name and the address.",
)
MALFORMED_JSON = ProblemType(
    "malformed-json",
    400,
    "The body is not strict JSON",
    "The body is not UTF-8 JSON, or has a key twice, a NaN, a number beyond 2^53 - 1, or lists and "
    "objects nested more than 16 deep, or is missing. Nothing was written.",
    "Not JSON at line 1, column 10: expecting value.",
)
INVALID_FIELDS = ProblemType(
    "invalid-fields",
    400,
    "Some fields need mending",
    "The document has fields that are missing, unknown, out of range or at odds with each other. "
    "`errors` names all of them at once by JSON Pointer (RFC 6901). Nothing was written.",
    'Write `soon` as a date "2025-01-31" or as a time with offset '
    '"2025-01-31T14:30:00+01:00" (T and Z in capitals).',
)
INVALID_PARAMETERS = ProblemType(
    "invalid-parameters",
    400,
    "Some query parameters need mending",
    "A query parameter is unknown, repeated or can't be read. `errors` names all of them at once.",
    "There is no parameter `limt` here; did you mean `limit`?",
)
UNAUTHENTICATED = ProblemType(
    "unauthenticated",
    401,
    "A valid API key is needed",
    "The API key is missing, unknown, expired or revoked. Send it as `Authorization: Bearer KEY`.",
    "Send an API key as `Authorization: Bearer KEY`.",
)
NOT_ALLOWED = ProblemType(
    "not-allowed",
    403,
    "This is not allowed",
    "The key is valid, but it lacks the scope, or the record names another shop as its author, or "
    "only the tag's own shop or the record's own author may do this. Nothing was written.",
    "This key has no scope `write`; use one that has.",
)
NOT_FOUND = ProblemType(
    "not-found",
    404,
    "Nothing is here",
    "No part of the API has this address, or no record or ski that you may read has this name.",
    "Nothing has this address; /docs/ lists what there is.",
)
UNKNOWN_SKI = ProblemType(
    "unknown-ski",
    404,
    "No ski has this tag",
    "The address names a tag under which no ski is registered on this node. Tags are exact.",
    "No ski is registered under the tag FB-0043 of fellbench@node.example.",
)
NO_PAIR = ProblemType(
    "no-pair",
    404,
    "No pair is on record",
    "The ski is here, but no record says which other ski it is used together with. Write a `pair` "
    "record.",
    "No record pairs FB-0042 of fellbench@node.example with another ski.",
)
UNKNOWN_RECORD = ProblemType(
    "unknown-record",
    404,
    "No record has this id",
    "The address names a record that is not on this node, or that is not of the kind asked for.",
    "No record that you may read has this id here.",
)
UNKNOWN_KEY = ProblemType(
    "unknown-key",
    404,
    "No signing key has this id",
    "The address names a signing key that is not one of the own shop.",
    "fellbench@node.example has no signing key kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k.",
)
UNKNOWN_WEBHOOK = ProblemType(
    "unknown-webhook",
    404,
    "No webhook has this id",
    "The address names a webhook that is not here, or that is another shop's.",
    "You have no webhook of this id.",
)
UNKNOWN_SHARE_LINK = ProblemType(
    "unknown-share-link",
    404,
    "No share link has this name",
    "The address names a share link that is not here, or that is another shop's.",
    "You have no share link of this name.",
)
METHOD_NOT_ALLOWED = ProblemType(
    "method-not-allowed",
    405,
    "This method does not work here",
    "The address exists, but not for this method. The `Allow` header lists those that work. "
    "Records are never edited or deleted: correct or retract them.",
    "This method does not work here; the Allow header lists those that do.",
)
NOT_ACCEPTABLE = ProblemType(
    "not-acceptable",
    406,
    "No such format is offered",
    "The `Accept` header rules out every format this address has; ask for `application/json`.",
    "This address has no answer in a format that the Accept header allows.",
)
TAG_EXISTS = ProblemType(
    "tag-exists",
    409,
    "The tag is taken",
    "A ski is already registered under this tag. Post a further description to say more about "
    "it, or register the other ski under another tag.",
    "The tag FB-0042 of fellbench@node.example is already on a ski. Use another tag, or write a "
    "description record on this one.",
)
JOINED_OTHERWISE = ProblemType(
    "joined-otherwise",
    409,
    "Other tags are joined now",
    "Since the first page of this history a link was written or taken back, so that the pages "
    "would not fit together. Begin again with the first page.",
    "Links have joined or parted tags since the first page; begin again without `after`, `until` "
    "and `together`.",
)
KEY_LIMIT = ProblemType(
    "key-limit",
    409,
    "No further key can live",
    "The shop keeps two live signing keys already: one to sign with and one to change over to. "
    "End one of them first. Nothing was written.",
    "fellbench@node.example keeps 2 live signing keys already. End one of them first.",
)
REQUEST_IN_PROGRESS = ProblemType(
    "request-in-progress",
    409,
    "The same request is under way",
    "A request with this `Idempotency-Key` has not ended yet. Send it again in a moment.",
    "The first request with this Idempotency-Key is still under way. Send it again shortly.",
)
ERASED = ProblemType(
    "erased",
    410,
    "The record was erased",
    "The operator erased the bytes of this record. Its id and its place in the log stay, and the "
    "erasure record that `detail` names says why. It is not taken again.",
    "This record was erased; record "
    "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb says why.",
)
LENGTH_REQUIRED = ProblemType(
    "length-required",
    411,
    "The length is needed",
    "The body came in pieces without a `Content-Length`. Send the length.",
    "Send the body with a Content-Length.",
)
TOO_LARGE = ProblemType(
    "too-large",
    413,
    "The body is too large",
    "The body is larger than this address takes: 64 KiB for one record, 1 MiB for several. One "
    "record has at most 32 KiB. Nothing was read or written.",
    "The body has 100000 bytes, and at most 65536 are read here; split it.",
)
UNSUPPORTED_MEDIA_TYPE = ProblemType(
    "unsupported-media-type",
    415,
    "The body is in a format that is not read",
    "Send the body as `Content-Type: application/json`, in UTF-8 and without a `Content-Encoding`.",
    "Send the body with Content-Type: application/json.",
)
UNKNOWN_REFERENCE = ProblemType(
    "unknown-reference",
    422,
    "The document names something unknown",
    "The document is well formed, but a tag, shop or record that it names is not on this node. "
    "Nothing was written.",
    "No ski is registered under the tag FB-0043 of fellbench@node.example. Register it with a "
    "description first.",
)
WRONG_STATE = ProblemType(
    "wrong-state",
    422,
    "What is recorded speaks against it",
    "The document is well formed and allowed, but what is recorded already refuses it, such as "
    "a correction of a correction, or a date that has not come yet. Nothing was written.",
    "A correction is not corrected. Correct the record that it is about.",
)
BAD_SIGNATURE = ProblemType(
    "bad-signature",
    422,
    "The signature does not hold",
    "The record is not signed by a key of its author that is valid at this place of the log, or "
    "the proof was not made with the key that is to be registered. A key that ended signs nothing "
    "more, whatever date the record bears. Nothing was written.",
    "The signature doesn't match the bytes and the key.",
)
WRONG_ID = ProblemType(
    "wrong-id",
    422,
    "The id is another record's",
    "The id of a record is the SHA-256 of its canonical bytes (RFC 8785), and the address names "
    "another one. Nothing was written.",
    "The record has the id 2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb. Put "
    "it there.",
)
TOO_MANY_RECORDS = ProblemType(
    "too-many-records",
    422,
    "A bundle holds no more",
    "The ski has more records than one bundle holds. Ask with `links=none`, or take an export.",
    "The ski has more than 5000 records, or more than 16000000 bytes of them, and a bundle holds "
    "no more. Ask with `links=none`, or take an export.",
)
IDEMPOTENCY_MISMATCH = ProblemType(
    "idempotency-mismatch",
    422,
    "The idempotency key was used before",
    "This `Idempotency-Key` came before with another address or body. Use a new key for a new "
    "request. Nothing was written.",
    "This Idempotency-Key came with another request before. Take a new key.",
)
IDEMPOTENCY_KEY_INVALID = ProblemType(
    "idempotency-key-invalid",
    400,
    "The idempotency key can't be used",
    "An `Idempotency-Key` has 1 to 255 visible ASCII characters, with or without quotation marks.",
    "Send an Idempotency-Key of 1 to 255 visible ASCII characters.",
)
TOO_MANY_REQUESTS = ProblemType(
    "too-many-requests",
    429,
    "Too many requests",
    "The key, or the address without a key, asked too often for this kind of route. Wait as many "
    "seconds as `Retry-After` says.",
    "Too many requests; try again in 12 seconds.",
)
SERVER_ERROR = ProblemType(
    "server-error",
    500,
    "Something broke here",
    "The node failed; it is not the request's fault. Tell the operator the request id.",
    "The node failed. Tell its operator the request id.",
)
STORAGE_BUSY = ProblemType(
    "storage-busy",
    503,
    "The storage is busy",
    "The database is locked or can't be reached just now. Nothing was written. Send the same "
    "request again after `Retry-After` seconds.",
    "The database is busy with other writes. Send the same request again in a few seconds.",
)
STORAGE_FULL = ProblemType(
    "storage-full",
    507,
    "The storage is full",
    "The disk or database has no room left. Nothing was written. The operator must make room.",
    "The node has no storage left, so nothing was written. The operator must make room.",
)

PROBLEM_TYPES: tuple[ProblemType, ...] = tuple(
    sorted(
        (value for value in list(globals().values()) if isinstance(value, ProblemType)),
        key=lambda one: (one.status, one.slug),
    )
)

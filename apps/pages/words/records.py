"""Words for records, who wrote them and how far to believe them."""

from __future__ import annotations

from django.utils.translation import pgettext_lazy

from apps.pages.words.tables import Table

RECORD_KINDS: Table = {
    "description": pgettext_lazy("kind of record", "description"),
    "job": pgettext_lazy("kind of record", "job"),
    "measurement": pgettext_lazy("kind of record", "measurement"),
    "bevel-setting": pgettext_lazy("kind of record", "bevels"),
    "usage": pgettext_lazy("kind of record", "days in use"),
    "status": pgettext_lazy("kind of record", "status"),
    "pair": pgettext_lazy("kind of record", "pair"),
    "same-ski": pgettext_lazy("kind of record", "same ski"),
    "distinct-ski": pgettext_lazy("kind of record", "two skis"),
    "correction": pgettext_lazy("kind of record", "correction"),
    "retraction": pgettext_lazy("kind of record", "retraction"),
    "dispute": pgettext_lazy("kind of record", "dispute"),
    "erasure": pgettext_lazy("kind of record", "erasure"),
    "key": pgettext_lazy("kind of record", "key"),
    "key-end": pgettext_lazy("kind of record", "end of a key"),
}
RECORD_STATES: Table = {
    "stands": pgettext_lazy("state of a record", "stands"),
    "corrected": pgettext_lazy("state of a record", "corrected"),
    "retracted": pgettext_lazy("state of a record", "taken back"),
    "erased": pgettext_lazy("state of a record", "erased"),
}
IGNORED_REASONS: Table = {
    "foreign": pgettext_lazy("why it has no effect", "written by another shop"),
    "other-ski": pgettext_lazy("why it has no effect", "names another ski"),
    "other-kind": pgettext_lazy("why it has no effect", "changes the kind of record"),
    "not-correctable": pgettext_lazy("why it has no effect", "such a record is not corrected"),
    "not-retractable": pgettext_lazy("why it has no effect", "such a record is not taken back"),
    "not-disputable": pgettext_lazy("why it has no effect", "such a record is not disputed"),
}
CORRECTION_REASONS: Table = {
    "typing_error": pgettext_lazy("reason of a correction", "typing error"),
    "wrong_value": pgettext_lazy("reason of a correction", "wrong value"),
    "wrong_date": pgettext_lazy("reason of a correction", "wrong date"),
    "wrong_unit": pgettext_lazy("reason of a correction", "wrong unit"),
    "omitted": pgettext_lazy("reason of a correction", "something was left out"),
    "other": pgettext_lazy("reason of a correction", "other reason"),
}
RETRACTION_REASONS: Table = {
    "entered_by_mistake": pgettext_lazy("reason of a retraction", "entered by mistake"),
    "wrong_ski": pgettext_lazy("reason of a retraction", "belongs to another ski"),
    "duplicate": pgettext_lazy("reason of a retraction", "double entry"),
    "withdrawn": pgettext_lazy("reason of a retraction", "no longer stood by"),
    "other": pgettext_lazy("reason of a retraction", "other reason"),
}
DISPUTE_REASONS: Table = {
    "wrong_ski": pgettext_lazy("reason of a dispute", "seems to belong to another ski"),
    "wrong_value": pgettext_lazy("reason of a dispute", "own reading differs"),
    "wrong_date": pgettext_lazy("reason of a dispute", "can't have been on that date"),
    "not_found": pgettext_lazy("reason of a dispute", "not to be found on the ski"),
    "incomplete": pgettext_lazy("reason of a dispute", "leaves out what is plain to see"),
    "other": pgettext_lazy("reason of a dispute", "other reason"),
}
ERASURE_REASONS: Table = {
    "personal_data": pgettext_lazy("reason of an erasure", "personal data"),
    "legal_duty": pgettext_lazy("reason of an erasure", "legal duty"),
    "author_asked": pgettext_lazy("reason of an erasure", "its author asked for it"),
    "harmful": pgettext_lazy("reason of an erasure", "insult, threat or deceit"),
    "other": pgettext_lazy("reason of an erasure", "other reason"),
}
SAME_SKI_EVIDENCE: Table = {
    "label_lost": pgettext_lazy("evidence for one ski", "the old label was lost"),
    "both_labels": pgettext_lazy("evidence for one ski", "both labels were on the ski"),
    "serial_number": pgettext_lazy("evidence for one ski", "same serial number"),
    "markings": pgettext_lazy("evidence for one ski", "same holes, repairs and scratches"),
    "measurements": pgettext_lazy("evidence for one ski", "same length and widths"),
    "handed_over": pgettext_lazy("evidence for one ski", "handed over by the other shop"),
    "other": pgettext_lazy("evidence for one ski", "other evidence"),
}
DISTINCT_SKI_EVIDENCE: Table = {
    "side_by_side": pgettext_lazy("evidence for two skis", "both were seen side by side"),
    "serial_number": pgettext_lazy("evidence for two skis", "serial numbers differ"),
    "markings": pgettext_lazy("evidence for two skis", "holes, repairs and scratches differ"),
    "measurements": pgettext_lazy("evidence for two skis", "length and widths differ"),
    "other": pgettext_lazy("evidence for two skis", "other evidence"),
}
LINK_STANDINGS: Table = {
    "mutual": pgettext_lazy("whose word a link is", "both shops say so"),
    "one-sided": pgettext_lazy("whose word a link is", "one shop says so"),
    "foreign": pgettext_lazy("whose word a link is", "a third shop says so"),
}
LINKS: Table = {
    "none": pgettext_lazy("which links join", "this tag alone"),
    "mutual": pgettext_lazy("which links join", "links both shops stand by"),
    "all": pgettext_lazy("which links join", "links one shop alone stands by too"),
}
RANKS: Table = {
    "shop-signed": pgettext_lazy("rank of a signature", "signed by the shop itself"),
    "node-attested": pgettext_lazy("rank of a signature", "signed by the node for the shop"),
    "node-signed": pgettext_lazy("rank of a signature", "signed by the node for itself"),
}
KEY_HOLDERS: Table = {
    "shop": pgettext_lazy("holder of a key", "the shop"),
    "node": pgettext_lazy("holder of a key", "the node"),
}
KEY_END_REASONS: Table = {
    "rotated": pgettext_lazy("why a key ended", "replaced by another key"),
    "lost": pgettext_lazy("why a key ended", "key lost"),
    "stolen": pgettext_lazy("why a key ended", "key stolen"),
    "closed": pgettext_lazy("why a key ended", "shop or node closed"),
    "other": pgettext_lazy("why a key ended", "other reason"),
}
SIGNATURE_REASONS: Table = {
    "holds": pgettext_lazy("check of a signature", "the signature holds"),
    "malformed": pgettext_lazy("check of a signature", "the signature is malformed"),
    "does-not-match": pgettext_lazy("check of a signature", "the signature does not match"),
}
ROLES: Table = {
    "owner": pgettext_lazy("role", "owner"),
    "technician": pgettext_lazy("role", "technician"),
    "reader": pgettext_lazy("role", "reader"),
    "operator": pgettext_lazy("role", "operator"),
}
SCOPES: Table = {
    "read": pgettext_lazy("what a key allows", "read"),
    "write": pgettext_lazy("what a key allows", "write"),
    "keys": pgettext_lazy("what a key allows", "keep signing keys"),
    "feed": pgettext_lazy("what a key allows", "read the whole log"),
}

RECORDS_WORDS: dict[str, Table] = {
    "record_kind": RECORD_KINDS,
    "record_state": RECORD_STATES,
    "ignored_reason": IGNORED_REASONS,
    "correction_reason": CORRECTION_REASONS,
    "retraction_reason": RETRACTION_REASONS,
    "dispute_reason": DISPUTE_REASONS,
    "erasure_reason": ERASURE_REASONS,
    "same_ski_evidence": SAME_SKI_EVIDENCE,
    "distinct_ski_evidence": DISTINCT_SKI_EVIDENCE,
    "link_standing": LINK_STANDINGS,
    "links": LINKS,
    "rank": RANKS,
    "key_holder": KEY_HOLDERS,
    "key_end_reason": KEY_END_REASONS,
    "signature_reason": SIGNATURE_REASONS,
    "role": ROLES,
    "scope": SCOPES,
}

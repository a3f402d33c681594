"""The closed word lists of what shops and nodes say to each other: links, disputes, keys."""

from __future__ import annotations

from apps.records.words import OWN, Word


class SameSkiEvidence(Word):
    """By what a shop knows that two tags are on one ski."""

    LABEL_LOST = "label_lost", "The old label was lost; the shop put a new one on.", OWN
    BOTH_LABELS = "both_labels", "Both labels were on the ski at one time.", OWN
    SERIAL_NUMBER = "serial_number", "The maker's serial number is the same.", OWN
    MARKINGS = "markings", "Holes, repairs and scratches are the same.", OWN
    MEASUREMENTS = "measurements", "Lengths and widths measured on both agree.", OWN
    HANDED_OVER = "handed_over", "The ski came from the other shop under its tag.", OWN
    OTHER = "other", "Other evidence; `evidence_text` says which.", OWN


class DistinctSkiEvidence(Word):
    """By what a shop knows that two tags are on two skis."""

    SIDE_BY_SIDE = "side_by_side", "Both skis were seen at one time.", OWN
    SERIAL_NUMBER = "serial_number", "The makers' serial numbers differ.", OWN
    MARKINGS = "markings", "Holes, repairs and scratches differ.", OWN
    MEASUREMENTS = "measurements", "Lengths and widths measured on both differ.", OWN
    OTHER = "other", "Other evidence; `evidence_text` says which.", OWN


class DisputeReason(Word):
    """Why a shop doubts a record."""

    WRONG_SKI = "wrong_ski", "It seems to belong to another ski.", OWN
    WRONG_VALUE = "wrong_value", "A reading of one's own says something else.", OWN
    WRONG_DATE = "wrong_date", "It can't have been on that date.", OWN
    NOT_FOUND = "not_found", "What it says was done isn't to be found on the ski.", OWN
    INCOMPLETE = "incomplete", "It leaves out what is plain to see on the ski.", OWN
    OTHER = "other", "Another reason; `reason_text` says which.", OWN


class ErasureReason(Word):
    """Why the operator of a node erased the bytes of a record."""

    PERSONAL_DATA = "personal_data", "It named or described a person.", OWN
    LEGAL_DUTY = "legal_duty", "A law, a court or an authority demands it.", OWN
    AUTHOR_ASKED = "author_asked", "Its author asked for it.", OWN
    HARMFUL = "harmful", "Its text insults, threatens or misleads on purpose.", OWN
    OTHER = "other", "Another reason; `reason_text` says which.", OWN


class KeyHolder(Word):
    """Who keeps the private half of a signing key."""

    SHOP = "shop", "The shop keeps it and signs its records itself.", OWN
    NODE = "node", "The node keeps it and signs for the shop.", OWN


class KeyEndReason(Word):
    """Why a signing key ends."""

    ROTATED = "rotated", "Another key takes its place.", OWN
    LOST = "lost", "Nobody can sign with it any more.", OWN
    STOLEN = "stolen", "Somebody else may sign with it.", OWN
    CLOSED = "closed", "The shop or the node closed.", OWN
    OTHER = "other", "Another reason; `reason_text` says which.", OWN

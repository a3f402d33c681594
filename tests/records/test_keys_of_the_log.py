"""Key records: the proof that a key is held, and keys for which anybody could sign."""

from __future__ import annotations

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from hypothesis import given
from hypothesis import strategies as st

from apps.records.examples import NODE, PROOF, PUBLIC_KEY, SKI, example_record
from apps.records.key_proof import proof_bytes, proof_holds, prove
from apps.records.signing import PrivateKey, PublicKey, SignatureReason, base64url
from apps.records.weak_keys import PRIME, SMALL_ORDER, is_weak
from tests.records.refusals import coded, record_errors

SHOP = SKI["shop"]
# RFC 8037 appendix A.1, the key of RFC 8032 section 7.1 test 1.
KEY = PrivateKey.from_seed(
    bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
)
IDENTITY = (1).to_bytes(32, "little")

Point = tuple[int, int]


def test_a_proof_signs_two_lines_that_are_no_record() -> None:
    assert proof_bytes("a@b.c") == b"ski-service-registry key v1\na@b.c\n"


def test_the_example_is_a_proof_that_any_ed25519_verifies() -> None:
    assert KEY.public.text == PUBLIC_KEY
    assert prove(KEY, SHOP) == PROOF
    assert proof_holds(KEY.public, SHOP, PROOF).holds
    signature = KEY.sign(b"ski-service-registry key v1\nfellbench@node.example\n")
    assert base64url(signature) == PROOF
    Ed25519PublicKey.from_public_bytes(KEY.public.raw).verify(signature, proof_bytes(SHOP))


def test_a_proof_holds_for_one_shop_and_one_key() -> None:
    other = PrivateKey.from_seed(bytes(32))
    mismatch = SignatureReason.DOES_NOT_MATCH
    assert proof_holds(KEY.public, NODE, PROOF).reason is mismatch
    assert proof_holds(other.public, SHOP, PROOF).reason is mismatch
    assert proof_holds(KEY.public, SHOP, PROOF[1:]).reason is SignatureReason.MALFORMED


@given(st.integers(0, 511))
def test_a_proof_with_a_flipped_bit_fails(bit: int) -> None:
    signature = bytearray(KEY.sign(proof_bytes(SHOP)))
    signature[bit // 8] ^= 1 << bit % 8
    assert not proof_holds(KEY.public, SHOP, base64url(bytes(signature))).holds


def added(one: Point, other: Point) -> Point:
    """Add two points of edwards25519 by the complete law of RFC 8032 section 5.1.4."""
    (x1, y1), (x2, y2) = one, other
    product = -121665 * pow(121666, -1, PRIME) * x1 * x2 * y1 * y2
    x = (x1 * y2 + x2 * y1) * pow(1 + product, -1, PRIME)
    y = (y1 * y2 + x1 * x2) * pow(1 - product, -1, PRIME)
    return x % PRIME, y % PRIME


def points_at(y: int) -> set[Point]:
    """Give the points of edwards25519 with this y, decoded by RFC 8032 section 5.1.3."""
    d = -121665 * pow(121666, -1, PRIME)
    square = (y * y - 1) * pow(d * y * y + 1, -1, PRIME) % PRIME
    root = pow(square, (PRIME + 3) // 8, PRIME)
    if root * root % PRIME != square:
        root = root * pow(2, (PRIME - 1) // 4, PRIME) % PRIME
    assert root * root % PRIME == square
    return {(root, y), (-root % PRIME, y)}


def test_the_weak_keys_are_the_eight_points_whose_order_divides_eight() -> None:
    points = {point for y in SMALL_ORDER for point in points_at(y)}
    assert len(points) == 8
    for point in points:
        twice = added(point, point)
        four_times = added(twice, twice)
        assert added(four_times, four_times) == (0, 1)


@pytest.mark.parametrize("y", [*sorted(SMALL_ORDER), PRIME, PRIME + 1])
@pytest.mark.parametrize("sign", [0, 1])
def test_each_way_to_write_a_weak_key_is_refused(y: int, sign: int) -> None:
    public = PublicKey((y + (sign << 255)).to_bytes(32, "little"))
    assert is_weak(public)
    body = {**example_record("key")["body"], "public": public.text}
    assert coded(record_errors("key", body=body)) == [("/body/public", "weak-key")]


def test_anybody_signs_anything_for_a_weak_key() -> None:
    """Why they are refused: the verifier itself takes a signature made without a secret."""
    forged = base64url(IDENTITY + bytes(32))
    assert PublicKey(IDENTITY).verify(b"whatever it may say", forged).holds


@given(st.binary(min_size=32, max_size=32))
def test_a_key_made_from_a_seed_is_not_weak(seed: bytes) -> None:
    assert not is_weak(PrivateKey.from_seed(seed).public)

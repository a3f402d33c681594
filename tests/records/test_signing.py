"""Keys and signatures against RFC 8032, RFC 8037 and RFC 7638."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.records.errors import MalformedKey
from apps.records.signing import (
    PrivateKey,
    PublicKey,
    SignatureReason,
    base64url,
    from_base64url,
    key_id,
)

# RFC 8032 section 7.1, tests 1 to 3: seed, public key, message, signature.
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        (
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701c"
            "f9b46bd25bf5f0595bbe24655141438e7a100b"
        ),
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        (
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0"
            "f11d8c387b2eaeb4302aeeb00d291612bb0c00"
        ),
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        (
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984"
            "dc6594a7c15e9716ed28dc027beceea1ec40a"
        ),
    ),
]
RFC_8037_INPUT = b"eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc"
RFC_8037_SIGNATURE = (
    "hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg"
)
RFC_8037_X = "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"
RFC_8037_THUMBPRINT = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"

KEY = PrivateKey.from_seed(bytes.fromhex(RFC_8032[0][0]))


@pytest.mark.parametrize(("seed", "public", "message", "signature"), RFC_8032)
def test_vectors_of_rfc_8032(seed: str, public: str, message: str, signature: str) -> None:
    key = PrivateKey.from_seed(bytes.fromhex(seed))
    assert key.public.raw.hex() == public
    assert key.sign(bytes.fromhex(message)).hex() == signature
    text = base64url(bytes.fromhex(signature))
    assert key.public.verify(bytes.fromhex(message), text).holds


def test_jws_of_rfc_8037_a_4() -> None:
    assert KEY.sign_text(RFC_8037_INPUT) == RFC_8037_SIGNATURE


def test_jwk_and_thumbprint_of_rfc_8037_a_2_and_a_3() -> None:
    assert KEY.public.jwk == {"crv": "Ed25519", "kty": "OKP", "x": RFC_8037_X}
    assert KEY.key_id == key_id(KEY.public) == RFC_8037_THUMBPRINT
    assert PublicKey.from_text(RFC_8037_X) == KEY.public


@pytest.mark.parametrize(
    ("data", "signature", "reason"),
    [
        (RFC_8037_INPUT + b".", RFC_8037_SIGNATURE, SignatureReason.DOES_NOT_MATCH),
        (RFC_8037_INPUT, RFC_8037_SIGNATURE[::-1], SignatureReason.MALFORMED),
        (RFC_8037_INPUT, RFC_8037_SIGNATURE + "==", SignatureReason.MALFORMED),
        (RFC_8037_INPUT, RFC_8037_SIGNATURE[:-4], SignatureReason.MALFORMED),
        (RFC_8037_INPUT, "é" * 86, SignatureReason.MALFORMED),
        (RFC_8037_INPUT, "", SignatureReason.MALFORMED),
    ],
)
def test_a_wrong_signature_says_why(data: bytes, signature: str, reason: SignatureReason) -> None:
    check = KEY.public.verify(data, signature)
    assert not check.holds
    assert check.reason is reason


def test_another_key_does_not_verify() -> None:
    other = PrivateKey.generate()
    assert other.key_id != KEY.key_id
    check = other.public.verify(RFC_8037_INPUT, RFC_8037_SIGNATURE)
    assert check.reason is SignatureReason.DOES_NOT_MATCH


def test_a_seed_makes_the_same_key_again() -> None:
    key = PrivateKey.generate()
    assert PrivateKey.from_seed(key.seed).public == key.public


def test_a_private_key_does_not_show_its_secret() -> None:
    assert KEY.seed.hex() not in repr(KEY)
    assert base64url(KEY.seed) not in repr(KEY)
    assert RFC_8037_THUMBPRINT in repr(KEY)


@pytest.mark.parametrize(
    "text", ["", "AAAA", RFC_8037_X + "=", RFC_8037_X[:-1] + "é", "A" * 43 + "B"]
)
def test_a_malformed_public_key_is_refused(text: str) -> None:
    with pytest.raises(MalformedKey):
        PublicKey.from_text(text)


def test_a_seed_of_another_length_is_refused() -> None:
    with pytest.raises(MalformedKey, match="32 bytes, not 31"):
        PrivateKey.from_seed(bytes(31))


@given(st.binary(max_size=70))
def test_base64url_comes_back(data: bytes) -> None:
    assert from_base64url(base64url(data)) == data


def test_base64url_has_one_way_to_write_its_bytes() -> None:
    # RFC 4648 section 3.5: the spare bits of the last character must be zero.
    assert from_base64url("AA") == b"\0"
    assert from_base64url("AB") is None

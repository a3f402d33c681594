"""Messages are signed so that any library of Standard Webhooks can check them."""

from __future__ import annotations

import base64

import pytest

from apps.exchange import webhook_signing
from apps.exchange.webhook_signing import headers_of, new_secret, sign


# Source: standard-webhooks/standard-webhooks, libraries/go/webhook_test.go, TestWebhookSign.
def test_the_published_vector() -> None:
    signature = sign(
        "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",
        message="msg_p5jXN8AQM9LWM0D4loKWxJek",
        moment=1614265330,
        body=b'{"test": 2432232314}',
    )
    assert signature == "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="


# Source: RFC 4231 test case 1 gives the key; the signature is of other bytes, so only its form.
@pytest.mark.parametrize(
    "changed",
    [{"message": "msg_2"}, {"moment": 2}, {"body": b"{} "}, {"secret": new_secret()}],
    ids=lambda one: next(iter(one)),
)
def test_everything_that_is_sent_is_signed(changed: dict[str, object]) -> None:
    usual: dict[str, object] = {
        "secret": "whsec_" + base64.b64encode(b"\x0b" * 32).decode(),
        "message": "msg_1",
        "moment": 1,
        "body": b"{}",
    }
    assert sign(**usual) != sign(**{**usual, **changed})  # type: ignore[arg-type]


# Source: Standard Webhooks 1.0.0, "Webhook headers" and "Verifying signatures".
def test_the_three_headers() -> None:
    secret = new_secret()
    headers = headers_of(secret, message="msg_1", moment=1674087231, body=b"{}")
    assert headers == {
        "webhook-id": "msg_1",
        "webhook-timestamp": "1674087231",
        "webhook-signature": sign(secret, message="msg_1", moment=1674087231, body=b"{}"),
    }


# Source: Standard Webhooks 1.0.0, table of signature schemes: 24 to 64 bytes, base64, `whsec_`.
def test_a_secret_has_the_form_that_libraries_take() -> None:
    secret = new_secret()
    raw = base64.b64decode(secret.removeprefix("whsec_"), validate=True)
    assert secret.startswith("whsec_")
    assert 24 <= len(raw) == webhook_signing.SECRET_BYTES <= 64
    assert secret != new_secret()

"""Signatures, against the Standard Webhooks specification and its own library in Python."""

from base64 import b64encode
from datetime import UTC, datetime

import pytest
from standardwebhooks import Webhook, WebhookVerificationError

import hitchworth_sdk
from hitchworth.store.credentials import new_webhook_secret
from hitchworth.webhooks.signature import signed_headers

# The example of the project of the specification, standard-webhooks on GitHub: libraries/go/webhook_test.go.
SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
MESSAGE = "msg_p5jXN8AQM9LWM0D4loKWxJek"
SIGNED_AT = 1_614_265_330
BODY = b'{"test": 2432232314}'
SIGNATURE = "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="

OTHER = f"whsec_{b64encode(b'another secret of just 32 bytes.').decode()}"


def test_the_published_example() -> None:
    assert signed_headers(MESSAGE, SIGNED_AT, BODY, [SECRET]) == {
        "webhook-id": MESSAGE,
        "webhook-timestamp": "1614265330",
        "webhook-signature": SIGNATURE,
    }


def test_the_client_verifies_the_published_example() -> None:
    headers = {"Webhook-Id": MESSAGE, "Webhook-Timestamp": str(SIGNED_AT), "Webhook-Signature": SIGNATURE}
    assert hitchworth_sdk.verify_webhook(headers, BODY, SECRET, now=SIGNED_AT + 300) == {"test": 2432232314}


@pytest.mark.parametrize("secrets", [(SECRET,), (OTHER, SECRET), (SECRET, OTHER)])
def test_the_library_of_the_specification_verifies_what_is_signed(secrets: tuple[str, ...]) -> None:
    now = int(datetime.now(UTC).timestamp())
    headers = signed_headers("msg_1", now, BODY, secrets)
    assert Webhook(SECRET).verify(BODY, headers) == {"test": 2432232314}
    with pytest.raises(WebhookVerificationError):
        Webhook(SECRET).verify(BODY + b" ", headers)


def test_what_the_library_of_the_specification_signs_the_client_verifies() -> None:
    at = datetime(2026, 11, 28, 12, tzinfo=UTC)
    headers = {
        "webhook-id": "msg_2",
        "webhook-timestamp": str(int(at.timestamp())),
        "webhook-signature": Webhook(OTHER).sign("msg_2", at, BODY.decode()),
    }
    told = hitchworth_sdk.verify_webhook(headers, BODY, (SECRET, OTHER), now=at.timestamp())
    assert told == {"test": 2432232314}


def test_a_secret_is_random_and_long_enough() -> None:
    """The specification asks for 24 to 64 bytes."""
    one, other = new_webhook_secret(), new_webhook_secret()
    assert one != other
    assert one.startswith("whsec_")
    assert len(Webhook(one)._whsecret) == 32


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"webhook-id": "msg_other"}, "no signature fits"),
        ({"webhook-timestamp": str(SIGNED_AT + 1)}, "no signature fits"),
        ({"webhook-signature": SIGNATURE.replace("v1", "v2")}, "no signature fits"),
        ({"webhook-signature": "v1,???"}, "no signature fits"),
        ({"webhook-signature": ""}, "no signature fits"),
        *(({"webhook-timestamp": text}, "no number of seconds") for text in ("yesterday", "9" * 400, "9" * 5_000)),
        ({"webhook-timestamp": "9" * 15}, "too old"),
        ({"webhook-timestamp": str(SIGNED_AT - 301)}, "too old"),
        ({"webhook-timestamp": str(SIGNED_AT + 301)}, "too old"),
    ],
)
def test_the_client_refuses_what_is_not_as_it_was_signed(change: dict[str, str], why: str) -> None:
    headers = signed_headers(MESSAGE, SIGNED_AT, BODY, [SECRET]) | change
    with pytest.raises(hitchworth_sdk.WebhookVerificationError, match=why):
        hitchworth_sdk.verify_webhook(headers, BODY, SECRET, now=SIGNED_AT)


@pytest.mark.parametrize("name", ["webhook-id", "webhook-timestamp", "webhook-signature"])
def test_the_client_refuses_a_message_without_a_header(name: str) -> None:
    headers = signed_headers(MESSAGE, SIGNED_AT, BODY, [SECRET])
    del headers[name]
    with pytest.raises(hitchworth_sdk.WebhookVerificationError, match=name):
        hitchworth_sdk.verify_webhook(headers, BODY, SECRET, now=SIGNED_AT)


@pytest.mark.parametrize(("body", "why"), [(b"no", "not JSON"), (b"[]", "not an object")])
def test_the_client_refuses_what_is_no_message(body: bytes, why: str) -> None:
    headers = signed_headers(MESSAGE, SIGNED_AT, body, [SECRET])
    with pytest.raises(hitchworth_sdk.WebhookVerificationError, match=why):
        hitchworth_sdk.verify_webhook(headers, body, SECRET, now=SIGNED_AT)


def test_the_client_refuses_a_secret_that_is_none() -> None:
    headers = signed_headers(MESSAGE, SIGNED_AT, BODY, [SECRET])
    with pytest.raises(hitchworth_sdk.WebhookVerificationError, match="whsec_"):
        hitchworth_sdk.verify_webhook(headers, BODY, "whsec_?", now=SIGNED_AT)

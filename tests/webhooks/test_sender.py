"""Sending, to real receivers on this machine that behave and that do not."""

import ssl
import subprocess
from collections.abc import Callable
from ipaddress import ip_address
from pathlib import Path
from time import monotonic

import pytest

from hitchworth.webhooks.address import AddressRules, read_networks, require_safe_address
from hitchworth.webhooks.sender import DeliveryOutcome, Sender
from webhook_receivers import (
    LOOPBACK,
    Answer,
    cut_off,
    drip,
    gibberish,
    hang,
    huge,
    huge_headers,
    local_sender,
    receiving,
    status,
)

HEADERS = {"content-type": "application/json", "webhook-id": "msg_1"}


@pytest.mark.parametrize("code", [200, 201, 204])
def test_a_message_arrives_as_it_was_sent(code: int) -> None:
    with receiving(status(code)) as receiver:
        outcome = local_sender().send(receiver.url, HEADERS, b'{"a": 1}')
    assert outcome == DeliveryOutcome(status=code)
    (got,) = receiver.got
    assert got.body == b'{"a": 1}'
    assert got.headers.items() >= HEADERS.items()
    assert got.headers["host"] == receiver.url.split("/")[2]


@pytest.mark.parametrize("code", [400, 404, 429, 500, 503])
def test_any_other_status_is_a_failure(code: int) -> None:
    with receiving(status(code)) as receiver:
        assert local_sender().send(receiver.url, HEADERS, b"{}") == DeliveryOutcome(
            status=code, error=f"the receiver answered {code}"
        )


def test_410_means_that_it_wants_no_more() -> None:
    with receiving(status(410)) as receiver:
        assert local_sender().send(receiver.url, HEADERS, b"{}").is_gone


@pytest.mark.parametrize("code", [300, 301, 302, 307, 308, 399])
def test_a_redirect_is_not_followed(code: int) -> None:
    with receiving(status(200)) as elsewhere, receiving(status(code, location=elsewhere.url)) as receiver:
        outcome = local_sender().send(receiver.url, HEADERS, b"{}")
    assert outcome == DeliveryOutcome(status=code, error=f"the receiver answered {code}; redirects are not followed")
    assert elsewhere.got == []


@pytest.mark.parametrize("answer", [hang, drip])
def test_a_receiver_that_takes_too_long_is_left(answer: Answer) -> None:
    """Half a second in all, also where every byte comes in time."""
    started = monotonic()
    with receiving(answer) as receiver:
        outcome = local_sender(0.5).send(receiver.url, HEADERS, b"{}")
    assert outcome == DeliveryOutcome(error="no answer within 0.5 seconds")
    assert monotonic() - started < 5


def test_a_huge_answer_is_not_read() -> None:
    with receiving(huge) as receiver:
        assert local_sender(2).send(receiver.url, HEADERS, b"{}") == DeliveryOutcome(status=200)


@pytest.mark.parametrize("answer", [gibberish, huge_headers])
def test_what_is_not_http_is_a_failure(answer: Answer) -> None:
    with receiving(answer) as receiver:
        assert local_sender(2).send(receiver.url, HEADERS, b"{}").error == "the answer is not HTTP"


def test_a_connection_that_is_cut_off_is_a_failure() -> None:
    with receiving(cut_off) as receiver:
        outcome = local_sender(2).send(receiver.url, HEADERS, b"{}")
    assert outcome.status is None
    assert outcome.error in ("the answer is not HTTP", "no connection to the receiver")


def test_nobody_is_there() -> None:
    with receiving(status(200)) as receiver:
        url = receiver.url
    assert local_sender(2).send(url, HEADERS, b"{}") == DeliveryOutcome(error="no connection to the receiver")


def test_a_name_without_an_address() -> None:
    sender = Sender(AddressRules(), 5)
    assert (
        sender.send("https://no-such-name.invalid/", HEADERS, b"{}").error == "the name of the receiver has no address"
    )


def test_a_name_that_cannot_be_looked_up() -> None:
    """Not every system looks up every name."""

    def resolve(host: str, _port: int, _rules: AddressRules) -> tuple[str, ...]:
        raise UnicodeError(host)

    outcome = Sender(AddressRules(), 5, resolve=resolve).send("https://shop.example/", HEADERS, b"{}")
    assert outcome == DeliveryOutcome(error="the name of the receiver has no address")


@pytest.mark.parametrize(
    ("rules", "why"),
    [
        (AddressRules(), "the address does not begin with https://"),
        (AddressRules(http=True), "127.0.0.1 is an address inside the network"),
        (AddressRules(networks=read_networks("127.0.0.0/8")), "the address does not begin with https://"),
    ],
)
def test_nothing_is_sent_to_where_it_is_not_allowed(rules: AddressRules, why: str) -> None:
    with receiving(status(200)) as receiver:
        assert Sender(rules, 2).send(receiver.url, HEADERS, b"{}") == DeliveryOutcome(error=f"refused: {why}")
        assert receiver.got == []


def test_a_name_that_leads_into_the_network_is_refused_when_it_is_sent_to() -> None:
    """`localhost.localdomain` and the like are only known when they are resolved; so is a name of somebody's own."""
    with receiving(status(200)) as receiver:
        port = receiver.url.split(":")[2]
        sender = Sender(AddressRules(http=True), 2, resolve=lookups("127.0.0.1"))
        outcome = sender.send(f"http://shop.example:{port}", HEADERS, b"{}")
        assert outcome == DeliveryOutcome(error="refused: 127.0.0.1 is an address inside the network")
        assert receiver.got == []


def lookups(*addresses: str) -> Callable[[str, int, AddressRules], tuple[str, ...]]:
    """A name server that gives another address each time it is asked; each is checked as always."""
    told = iter(addresses)

    def resolve(_host: str, _port: int, rules: AddressRules) -> tuple[str, ...]:
        address = next(told)
        require_safe_address(ip_address(address), rules)
        return (address,)

    return resolve


def test_the_connection_is_made_to_the_address_that_was_checked() -> None:
    """The name is resolved once: an address that it gets a moment later is not used, so nothing can be rebound."""
    with receiving(status(200)) as receiver:
        port = receiver.url.split(":")[2].split("/")[0]
        sender = Sender(LOOPBACK, 2, resolve=lookups("127.0.0.1"))  # a second lookup would raise StopIteration
        assert sender.send(f"http://shop.example:{port}/hook", HEADERS, b"{}") == DeliveryOutcome(status=200)
    assert receiver.got[0].headers["host"] == f"shop.example:{port}"


def test_one_address_of_several_inside_the_network_is_enough_to_refuse(monkeypatch: pytest.MonkeyPatch) -> None:
    found = [(2, 1, 6, "", (address, 443)) for address in ("8.8.8.8", "10.0.0.1")]
    monkeypatch.setattr("socket.getaddrinfo", lambda *_args, **_more: found)
    outcome = Sender(AddressRules(), 2).send("https://shop.example/", HEADERS, b"{}")
    assert outcome == DeliveryOutcome(error="refused: 10.0.0.1 is an address inside the network")


def certificate(folder: Path, name: str) -> Path:
    """A certificate that this name signs itself, with its key, in one file."""
    file = folder / f"{name}.pem"
    subprocess.run(
        [
            *("openssl", "req", "-x509", "-nodes", "-days", "2"),
            *("-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1"),
            *("-subj", f"/CN={name}", "-addext", f"subjectAltName=DNS:{name}"),
            *("-keyout", str(file), "-out", str(folder / "certificate.pem")),
        ],
        check=True,
        capture_output=True,
    )
    file.write_bytes(file.read_bytes() + (folder / "certificate.pem").read_bytes())
    return file


def test_the_certificate_has_to_be_that_of_the_name(tmp_path: Path) -> None:
    """The connection goes to an address, but the certificate is compared with the name in the URL."""
    file = certificate(tmp_path, "shop.example")
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(file)
    trusting = ssl.create_default_context(cafile=str(tmp_path / "certificate.pem"))
    with receiving(status(200), serving) as receiver:
        port = receiver.url.split(":")[2].split("/")[0]
        for name, trusted, outcome in (
            ("shop.example", trusting, DeliveryOutcome(status=200)),
            ("other.example", trusting, DeliveryOutcome(error="the certificate of the receiver is not valid for it")),
            ("shop.example", None, DeliveryOutcome(error="the certificate of the receiver is not valid for it")),
        ):
            sender = Sender(LOOPBACK, 5, trusted, lookups("127.0.0.1"))
            assert sender.send(f"https://{name}:{port}/", HEADERS, b"{}") == outcome

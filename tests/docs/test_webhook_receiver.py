"""The receiver that shows how to take messages runs, uses nothing but the client, and believes no stranger."""

import json
import os
import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path
from time import monotonic, sleep
from urllib.error import HTTPError
from urllib.request import Request, urlopen

import pytest

from documents import GUIDE, ROOT, text_of
from hitchworth.operations.settings import Settings
from hitchworth.operations.webhook_delivery import deliver_due
from hitchworth.store import open_store
from hitchworth.web.server import running
from hitchworth_sdk import AttentionThresholds, Build, Client, Component, Document, Policy
from webhook_receivers import local_sender

SCRIPT = ROOT / "sdk" / "examples" / "webhook_receiver.py"


@contextmanager
def receiver(secret: str, port: int) -> Iterator["subprocess.Popen[str]"]:
    environment = {**os.environ, "HITCHWORTH_WEBHOOK_SECRET": secret}
    command = [sys.executable, str(SCRIPT), str(port)]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as process:
        end = monotonic() + 20
        while True:
            try:
                socket.create_connection(("127.0.0.1", port), 1).close()
                break
            except OSError:
                assert monotonic() < end
                sleep(0.05)
        try:
            yield process
        finally:
            process.terminate()


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        return int(taken.getsockname()[1])


def test_it_is_short_and_needs_only_the_client() -> None:
    source = SCRIPT.read_text("utf-8")
    assert len(source.splitlines()) < 60
    imported = set(re.findall(r"^(?:from|import) (\w+)", source, re.MULTILINE))
    assert imported <= {*sys.stdlib_module_names, "hitchworth_sdk"}
    assert "sdk/examples/webhook_receiver.py" in text_of(f"{GUIDE}/webhooks.md")


def test_it_prints_each_message_once(tmp_path: Path) -> None:
    port = free_port()
    settings = Settings(port=0, access_log=False, webhook_networks="127.0.0.0/8", webhook_http=True)
    with (
        closing(open_store(str(tmp_path / "builds.db"))) as store,
        running(settings, store) as address,
        Client(address) as client,
    ):
        webhook = client.create_webhook(
            f"http://127.0.0.1:{port}/",
            ["build.changed", "attention.limit_exceeded"],
            thresholds=AttentionThresholds(limit_days=0),
        )
        with receiver(webhook.secret, port) as process:
            assert client.try_webhook(webhook.id).state == "delivered"
            client.create_build(too_little_insured())
            assert deliver_due(store, local_sender())["delivered"] == 2
            (changed,) = [each for each in client.list_webhook_messages(webhook.id) if each.event == "build.changed"]
            client.resend_webhook_message(webhook.id, changed.id)
            assert deliver_due(store, local_sender())["delivered"] == 1
            process.terminate()
            assert process.stdout is not None
            lines = process.stdout.read().splitlines()
    assert lines[0] == "webhook.test"
    assert sorted(lines[1:]) == [
        "Camper: RV policy, limit $900.00: not enough since January 10, 2026. The value (replacement cost) is "
        "$1,000.00 now, so $100.00 is not covered.",
        "Camper: revision 1 by local",
    ]


def too_little_insured() -> Document:
    battery = Component(
        id="battery",
        description="Battery",
        category="electrical",
        quantity=Decimal(1),
        unit_cost=Decimal(1000),
        acquired_on=date(2026, 1, 10),
    )
    return Document(
        build=Build(name="Camper", currency="USD", components=(battery,)),
        policies=(Policy(name="RV policy", basis="replacement_cost", limit=Decimal(900)),),
    )


def test_it_believes_no_stranger() -> None:
    port = free_port()
    with receiver("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", port):
        forged = {"webhook-id": "msg_1", "webhook-timestamp": "1614265330", "webhook-signature": "v1,AAAA"}
        for headers in ({}, forged):
            body = json.dumps({"type": "webhook.test", "data": {}}).encode()
            with pytest.raises(HTTPError, match="400"):
                urlopen(Request(f"http://127.0.0.1:{port}/", body, headers), timeout=10)

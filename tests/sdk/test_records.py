"""The client's records against the server's: printed from them, and of one mind with them."""

import sys
from importlib.resources import files
from pathlib import Path

import msgspec

import hitchworth_sdk
from hitchworth.model import request as server
from hitchworth_sdk import _types

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "sdk"))

import generate_async  # noqa: E402  (they lie beside the package, not in it)
import generate_types  # noqa: E402

DEMO = files("hitchworth.demo").joinpath("gap_request.json").read_bytes()


def test_the_records_are_those_of_the_model() -> None:
    written = Path(_types.__file__).read_text(encoding="utf-8")
    assert written == generate_types.generate(), "run: python sdk/generate_types.py"


def test_the_asynchronous_client_is_printed_from_the_blocking_one() -> None:
    assert generate_async.TARGET.read_text("utf-8") == generate_async.generate(), "run: python sdk/generate_async.py"


def test_a_request_says_to_the_server_what_its_file_says() -> None:
    request = msgspec.json.decode(DEMO, type=hitchworth_sdk.GapRequest)
    sent = msgspec.json.encode(request)
    assert len(sent) < len(msgspec.json.encode(msgspec.json.decode(DEMO, type=server.GapRequest)))
    assert msgspec.json.decode(sent, type=server.GapRequest) == msgspec.json.decode(DEMO, type=server.GapRequest)

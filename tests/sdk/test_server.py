"""The client against the real server, over a socket."""

import contextlib
import inspect
import io
import re
import typing
from collections.abc import Iterator
from datetime import date
from importlib.resources import files
from pathlib import Path

import httpx2
import msgspec
import pytest

from hitchworth.model.listing import Items
from hitchworth.operations.renderings import DOCX, JSON, ODS
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.api import OPERATIONS
from hitchworth.web.examples import example_body, example_of
from hitchworth.web.operation import Operation
from hitchworth.web.server import running
from hitchworth_sdk import (
    Build,
    Client,
    EstimateRequest,
    GapRequest,
    InvalidInput,
    InvalidParameter,
    NotFound,
    QuoteRequest,
    Response,
    TransportError,
)
from hitchworth_sdk._calls import FileReport, TextReport
from hitchworth_sdk._retry import LONGEST_PAUSE
from hitchworth_sdk._settings import DEFAULT_TIMEOUT

DEMO = files("hitchworth.demo").joinpath("gap_request.json").read_bytes()
GUIDE = Path(__file__).parents[2] / "api" / "hitchworth" / "guide"
CHAPTER, METHODS = GUIDE / "sdk.md", GUIDE / "sdk-methods.md"
REPORTS = {"create_conversation_sheet", "create_report", "create_letter", "create_quote_report"}
READ_WHOLE = [
    operation
    for operation in OPERATIONS
    if operation.operation_id not in REPORTS | {"get_problem_type"}
    and not operation.is_kept
    and operation.renderings[0].media_type == JSON
]


class Recorder(httpx2.HTTPTransport):
    """Carries requests over the network and keeps what was answered last."""

    content = b""

    def handle_request(self, request: httpx2.Request) -> httpx2.Response:
        response = super().handle_request(request)
        self.content = response.read()
        return response


@pytest.fixture(scope="module")
def url() -> Iterator[str]:
    store = open_store(IN_MEMORY)
    with running(store=store) as address:
        yield address
    store.close()


@pytest.fixture
def recorder() -> Recorder:
    return Recorder()


@pytest.fixture
def client(url: str, recorder: Recorder) -> Iterator[Client]:
    with Client(url, retries=0, transport=recorder) as client:
        yield client


@pytest.fixture
def demo() -> GapRequest:
    return msgspec.json.decode(DEMO, type=GapRequest)


def asked(method: typing.Callable[..., object], operation: Operation) -> dict[str, object]:
    """What the method asks for on the demo build; what the demo does not have is from the operation's examples."""
    record = typing.get_type_hints(method).get("request")
    if record is None:
        examples = ((parameter, example_of(operation, parameter)) for parameter in operation.parameters)
        return {parameter.field: example for parameter, example in examples if example is not None}
    if record is bytes:
        return {"request": example_body(operation)}
    members = msgspec.json.decode(DEMO)
    if any(field.required and field.name not in members for field in msgspec.structs.fields(record)):
        example = msgspec.json.decode(example_body(operation))
        members = example if "pricing" in example else example | members
    return {
        "request": msgspec.convert(
            {name: members[name] for name in record.__struct_fields__ if name in members}, record
        )
    }


@pytest.mark.parametrize("operation", READ_WHOLE, ids=lambda operation: operation.operation_id)
def test_nothing_is_lost_on_the_way(operation: Operation, client: Client, recorder: Recorder) -> None:
    """What the client holds says to the server's own records all that the server sent."""
    method = getattr(client, operation.operation_id)
    received = method(**asked(method, operation))
    again = {"items": received} if typing.get_origin(operation.response_type) is Items else received
    sent = msgspec.json.decode(recorder.content, type=operation.response_type)
    assert msgspec.json.decode(msgspec.json.encode(again), type=operation.response_type) == sent


def test_the_sheet_comes_in_its_four_formats(client: Client, demo: GapRequest) -> None:
    assert "<html" in client.create_conversation_sheet(demo)
    assert client.create_conversation_sheet(demo, "text/markdown").startswith("#")
    assert client.create_conversation_sheet(demo, "application/pdf").startswith(b"%PDF-")
    assert client.create_conversation_sheet(demo, DOCX).startswith(b"PK")
    assert "agreed value" in client.create_conversation_sheet(demo, for_policy="agreed value")
    assert client.create_report("inventory", demo, "text/markdown").startswith("#")
    assert client.create_report("all", demo, "application/pdf").startswith(b"%PDF-")
    assert "Change of class" in client.create_letter("change-class", demo)
    assert client.create_letter("correct-class", demo, DOCX, for_policy="agreed value").startswith(b"PK")


def test_the_reports_of_a_quote_come_in_their_formats(client: Client) -> None:
    (operation,) = (each for each in OPERATIONS if each.operation_id == "create_quote")
    request = msgspec.json.decode(example_body(operation), type=QuoteRequest)
    assert "<html" in client.create_quote_report("customer-quote", request)
    assert client.create_quote_report("workshop-quote", request, "text/markdown").startswith("#")
    assert client.create_quote_report("change-orders", request, "application/pdf").startswith(b"%PDF-")
    assert client.create_quote_report("handover", request, DOCX, paper="a4").startswith(b"PK")


def test_a_workbook_goes_out_and_comes_back_filled_in(client: Client) -> None:
    empty = client.get_workbook_template("de-DE", ODS)
    assert empty.startswith(b"PK")
    with pytest.raises(InvalidInput) as caught:
        client.fill_workbook(empty)
    assert [fault.cell for fault in caught.value.faults] == ["Aufbau!B2", "Aufbau!B3"]
    assert client.fill_workbook(empty, mark_faults=True).startswith(b"PK")
    assert len(client.fill_workbook(client.get_workbook_template(demo=True), as_of=date(2026, 11, 1))) > 50_000


def test_a_list_may_be_narrowed(client: Client) -> None:
    everywhere, there = client.list_definitions(), client.list_definitions("US-WA")
    assert 0 < len(there) < len(everywhere)


def test_every_fault_comes_with_its_place(client: Client, demo: GapRequest) -> None:
    components = [msgspec.structs.replace(part, unit_cost=-part.unit_cost) for part in demo.build.components[:2]]
    build = Build(name="", currency="dollars", components=tuple(components))
    with pytest.raises(InvalidInput) as caught:
        client.create_estimate(EstimateRequest(build=build))
    places = {place for fault in caught.value.faults for place in (fault.pointer, *fault.also_at)}
    assert caught.value.problem.fault_count == len(places)
    assert places >= {
        "/build/name",
        "/build/currency",
        "/build/components/0/unit_cost",
        "/build/components/1/unit_cost",
    }
    assert str(caught.value).count("\n") == len(caught.value.faults)


def test_a_problem_explains_itself(client: Client) -> None:
    with pytest.raises(NotFound) as caught:
        client.get_problem_type("no-such-kind")
    kind = client.get_problem_type(caught.value.type.rpartition("/")[2])
    assert (kind.type, kind.status, kind.title) == (caught.value.type, caught.value.status, caught.value.title)


def test_a_wrong_parameter_is_named(client: Client, demo: GapRequest) -> None:
    with pytest.raises(InvalidParameter, match="paper"):
        client.create_conversation_sheet(demo, paper="papyrus")  # type: ignore[call-overload]


def test_the_request_id_is_the_callers(client: Client) -> None:
    answers: list[Response] = []
    client.get_health(headers={"X-Request-Id": "quote-17"}, on_response=answers.append)
    assert [each.request_id for each in answers] == ["quote-17"]


def test_a_server_that_has_gone_is_told(demo: GapRequest) -> None:
    with running() as address:
        pass
    with Client(address, retries=0) as client, pytest.raises(TransportError, match="no answer from"):
        client.create_gap_statement(demo)


def test_the_examples_of_the_chapter_run(
    url: str, client: Client, demo: GapRequest, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("HITCHWORTH_URL", url)
    names: dict[str, typing.Any] = {}
    gap, errors, kept, quoted, shared, sheet, settlement, many, batch, local, raw, rows = (
        printed(example, names) for example in examples("python")
    )
    assert re.match(r"\d+\.\d\d \d+\.\d\d \['", gap)
    assert errors.splitlines()[:2] == examples("text")[0].splitlines()
    assert [kept, quoted] == examples("text")[1:3]
    assert "'estimate', 'reports/inventory'" in shared
    assert sheet == settlement == ""
    assert (many, batch, local) == ("50\n", "31 50\n", "1 ok\n")
    assert raw.splitlines() == ["200 en-US", raw.splitlines()[1]]
    assert raw.splitlines()[1].startswith("category,replacement_cost,depreciation")
    assert re.fullmatch(r"\w+ \w+ 1\n", rows)
    names["save_sheets"](client, demo, tmp_path)
    assert (tmp_path / "sheet.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF-")


def examples(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", CHAPTER.read_text(encoding="utf-8"), flags=re.DOTALL)


def printed(example: str, names: dict[str, object]) -> str:
    with contextlib.redirect_stdout(io.StringIO()) as output:
        exec(compile(example, str(CHAPTER), "exec"), names)
    return output.getvalue()


def table(header: str) -> list[list[str]]:
    """The rows of the table whose first column has this header, each cell without its code marks."""
    text = CHAPTER.read_text(encoding="utf-8") + METHODS.read_text(encoding="utf-8")
    rows = text.partition(f"| {header} |")[2].partition("\n\n")[0].splitlines()[2:]
    return [[cell.strip().replace("`", "") for cell in row.strip("|").split("|")] for row in rows]


def test_the_chapter_lists_every_method_with_its_endpoint() -> None:
    rows = (
        *table("Method"),
        *table("Method of a kept build"),
        *table("Method of a kept quote"),
        *table("Method of a workspace"),
        *table("Method of evidence"),
        *table("Method for attention and webhooks"),
    )
    listed = {method.partition("(")[0]: endpoint for method, endpoint, _ in rows}
    assert listed == {operation.operation_id: f"{operation.method} {operation.path}" for operation in OPERATIONS}
    assert {name for name in dir(Client) if not name.startswith("_")} == {
        *listed,
        *("add_evidence_folder", "close", "local", "raw"),
    }


def test_the_chapter_lists_the_formats_of_the_sheet() -> None:
    listed = {media_type.partition(" ")[0]: kind for _, media_type, kind in table("Format")}
    assert {media_type for media_type, kind in listed.items() if kind == "str"} == set(typing.get_args(TextReport))
    assert {media_type for media_type, kind in listed.items() if kind == "bytes"} == set(typing.get_args(FileReport))


def test_the_chapter_has_the_defaults_of_the_client() -> None:
    text = CHAPTER.read_text(encoding="utf-8")
    assert inspect.signature(Client).parameters["retries"].default == 2
    assert "**Retries**: 2." in text
    assert f"**Timeout**: {DEFAULT_TIMEOUT:g} seconds" in text
    assert f"up to {LONGEST_PAUSE:g} seconds" in text

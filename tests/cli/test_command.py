"""The command line: its arguments, its output in each format, its errors and exit codes."""

import csv
import io
import json
import re
import socket
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from types import SimpleNamespace

import msgspec
import pytest

from hitchworth.cli import main
from hitchworth.cli.computations import COMMANDS, Command
from hitchworth.cli.parser import build_parser
from hitchworth.cli.request_file import request_body
from hitchworth.demo import demo_body, demo_request
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.document_changes import DocumentComparison
from hitchworth.model.estimate import Estimate
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.settlement import Settlements
from hitchworth.model.value_curve import ValueCurve
from hitchworth.operations.appraisals import create_estimate_comparison
from hitchworth.operations.attention import create_attention
from hitchworth.operations.quotes import create_progress_bill, create_quote
from hitchworth.web import appraisals

PART = demo_request().build.components[0]
BUILD = msgspec.json.encode(demo_request().build)
EXAMPLES = {
    "attention": "attention",
    "bill": "progress-bill",
    "curve": "value-curve",
    "compare": "document-comparison",
    "documentation": "documented",
    "opinion": "sales-comparison",
    "protect": "protection-check",
    "quote": "quote",
}
HEADINGS = {
    "attention": "amount",
    "bill": "total",
    "check": "question",
    "classify": "definition",
    "opinion": "total",
    "protect": "measure",
    "quote": "total",
}


@pytest.fixture
def request_file(tmp_path: Path) -> str:
    file = tmp_path / "request.json"
    file.write_bytes(demo_body())
    return str(file)


def request_body_of(command: Command) -> bytes:
    """The example of the API for the request of a command; for what the demo has, the demo."""
    if command.name in ("check", "estimate", "classify", "settle", "gap"):
        return request_body(demo_body(), command.request_type, {}).content
    return (files("hitchworth.web") / "examples" / f"{EXAMPLES[command.name]}.json").read_bytes()


@pytest.fixture(params=COMMANDS, ids=lambda command: command.name)
def command(request: pytest.FixtureRequest) -> Command:
    found: Command = request.param
    return found


@pytest.fixture
def command_files(command: Command, tmp_path: Path) -> list[str]:
    """The files of a command: one with its request, or the two documents that it compares."""
    bodies = {"body": request_body_of(command)}
    if command.compares:
        both = json.loads(bodies["body"])
        bodies = {name: json.dumps(both[name]).encode() for name in ("before", "after")}
    for name, body in bodies.items():
        (tmp_path / f"{name}.json").write_bytes(body)
    return [str(tmp_path / f"{name}.json") for name in bodies]


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
def test_json_is_the_result_of_the_operation(
    command: Command, command_files: list[str], locale: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command.name, *command_files, "--format", "json", "--locale", locale]) == 0
    request = msgspec.json.decode(request_body_of(command), type=command.request_type)
    result = command.part(command.operation(msgspec.structs.replace(request, locale=locale)))
    assert msgspec.json.decode(capsys.readouterr().out) == msgspec.json.decode(msgspec.json.encode(result))


def test_csv_has_a_line_of_names_and_a_line_for_each_row(
    command: Command, command_files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command.name, *command_files, "--format", "csv"]) == 0
    names, *lines = csv.reader(io.StringIO(capsys.readouterr().out))
    request = msgspec.json.decode(request_body_of(command), type=command.request_type)
    rows = command.tables[0].rows(command.part(command.operation(request)))
    first = [str(getattr(row, row.__struct_fields__[0])) for row in rows]
    assert len(lines) == len(rows) > 0
    assert [line[0] for line in lines] == first
    assert {len(line) for line in lines} == {len(names)}


@pytest.mark.parametrize("locale", ["en-US", "de-DE", "fr-CA"])
def test_tables_fit_into_80_columns_and_are_in_the_locale(
    command: Command, command_files: list[str], locale: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command.name, *command_files, "--locale", locale]) == 0
    printed = capsys.readouterr().out
    assert max(map(len, printed.splitlines())) <= 80
    heading = localizer_for(locale).format(texts().sheet[HEADINGS.get(command.name, "replacement_cost")])
    assert heading.split()[0] in printed


def test_every_computation_of_the_api_has_a_command() -> None:
    # The comparison of two documents has that of their estimates in it.
    functions = {*(command.operation for command in COMMANDS), create_estimate_comparison}
    assert functions == {operation.function for operation in appraisals.OPERATIONS} | {
        create_attention,
        create_progress_bill,
        create_quote,
    }


def test_a_sales_comparison_is_printed_with_its_texts_and_notes(capsys: pytest.CaptureFixture[str]) -> None:
    file = str(files("hitchworth.web") / "examples" / "sales-comparison.json")
    assert main(["opinion", file, "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=SalesComparison)
    assert main(["opinion", file]) == 0
    shown = capsys.readouterr().out
    texts = {found.statement, found.caution, *(note.text for note in found.notes)}
    assert in_one_line(shown, texts) == texts
    assert all(f"{sale.indicated_value:,}" in shown for sale in found.sales_comparison.comparables)


def test_a_bill_is_printed_from_the_work_to_what_is_to_be_paid(capsys: pytest.CaptureFixture[str]) -> None:
    file = str(files("hitchworth.web") / "examples" / "progress-bill.json")
    assert main(["bill", file]) == 0
    shown = [" ".join(line.split()) for line in capsys.readouterr().out.splitlines()]
    rows = shown[shown.index("This bill") :]
    assert [row for row in rows if "$" in row] == [
        "Completed and stored $7,400.95",
        "Retainage -$370.05",
        "Less earlier bills -$4,661.82",
        "Due, before tax $2,369.08",
        "Tax of this bill $149.62",
        "Less the deposit $0.00",
        "To pay now $2,518.70",
    ]
    assert "Total $12,579.16 $4,907.18 $2,289.39 $204.38 $5,178.21" in shown
    assert main(["bill", file, "--format", "csv"]) == 0
    lines = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert [(line["id"], line["completed"], line["tax"]) for line in lines][:2] == [
        ("trailer", "3107.18", "186.43"),
        ("plywood", "1304.38", "78.26"),
    ]
    assert main(["bill", str(files("hitchworth.web") / "examples" / "quote.json")]) == 1
    assert capsys.readouterr().err.startswith("/progress: ")


def test_a_curve_is_printed_with_its_crossings_and_notes(capsys: pytest.CaptureFixture[str]) -> None:
    file = str(files("hitchworth.web") / "examples" / "value-curve.json")
    assert main(["curve", file, "--format", "json"]) == 0
    curve = msgspec.json.decode(capsys.readouterr().out, type=ValueCurve)
    assert main(["curve", file]) == 0
    texts = {curve.statement, *(each.label for each in curve.crossings), *(note.text for note in curve.notes)}
    assert curve.crossings
    assert in_one_line(capsys.readouterr().out, texts) == texts


def test_a_request_with_dates_of_its_own_takes_no_as_of(request_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["curve", request_file, "--as-of", "2026-11-01"])
    assert ended.value.code == 2
    capsys.readouterr()
    assert main(["curve", request_file]) == 1
    assert capsys.readouterr().err.startswith("/dates:")


def test_the_date_of_the_command_line_overrides_that_of_the_request(
    request_file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["estimate", request_file, "--as-of", "2025-12-31", "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=Estimate)
    assert str(found.as_of) == "2025-12-31"


def test_a_build_alone_on_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", SimpleNamespace(buffer=io.BytesIO(BUILD)))
    assert main(["estimate", "-", "--as-of", "2026-11-01", "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=Estimate)
    assert found.currency == "USD"


def test_a_build_without_components_is_classified(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "build.json"
    file.write_text('{"name": "Camper", "currency": "USD", "jurisdiction": "US-NY", "facts": {"sleeping_berths": 2}}')
    assert main(["classify", str(file), "--locale", "de-DE", "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["jurisdiction"] == "US-NY"


@pytest.mark.parametrize(("day", "chosen"), [("2999-01-01", []), ("2020-01-01", ["--as-of", "2999-01-01"])])
def test_a_class_is_not_judged_by_future_law(
    day: str, chosen: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "request.json"
    file.write_text(json.dumps({"jurisdiction": "US-WA", "as_of": day}))
    assert main(["classify", str(file), *chosen]) == 1
    assert capsys.readouterr().err.startswith("/as_of: Date is in the future")


def test_csv_contains_no_formula(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    build = msgspec.structs.replace(
        demo_request().build, components=(msgspec.structs.replace(PART, description="=1+1"),), labor=()
    )
    file = tmp_path / "build.json"
    file.write_bytes(msgspec.json.encode(build))
    assert main(["estimate", str(file), "--as-of", "2026-11-01", "--format", "csv"]) == 0
    (row,) = csv.DictReader(io.StringIO(capsys.readouterr().out))
    assert row["description"] == "'=1+1"


def test_tables_are_in_the_locale(request_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["gap", request_file, "--locale", "de-DE"]) == 0
    assert "Neuwert" in capsys.readouterr().out


def test_every_fault_of_the_input_is_listed_with_its_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    body = json.loads(demo_body())
    body["build"]["currency"] = "dollars"
    body["build"]["components"][1]["quantity"] = -1
    file = tmp_path / "faulty.json"
    file.write_text(json.dumps(body), "utf-8")
    assert main(["estimate", str(file)]) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    assert [line.partition(":")[0] for line in printed.err.splitlines()] == [
        "/build/currency",
        "/build/components/1/quantity",
        "2 faults",
    ]


def test_the_same_fault_of_many_rows_is_one_line_with_its_rows(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    body = json.loads(demo_body())
    for index in (1, 2, 3, 7):
        body["build"]["components"][index]["acquired_on"] = "03/15/2025"
    file = tmp_path / "faulty.json"
    file.write_text(json.dumps(body), "utf-8")
    assert main(["estimate", str(file)]) == 1
    assert capsys.readouterr().err.splitlines() == [
        "/build/components/1/acquired_on: Not a valid date (expected a date: YYYY-MM-DD; found "
        '"03/15/2025"); the same in 3 more rows: 2-3, 7',
        "4 faults",
    ]


@pytest.mark.parametrize("text", ["", "{", "[]", "null", "\x00", '{"build": 1}', '{"bild": {}}'])
def test_a_file_that_is_no_request_is_invalid_input(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "no-request.json"
    file.write_text(text, "utf-8")
    assert main(["gap", str(file)]) == 1
    assert capsys.readouterr().err


def test_a_byte_order_mark_is_ignored(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "build.json"
    file.write_bytes(b"\xef\xbb\xbf" + BUILD)
    assert main(["estimate", str(file), "--as-of", "2026-11-01"]) == 0
    assert capsys.readouterr().out


@pytest.mark.parametrize(
    ("tag", "warning"),
    [("it-IT", "hitchworth: no texts are available in it-IT; using en-US\n"), ("de-AT", ""), ("en-US", "")],
)
def test_a_language_without_texts_gives_a_warning(
    tag: str, warning: str, request_file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["estimate", request_file, "--locale", tag]) == 0
    assert capsys.readouterr().err == warning


def test_settle_prints_what_was_assumed(request_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["settle", request_file, "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=Settlements).settlements
    notes = {note.text for row in found for note in (*row.assumed, *row.notes)}
    assert notes
    assert main(["settle", request_file]) == 0
    assert notes <= in_one_line(capsys.readouterr().out, notes)


def test_estimate_prints_every_note(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    odd = msgspec.structs.replace(PART, category="of_no_such_name")
    file = tmp_path / "build.json"
    file.write_bytes(msgspec.json.encode(msgspec.structs.replace(demo_request().build, components=(odd,), labor=())))
    chosen = ["estimate", str(file), "--as-of", "2026-11-01"]
    assert main([*chosen, "--format", "json"]) == 0
    notes = msgspec.json.decode(capsys.readouterr().out, type=Estimate).notes
    assert any(note.about for note in notes)
    assert main(chosen) == 0
    texts = {note.text for note in notes}
    assert texts <= in_one_line(capsys.readouterr().out, texts)


def in_one_line(shown: str, texts: set[str]) -> set[str]:
    """Those of the texts that are in the output, however their lines are broken."""
    return {text for text in texts if " ".join(text.split()) in " ".join(shown.split())}


def test_a_missing_file_is_a_usage_error(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", str(tmp_path / "nowhere.json")]) == 2
    assert "nowhere.json: No such file" in capsys.readouterr().err


def test_a_port_in_use_is_a_usage_error(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        assert main(["serve", "--port", str(taken.getsockname()[1])]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "in use" in line
    assert "[Errno" not in line


def test_a_host_that_does_not_resolve_is_a_usage_error(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")

    monkeypatch.setattr(socket, "create_server", fail)
    assert main(["serve", "--host", "camper.invalid", "--port", "8000"]) == 2
    assert capsys.readouterr().err == (
        "hitchworth: cannot serve on port 8000 of camper.invalid: Name or service not known\n"
    )


@pytest.mark.parametrize("port", ["0", "65535"])
def test_a_port_is_from_0_to_65535(port: str) -> None:
    assert build_parser().parse_args(["serve", "--port", port]).port == int(port)


@pytest.mark.parametrize("command", [*(command.name for command in COMMANDS), "sheet", "report", "letter"])
def test_every_command_takes_a_document(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main([command, "--help"])
    assert re.search("document: JSON", " ".join(capsys.readouterr().out.split()))


def test_one_file_goes_to_every_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sale = json.loads((files("hitchworth.web") / "examples" / "sales-comparison.json").read_bytes())
    sales = {name: sale[name] for name in ("subject", "comparables", "adjustments")}
    file = tmp_path / "camper.json"
    file.write_text(json.dumps({**json.loads(demo_body()), "format": 1, "sales_comparison": sales}))
    more = {"curve": ["--on", "2026-01-01", "--on", "2027-01-01"], "compare": [str(file)]}
    for command in COMMANDS:
        if command.name in ("quote", "bill"):
            continue  # they need the pricing of a workshop besides
        assert main([command.name, str(file), *more.get(command.name, []), "--format", "json"]) == 0, command.name
        assert json.loads(capsys.readouterr().out)


def test_a_curve_takes_its_dates_and_limit_from_the_command_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "build.json"
    file.write_bytes(BUILD)
    dates = ["--on", "2027-01-01", "--on", "2028-01-01"]
    assert main(["curve", str(file), *dates, "--limit", "9000", "--format", "json"]) == 0
    curve = msgspec.json.decode(capsys.readouterr().out, type=ValueCurve)
    assert ([point.as_of.year for point in curve.points], curve.limit) == ([2027, 2028], Decimal(9000))
    assert main(["curve", str(file), *dates[2:], *dates[:2]]) == 1
    assert capsys.readouterr().err.startswith("/dates/1:")


def test_the_faults_of_a_build_alone_point_into_its_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "build.json"
    parts = [{**msgspec.to_builtins(PART), "id": name, "quantity": "some"} for name in "ab"]
    file.write_text(json.dumps({"name": "Camper", "currency": "USD", "components": parts}))
    for command in ("estimate", "gap", "classify"):
        assert main([command, str(file), "--as-of", "2026-01-01"]) == 1
        first, _ = capsys.readouterr().err.splitlines()
        assert first.startswith("/components/0/quantity:")
        assert first.endswith("the same in 1 more row: 1")


def test_a_document_of_a_newer_release_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "newer.json"
    file.write_text(json.dumps({"format": 99, "build": {}}))
    assert main(["gap", str(file)]) == 1
    assert capsys.readouterr().err.startswith("/format: The document was written by a newer release")


def test_two_documents_are_compared_on_a_date(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before, after = tmp_path / "last.json", tmp_path / "this.json"
    before.write_bytes(demo_body())
    after.write_bytes(msgspec.json.encode(msgspec.structs.replace(demo_request(), losses=(), locale="de-DE")))
    assert main(["compare", str(before), str(after), "--as-of", "2026-02-03", "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=DocumentComparison)
    assert {found.before.as_of.isoformat(), found.after.as_of.isoformat()} == {"2026-02-03"}
    assert {change.kind for change in found.changes} == {"loss", "document"}
    assert found.locale == "de-DE"
    assert main(["compare", str(before), str(before), "--locale", "en-US"]) == 0
    assert "Nothing was changed." in capsys.readouterr().out


def test_the_faults_of_both_documents_are_told_with_their_files(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bare, broken, faulty = (tmp_path / name for name in ("bare.json", "broken.json", "faulty.json"))
    bare.write_text('{"name": "Camper", "currency": "dollars"}')
    broken.write_text("{")
    faulty.write_text('{"build": {"name": "Camper", "currency": "USD"}, "policies": 5}')
    assert main(["compare", str(bare), str(faulty)]) == 1
    assert [line.partition(":")[0] for line in capsys.readouterr().err.splitlines()] == [
        str(bare),
        "1 fault",
        str(faulty),
        "1 fault",
    ]
    assert main(["compare", str(broken), str(bare)]) == 1
    first, second, _ = capsys.readouterr().err.splitlines()
    assert first == f"{broken}: The file is not JSON: it ends too early."
    assert second.startswith(f"{bare}: /currency: ")
    assert main(["compare", "-", "-"]) == 2
    assert main(["compare", str(tmp_path / "nowhere.json"), str(bare)]) == 2


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["appraise"],
        ["estimate"],
        ["estimate", "x", "--as-of", "soon"],
        ["serve", "--port", "http"],
        ["serve", "--port", "65536"],
        ["gap", "x", "--locale", "klingon"],
    ],
)
def test_a_usage_error_ends_with_2(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2


def test_a_sheet_is_written_in_the_format_of_its_name(
    request_file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    starts = {"sheet.html": b"<!DOCTYPE html>", "sheet.pdf": b"%PDF-", "sheet.md": b"# ", "sheet.docx": b"PK"}
    for name, start in starts.items():
        assert main(["sheet", request_file, "-o", str(tmp_path / name)]) == 0
        assert (tmp_path / name).read_bytes()[: len(start)].lower() == start.lower()
    assert main(["sheet", request_file, "-o", str(tmp_path / "sheet.txt")]) == 2
    assert capsys.readouterr().err.endswith("sheet.txt must end in one of .html, .pdf, .md, .docx\n")


def quote_file(tmp_path: Path, **pricing: object) -> str:
    body = json.loads((files("hitchworth.web") / "examples" / "quote.json").read_bytes())
    body["pricing"] |= pricing
    file = tmp_path / "quote.json"
    file.write_text(json.dumps(body))
    return str(file)


def test_a_quote_is_printed_with_options_payments_and_what_is_to_be_settled(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["quote", quote_file(tmp_path, valid_until=None)]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    for text in ("Heater: none", "in the total", "Handover", "installation labor", "has no last day"):
        assert text in printed
    assert main(["quote", quote_file(tmp_path, option_groups=[], payments=[], tax={"rate": 0})]) == 0
    assert "Heater" not in capsys.readouterr().out.replace("Diesel heater", "").replace("the heater", "")


def test_a_report_of_a_quote_is_written_in_the_format_of_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request, out = quote_file(tmp_path), tmp_path / "quote.md"
    assert main(["report", "workshop-quote", request, "-o", str(out), "--locale", "de-DE"]) == 0
    assert "Angebot, für die Werkstatt" in out.read_text("utf-8")
    assert main(["report", "handover", request, "-o", str(out), "--as-of", "2026-06-20", "--force"]) == 0
    assert "June 20, 2026" in out.read_text("utf-8")
    assert main(["report", "customer-quote", request, "-o", str(out), "--for-policy", "x"]) == 2
    assert "--for-policy is not for the report customer-quote" in capsys.readouterr().err
    assert main(["report", "customer-quote", request, "-o", str(tmp_path / "quote.txt")]) == 2
    assert capsys.readouterr().err.endswith("quote.txt must end in one of .html, .pdf, .md, .docx\n")
    too_much = quote_file(tmp_path, discount={"reason": "x", "amount": 99999})
    assert main(["report", "customer-quote", too_much, "-o", str(out), "--force"]) == 1
    assert "/pricing/discount/amount: The discount is more than the price" in capsys.readouterr().err
    assert main(["quote", too_much]) == 1
    assert "/pricing/discount/amount" in capsys.readouterr().err


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out.startswith("hitchworth ")

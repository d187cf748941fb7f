"""What a spreadsheet's macro gets over HTTP: rows as tab-separated text, and every problem in the same form."""

from collections.abc import Iterator

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.operations.macros import get_macro
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.validation import InvalidInputError
from hitchworth.web.app import create_app
from web_server import client

Api = TestClient[Litestar]
IN_BODY = "/v1/sheet-values?format=tsv&faults=in-body&mark_faults=true"
ROWS = b"R\t'Date\t'Item\t'Unit price\nR\t2026-02-14\t'Stove\t268\nR\t2026-02-14\t'Vent\t90\n"


@pytest.fixture(scope="module")
def api() -> Iterator[Api]:
    with client() as served:
        yield served


def test_rows_come_back_as_rows_whatever_the_type_of_the_body(api: Api) -> None:
    for content_type in ("text/tab-separated-values", "text/plain; charset=utf-8", "application/x-www-form-urlencoded"):
        answer = api.post(IN_BODY, content=ROWS, headers={"content-type": content_type})
        lines = answer.text.splitlines()
        assert answer.headers["content-type"] == "text/tab-separated-values; charset=utf-8"
        assert lines[0].split("\t")[:3] == ["sheet", "row", "kind"]
        assert [line.split("\t")[1] for line in lines[1:]] == ["1", "2", "3", "5"]


def test_without_the_option_wrong_cells_are_a_problem_that_names_them(api: Api) -> None:
    answer = api.post("/v1/sheet-values", content=ROWS.replace(b"90", b"#N/A"))
    assert (answer.status_code, answer.json()["errors"][0]["cell"]) == (422, "R!C3")


def test_rows_that_cannot_be_read_are_told_in_a_row_of_a_problem(api: Api) -> None:
    answer = api.post(IN_BODY, content=b"\xff\xfe")
    assert (answer.status_code, answer.text.splitlines()[0].split("\t")[0]) == (200, "problem")
    assert "not text in UTF-8" in answer.text


def test_a_missing_key_is_told_in_the_format_that_was_asked_for() -> None:
    """It is refused before the format is looked at, which once made it JSON."""
    store = open_store(IN_MEMORY)
    with TestClient(create_app(store, Settings(require_keys=True))) as api:
        answer = api.post(IN_BODY, content=ROWS)
    store.close()
    assert answer.status_code == 200
    assert answer.text.splitlines()[1].startswith("key-required\t")


def test_a_macro_is_plain_text_for_its_server(api: Api) -> None:
    answer = api.get("/v1/macros/libreoffice?server_url=https://values.example&locale=de")
    assert answer.headers["content-type"] == "text/plain; charset=utf-8"
    assert answer.headers["content-language"] == "de-DE"
    assert 'Const SERVER = "https://values.example"\n' in answer.text
    for query in ('server_url=http://x"', "server_url=x"):
        assert api.get(f"/v1/macros/libreoffice?{query}").status_code == 400
    assert api.get("/v1/macros/abacus").status_code in (400, 404)


def test_a_macro_asks_the_server_that_it_was_fetched_from(api: Api) -> None:
    """By its name and port, and below the path that the application knows it is served at."""
    local = api.get("/v1/macros/libreoffice", headers={"host": "127.0.0.1:8716"})
    assert 'Const SERVER = "http://127.0.0.1:8716"\n' in local.text
    six = api.get("/v1/macros/libreoffice", headers={"host": "[::1]:8716"})
    assert 'Const SERVER = "http://[::1]:8716"\n' in six.text
    with TestClient(create_app(None), base_url="https://values.example", root_path="/trailers") as prefixed:
        answer = prefixed.get("/v1/macros/excel", headers={"host": "127.0.0.1:1"})
    assert 'SERVER As String = "https://127.0.0.1:1/trailers"' in answer.text


def test_an_address_that_cannot_stand_in_code_is_refused() -> None:
    with pytest.raises(InvalidInputError) as error:
        get_macro("excel", address='http://x"&Shell("calc")&"')
    assert error.value.faults[0].pointer == "/server_url"


def test_a_macro_and_its_rows_take_a_currency(api: Api) -> None:
    macro = api.get("/v1/macros/libreoffice?currency=GBP")
    assert "&locale=en-US&currency=GBP" in macro.text
    assert api.get("/v1/macros/libreoffice?currency=ABX").status_code == 400
    answer = api.post("/v1/sheet-values?currency=GBP&format=json", content=ROWS)
    assert answer.json()["currency"] == "GBP"


def test_tax_beside_the_quantity_times_the_price_comes_on_top_for_a_macro_too(api: Api) -> None:
    """6 x 58.97 = 353.82, and 30.07 on top: 383.89."""
    rows = "R\t'Date\t'Item\t'Qty\t'Each\t'Amount\t'Tax\nR\t2025-03-20\t'plywood\t6\t58.97\t353.82\t30.07\n"
    answer = api.post("/v1/sheet-values?currency=USD&format=json&as_of=2025-03-20", content=rows.encode())
    assert "383.89" in {row["replacement_cost"] for row in answer.json()["rows"]}

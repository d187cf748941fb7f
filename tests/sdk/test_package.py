"""The package from outside: what it exports, what it draws in, what its metadata say."""

import re
import subprocess
import sys
from importlib.metadata import requires, version
from importlib.resources import files

import pytest

import hitchworth_sdk
from hitchworth_sdk import _types, client, errors

SERVER_SIDE = {"hitchworth", "litestar", "babel", "jinja2", "uvicorn", "typst", "yaml"}


def test_every_public_name_is_exported() -> None:
    exceptions = {name for name, thing in vars(errors).items() if isinstance(thing, type) and is_own(thing, errors)}
    options = {
        *("CallOptions", "CellOptions", "KeptReportOptions", "PaperOptions", "PercentGoodOptions", "ReportOptions"),
        *("SharedReportOptions", "Number", "ReportFormat", "WorkbookFormat", "Seen", "FolderResult", "FolderStep"),
        *("KeptQuoteReportOptions", "SeenQuote"),
    }
    own = options | {
        "AsyncClient",
        "BatchAnswer",
        "Client",
        "Response",
        "document_of",
        "quote_document_of",
        "to_rows",
        "verify_webhook",
        "__version__",
    }
    assert set(hitchworth_sdk.__all__) == {*_types.__all__, *exceptions, *own}
    assert all(hasattr(hitchworth_sdk, name) for name in hitchworth_sdk.__all__)
    assert client.Client is hitchworth_sdk.Client


def is_own(thing: type, module: object) -> bool:
    return thing.__module__ == getattr(module, "__name__", None)


def test_importing_draws_in_no_server() -> None:
    code = "import hitchworth_sdk, sys; print(*sys.modules)"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert "hitchworth_sdk.client" in told
    assert not SERVER_SIDE & {name.partition(".")[0] for name in told}
    assert "asyncio" not in told  # the asynchronous client is imported when it is asked for
    assert len(told) <= 270  # of them are 31 those of Python itself, 24 of this package


def test_a_name_that_is_not_there_is_told() -> None:
    assert hitchworth_sdk.AsyncClient.__name__ == "AsyncClient"
    with pytest.raises(AttributeError, match="no attribute 'AsyncClint'"):
        _ = hitchworth_sdk.AsyncClint


def test_it_needs_two_packages() -> None:
    needed = {re.split("[<>=]", line)[0] for line in requires("hitchworth-sdk") or []}
    assert needed == {"httpx2", "msgspec"}


def test_the_version_is_that_of_the_metadata() -> None:
    assert hitchworth_sdk.__version__ == version("hitchworth-sdk")


def test_it_says_that_it_is_typed() -> None:
    assert files("hitchworth_sdk").joinpath("py.typed").is_file()

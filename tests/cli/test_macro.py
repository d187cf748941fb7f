"""`hitchworth macro`: the macro of each program, into a file or on the terminal."""

from pathlib import Path

import pytest

from hitchworth.cli import main
from hitchworth.operations.macros import get_macro


def test_a_macro_is_written_into_a_file_and_not_over_another_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "hitchworth.bas"
    asked = ["macro", "libreoffice", "--locale", "de-DE", "--server", "https://values.example/", "-o", str(file)]
    assert main(asked) == 0
    assert file.read_text("utf-8") == get_macro("libreoffice", "https://values.example", "de-DE").text
    assert main(asked) == 2
    assert "exists already" in capsys.readouterr().err
    assert main([*asked, "--force"]) == 0


def test_a_macro_without_a_file_goes_to_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["macro", "excel"]) == 0
    assert capsys.readouterr().out == get_macro("excel").text


def test_a_macro_asks_with_a_currency(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["macro", "excel", "--currency", "gbp"]) == 0
    assert "&currency=GBP" in capsys.readouterr().out
    assert main(["macro", "excel", "--currency", "pounds"]) == 2
    assert "--currency pounds: not an ISO 4217 code" in capsys.readouterr().err


@pytest.mark.parametrize(
    "address", ["values.example", "ftp://values.example", 'http://x"&Shell("calc")&"', "http://a b"]
)
def test_an_address_that_is_none_is_refused(address: str, capsys: pytest.CaptureFixture[str]) -> None:
    """It goes into code."""
    assert main(["macro", "excel", "--server", address]) == 2
    assert "not an address such as http://127.0.0.1:8000" in capsys.readouterr().err

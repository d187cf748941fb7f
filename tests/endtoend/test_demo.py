"""The demo as a stranger runs it: the installed command, in a process of its own."""

import os
import re
import subprocess
import sys
from decimal import ROUND_CEILING
from pathlib import Path

import httpx2
import pytest
from pypdf import PdfReader

from hitchworth import appraisal
from hitchworth.demo import demo_request
from hitchworth.localization.localizer import localizer_for

REQUEST = demo_request()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo") / "new" / "folder"


@pytest.fixture(scope="module")
def shown(folder: Path) -> str:
    command = [str(Path(sys.executable).with_name("hitchworth")), "demo", "--output", str(folder)]
    run = subprocess.run(
        command, env={**os.environ, "COLUMNS": "90"}, capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert run.returncode == 0, run.stderr
    return run.stdout


def test_it_prints_the_figures_of_the_core(shown: str) -> None:
    assert REQUEST.as_of is not None
    found, localizer = appraisal.gap_statement(REQUEST, REQUEST.as_of), localizer_for("en-US", "USD")
    totals = found.estimate.totals
    amounts = [totals.replacement_cost, totals.depreciation, totals.actual_cash_value]
    amounts += [row.payable for row in found.settlements] + [row.gap for row in found.settlements]
    assert [amount for amount in amounts if localizer.money(amount) not in shown] == []
    # What is at stake is printed in whole dollars, rounded up: it is the most. Questions with one answer are one.
    stakes = {question.money_at_stake.high.to_integral_value(ROUND_CEILING) for question in found.questions[:5]}
    assert [stake for stake in stakes if f"up to ${stake:,}" not in shown] == []


def test_it_prints_every_policy_loss_and_question(shown: str) -> None:
    names = [policy.name for policy in REQUEST.policies] + [loss.name for loss in REQUEST.losses]
    assert [name for name in names if name not in shown] == []
    assert len(re.findall(r"^\d +\S", shown, re.MULTILINE)) == 5


def test_it_prints_what_the_readme_shows(shown: str) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    excerpt = readme.partition("```text\n")[2].partition("```")[0]
    assert excerpt in re.sub(r" +$", "", shown, flags=re.MULTILINE)


def test_it_writes_the_sheet_as_page_and_document(shown: str, folder: Path) -> None:
    page, document = folder / "conversation-sheet.html", folder / "conversation-sheet.pdf"
    assert str(page) in shown
    assert str(document) in shown
    html = page.read_text("utf-8")
    assert REQUEST.build.name in html
    assert re.findall(r"""(?:src|href)=["']?https?:""", html) == []
    assert REQUEST.build.name in PdfReader(document).pages[0].extract_text()


def test_it_stops_serving(shown: str) -> None:
    address = re.search(r"http://127\.0\.0\.1:\d+", shown)
    assert address is not None
    with pytest.raises(httpx2.ConnectError):
        httpx2.get(address.group())

"""The wheels, installed into an environment that knows nothing of the source: without extras, then with the demo's."""

import json
import os
import shutil
import subprocess
import sys
import tarfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[2]
DOCUMENT = ROOT / "api" / "hitchworth" / "demo" / "gap_request.json"
ENVIRONMENT = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHONPATH", "HITCHWORTH_"))}
EXTRA = ("typst", "python-docx", "lxml")


class Installation:
    """An environment of its own, in which commands run away from the source."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.programs = folder / "environment" / "bin"

    def run(self, program: str, *arguments: str, code: int = 0) -> str:
        done = subprocess.run(
            [self.programs / program, *arguments],
            cwd=self.folder,
            env=ENVIRONMENT,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == code, done.stdout[-2000:] + done.stderr[-2000:]
        return done.stdout + done.stderr

    def packages(self) -> set[tuple[str, str]]:
        listed = json.loads(self.run("pip", "list", "--format=json", "--disable-pip-version-check").partition("\n")[0])
        return {(package["name"].lower().replace("_", "-"), package["version"]) for package in listed}

    def install(self, *requirements: str) -> None:
        pins = str(ROOT / "requirements.lock")
        self.run("pip", "install", "-q", "--no-compile", "-c", pins, "--find-links", str(self.folder), *requirements)


@pytest.fixture
def installation(tmp_path: Path) -> Iterator[Installation]:
    """The server alone, from its wheel. Without an index of packages it is skipped; with CI=true it fails."""
    folder = tmp_path
    build(ROOT / "api", folder)
    build(ROOT / "sdk", folder)
    subprocess.run([sys.executable, "-m", "venv", folder / "environment"], check=True)
    installed = Installation(folder)
    try:
        installed.run("pip", "download", "-q", "--no-deps", "-d", str(folder / "probe"), "msgspec==0.22.0")
    except AssertionError:
        if os.environ.get("CI") == "true":
            raise
        pytest.skip("no index of packages can be reached")
    installed.install("hitchworth")
    yield installed
    shutil.rmtree(folder)


def build(project: Path, folder: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-d", folder], cwd=project, check=True, capture_output=True
    )


def test_the_wheels_are_complete_without_extras_and_with_those_of_the_demo(installation: Installation) -> None:
    """One test, since two would each have to install everything."""
    check_that_without_extras_everything_works_but_pdf_and_word(installation)
    check_that_the_server_has_its_pages_and_says_what_it_lacks(installation)
    installation.install("hitchworth[demo]")
    check_that_the_demo_runs_and_every_package_is_in_the_bill_of_materials(installation)


def check_that_without_extras_everything_works_but_pdf_and_word(installation: Installation) -> None:
    names = {name for name, _ in installation.packages()}
    assert "hitchworth" in names
    assert names.isdisjoint({*EXTRA, "hitchworth-sdk"})
    document = str(DOCUMENT)
    assert installation.run("hitchworth", "--version") == "hitchworth 0.1.0\n"
    installation.run("hitchworth", "sheet", document, "--locale", "de-DE", "-o", "sheet.html")
    assert "<html" in (installation.folder / "sheet.html").read_text("utf-8")
    installation.run("hitchworth", "workbook", document, "-o", "camper.xlsx")
    installation.run("hitchworth", "builds", "add", document, "--database", "builds.db")
    for file in ("sheet.pdf", "sheet.docx"):
        assert "install hitchworth[reports]" in installation.run("hitchworth", "sheet", document, "-o", file, code=2)
        assert not (installation.folder / file).exists()


_SERVED = """
import json, sys
from urllib.error import HTTPError
from urllib.request import Request, urlopen
from hitchworth.demo import demo_body
from hitchworth.web.server import running

def answer(path, body=None, **headers):
    try:
        with urlopen(Request(address + path, body, headers)) as response:
            return response.status, response.headers["Content-Type"].partition(";")[0]
    except HTTPError as error:
        return error.code, json.load(error)["type"]

with running() as address:
    print(json.dumps([
        answer("/", Accept="text/html"), answer("/docs"), answer("/openapi.json"), answer("/ready"),
        answer("/v1/conversation-sheets", demo_body(), Accept="text/html"),
        answer("/v1/conversation-sheets", demo_body(), Accept="application/pdf"),
    ]))
"""


def check_that_the_server_has_its_pages_and_says_what_it_lacks(installation: Installation) -> None:
    answers = json.loads(installation.run("python", "-c", _SERVED).partition("\n")[0])
    assert answers == [
        [200, "text/html"],
        [200, "text/html"],
        [200, "application/json"],
        [200, "application/json"],
        [200, "text/html"],
        [501, "/problems/no-typesetter"],
    ]


def check_that_the_demo_runs_and_every_package_is_in_the_bill_of_materials(installation: Installation) -> None:
    installation.run("pip", "check")
    assert {*EXTRA, "hitchworth-sdk"} <= {name for name, _ in installation.packages()}
    assert "What each policy would pay" in installation.run("hitchworth", "demo", "--output", "papers")
    papers = sorted((installation.folder / "papers").glob("*.pdf"))
    assert len(papers) > 3
    assert all(paper.read_bytes().startswith(b"%PDF-") for paper in papers)
    lister = Path(sys.executable).with_name("cyclonedx-py")
    command: Sequence[str | Path] = (lister, "environment", installation.programs / "python")
    printed = subprocess.run(command, env=ENVIRONMENT, capture_output=True, text=True, check=True).stdout
    bill = json.loads(printed)
    assert bill["bomFormat"] == "CycloneDX"
    listed = {(each["name"].lower().replace("_", "-"), each["version"]) for each in bill["components"]}
    assert installation.packages() <= listed


@pytest.mark.parametrize("project", ["api", "sdk"])
def test_the_source_distribution_makes_the_same_wheel(project: str, tmp_path: Path) -> None:
    build(ROOT / project, tmp_path)
    (source,) = tmp_path.glob("*.tar.gz")
    with tarfile.open(source) as archive:
        archive.extractall(tmp_path, filter="data")
    build(tmp_path / source.name.removesuffix(".tar.gz"), tmp_path / "again")
    (first,), (second,) = tmp_path.glob("*.whl"), (tmp_path / "again").glob("*.whl")
    assert sorted(ZipFile(first).namelist()) == sorted(ZipFile(second).namelist())

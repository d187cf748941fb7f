"""Every code block of the guide runs: a chapter's from its first to its last, in one folder with the files it names."""

import contextlib
import io
import json
import re
import shlex
import subprocess
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

import httpx2
import msgspec
import pytest
import yaml
from markdown_it import MarkdownIt
from msgspec import structs
from PIL import Image
from standardwebhooks import Webhook

from curl_commands import SHOWN, sent
from databases import new_database, postgresql_server
from documents import CHAPTERS, ROOT, commands_of, text_of
from hitchworth.cli import main
from hitchworth.cli.parser import build_parser
from hitchworth.cli.settings import settings_of
from hitchworth.demo import demo_body
from hitchworth.model.document import Document
from hitchworth.model.policy import Policy
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.docs import EXAMPLES
from hitchworth.web.server import running

__all__ = ["postgresql_server"]

BUILD, KEY, PHOTO = "5f0c9f2e4a1d4e7b", "Ex4mpLe1", "8cf18f50f474e197"
DATABASE = "postgresql://hitchworth@localhost/hitchworth"
"""What the guide shows in place of the ids of a build, a key and a photo, and of a database of PostgreSQL."""

NUMBERS = ("no", "one", "two", "three", "four", "five", "six")
BLOCKS = {
    chapter: [token for token in MarkdownIt("commonmark").parse(text_of(chapter)) if token.type == "fence"]
    for chapter in CHAPTERS
}

INSTALLING = "api/hitchworth/guide/installing.md"
"""Its commands change the machine, or need a container engine: tests/house/test_installation.py installs for real, and
test_deployment.py reads the unit and the container file."""

WITH_BLOCKS = [chapter for chapter, blocks in BLOCKS.items() if blocks and chapter != INSTALLING]


class Reader:
    """Somebody who reads a chapter and does what it says."""

    def __init__(self, chapter: str, folder: Path, address: str, capsys: Any, postgresql: Callable[[], str]) -> None:
        self.text = text_of(chapter)
        self.folder, self.address = folder, address
        self.capsys, self.postgresql = capsys, postgresql
        self.printed = ""
        self.instead: dict[str, str] = {}

    def run(self, language: str, word: str, content: str) -> None:
        """Do what a block says; `word` is what follows its language."""
        if word and language in ("yaml", "json", "csv") and "." in word:
            (self.folder / word).write_text(content)
        kinds = {"sh": self.shell, "python": self.python, "text": self.shown, "formula": self.formula}
        kinds |= {
            "http": self.header,
            "yaml": self.document,
            "csv": self.table,
            "console": self.installed,
            "json": getattr(self, f"json_{word}", self.unknown),
        }
        kinds.get(language, self.unknown)(content)

    def unknown(self, content: str) -> None:
        pytest.fail(f"No way is known to run this block: {content}")

    def shell(self, content: str) -> None:
        for command in commands_of(content):
            before, _, after = self.text.partition(command)
            if command.startswith("curl"):
                self.curl(command, before, after)
            elif command.startswith("hitchworth serve"):
                self.serve(command)
            elif command.startswith("hitchworth"):
                self.hitchworth(command)
            else:
                subprocess.run(["bash", "-ec", command], cwd=self.folder, check=True, capture_output=True)

    def hitchworth(self, command: str) -> None:
        for shown, real in self.instead.items():
            command = command.replace(shown, real)
        if PHOTO in command:
            command = command.replace(PHOTO, self.photo(command))
        if DATABASE in command:
            self.instead[DATABASE] = self.postgresql()
            command = command.replace(DATABASE, self.instead[DATABASE])
        assert main(shlex.split(command)[1:]) == 0, command
        self.printed = self.capsys.readouterr().out
        made = re.search(r"hw_(\w{8})_", self.printed)
        if made and KEY not in self.instead:
            self.instead[KEY] = made[1]

    def photo(self, command: str) -> str:
        """Return the id of the photo of the build that a command is about."""
        build, where = shlex.split(command)[3], command.partition("--database ")[2].split()[0]
        main(["evidence", "list", build, "--database", where, "--format", "json"])
        entries = json.loads(self.capsys.readouterr().out)
        return str(next(each["id"] for each in entries if each["media_type"] == "image/jpeg"))

    def serve(self, command: str) -> None:
        told = settings_of(build_parser().parse_args(shlex.split(command)[1:]))
        store = open_store(told.database) if told.database else None
        free = structs.replace(told, host="127.0.0.1", port=0, access_log=False)
        with running(free, store) as address:
            assert httpx2.get(f"{address}/health").status_code == 200
        if store:
            store.close()

    def curl(self, command: str, before: str, after: str) -> None:
        answer = sent(command, self.address, self.folder)
        if "application/problem+json" in before.rstrip().removesuffix("```sh").rstrip().rpartition("\n\n")[2]:
            assert (answer.status_code, answer.headers["Content-Type"]) == (422, "application/problem+json")
            promised = re.search(r"(\w+) faults", after)
            assert promised is not None
            assert promised[1] == NUMBERS[len(answer.json()["errors"])]
        else:
            assert answer.status_code in (200, 201), answer.text
        self.printed = answer.text

    def python(self, content: str) -> None:
        names: dict[str, Any] = dict(signed_message())
        with contextlib.redirect_stdout(io.StringIO()) as output:
            exec(compile(content.replace(SHOWN, self.address), "the guide", "exec"), names)
        self.printed = output.getvalue()

    def shown(self, content: str) -> None:
        """What the block before has printed, or a part of it."""
        printed = " ".join(self.printed.split())
        assert [line for line in content.splitlines() if " ".join(line.split()) not in printed] == []

    def formula(self, content: str) -> None:
        found = re.search(r'WEBSERVICE\("([^"]+)"(?:&B2)?\)', content)
        assert found is not None
        address = found[1] + ("2,5" if found[1].endswith("=") else "")
        answer = httpx2.get(address.replace(SHOWN, self.address))
        assert answer.status_code == 200
        assert re.fullmatch(r"0[.,]\d+", answer.text)

    def header(self, content: str) -> None:
        """A key that opens nothing is known to be one, so the header is understood."""
        name, _, value = content.strip().partition(": ")
        with running(Settings(port=0, access_log=False, require_keys=True), open_store(IN_MEMORY)) as address:
            answer = httpx2.get(f"{address}/v1/builds", headers={name: value})
        assert answer.json()["type"] == "/problems/invalid-key"

    def document(self, content: str) -> None:
        msgspec.convert(yaml.safe_load(content), Document, strict=False)

    def installed(self, content: str) -> None:
        """It changes the machine, so tests/house/test_installation.py does it: what is installed exists here."""
        assert [each for each in re.findall(r"pip install (\S+)", content) if not (ROOT / each).is_dir()] == []

    def table(self, content: str) -> None:
        """A command after it reads the table."""
        assert content.count("\n") > 1

    def json_policy(self, content: str) -> None:
        msgspec.json.decode(content, type=Policy)

    def json_additions(self, content: str) -> None:
        """It is added to the document that the commands before have made, and the result is a document."""
        file = self.folder / "camper.json"
        document, added = json.loads(file.read_bytes()), json.loads(content)
        document["build"] |= added.pop("build")
        file.write_text(json.dumps(document | added))
        assert main(["sheet", str(file), "-o", str(self.folder / "sheet.md")]) == 0
        assert "Trailer policy" in (self.folder / "sheet.md").read_text()

    def json_answers(self, content: str) -> None:
        """It is added to the demo's document; that it is one then, the commands after it show."""
        file = self.folder / "gap_request.json"
        file.write_text(json.dumps(json.loads(file.read_bytes()) | json.loads(content)))

    def json_log(self, content: str) -> None:
        """A line of the log has these fields where a key was sent."""
        line = json.loads(content)
        source = files("hitchworth.web").joinpath("observation.py").read_text()
        assert [field for field in set(line) - {"event", "level", "timestamp"} if f"{field}" not in source] == []


def signed_message() -> dict[str, Any]:
    """A message to a webhook, as a receiver gets it."""
    secret, at, body = "whsec_c2VjcmV0IG9mIGEgd2ViaG9vayBvZiB0aGUgdGVzdHM=", datetime.now(UTC), b'{"type": "test"}'
    at = at.replace(microsecond=0)
    headers = {
        "webhook-id": "message-1",
        "webhook-timestamp": str(int(at.timestamp())),
        "webhook-signature": Webhook(secret).sign("message-1", at, body.decode()),
    }
    return {"headers": headers, "body": body, "secret": secret}


def changed_documents() -> tuple[dict[str, Any], dict[str, Any]]:
    """Two documents between which what the guide shows has changed."""
    battery = {
        "id": "battery",
        "description": "Battery",
        "category": "battery",
        "quantity": 1,
        "unit_cost": "899.00",
        "acquired_on": "2025-05-02",
    }
    stove = {**battery, "id": "stove", "description": "Two-burner stove", "category": "stove", "unit_cost": "268.00"}
    policy = {"name": "agreed value", "basis": "agreed_value", "amount": "45000", "deductible": "500"}
    build = {"name": "Camper", "currency": "USD"}
    answer = {"policy": "agreed value", "term": "settles_as", "value": "built_use", "said_on": "2026-11-01"}
    return (
        {"build": {**build, "components": [battery, stove]}, "policies": [policy]},
        {
            "build": {**build, "components": [{**battery, "unit_cost": "949.00"}]},
            "policies": [{**policy, "deductible": "1000"}],
            "answers": [answer],
        },
    )


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with running(store=open_store(IN_MEMORY)) as url:
        yield url


def prepare(chapter: str, reader: Reader) -> None:
    """Put into the folder what a reader of the chapter has: the examples, files of his own, a build that is kept."""
    for package, name in EXAMPLES:
        (reader.folder / name).write_bytes(files(package).joinpath(name).read_bytes())
    for name, document in zip(("last.json", "this.json"), changed_documents(), strict=True):
        (reader.folder / name).write_text(json.dumps(document))
    (reader.folder / "photos").mkdir()
    Image.new("RGB", (40, 30), "green").save(reader.folder / "photos" / "stove.jpg")
    (reader.folder / "receipt.pdf").write_bytes(
        b"%PDF-1.4\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n"
    )
    if chapter.endswith(("evidence.md", "after-loss.md", "webhooks.md")):
        document = {name: value for name, value in json.loads(demo_body()).items() if name != "as_of"}
        (reader.folder / "camper.json").write_text(json.dumps(document))
        assert main(["builds", "add", "gap_request.json", "--database", "builds.db"]) == 0
        assert main(["builds", "list", "--database", "builds.db", "--format", "json"]) == 0
        (entry,) = json.loads(reader.capsys.readouterr().out.partition("\n[")[2].join(["[", ""]))
        reader.instead[BUILD] = entry["id"]
    if chapter.endswith("portfolio.md"):
        document = {name: value for name, value in json.loads(demo_body()).items() if name != "as_of"}
        (reader.folder / "fleet").mkdir()
        (reader.folder / "fleet" / "camper.ndjson").write_text(json.dumps({"id": "camper", **document}) + "\n")
        assert main(["builds", "add", "gap_request.json", "--database", "builds.db"]) == 0
        assert main(["portfolio", "revalue", "fleet", "--into", "runs/may", "--as-of", "2026-05-01"]) == 0


@pytest.fixture
def folder(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where a reader works: a folder, a wide terminal, and nobody at the keyboard, who skips ten questions."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HITCHWORTH_URL", address)
    monkeypatch.setenv("COLUMNS", "120")
    monkeypatch.setattr("sys.stdin", io.StringIO("\n" * 10))
    return tmp_path


@pytest.mark.parametrize("chapter", WITH_BLOCKS, ids=lambda each: Path(each).stem)
def test_every_code_block_runs(
    chapter: str, address: str, folder: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    def postgresql() -> str:
        return new_database(request.getfixturevalue("postgresql_server"))

    reader = Reader(chapter, folder, address, capsys, postgresql)
    prepare(chapter, reader)
    for block in BLOCKS[chapter]:
        language, _, word = block.info.partition(" ")
        reader.run(language, word, block.content)


def test_most_chapters_have_something_to_run() -> None:
    assert sum(map(bool, BLOCKS.values())) > 15
    assert sum(len(commands_of(block.content)) for each in BLOCKS.values() for block in each if block.info == "sh") > 50

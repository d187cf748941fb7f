"""What starts without waiting for heavy libraries: asserted by what is not imported, never by seconds."""

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DOCUMENT = ROOT / "api" / "hitchworth" / "demo" / "gap_request.json"
SERVER = {"litestar", "uvicorn", "prometheus_client", "structlog", "openapi_ui_bundles"}
STORE = {"sqlalchemy", "alembic", "psycopg", "obstore"}
FILES = {"PIL", "docx", "lxml", "typst", "xlsxwriter", "python_calamine", "icalendar", "tomlkit", "ruamel", "jinja2"}
CLIENT = {"hitchworth_sdk", "httpx2"}
COMPUTATION = {"babel", "msgspec", "rich", "yaml"}
"""What an estimate needs, and the help does not."""

_PROGRAM = """
import contextlib, io, json, sys
from hitchworth.cli import main
with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
    main(sys.argv[1:])
print(json.dumps(sorted({name.partition(".")[0] for name in sys.modules})))
"""


def imported(arguments: Sequence[str]) -> set[str]:
    """The top-level modules that a fresh process has imported after a command."""
    run = subprocess.run(
        [sys.executable, "-c", _PROGRAM, *arguments],
        cwd=ROOT,
        env=os.environ,
        capture_output=True,
        text=True,
        check=True,
    )
    return set(json.loads(run.stdout.splitlines()[-1]))


@pytest.mark.parametrize("argument", ["--version", "--help"])
def test_the_program_says_what_it_is_with_the_standard_library_alone(argument: str) -> None:
    loaded = imported([argument])
    assert "argparse" in loaded
    assert found(loaded, SERVER, STORE, FILES, CLIENT, COMPUTATION) == set()


@pytest.mark.parametrize("command", ["estimate", "classify", "settle", "gap"])
def test_a_computation_loads_what_it_computes_with_and_nothing_else(command: str) -> None:
    loaded = imported([command, str(DOCUMENT), "--format", "json"])
    assert loaded >= COMPUTATION
    assert found(loaded, SERVER, STORE, FILES, CLIENT) == set()


def test_a_command_that_keeps_builds_loads_the_store(tmp_path: Path) -> None:
    """So the names that the other tests look for are those under which the libraries would be found."""
    loaded = imported(["builds", "list", "--database", str(tmp_path / "builds.db")])
    assert "sqlalchemy" in loaded
    assert found(loaded, SERVER, CLIENT) == set()


def found(loaded: set[str], *unwanted: set[str]) -> set[str]:
    return loaded & set().union(*unwanted)

"""The commands for a database: keys, workspaces, backup, restore, copy, export; and serving for others."""

import json
import os
import sqlite3
import stat
from pathlib import Path
from zipfile import ZipFile

import pytest

from hitchworth.cli import main
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations.authentication import caller_of_key
from hitchworth.operations.builds import create_build
from hitchworth.operations.changes import Creation
from hitchworth.store import open_store
from web_server import example


@pytest.fixture
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The place of a database that is not there yet, also in the environment; its folder is the present one."""
    path = str(tmp_path / "builds.db")
    monkeypatch.setenv("HITCHWORTH_DATABASE", path)
    monkeypatch.chdir(tmp_path)
    return path


def keep_build(where: str) -> str:
    store = open_store(where)
    kept = create_build(store, LOCAL_CALLER, example("kept-build"), Creation())
    store.close()
    return kept.id


def test_the_first_key_is_made_with_its_database(where: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["keys", "create", "Boss", "--scope", "admin", "--expires-at", "2036-01-31T00:00:00Z"]) == 0
    out, err = capsys.readouterr()
    key = out.strip()
    assert "Boss" in err
    assert key not in err
    assert stat.S_IMODE(Path(where).stat().st_mode) == 0o600
    store = open_store(where)
    caller = caller_of_key(store, key)
    store.close()
    assert (caller.workspace, caller.actor, sorted(caller.scopes)) == ("default", "Boss", ["admin", "read", "write"])
    assert main(["keys", "list"]) == 0
    listed = capsys.readouterr().out
    assert key.split("_")[1] in listed
    assert key.split("_", 2)[2] not in listed
    assert "2036-01-31" in listed


def test_a_key_is_rotated_and_revoked(where: str, capsys: pytest.CaptureFixture[str]) -> None:
    main(["keys", "create", "Script"])
    first = capsys.readouterr().out.strip()
    assert main(["keys", "rotate", first.split("_")[1], "--grace-seconds", "60"]) == 0
    second = capsys.readouterr().out.strip()
    assert second.startswith("hw_")
    assert second != first
    assert main(["keys", "revoke", second.split("_")[1]]) == 0
    assert "opens nothing" in capsys.readouterr().out
    assert main(["keys", "rotate", second.split("_")[1]]) == 2
    assert "not valid any more" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("command", "code", "told"),
    [
        ("keys create Boss", 1, "Another key has this name"),
        ("keys create A --expires-at 2020-01-01T00:00:00Z", 1, "The time has passed"),
        ("keys create A --workspace nowhere", 2, "no workspace nowhere"),
        ("keys list --workspace nowhere", 2, "no workspace nowhere"),
        ("keys revoke 00000000", 2, "no such key"),
        ("workspaces delete default", 2, "confirm it with its name: default"),
        ("workspaces delete nowhere --confirm nowhere", 2, "no workspace nowhere"),
        ("backup builds.db", 2, "there already"),
        ("restore missing.db --database other.db", 2, "missing.db is not there"),
        ("restore builds.db", 2, "not empty"),
        ("copy-database missing.db other.db", 2, "missing.db is not there"),
        ("export builds.db", 2, "File exists"),
        ("export x.zip --workspace nowhere", 2, "no workspace nowhere"),
        ("keys list --database missing.db", 2, "no database missing.db"),
        ("serve --host 0.0.0.0 --database empty.db", 2, "hitchworth keys create NAME --scope admin"),
        ("serve --allowed-hosts builds.example --database empty.db", 2, "keys are needed"),
        ("serve --require-keys --database empty.db", 2, "keys are needed"),
        ("serve --host 192.0.2.1", 2, "cannot serve"),
    ],
)
def test_what_cannot_be_done_is_told(
    command: str, code: int, told: str, where: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["keys", "create", "Boss", "--scope", "admin"]) == 0
    before = Path(where).read_bytes()
    capsys.readouterr()
    assert main(command.split()) == code
    _, err = capsys.readouterr()
    assert told in err
    assert "Traceback" not in err
    assert Path(where).read_bytes() == before


@pytest.mark.parametrize(
    "command",
    [
        "keys create",
        "keys create A --scope all",
        "keys rotate A --grace-seconds -1",
        "keys",
        "workspaces",
        "keys create \n",
    ],
)
def test_wrong_use_is_told(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main([part for part in command.split(" ") if part])
    assert caught.value.code == 2
    assert "See: hitchworth" in capsys.readouterr().err


def test_a_database_has_to_be_named(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.delenv("HITCHWORTH_DATABASE", raising=False)
    assert main(["keys", "list"]) == 2
    assert "HITCHWORTH_DATABASE" in capsys.readouterr().err


def test_a_backup_is_restored_and_verified(where: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    build = keep_build(where)
    backup, restored = tmp_path / "backup.db", str(tmp_path / "restored.db")
    assert main(["backup", str(backup)]) == 0
    assert "builds and quotes: 1, revisions: 1" in capsys.readouterr().out
    assert main(["restore", str(backup), "--database", restored]) == 0
    store = open_store(restored)
    assert store.builds.ids("default") == (build,)
    store.close()
    with sqlite3.connect(backup) as connection:
        connection.execute("UPDATE revisions SET message = 'altered'")
    assert main(["restore", str(backup), "--database", str(tmp_path / "altered.db")]) == 2
    assert build in capsys.readouterr().err


@pytest.mark.parametrize(
    ("altered", "told"),
    [
        ("DELETE FROM revisions", "revision 1 of build"),
        ("UPDATE revisions SET at = 'yesterday'", "cannot be copied; these do not fit: revision 1 of build"),
        ("UPDATE revisions SET body = CAST(body AS TEXT)", "cannot be copied; these do not fit: revision 1 of build"),
    ],
)
@pytest.mark.parametrize("command", ["restore {} --database copy.db", "copy-database {} copy.db"])
def test_a_history_that_was_cut_off_or_cannot_be_read_is_told(
    command: str, altered: str, told: str, where: str, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_build(where)
    with sqlite3.connect(where) as connection:
        connection.execute(altered)
    assert main(command.format(where).split()) == 2
    err = capsys.readouterr().err
    assert told in err
    assert "plywood" not in err  # nothing of the document


def test_a_database_moves_and_a_workspace_is_exported(
    where: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build = keep_build(where)
    target = str(tmp_path / "moved.db")
    assert main(["copy-database", where, target]) == 0
    assert main(["export", str(tmp_path / "all.zip"), "--database", target]) == 0
    with ZipFile(tmp_path / "all.zip") as archive:
        assert json.loads(archive.read("workspace.json"))["builds"] == 1
        assert f"builds/{build}/1.json" in archive.namelist()
    assert "everything of the workspace default" in capsys.readouterr().out


def test_a_workspace_is_made_listed_and_deleted(where: str, capsys: pytest.CaptureFixture[str]) -> None:
    for told in ("is made", "was there already"):
        assert main(["workspaces", "create", "shop"]) == 0
        assert told in capsys.readouterr().out
    assert main(["keys", "create", "Anna", "--workspace", "shop"]) == 0
    capsys.readouterr()
    assert main(["workspaces", "list"]) == 0
    assert "shop: builds: 0, quotes: 0, revisions: 0, keys: 1" in capsys.readouterr().out
    assert main(["workspaces", "delete", "shop", "--confirm", "shop"]) == 0
    assert "keys: 1" in capsys.readouterr().out
    main(["workspaces", "list"])
    assert "shop" not in capsys.readouterr().out


def test_settings_with_faults_are_told_by_their_names(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(os, "environ", {**os.environ, "HITCHWORTH_PORT": "x", "HITCHWORTH_NOTHING": "1"})
    assert main(["serve"]) == 2
    err = capsys.readouterr().err
    assert "HITCHWORTH_PORT: Wrong type" in err
    assert "HITCHWORTH_NOTHING: Unknown setting" in err

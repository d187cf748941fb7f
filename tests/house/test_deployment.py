"""The files by which a server is deployed: checked by the programs that read them, and against the settings."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from hitchworth.operations.settings import Settings, variable

ROOT = Path(__file__).parents[2]
DEPLOY = ROOT / "api" / "deploy"
CONTAINER = DEPLOY / "Containerfile"
UNIT = DEPLOY / "hitchworth.service"
PROGRAM = "/opt/hitchworth/bin/hitchworth"


def run(*command: str) -> str:
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout + done.stderr


def test_the_container_file_has_no_findings_and_runs_as_nobody() -> None:
    run(str(Path(sys.executable).with_name("hadolint")), "--no-color", str(CONTAINER))
    final = CONTAINER.read_text("utf-8").rpartition("\nFROM ")[2]
    assert re.findall(r"^(?:USER|ENTRYPOINT|CMD) .*", final, re.MULTILINE) == [
        "USER 65534:65534",
        'ENTRYPOINT ["hitchworth"]',
        'CMD ["serve"]',
    ]
    assert "HEALTHCHECK" in final
    assert "/ready" in final


def test_a_finding_in_a_container_file_is_seen(tmp_path: Path) -> None:
    broken = tmp_path / "Containerfile"
    broken.write_text(CONTAINER.read_text("utf-8").replace("python:3.11-slim", "python"))
    with pytest.raises(AssertionError, match="DL3006"):  # an image without a tag
        run(str(Path(sys.executable).with_name("hadolint")), "--no-color", str(broken))


def test_the_image_can_be_built() -> None:
    builder = next(filter(None, map(shutil.which, ("docker", "podman"))), None)
    if builder is None or subprocess.run([builder, "info"], capture_output=True, check=False).returncode:
        pytest.skip("no builder of images answers; the file was only linted")
    run(builder, "build", "--file", str(CONTAINER), "--tag", "hitchworth-test", ".")
    assert "0.1.0" in run(builder, "run", "--rm", "--read-only", "--tmpfs", "/tmp", "hitchworth-test", "--version")


def test_what_the_image_is_built_from_is_in_the_source() -> None:
    ignored = (DEPLOY / "Containerfile.dockerignore").read_text("utf-8")
    kept = re.findall(r"^!(.+)$", ignored, re.MULTILINE)
    copied = re.findall(r"^COPY (?!--from)(\S+)", CONTAINER.read_text("utf-8"), re.MULTILINE)
    assert sorted(kept) == sorted(copied)
    assert all((ROOT / name).exists() for name in copied)


@pytest.mark.parametrize("path", [CONTAINER, UNIT], ids=lambda path: path.name)
def test_the_variables_are_settings(path: Path) -> None:
    used = set(re.findall(r"HITCHWORTH_[A-Z_]+", path.read_text("utf-8")))
    assert used
    assert used <= {variable(name) for name in Settings.__struct_fields__}


def test_systemd_takes_the_unit_and_finds_little_exposed(tmp_path: Path) -> None:
    if shutil.which("systemd-analyze") is None:
        pytest.skip("systemd-analyze is not installed: apt-get install systemd")
    unit = tmp_path / UNIT.name
    unit.write_text(UNIT.read_text("utf-8").replace(PROGRAM, shutil.which("true") or ""))
    assert run("systemd-analyze", "verify", str(unit)) == ""
    run("systemd-analyze", "security", "--offline=true", "--threshold=20", str(unit))  # of 100; the unit has 14


def test_systemd_waits_until_the_server_has_stopped_by_itself() -> None:
    (seconds,) = re.findall(r"^TimeoutStopSec=(\d+)$", UNIT.read_text("utf-8"), re.MULTILINE)
    assert int(seconds) > Settings().drain_seconds + Settings().stop_seconds + 2

"""What is distributed: it declares what it imports, and what is built from it is complete."""

import ast
import re
import subprocess
import sys
import tarfile
import tomllib
from collections.abc import Iterator, Sequence
from importlib.metadata import packages_distributions
from itertools import chain
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[2]
PACKAGES = ("api/hitchworth", "sdk/hitchworth_sdk")
EACH_PACKAGE = pytest.mark.parametrize("package", [ROOT / package for package in PACKAGES], ids=PACKAGES)


def project_of(package: Path) -> dict[str, Any]:
    project: dict[str, Any] = tomllib.loads((package.parent / "pyproject.toml").read_text("utf-8"))["project"]
    return project


def requirements_of(project: dict[str, Any]) -> list[str]:
    """The dependencies, with those of the extras."""
    return [*project["dependencies"], *chain.from_iterable(project.get("optional-dependencies", {}).values())]


def normalized(requirement: str) -> str:
    """The name of a requirement as the index compares it (PEP 503): "uvicorn[standard]>=0.40" is "uvicorn"."""
    return re.sub(r"[-_.]+", "-", re.split(r"[^\w.-]", requirement)[0]).lower()


def imported_by(source: str) -> set[str]:
    """The top-level names that a source imports, wherever in it."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Import(names=names):
                found |= {name.name.partition(".")[0] for name in names}
            case ast.ImportFrom(module=str(module), level=0):
                found.add(module.partition(".")[0])
    return found


def undeclared(imported: set[str], project: dict[str, Any]) -> set[str]:
    """The imported names that neither Python nor a declared distribution provides."""
    declared = {normalized(requirement) for requirement in [project["name"], *requirements_of(project)]}
    providers = packages_distributions()
    return {
        name
        for name in imported - sys.stdlib_module_names
        if declared.isdisjoint(normalized(provider) for provider in providers.get(name, [name]))
    }


@EACH_PACKAGE
def test_every_import_is_declared(package: Path) -> None:
    imported = set().union(*(imported_by(path.read_text("utf-8")) for path in package.rglob("*.py")))
    assert "msgspec" in imported
    assert undeclared(imported, project_of(package)) == set()


def test_an_undeclared_import_is_found() -> None:
    project = {"name": "hitchworth-sdk", "dependencies": ["msgspec>=0.22,<0.23"]}
    source = "import os, yaml.nodes\nfrom .errors import x\ndef f():\n    from msgspec import json\n    import nowhere"
    assert undeclared(imported_by(source), project) == {"yaml", "nowhere"}


@EACH_PACKAGE
def test_every_dependency_has_a_lower_and_an_upper_bound(package: Path) -> None:
    own = {normalized(project_of(ROOT / name)["name"]) for name in PACKAGES}
    others = [line for line in requirements_of(project_of(package)) if normalized(line) not in own]
    assert [line for line in others if not re.fullmatch(r"[\w.-]+(\[\w+\])?>=[\d.]+,<[\d.]+", line)] == []


@EACH_PACKAGE
def test_it_promises_only_the_version_of_python_that_is_checked(package: Path) -> None:
    classifiers = project_of(package)["classifiers"]
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]
    promised = [line.rpartition(" ")[2] for line in classifiers if re.search(r" \d\.\d", line)]
    assert promised == [settings["mypy"]["python_version"]]


@EACH_PACKAGE
def test_what_is_built_holds_the_package_its_types_and_its_license(package: Path, tmp_path: Path) -> None:
    build(package.parent, tmp_path)
    (wheel,) = (set(ZipFile(path).namelist()) for path in tmp_path.glob("*.whl"))
    (source,) = (set(members_of(path)) for path in tmp_path.glob("*.tar.gz"))
    files = set(files_of(package))
    assert f"{package.name}/py.typed" in files
    assert files <= wheel
    described = {"hitchworth/web/openapi.json"} if package.name == "hitchworth" else set()
    assert {name for name in wheel - files if ".dist-info/" not in name} == described
    assert [name for name in wheel if name.endswith(".dist-info/licenses/LICENSE")]
    assert files | {"LICENSE", "README.md", "pyproject.toml"} <= source


def build(project: Path, folder: Path) -> None:
    command: Sequence[str] = (sys.executable, "-m", "hatchling", "build", "-d", str(folder))
    run = subprocess.run(command, cwd=project, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr


def members_of(archive: Path) -> Iterator[str]:
    """The files of a source distribution, without the folder that they all are in."""
    with tarfile.open(archive) as files:
        yield from (name.partition("/")[2] for name in files.getnames())


def files_of(package: Path) -> Iterator[str]:
    for path in package.rglob("*"):
        if path.is_file() and "__pycache__" not in path.parts:
            yield path.relative_to(package.parent).as_posix()


def test_the_license_of_the_fonts_is_in_the_wheel(tmp_path: Path) -> None:
    build(ROOT / "api", tmp_path)
    (wheel,) = (ZipFile(path) for path in tmp_path.glob("*.whl"))
    (name,) = (name for name in wheel.namelist() if ".dist-info/licenses/" in name and name.endswith("OFL.txt"))
    assert "SIL OPEN FONT LICENSE Version 1.1" in wheel.read(name).decode()
    (metadata,) = (name for name in wheel.namelist() if name.endswith(".dist-info/METADATA"))
    assert "\nLicense-Expression: Apache-2.0 AND OFL-1.1\n" in wheel.read(metadata).decode()


@pytest.mark.parametrize(("folder", "expression"), [("api", "Apache-2.0 AND OFL-1.1"), ("sdk", "Apache-2.0")])
def test_the_license_is_the_one_that_is_named(folder: str, expression: str) -> None:
    title, version = (ROOT / folder / "LICENSE").read_text("utf-8").split("\n")[1:3]
    assert (title.strip(), version.strip()) == ("Apache License", "Version 2.0, January 2004")
    assert project_of(ROOT / folder / "package")["license"] == expression

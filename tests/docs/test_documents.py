"""What holds for every document: links lead somewhere, spelling is American, the files around it are in order."""

import re
import shutil
import subprocess
import tomllib

import pytest

from documents import DOCUMENTS, GUIDE, ROOT, text_of
from hitchworth.web.problems import PROBLEM_TYPES
from jurisdiction_table import jurisdiction_document

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "requirements.lock", "api", "sdk", "openapi", "tests"}
BRITISH = (
    r"\w*(?:avour|behaviour|colour|labour|neighbour|honour|armour)\w*|judgement|licence|centre|cheque|whilst|"
    r"(?:cata|ana)logue|kilometre|metres?|travell\w+|labell\w+|modell\w+|cancell(?:ed|ing)|grey|tyres?|programme|"
    r"(?:organ|real|local|special|minim|maxim|normal|summar|recogn)is(?:e|ed|es|ing|ation)"
)


def checkout() -> list[str]:
    """The files under version control. Where git cannot list them, as in an unpacked archive, the test is skipped."""
    git = shutil.which("git")
    if git is None:
        pytest.skip("git is not installed")
    listed = subprocess.run([git, "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip(f"git cannot list the files: {listed.stderr.strip()}")
    return listed.stdout.splitlines()


def test_every_document_is_known() -> None:
    assert {name for name in checkout() if name.endswith(".md")} == set(DOCUMENTS)


def test_the_top_level_holds_nothing_else() -> None:
    found = {name.partition("/")[0] for name in checkout()}
    assert {name for name in found if not name.startswith(".")} <= TOP_LEVEL


@pytest.mark.parametrize("document", DOCUMENTS)
def test_links_lead_somewhere(document: str) -> None:
    """Addresses of the server, which begin with a slash, are followed in tests/web/test_docs.py."""
    folder = (ROOT / document).parent
    targets = re.findall(r"\]\(([^)#:/][^)#:]*)(?:#[^)]*)?\)", text_of(document))
    assert [target for target in targets if not (folder / target).exists()] == []


@pytest.mark.parametrize("document", [name for name in DOCUMENTS if "jurisdictions" not in name])
def test_the_spelling_is_american(document: str) -> None:
    """Titles of definitions, in the document of the jurisdictions, are spelled as they were published."""
    assert re.findall(rf"\b(?:{BRITISH})\b", text_of(document), re.IGNORECASE) == []


def test_the_document_of_the_jurisdictions_is_that_of_the_reference_data() -> None:
    again = "print it again: .venv/bin/python tests/jurisdiction_table.py > api/hitchworth/guide/jurisdictions.md"
    assert text_of(f"{GUIDE}/jurisdictions.md") == jurisdiction_document(), again


def test_the_changelog_begins_with_the_version_that_the_packages_have() -> None:
    newest = re.findall(r"^## (\S+)$", text_of(f"{GUIDE}/changelog.md"), re.MULTILINE)[0]
    versions = {tomllib.loads(text_of(f"{name}/pyproject.toml"))["project"]["version"] for name in ("api", "sdk")}
    assert versions == {newest}
    assert f"latest version is {newest}" in text_of("README.md")


def test_pins_are_names_and_versions_only() -> None:
    pins = [line for line in text_of("requirements.lock").splitlines() if not line.startswith("#")]
    assert [pin for pin in pins if not re.fullmatch(r"[\w.-]+==[\w.!+]+", pin)] == []


def test_everything_that_is_asked_for_is_pinned() -> None:
    root, api, sdk = (tomllib.loads(text_of(f"{name}pyproject.toml")) for name in ("", "api/", "sdk/"))
    asked = root["dependency-groups"]["dev"] + api["project"]["dependencies"] + sdk["project"]["dependencies"]
    names = {re.split(r"[^\w.-]", requirement)[0].lower() for requirement in asked}
    pins = text_of("requirements.lock").lower().replace("_", "-")
    assert {name for name in names if f"\n{name}==" not in pins} == set()


def test_the_table_of_problems_has_every_type_by_its_status() -> None:
    row = r"^\| \[([\w-]+)\]\(/problems/\1\) \| (\d+) \| (.+) \|$"
    listed = re.findall(row, text_of(f"{GUIDE}/problems.md"), re.MULTILINE)
    of_the_code = [(kind.type.rpartition("/")[2], str(kind.status), kind.title) for kind in PROBLEM_TYPES]
    assert sorted(listed) == sorted(of_the_code)
    assert [status for _, status, _ in listed] == sorted(status for _, status, _ in listed)

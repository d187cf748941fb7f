"""Programs that some tests need beside Python's packages."""

import os
import shutil

import pytest


def installed(*names: str, package: str) -> str:
    """The first of the programs that is installed. Without any, the test is skipped; with CI=true it fails."""
    found = [path for path in map(shutil.which, names) if path is not None]
    if found:
        return found[0]
    reason = f"{names[0]} is not installed: apt-get install {package}"
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)

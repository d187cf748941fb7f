"""Settings of every test: property tests draw the same cases each time, and none is judged by the clock."""

from pathlib import Path

import pytest
from hypothesis import settings

pytest_plugins = ["databases"]

settings.register_profile("hitchworth", deadline=None, derandomize=True)
settings.load_profile("hitchworth")


@pytest.hookimpl(tryfirst=True)
def pytest_xdist_auto_num_workers(config: pytest.Config) -> int | None:
    """Return 0 where only single files are asked for: starting processes for them would take longer than they do."""
    asked = [Path(argument.partition("::")[0]) for argument in config.args]
    return 0 if all(path.is_file() for path in asked) else None

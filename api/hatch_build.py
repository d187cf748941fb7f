"""Takes the description of the API, which is beside the project in the source, into its distributions."""

from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

DESCRIPTION = "openapi/hitchworth.json"
PACKAGED = "hitchworth/web/openapi.json"


class DescriptionHook(BuildHookInterface[Any]):
    """A wheel is built from the source or from an sdist, which has the description in its package already."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Add the file. An installation that is edited in place reads it from the source."""
        described = Path(self.root).parent / DESCRIPTION
        if version != "editable" and not Path(self.root, PACKAGED).exists():
            build_data["force_include"][str(described)] = PACKAGED

"""Where an entry of the reference data comes from."""

from typing import Literal, TypeAlias

Provenance: TypeAlias = Literal["published", "unverified", "common_practice"]
"""Where an entry of the reference data comes from.

published: read in the published text, or in a survey of it
unverified: not compared with the published text
common_practice: what the trade usually does; no published source
"""

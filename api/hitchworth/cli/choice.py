"""What a person chose on the command line, over what the input says."""

from argparse import Namespace
from datetime import UTC, date, datetime

DEFAULT_LOCALE = "en-US"


def valuation_date(chosen: Namespace, given: date | None) -> date:
    """The date of the command line, else of the input, else today."""
    wanted: date | None = chosen.as_of or given
    return wanted or datetime.now(UTC).astimezone().date()


def locale(chosen: Namespace, given: str = DEFAULT_LOCALE) -> str:
    """The locale of the command line, else of the input."""
    wanted: str = chosen.locale or given
    return wanted

"""Today's date: the only place that reads the clock. Everything below takes the date as an argument."""

from datetime import date, datetime


def today() -> date:
    """Return the local date of this machine."""
    return datetime.now().astimezone().date()

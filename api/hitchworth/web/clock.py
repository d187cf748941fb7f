"""The one place that asks what day it is. Everything below takes the date as an argument."""

from datetime import date, datetime


def today() -> date:
    """The date where the server stands."""
    return datetime.now().astimezone().date()

"""Today's date: the only place that reads the clock. Everything below takes the date as an argument."""

from datetime import UTC, date, datetime, time, timedelta


def today() -> date:
    """Return the local date of this machine."""
    return day_of(datetime.now(UTC))


def day_of(at: datetime) -> date:
    """Return the local date of this machine at a time."""
    return at.astimezone().date()


def next_midnight(at: datetime) -> datetime:
    """Return when the next local day of this machine begins, in UTC."""
    return datetime.combine(day_of(at) + timedelta(days=1), time()).astimezone(UTC)

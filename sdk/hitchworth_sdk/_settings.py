"""Which server to call and how long to wait: as given, else from the environment."""

import math
from collections.abc import Mapping

from httpx2 import URL, InvalidURL

from hitchworth_sdk.errors import ConfigurationError

URL_VARIABLE = "HITCHWORTH_URL"
TIMEOUT_VARIABLE = "HITCHWORTH_TIMEOUT"
DEFAULT_TIMEOUT = 30.0


def server_url(given: str | None, environment: Mapping[str, str]) -> str:
    """The address of the server.

    Raises ConfigurationError when there is none or it is no http address.
    """
    address = given or environment.get(URL_VARIABLE, "")
    if not address:
        raise ConfigurationError(f"no server named: pass base_url or set {URL_VARIABLE}")
    try:
        url = URL(address)
    except InvalidURL as fault:
        raise ConfigurationError(f"not an address: {address!r} ({fault})") from None
    if url.scheme not in ("http", "https") or not url.host:
        raise ConfigurationError(f"not an http or https address: {address!r}")
    return address


def seconds_to_wait(given: float | None, environment: Mapping[str, str]) -> float:
    """The timeout in seconds.

    Raises ConfigurationError when it is no number above zero.
    """
    found = given if given is not None else environment.get(TIMEOUT_VARIABLE) or DEFAULT_TIMEOUT
    try:
        seconds = float(found)
    except ValueError:
        raise ConfigurationError(f"a timeout is a number of seconds, not {found!r}") from None
    if not (math.isfinite(seconds) and seconds > 0):
        raise ConfigurationError(f"a timeout is a number of seconds above zero, not {found!r}")
    return seconds


def times_to_retry(given: int) -> int:
    """How often a request is sent again.

    Raises ConfigurationError when it is negative.
    """
    if given < 0:
        raise ConfigurationError(f"retries are zero or more, not {given}")
    return given

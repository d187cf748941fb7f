"""The settings of a client: as given, otherwise from the environment, otherwise the default."""

import math
from collections.abc import Mapping

from httpx2 import URL, InvalidURL

from hitchworth_sdk._route import is_loopback
from hitchworth_sdk.errors import ConfigurationError

URL_VARIABLE = "HITCHWORTH_URL"
KEY_VARIABLE = "HITCHWORTH_KEY"
TIMEOUT_VARIABLE = "HITCHWORTH_TIMEOUT"
DEFAULT_TIMEOUT = 30.0
"""In seconds."""


def server_url(given: str | None, environment: Mapping[str, str]) -> URL:
    """Return the address of the server.

    Raises ConfigurationError when there is none, or when it is not the http or https address of a server.
    """
    address = given or environment.get(URL_VARIABLE, "")
    if not address:
        raise ConfigurationError(f"no server address: pass base_url or set {URL_VARIABLE}")
    try:
        url = URL(address)
    except InvalidURL as error:
        raise ConfigurationError(f"not an address: {address!r} ({error})") from None
    if url.scheme not in ("http", "https") or not url.host:
        raise ConfigurationError(f"not an http or https address: {address!r}{_suggestion(address)}")
    if url.query or url.fragment:
        raise ConfigurationError(f"not the address of a server, since it has ? or #: {address!r}")
    return url


def _suggestion(address: str) -> str:
    """Return what was probably meant by an address without a scheme: "; write http://localhost:8000"."""
    if "://" in address:
        return ""
    try:
        host = URL(f"http://{address.lstrip('/')}").host
    except InvalidURL:
        return ""
    scheme = "http" if is_loopback(host) else "https"
    return f"; write {scheme}://{address.lstrip('/')}" if host else ""


def authorization(given: str | None, environment: Mapping[str, str]) -> dict[str, str]:
    """Return the header with the key; none without one. Raises ConfigurationError when it cannot be a key.

    An empty text is no key, whatever the environment says.
    """
    key = environment.get(KEY_VARIABLE, "") if given is None else given
    if not all("!" <= character <= "~" for character in key):
        raise ConfigurationError("the key has characters that no key has: a space, a line break or a letter with marks")
    return {"Authorization": f"Bearer {key}"} if key else {}


def client_timeout(given: float | None, environment: Mapping[str, str]) -> float:
    """Return the timeout of a client in seconds. Raises ConfigurationError as valid_timeout does."""
    if given is not None:
        return valid_timeout(given)
    return valid_timeout(environment.get(TIMEOUT_VARIABLE) or DEFAULT_TIMEOUT)


def valid_timeout(value: float | str) -> float:
    """Return a timeout in seconds.

    Raises ConfigurationError when it is not a finite number above zero: 0 would mean that no answer can ever come in
    time, so it is an error and not the default.
    """
    try:
        seconds = float(value)
    except ValueError:
        raise ConfigurationError(f"a timeout is a number of seconds, not {value!r}") from None
    if not (math.isfinite(seconds) and seconds > 0):
        raise ConfigurationError(f"a timeout is a number of seconds above zero, not {value!r}")
    return seconds


def valid_deadline(value: float | None) -> float | None:
    """Return a deadline in seconds; None: there is none. Raises ConfigurationError as valid_timeout does."""
    if value is None:
        return None
    try:
        return valid_timeout(value)
    except ConfigurationError:
        raise ConfigurationError(f"a deadline is a number of seconds above zero, not {value!r}") from None


def valid_retries(value: int) -> int:
    """Return how often a request is sent again. Raises ConfigurationError when it is negative."""
    if value < 0:
        raise ConfigurationError(f"retries are zero or more, not {value}")
    return value

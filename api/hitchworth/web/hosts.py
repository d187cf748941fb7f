"""Under which names a server may be called, and whether only its own machine can call it."""

from ipaddress import ip_address
from urllib.parse import urlsplit

from hitchworth.operations.settings import Settings

_OWN_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})


def is_loopback(host: str) -> bool:
    """Return whether a host is this machine for itself alone: localhost, 127.0.0.0/8 or ::1."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def allowed_names(settings: Settings) -> frozenset[str]:
    """Return the names that callers may use for the server, in lower case; none: any name.

    A page in a browser can make its own name stand for 127.0.0.1, and so reach a server that trusts its own machine;
    but the browser still sends that name. So on loopback only the names of this machine are allowed.
    """
    named = frozenset(name.strip().lower() for name in settings.allowed_hosts.split(",") if name.strip())
    if named or not is_loopback(settings.host):
        return named
    return _OWN_NAMES | {settings.host}


def keys_are_required(settings: Settings) -> bool:
    """Return whether what is kept is shown only to callers with a key: always, if others than this machine can call."""
    return settings.require_keys or not is_loopback(settings.host) or not all(map(is_loopback, allowed_names(settings)))


def host_of(authority: str) -> str:
    """Return the host of a Host header, without its port and in lower case; empty where it is malformed."""
    try:
        return urlsplit(f"//{authority}").hostname or ""
    except ValueError:
        return ""


def host_of_origin(origin: str) -> str:
    """Return the host of an Origin header; empty for one that is opaque (`null`) or malformed."""
    try:
        return urlsplit(origin).hostname or ""
    except ValueError:
        return ""

"""Where messages may go: to addresses outside the network, by https, unless the operator allows others."""

import socket
from collections.abc import Iterator
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network
from typing import TypeAlias
from urllib.parse import SplitResult, urlsplit

from msgspec import Struct

Address: TypeAlias = IPv4Address | IPv6Address
Network: TypeAlias = IPv4Network | IPv6Network

_NAT64 = IPv6Network("64:ff9b::/96")
_NOT_PUBLIC: tuple[Network, ...] = (
    IPv4Network("192.0.0.0/24"),  # RFC 6890: for protocols
    IPv4Network("192.88.99.0/24"),  # RFC 7526: relays that are no longer used
    IPv6Network("64:ff9b:1::/48"),  # RFC 8215: IPv4 addresses as a network translates them by itself
    IPv6Network("fec0::/10"),  # RFC 3879: site-local, no longer used
    IPv6Network("3fff::/20"),  # RFC 9637: for documentation
)
"""Networks that some versions of `ipaddress` take for public."""
_LOCAL_NAMES = ("localhost", ".localhost", ".local", ".internal", ".lan", ".home.arpa", ".intranet")


class UnsafeAddressError(Exception):
    """Nothing is sent to this address."""


class AddressRules(Struct, frozen=True, kw_only=True):
    """What the operator of the server allows."""

    networks: tuple[Network, ...] = ()
    """Networks that are not public, to which messages may go all the same."""
    http: bool = False
    """Whether messages may go unencrypted."""


def read_networks(text: str) -> tuple[Network, ...]:
    """Return the networks of a setting, separated by commas. Raises ValueError that names one that is none."""
    return tuple(ip_network(part.strip()) for part in text.split(",") if part.strip())


def require_safe_url(url: str, rules: AddressRules) -> SplitResult:
    """Return the parts of a URL that messages may be sent to, as far as it tells by itself.

    Raises UnsafeAddressError. Where a name leads is only known when it is resolved.
    """
    try:
        parts = urlsplit(url)
        host, port = parts.hostname, parts.port
    except ValueError:
        raise UnsafeAddressError("the address is not a URL") from None
    if parts.scheme != "https" and not (rules.http and parts.scheme == "http"):
        raise UnsafeAddressError("the address does not begin with https://")
    if not host or port == 0:
        raise UnsafeAddressError("the address has no host, or no port that can be")
    if parts.username is not None or parts.password is not None:
        raise UnsafeAddressError("the address has a user name or a password in it")
    literal = _literal(host)
    if literal is not None:
        require_safe_address(literal, rules)
    else:
        _require_name(host)
        if not rules.networks and _is_local_name(host):
            raise UnsafeAddressError(f"{host} is a name inside the network")
    return parts


def require_safe_address(address: Address, rules: AddressRules) -> None:
    """Raise UnsafeAddressError for an address inside the network: loopback, private, link-local and the like.

    An IPv6 address that stands for an IPv4 address is judged as that too.
    """
    for meant in _meanings(address):
        if any(meant in network for network in rules.networks if network.version == meant.version):
            continue
        is_public = meant.is_global and not any(meant in each for each in _NOT_PUBLIC if each.version == meant.version)
        if not is_public or meant.is_multicast or meant.is_reserved or meant.is_unspecified:
            raise UnsafeAddressError(f"{address} is an address inside the network")


def resolved(host: str, port: int, rules: AddressRules) -> tuple[str, ...]:
    """Return the addresses of a host, every one of them checked. Raises UnsafeAddressError and OSError."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    addresses = tuple(dict.fromkeys(str(entry[4][0]).partition("%")[0] for entry in found))
    for text in addresses:
        require_safe_address(ip_address(text), rules)
    return addresses


def _meanings(address: Address) -> Iterator[Address]:
    """Yield what an address reaches: itself, or the IPv4 addresses in it."""
    if isinstance(address, IPv4Address):
        yield address
        return
    inner = [address.ipv4_mapped, address.sixtofour, *(address.teredo or ())]
    if address in _NAT64:
        inner.append(IPv4Address(int(address) & 0xFFFFFFFF))
    known = [each for each in inner if each is not None]
    yield from known
    if address.ipv4_mapped is None and address not in _NAT64:
        yield address


def _literal(host: str) -> Address | None:
    """Return the address that a host is, in any of the forms in which systems read one; None for a name."""
    try:
        return ip_address(host.partition("%")[0])
    except ValueError:
        pass
    try:
        return IPv4Address(socket.inet_aton(host))
    except (OSError, ValueError):
        return None


def _require_name(host: str) -> None:
    """Raise UnsafeAddressError for a name that nothing can look up: with an empty part, or one above 63 letters."""
    try:
        host.encode("idna")
    except UnicodeError:
        raise UnsafeAddressError(f"{host} is no name of a host") from None


def _is_local_name(host: str) -> bool:
    name = host.lower().rstrip(".")
    return "." not in name or name.endswith(_LOCAL_NAMES)

"""Keys and share links: made of random bits, shown once, kept as a digest.

A credential is hw_PUBLIC_SECRET, that of a link hs_PUBLIC_SECRET. The public part finds the record. The secret has 256
random bits, so its plain SHA-256 is as good as a slow one would be: nobody can try them all.
"""

import re
from base64 import b64encode, urlsafe_b64encode
from hashlib import sha256
from hmac import compare_digest
from secrets import token_bytes
from typing import Literal, TypeAlias

from msgspec import Struct

Prefix: TypeAlias = Literal["hw", "hs"]
"""What a credential is for.

hw: a key
hs: a share link
"""

_FORM = re.compile(r"(hw|hs)_([A-Za-z0-9]{8})_([A-Za-z0-9_-]{43})")


class Credential(Struct, frozen=True, kw_only=True):
    """A credential, with its secret."""

    prefix: Prefix
    public: str
    secret: str

    def __repr__(self) -> str:
        return f"Credential({self.prefix}_{self.public}_...)"

    @property
    def text(self) -> str:
        return f"{self.prefix}_{self.public}_{self.secret}"

    @property
    def digest(self) -> str:
        """What is kept of the secret."""
        return sha256(self.secret.encode()).hexdigest()

    def fits(self, digest: str) -> bool:
        """Whether its secret is the one of which this digest was kept; takes the same time for any."""
        return compare_digest(self.digest, digest)


def new_credential(prefix: Prefix) -> Credential:
    """Return a new random credential."""
    public = urlsafe_b64encode(token_bytes(12)).decode().translate(_ALPHANUMERIC)[:8].ljust(8, "0")
    return Credential(prefix=prefix, public=public, secret=urlsafe_b64encode(token_bytes(32)).decode().rstrip("="))


def new_webhook_secret() -> str:
    """Return a new random secret of a webhook: whsec_ and 32 bytes in base64.

    It is kept as it is: messages are signed with it.
    """
    return f"whsec_{b64encode(token_bytes(32)).decode()}"


_ALPHANUMERIC = {ord("-"): None, ord("_"): None}


def read_credential(text: str, prefix: Prefix) -> Credential | None:
    """Return the credential that a text is; None when it has not the form of one of this kind."""
    found = _FORM.fullmatch(text)
    if found is None or found[1] != prefix:
        return None
    return Credential(prefix=prefix, public=found[2], secret=found[3])

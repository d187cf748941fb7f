"""What a running server knows about itself."""

from dataclasses import dataclass


@dataclass
class ServerState:
    """It changes while the server runs."""

    draining: bool = False
    """It was asked to stop: it still answers, but should not be sent more."""
    in_flight: int = 0
    """Requests in work."""

"""What a running server knows about itself."""

from collections import Counter
from dataclasses import dataclass, field

from hitchworth.operations.webhook_delivery import Result
from hitchworth.store import Store


@dataclass
class ServerState:
    """It changes while the server runs."""

    draining: bool = False
    """It was asked to stop: it still answers, but should not be sent more."""
    in_flight: int = 0
    """Requests in work."""
    store: Store | None = None
    """Where builds are kept; None where they are not."""
    messages: Counter[Result] = field(default_factory=Counter)
    """What came of the messages to webhooks that this process has sent."""

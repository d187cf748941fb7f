"""What a running server knows about itself."""

from collections import Counter
from dataclasses import dataclass, field

from msgspec import Struct

from hitchworth.operations.webhook_delivery import Result
from hitchworth.store import Store
from hitchworth.web.worker_pool import WorkerPool


class StorePlace(Struct, frozen=True):
    """Where the store of the server is, as `open_store` takes it."""

    database: str
    evidence: str | None


@dataclass
class ServerState:
    """It changes while the server runs."""

    draining: bool = False
    """It was asked to stop: it still answers, but should not be sent more."""
    in_flight: int = 0
    """Requests in work."""
    store: Store | None = None
    """Where builds are kept; None where they are not."""
    store_place: StorePlace | None = None
    """Where another process finds the same; None where it cannot."""
    workers: WorkerPool | None = None
    """What computes in processes of its own; None where threads do it."""
    folder: str = ""
    """Of files that pass from one process to the other."""
    messages: Counter[Result] = field(default_factory=Counter)
    """What came of the messages to webhooks that this process has sent."""

"""Send the messages to webhooks beside the requests, in a thread of the server."""

from collections.abc import Iterator
from contextlib import contextmanager
from logging import getLogger
from threading import Event, Thread

from hitchworth.operations.webhook_delivery import deliver_due
from hitchworth.store import Store
from hitchworth.store.errors import StoreError
from hitchworth.web.server_state import ServerState
from hitchworth.webhooks.sender import Sender

EVERY_SECONDS = 2.0
"""How often the outbox is looked at."""

_log = getLogger("hitchworth.webhooks")


@contextmanager
def delivering(store: Store, sender: Sender, server: ServerState, every: float = EVERY_SECONDS) -> Iterator[None]:
    """Send what is due, again and again, until the end. A batch in work is finished."""
    stop = Event()
    thread = Thread(target=_work, args=(store, sender, server, stop, every), name="hitchworth-webhooks", daemon=True)
    thread.start()
    try:
        yield
    finally:
        stop.set()
        thread.join()


def _work(store: Store, sender: Sender, server: ServerState, stop: Event, every: float) -> None:
    while not stop.wait(every):
        try:
            if store.webhooks.has_work():
                server.messages.update(deliver_due(store, sender))
        except StoreError as error:
            _log.error("messages to webhooks wait: %s", type(error).__name__)
        except Exception:
            _log.exception("messages to webhooks wait")  # the next round begins anew: nothing is lost

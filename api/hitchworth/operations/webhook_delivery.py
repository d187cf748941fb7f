"""Find what needs attention for the webhooks, and send the messages of the outbox. Several processes may do so at once.

A message is sent at least once: when the process ends between sending it and noting that, it is sent again, under the
same id. Each message and each webhook is taken by one process at a time.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from logging import getLogger
from math import ceil
from random import random
from typing import Any, Literal, TypeAlias

from hitchworth.model.attention import AttentionItem
from hitchworth.model.webhook import MessageBody
from hitchworth.operations.clock import day_of, next_midnight
from hitchworth.operations.kept_attention import kept_attention, quote_attention
from hitchworth.operations.settings import Settings
from hitchworth.store import Store
from hitchworth.store.builds import BuildQuery, Entry, KeptRecords
from hitchworth.store.webhooks import Due, Outgoing
from hitchworth.webhooks.address import AddressRules, read_networks
from hitchworth.webhooks.retry import wait_after
from hitchworth.webhooks.sender import DeliveryOutcome, Sender
from hitchworth.webhooks.signature import signed_headers

Result: TypeAlias = Literal["delivered", "failed", "dead"]
"""What came of one attempt.

delivered: the receiver has taken the message
failed: it is sent again later
dead: it was given up
"""

BATCH = 20
AT_ONCE = 4
_SPARE = timedelta(minutes=5)
"""What a batch may take beside waiting for its receivers: to find their addresses and to write what came of it."""

_BUILDS_AT_A_TIME = 100

_log = getLogger("hitchworth.webhooks")


def sender_of(settings: Settings) -> Sender:
    """Return what sends messages by the settings. Raises ValueError that names a network that is none."""
    rules = AddressRules(networks=read_networks(settings.webhook_networks), http=settings.webhook_http)
    return Sender(rules, settings.webhook_seconds)


def deliver_due(store: Store, sender: Sender) -> Counter[Result]:
    """Send every message that is due, look through the builds for every webhook that is due, and count the results.

    A message waits for a few builds to be looked through, never for all of them.
    """
    counts = _send_due(store, sender)
    for _ in evaluate_due(store):
        counts.update(_send_due(store, sender))
    return counts


def _send_due(store: Store, sender: Sender) -> Counter[Result]:
    counts: Counter[Result] = Counter()
    with ThreadPoolExecutor(AT_ONCE, thread_name_prefix="hitchworth-webhook") as threads:
        while claimed := store.webhooks.claim(BATCH, lease(sender, BATCH)):
            counts.update(threads.map(lambda message: _deliver(store, sender, message), claimed))
    return counts


def deliver_message(store: Store, sender: Sender, message: str) -> None:
    """Send one message now, if it is due and no other process is sending it."""
    for claimed in store.webhooks.claim(1, lease(sender, 1), only=message):
        _deliver(store, sender, claimed)


def lease(sender: Sender, messages: int) -> timedelta:
    """Return longer than so many messages can take, so that no other process sends one of them meanwhile."""
    return ceil(messages / AT_ONCE) * timedelta(seconds=sender.seconds) + _SPARE


def evaluate_due(store: Store) -> Iterator[int]:
    """Look through the builds for each webhook that is due. Yields after each page of them.

    What it yields is how many messages the page has put into the outbox.
    """
    while (due := store.webhooks.take_due()) is not None:
        yield from _evaluate(store, due)


def _evaluate(store: Store, due: Due) -> Iterator[int]:
    """Tell a webhook what has begun to need attention since it was told last."""
    webhook, at = due.webhook, store.clock()
    how: Any = {"as_of": day_of(at), "thresholds": webhook.thresholds, "locale": webhook.locale}
    seen: list[str] = []
    if any(event.startswith("attention.") for event in webhook.events):
        for builds in _pages(store.builds, due.workspace):
            seen += [build.id for build in builds]
            found = [(build.id, kept_attention(store, due.workspace, build, **how)) for build in builds]
            yield sum(_hold(store, due, build, items, at) for build, items in found)
        for quotes in _pages(store.quotes, due.workspace):
            seen += [quote.id for quote in quotes]
            found = [(quote.id, quote_attention(store, due.workspace, quote, **how)) for quote in quotes]
            yield sum(_hold(store, due, quote, items, at) for quote, items in found)
    store.webhooks.evaluated(webhook.id, next_midnight(at), seen)


def _hold(store: Store, due: Due, kept: str, items: Sequence[AttentionItem], at: datetime) -> int:
    told = {item.condition: _body(item, at) for item in items if _event(item) in due.webhook.events}
    complete = all(item.code != "unreadable" for item in items)
    return store.webhooks.hold(due.workspace, due.webhook.id, kept, told, complete=complete)


def _pages(records: KeptRecords[Entry], workspace: str) -> Iterator[Sequence[Entry]]:
    """Yield every build or quote that is not in the trash, the first that was made first, some at a time."""
    after: tuple[datetime, str] | None = None
    while True:
        found = records.list(workspace, BuildQuery(sort="created_at", limit=_BUILDS_AT_A_TIME, after=after))
        yield found[:_BUILDS_AT_A_TIME]
        if len(found) <= _BUILDS_AT_A_TIME:
            return
        last = found[_BUILDS_AT_A_TIME - 1]
        after = last.created_at, last.id


def _event(item: AttentionItem) -> str:
    return f"attention.{item.code}"


def _body(item: AttentionItem, at: datetime) -> MessageBody:
    return MessageBody(type=_event(item), timestamp=at, data=item)


def _deliver(store: Store, sender: Sender, message: Outgoing) -> Result:
    """Send a message. Whatever goes wrong with it counts as an attempt: the others go on, and this one has an end."""
    try:
        signed = signed_headers(message.id, int(store.clock().timestamp()), message.body, message.secrets)
        headers = {"content-type": "application/json", "user-agent": "Hitchworth", **signed}
        outcome = sender.send(message.url, headers, message.body)
    except Exception:
        _log.exception("message %s to webhook %s cannot be sent", message.id, message.webhook)
        outcome = DeliveryOutcome(error="it cannot be sent; the log of the server says why")
    return _noted(store, message, outcome)


def _noted(store: Store, message: Outgoing, outcome: DeliveryOutcome) -> Result:
    """Note what came of an attempt, and return it. A receiver that is gone is sent nothing more."""
    wait = None if outcome.error is None or outcome.is_gone else wait_after(message.attempt, random())
    result: Result = "delivered" if outcome.error is None else "dead" if wait is None else "failed"
    state = "pending" if result == "failed" else result
    store.webhooks.finish(message, state, status=outcome.status, error=outcome.error, wait=wait)
    if outcome.is_gone:
        store.webhooks.disable(message.webhook, "the receiver answered 410: it wants no more messages")
    if result != "delivered":
        _log.warning("message %s to webhook %s, attempt %d: %s", message.id, message.webhook, message.attempt, result)
    return result

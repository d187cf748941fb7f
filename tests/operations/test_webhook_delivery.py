"""The outbox and its sender, on both databases, with a clock that the test sets and real receivers."""

from collections import Counter
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from time import tzset
from typing import Any

import msgspec
import pytest
from sqlalchemy import select

import hitchworth_sdk
from hitchworth.model.attention import AttentionThresholds
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.model.kept import KeptBuild
from hitchworth.model.webhook import EventType, WebhookMessage, WebhookRecord, WebhookRequest
from hitchworth.operations.builds import create_build, patch_build, trash_build
from hitchworth.operations.changes import Alteration, Creation
from hitchworth.operations.kept_attention import kept_attention
from hitchworth.operations.kept_quotes import create_kept_quote
from hitchworth.operations.webhook_delivery import deliver_due, evaluate_due, lease
from hitchworth.store import Store, open_store, tables
from hitchworth.store.errors import DisabledError, MessagePendingError, NotKeptError
from hitchworth.store.webhooks import Outgoing
from hitchworth.webhooks.address import AddressRules
from hitchworth.webhooks.sender import DeliveryOutcome, Sender
from kept_access import Clock
from web_server import example
from webhook_receivers import Receiver, hang, local_sender, receiving, status

SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
HOME = LOCAL_CALLER.workspace
EVENTS: tuple[EventType, ...] = ("build.changed",)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(where: str, clock: Clock) -> Iterator[Store]:
    """The store in a new database, with the clock of the test."""
    opened = open_store(where, clock=clock)
    yield opened
    opened.close()


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    with receiving(status(204)) as started:
        yield started


def hook(store: Store, url: str, *events: EventType, workspace: str = HOME, **more: Any) -> WebhookRecord:
    wanted = WebhookRequest(url=url, events=events or EVENTS, **more)
    return store.webhooks.create(workspace, wanted, secret=SECRET, actor="local")


def build(store: Store, limit: str = "1200") -> KeptBuild:
    """A battery of 1,000.00 that keeps its value, under a policy with a limit."""
    document = {
        "build": {
            "name": "Camper",
            "currency": "USD",
            "components": [
                {
                    "id": "battery",
                    "description": "Battery",
                    "category": "electrical",
                    "quantity": 1,
                    "unit_cost": "1000.00",
                    "acquired_on": "2026-01-10",
                    "schedule": {"method": "none"},
                }
            ],
        },
        "policies": [{"name": "RV policy", "basis": "replacement_cost", "limit": limit}],
    }
    return create_build(store, LOCAL_CALLER, msgspec.json.encode(document), Creation())


def change(store: Store, kept: KeptBuild, patch: dict[str, Any]) -> KeptBuild:
    how = Alteration(if_match=f'"{kept.digest}"', message="why")
    return patch_build(store, LOCAL_CALLER, kept.id, msgspec.json.encode(patch), how)


def messages(store: Store, webhook: WebhookRecord) -> tuple[WebhookMessage, ...]:
    return store.webhooks.messages(HOME, webhook.id, None, None, 200)


def look_through(store: Store) -> int:
    """Look through the builds, and return how many messages there are to be sent for it."""
    return sum(evaluate_due(store))


def test_each_revision_is_told_once_and_can_be_verified(store: Store, clock: Clock, receiver: Receiver) -> None:
    webhook = hook(store, receiver.url)
    kept = build(store)
    change(store, kept, {"build": {"vin": None, "name": "Camper II"}})
    assert deliver_due(store, local_sender()) == Counter(delivered=2)
    assert deliver_due(store, local_sender()) == Counter()
    told = [
        hitchworth_sdk.verify_webhook(got.headers, got.body, SECRET, now=clock.now.timestamp()) for got in receiver.got
    ]
    assert sorted((each["type"], each["data"]["name"], each["data"]["revision"]["revision"]) for each in told) == [
        ("build.changed", "Camper", 1),
        ("build.changed", "Camper II", 2),
    ]
    assert {each["data"]["path"] for each in told} == {f"/v1/builds/{kept.id}"}
    assert {got.id for got in receiver.got} == {message.id for message in messages(store, webhook)}
    assert {(each.state, each.status, each.attempts, each.next_at) for each in messages(store, webhook)} == {
        ("delivered", 204, 1, None)
    }


def test_a_change_that_is_not_kept_is_not_told(
    store: Store, receiver: Receiver, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The outbox is written in the transaction of the change, so it is undone with it."""
    webhook = hook(store, receiver.url)
    kept = build(store)
    with monkeypatch.context() as patched:
        patched.setattr("hitchworth.store.outbox.put", fails_after_writing)
        with pytest.raises(RuntimeError):
            change(store, kept, {"build": {"name": "Never"}})
    assert store.builds.present(HOME, kept.id).revision == 1
    assert len(messages(store, webhook)) == 1


def fails_after_writing(connection: Any, *_: Any, **__: Any) -> str:
    connection.execute(tables.webhook_messages.update().values(error="half-written"))
    raise RuntimeError


def test_a_request_that_is_sent_again_is_told_once(store: Store, receiver: Receiver) -> None:
    webhook = hook(store, receiver.url)
    for _ in range(2):
        create_build(store, LOCAL_CALLER, b'{"name": "Camper", "currency": "USD"}', Creation(idempotency_key="once"))
    assert len(messages(store, webhook)) == 1


def test_only_what_was_asked_for_and_only_of_the_own_workspace(store: Store, receiver: Receiver) -> None:
    store.workspaces.create("other")
    silent = hook(store, receiver.url, "attention.gap")
    foreign = hook(store, receiver.url, workspace="other")
    build(store)
    assert messages(store, silent) == ()
    assert store.webhooks.messages("other", foreign.id, None, None, 9) == ()
    with pytest.raises(NotKeptError):
        store.webhooks.messages(HOME, foreign.id, None, None, 9)


def test_what_fails_is_sent_again_later_and_later_and_then_given_up(
    store: Store, clock: Clock, receiver: Receiver, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With chance at a half the waits are 10, 40, 160, 640, 2,560, 10,240, 40,960, 86,400 and 86,400 seconds."""
    monkeypatch.setattr("hitchworth.operations.webhook_delivery.random", lambda: 0.5)
    receiver.answer = status(500)
    webhook = hook(store, receiver.url)
    build(store)
    for attempt, wait in enumerate((10, 40, 160, 640, 2_560, 10_240, 40_960, 86_400, 86_400), 1):
        assert deliver_due(store, local_sender()) == Counter(failed=1)
        (message,) = messages(store, webhook)
        assert (message.state, message.attempts, message.status) == ("pending", attempt, 500)
        assert message.error == "the receiver answered 500"
        assert message.next_at == clock.now + timedelta(seconds=wait)
        clock.advance(seconds=wait - 1)
        assert deliver_due(store, local_sender()) == Counter()
        clock.advance(seconds=1)
    assert deliver_due(store, local_sender()) == Counter(dead=1)
    (dead,) = store.webhooks.messages(HOME, webhook.id, "dead", None, 9)
    assert (dead.attempts, dead.next_at, dead.finished_at) == (10, None, clock.now)
    assert len({got.id for got in receiver.got}) == 1
    assert len({got.headers["webhook-timestamp"] for got in receiver.got}) == 10
    receiver.answer = status(200)
    again = store.webhooks.resend(HOME, webhook.id, dead.id)
    assert (again.state, again.attempts) == ("pending", 0)
    with pytest.raises(MessagePendingError):
        store.webhooks.resend(HOME, webhook.id, dead.id)
    assert deliver_due(store, local_sender()) == Counter(delivered=1)
    assert receiver.got[-1].id == dead.id


def test_a_receiver_that_is_gone_is_sent_nothing_more(store: Store, clock: Clock, receiver: Receiver) -> None:
    receiver.answer = status(410)
    webhook = hook(store, receiver.url)
    kept = build(store)
    assert deliver_due(store, local_sender()) == Counter(dead=1)
    disabled = store.webhooks.read(HOME, webhook.id)
    assert disabled.disabled_at == clock.now
    assert "410" in (disabled.disabled_because or "")
    change(store, kept, {"build": {"name": "Unheard"}})
    assert deliver_due(store, local_sender()) == Counter()
    (message,) = messages(store, webhook)
    with pytest.raises(DisabledError):
        store.webhooks.resend(HOME, webhook.id, message.id)
    receiver.answer = status(200)
    assert store.webhooks.enable(HOME, webhook.id).disabled_at is None
    store.webhooks.resend(HOME, webhook.id, message.id)
    assert deliver_due(store, local_sender()) == Counter(delivered=1)


def test_what_waits_for_a_receiver_that_is_gone_is_given_up(store: Store, receiver: Receiver) -> None:
    receiver.answer = status(500)
    webhook = hook(store, receiver.url)
    kept = build(store)
    deliver_due(store, local_sender())
    receiver.answer = status(410)
    change(store, kept, {"build": {"name": "Camper II"}})
    deliver_due(store, local_sender())
    assert {(each.state, each.next_at) for each in messages(store, webhook)} == {("dead", None)}


def test_an_old_secret_signs_beside_the_new_one_for_a_while(store: Store, clock: Clock, receiver: Receiver) -> None:
    webhook = hook(store, receiver.url)
    new = "whsec_" + "bmV3IHNlY3JldCBvZiB0d2VudHktZm91cg=="
    store.webhooks.rotate(HOME, webhook.id, secret=new, grace=timedelta(hours=1))
    kept = build(store)
    deliver_due(store, local_sender())
    clock.advance(hours=1)
    change(store, kept, {"build": {"name": "Camper II"}})
    deliver_due(store, local_sender())
    both, later = receiver.got
    for secret in (SECRET, new):
        hitchworth_sdk.verify_webhook(both.headers, both.body, secret, now=int(both.headers["webhook-timestamp"]))
    hitchworth_sdk.verify_webhook(later.headers, later.body, new, now=clock.now.timestamp())
    with pytest.raises(hitchworth_sdk.WebhookVerificationError):
        hitchworth_sdk.verify_webhook(later.headers, later.body, SECRET, now=clock.now.timestamp())


def test_without_grace_the_old_secret_ends_at_once(store: Store, receiver: Receiver) -> None:
    webhook = hook(store, receiver.url)
    record = store.webhooks.rotate(HOME, webhook.id, secret=SECRET, grace=timedelta(0))
    assert record.old_secret_until is None
    build(store)
    (claimed,) = store.webhooks.claim(5, timedelta(minutes=10))
    assert claimed.secrets == (SECRET,)
    assert SECRET not in repr(claimed)


def test_of_several_processes_each_message_is_sent_by_one(where: str, clock: Clock, receiver: Receiver) -> None:
    stores = [open_store(where, clock=clock) for _ in range(4)]
    webhook = hook(stores[0], receiver.url)
    for _ in range(12):
        build(stores[0])
    with ThreadPoolExecutor(4) as pool:
        counts = sum(pool.map(lambda each: deliver_due(each, local_sender()), stores), Counter[Any]())
    assert counts == Counter(delivered=12)
    assert len({got.id for got in receiver.got}) == len(receiver.got) == 12
    assert {each.attempts for each in messages(stores[0], webhook)} == {1}
    for each in stores:
        each.close()


def test_no_other_process_takes_what_a_slow_batch_still_has(store: Store, clock: Clock, receiver: Receiver) -> None:
    """Each of 20 messages takes all of its 300 seconds, and four go at once: the last ends after 20 / 4 x 300 s."""
    taken: list[Outgoing] = []

    class Slow(Sender):
        def send(self, *_: Any) -> DeliveryOutcome:
            clock.advance(seconds=300 / 4)
            taken.extend(store.webhooks.claim(1, timedelta(minutes=1)))
            return DeliveryOutcome(status=204)

    hook(store, receiver.url)
    for _ in range(20):
        build(store)
    assert deliver_due(store, Slow(AddressRules(), 300)) == Counter(delivered=20)
    assert taken == []


@pytest.mark.parametrize(("messages", "minutes"), [(1, 5 + 5), (4, 5 + 5), (5, 5 + 2 * 5), (20, 5 + 5 * 5)])
def test_a_lease_is_five_minutes_longer_than_the_receivers_may_take(messages: int, minutes: int) -> None:
    assert lease(Sender(AddressRules(), 300), messages) == timedelta(minutes=minutes)


def test_what_a_process_took_and_did_not_finish_is_sent_after_the_lease(
    store: Store, clock: Clock, receiver: Receiver
) -> None:
    webhook = hook(store, receiver.url)
    build(store)
    (lost,) = store.webhooks.claim(5, timedelta(minutes=10))  # and the process is killed
    assert deliver_due(store, local_sender()) == Counter()
    clock.advance(minutes=10)
    assert deliver_due(store, local_sender()) == Counter(delivered=1)
    store.webhooks.finish(lost, "dead", status=None, error="too late", wait=None)  # it was not killed, only slow
    (message,) = messages(store, webhook)
    assert (message.state, message.attempts, message.error) == ("delivered", 2, None)


def test_a_receiver_that_hangs_does_not_hold_up_the_others(store: Store, receiver: Receiver) -> None:
    with receiving(hang) as slow:
        hook(store, slow.url)
        hook(store, receiver.url)
        build(store)
        assert deliver_due(store, local_sender(0.5)) == Counter(delivered=1, failed=1)


def test_nothing_is_sent_into_the_network_unless_it_is_allowed(store: Store, receiver: Receiver) -> None:
    webhook = hook(store, receiver.url)
    build(store)
    assert deliver_due(store, Sender(AddressRules(http=True), 2)) == Counter(failed=1)
    (message,) = messages(store, webhook)
    assert message.error == "refused: 127.0.0.1 is an address inside the network"
    assert receiver.got == []


class Fragile(Sender):
    """Breaks on what one receiver is to get."""

    def __init__(self, url: str) -> None:
        super().__init__(local_sender().rules, 5)
        self.url = url

    def send(self, url: str, headers: Mapping[str, str], body: bytes) -> DeliveryOutcome:
        if url == self.url:
            raise RuntimeError("broken")
        return super().send(url, headers, body)


def test_a_message_that_breaks_the_sender_holds_up_no_other_and_is_given_up(
    store: Store, clock: Clock, receiver: Receiver
) -> None:
    bad = hook(store, "https://bad.example/")
    hook(store, receiver.url)
    build(store)
    sender = Fragile(bad.url)
    assert deliver_due(store, sender) == Counter(delivered=1, failed=1)
    for _ in range(8):
        clock.advance(days=2)
        assert deliver_due(store, sender) == Counter(failed=1)
    clock.advance(days=2)
    assert deliver_due(store, sender) == Counter(dead=1)
    (message,) = messages(store, bad)
    assert (message.state, message.attempts) == ("dead", 10)
    assert message.error == "it cannot be sent; the log of the server says why"


def test_a_changed_build_is_told_before_and_between_looking_through_the_others(
    store: Store, clock: Clock, receiver: Receiver, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There are two pages of one build each; while the first is looked through, a third build is made."""
    monkeypatch.setattr("hitchworth.operations.webhook_delivery._BUILDS_AT_A_TIME", 1)
    got_when_looking: list[int] = []

    def look(*arguments: Any, **more: Any) -> Any:
        got_when_looking.append(len(receiver.got))
        if len(got_when_looking) == 1:
            clock.advance(seconds=1)
            build(store)
        return kept_attention(*arguments, **more)

    monkeypatch.setattr("hitchworth.operations.webhook_delivery.kept_attention", look)
    hook(store, receiver.url)
    hook(store, receiver.url, "attention.gap")
    for _ in range(2):
        build(store)
    deliver_due(store, local_sender())
    assert got_when_looking == [2, 3, 3]


TIGHT = AttentionThresholds(limit_days=0)
EXCEEDED: EventType = "attention.limit_exceeded"


def test_what_begins_to_need_attention_is_told_once_a_day_at_most_and_not_again(
    store: Store, clock: Clock, receiver: Receiver
) -> None:
    webhook = hook(store, receiver.url, EXCEEDED, thresholds=TIGHT)
    kept = build(store, limit="900")
    assert deliver_due(store, local_sender()) == Counter(delivered=1)
    (got,) = receiver.got
    told = msgspec.json.decode(got.body)
    assert (told["type"], told["data"]["amount"], told["data"]["build"]) == (EXCEEDED, "100.00", kept.id)
    assert "100.00" in told["data"]["text"]
    for _ in range(3):
        clock.advance(days=1)
        assert deliver_due(store, local_sender()) == Counter()
    kept = change(store, kept, {"policies": [{"name": "RV policy", "basis": "replacement_cost", "limit": "1000"}]})
    clock.advance(days=1)
    assert deliver_due(store, local_sender()) == Counter()
    change(store, kept, {"policies": [{"name": "RV policy", "basis": "replacement_cost", "limit": "950"}]})
    assert deliver_due(store, local_sender()) == Counter()  # it is looked at once a day
    clock.advance(days=1)
    assert deliver_due(store, local_sender()) == Counter(delivered=1)
    assert len({message.id for message in messages(store, webhook)}) == 2


@pytest.fixture
def in_honolulu(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Ten hours behind UTC all year."""
    with monkeypatch.context() as patched:
        patched.setenv("TZ", "Pacific/Honolulu")
        tzset()
        yield
    tzset()


@pytest.mark.usefixtures("in_honolulu")
def test_the_day_begins_at_midnight_where_the_server_is(store: Store, clock: Clock, receiver: Receiver) -> None:
    hook(store, receiver.url, EXCEEDED, thresholds=TIGHT)
    look_through(store)
    build(store, limit="900")
    clock.now = datetime(2026, 11, 28, 9, 59, 59, tzinfo=UTC)
    assert look_through(store) == 0
    clock.now = datetime(2026, 11, 28, 10, tzinfo=UTC)
    assert look_through(store) == 1


def test_a_build_in_the_trash_needs_no_attention(store: Store, clock: Clock, receiver: Receiver) -> None:
    hook(store, receiver.url, EXCEEDED, thresholds=TIGHT)
    kept = build(store, limit="900")
    assert look_through(store) == 1
    trash_build(store, LOCAL_CALLER, kept.id, Alteration(if_match="*"))
    clock.advance(days=1)
    assert look_through(store) == 0
    assert conditions(store) == []


def conditions(store: Store) -> list[str]:
    with store._database.reading() as connection:
        return list(connection.scalars(select(tables.webhook_conditions.c.condition)))


def test_two_processes_find_the_same_thing_and_tell_it_once(where: str, clock: Clock, receiver: Receiver) -> None:
    stores = [open_store(where, clock=clock) for _ in range(3)]
    for _ in range(3):
        hook(stores[0], receiver.url, EXCEEDED, thresholds=TIGHT)
    build(stores[0], limit="900")
    with ThreadPoolExecutor(3) as pool:
        assert sum(pool.map(look_through, stores)) == 3
    clock.advance(days=1)
    assert sum(map(look_through, stores)) == 0
    for each in stores:
        each.close()


def test_an_evaluation_that_did_not_come_to_its_end_is_made_again(
    store: Store, clock: Clock, receiver: Receiver, monkeypatch: pytest.MonkeyPatch
) -> None:
    hook(store, receiver.url, EXCEEDED, thresholds=TIGHT)
    build(store, limit="900")
    with monkeypatch.context() as patched:
        patched.setattr("hitchworth.operations.webhook_delivery.kept_attention", interrupted)
        with pytest.raises(KeyboardInterrupt):
            look_through(store)
    assert look_through(store) == 0
    clock.advance(minutes=30)
    assert look_through(store) == 1


def interrupted(*_: Any, **__: Any) -> Any:
    raise KeyboardInterrupt


def test_a_build_that_cannot_be_read_is_told_and_hides_nothing_for_good(
    store: Store, clock: Clock, receiver: Receiver
) -> None:
    """While it cannot be read, nobody knows whether its limit is still exceeded: that is not told again after it."""
    hook(store, receiver.url, EXCEEDED, "attention.unreadable", thresholds=TIGHT)
    kept = build(store, limit="900")
    assert look_through(store) == 1
    whole = set_body(store, kept.id, b"damaged")
    clock.advance(days=1)
    assert look_through(store) == 1
    assert sorted(conditions(store)) == ["limit_exceeded:RV policy", "unreadable"]
    set_body(store, kept.id, whole)
    clock.advance(days=1)
    assert look_through(store) == 0
    assert conditions(store) == ["limit_exceeded:RV policy"]


def set_body(store: Store, build: str, body: bytes) -> bytes:
    mine = tables.revisions.c.build == build
    with store._database.writing() as connection:
        before = connection.scalar(select(tables.revisions.c.body).where(mine))
        connection.execute(tables.revisions.update().where(mine).values(body=body))
    assert isinstance(before, bytes)
    return before


@pytest.mark.parametrize(("days", "left"), [(30, 1), (31, 0)])
def test_what_was_delivered_is_kept_for_a_month(
    store: Store, clock: Clock, receiver: Receiver, days: int, left: int
) -> None:
    webhook = hook(store, receiver.url)
    build(store)
    deliver_due(store, local_sender())
    clock.advance(days=days)
    look_through(store)
    assert len(messages(store, webhook)) == left


def test_a_webhook_is_deleted_with_its_messages(store: Store, receiver: Receiver) -> None:
    webhook = hook(store, receiver.url, "build.changed", EXCEEDED, thresholds=TIGHT)
    build(store, limit="900")
    look_through(store)
    store.webhooks.delete(HOME, webhook.id)
    assert deliver_due(store, local_sender()) == Counter()
    assert conditions(store) == []
    with pytest.raises(NotKeptError):
        store.webhooks.read(HOME, webhook.id)


def test_a_workspace_is_deleted_with_its_webhooks(store: Store, receiver: Receiver) -> None:
    hook(store, receiver.url, "build.changed", EXCEEDED, thresholds=TIGHT)
    build(store, limit="900")
    look_through(store)
    assert store.workspaces.delete(HOME, HOME).builds == 1
    assert deliver_due(store, local_sender()) == Counter()


def test_a_kept_quote_that_expires_is_told_once(store: Store, clock: Clock, receiver: Receiver) -> None:
    """The clock is at 2026-11-27: 14 days on it is 2026-12-11."""
    hook(store, receiver.url, "attention.quote_expires")
    quote = msgspec.json.decode(example("kept-quote"))
    quote["pricing"] |= {"number": "Q-1", "valid_until": "2026-12-12"}
    create_kept_quote(store, LOCAL_CALLER, msgspec.json.encode(quote), Creation())
    assert look_through(store) == 0
    clock.advance(days=1)
    assert deliver_due(store, local_sender()) == Counter(delivered=1)
    told = msgspec.json.decode(receiver.got[0].body)
    assert (told["type"], told["data"]["since"]) == ("attention.quote_expires", "2026-12-12")
    clock.advance(days=1)
    assert look_through(store) == 0


@pytest.mark.usefixtures("in_honolulu")
def test_a_kept_quote_is_judged_by_the_date_where_the_server_is(store: Store, clock: Clock, receiver: Receiver) -> None:
    """At five in the morning in UTC it is still the day before there, 15 days before the quote expires."""
    hook(store, receiver.url, "attention.quote_expires")
    quote = msgspec.json.decode(example("kept-quote"))
    quote["pricing"] |= {"number": "Q-1", "valid_until": "2026-12-12"}
    create_kept_quote(store, LOCAL_CALLER, msgspec.json.encode(quote), Creation())
    clock.now = datetime(2026, 11, 28, 5, tzinfo=UTC)
    assert look_through(store) == 0
    clock.now = datetime(2026, 11, 28, 10, tzinfo=UTC)
    assert look_through(store) == 1

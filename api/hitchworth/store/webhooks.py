"""Webhooks: whom to tell what, the messages to them, and what they have been told of.

The methods of a workspace take it, and see no other. Those of the sender, which is no caller, see all of them.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

import msgspec
from msgspec import Struct
from msgspec.structs import asdict
from sqlalchemy import ColumnElement, Connection, Row, and_, delete, func, insert, or_, select, update

from hitchworth.model.webhook import MessageBody, MessageState, WebhookMessage, WebhookRecord, WebhookRequest
from hitchworth.store import outbox
from hitchworth.store.builds import Clock
from hitchworth.store.database import Database
from hitchworth.store.errors import DamagedError, DisabledError, MessagePendingError, NotKeptError
from hitchworth.store.idempotency import Done, IdempotencyClaim, keep, take_for_secret
from hitchworth.store.tables import read_record, webhook_conditions, webhook_messages, webhooks

DELIVERED_KEPT_FOR = timedelta(days=30)
DEAD_KEPT_FOR = timedelta(days=90)
EVALUATED_AGAIN_AFTER = timedelta(minutes=30)
"""When another process looks through the builds for a webhook, because the one that began has not come to the end."""

_RECORD = [webhooks.c[name] for name in WebhookRecord.__struct_fields__]
_MESSAGE = [webhook_messages.c[name] for name in WebhookMessage.__struct_fields__]


class Outgoing(Struct, frozen=True, kw_only=True):
    """A message that this process may send, and nobody else for a while."""

    id: str
    webhook: str
    url: str
    secrets: tuple[str, ...]
    """The secret, and the one before it while it is still in use."""
    body: bytes
    attempt: int
    """Counted from 1."""

    def __repr__(self) -> str:
        return f"Outgoing({self.id}, attempt {self.attempt})"


class Due(Struct, frozen=True, kw_only=True):
    """A webhook for which the builds are to be looked through."""

    workspace: str
    webhook: WebhookRecord


class Webhooks:
    """The webhooks of every workspace."""

    def __init__(self, database: Database, clock: Clock, new_id: Callable[[], str]) -> None:
        self._database = database
        self._clock = clock
        self._new_id = new_id

    def create(
        self, workspace: str, wanted: WebhookRequest, *, secret: str, actor: str, claim: IdempotencyClaim | None = None
    ) -> WebhookRecord:
        """Keep a new webhook. Raises MadeBeforeError and KeyReusedError."""
        with self._database.writing() as connection:
            at = self._clock()
            take_for_secret(connection, workspace, claim, at)
            record = WebhookRecord(
                id=self._new_id(),
                url=wanted.url,
                events=tuple(dict.fromkeys(wanted.events)),
                description=wanted.description,
                thresholds=wanted.thresholds,
                locale=wanted.locale,
                created_at=at,
                created_by=actor,
                old_secret_until=None,
                disabled_at=None,
                disabled_because=None,
            )
            kept = {
                **asdict(record),
                "events": " ".join(record.events),
                "thresholds": msgspec.json.encode(record.thresholds).decode(),
            }
            connection.execute(insert(webhooks).values(**kept, workspace=workspace, secret=secret, evaluate_at=at))
            if claim is not None:
                keep(connection, workspace, claim, Done(record.id))
            return record

    def list(self, workspace: str) -> tuple[WebhookRecord, ...]:
        """Return the webhooks of a workspace, the oldest first."""
        order = webhooks.c.created_at, webhooks.c.id
        statement = select(*_RECORD).where(webhooks.c.workspace == workspace).order_by(*order)
        with self._database.reading() as connection:
            return tuple(map(_record, connection.execute(statement)))

    def read(self, workspace: str, webhook: str) -> WebhookRecord:
        """Return a webhook. Raises NotKeptError."""
        with self._database.reading() as connection:
            return _read(connection, workspace, webhook)

    def delete(self, workspace: str, webhook: str) -> WebhookRecord:
        """Delete a webhook with its messages, and return it. Raises NotKeptError."""
        with self._database.writing() as connection:
            _take_turns(connection, workspace, webhook)
            record = _read(connection, workspace, webhook)
            for table in (webhook_conditions, webhook_messages):
                connection.execute(delete(table).where(table.c.workspace == workspace, table.c.webhook == webhook))
            connection.execute(delete(webhooks).where(_is(workspace, webhook)))
            return record

    def rotate(self, workspace: str, webhook: str, *, secret: str, grace: timedelta) -> WebhookRecord:
        """Give a webhook a new secret; the old one signs beside it for a time of grace. Raises NotKeptError."""
        with self._database.writing() as connection:
            _take_turns(connection, workspace, webhook)
            old = {
                "old_secret": webhooks.c.secret if grace else None,
                "old_secret_until": self._clock() + grace if grace else None,
            }
            connection.execute(update(webhooks).where(_is(workspace, webhook)).values(secret=secret, **old))
            return _read(connection, workspace, webhook)

    def enable(self, workspace: str, webhook: str) -> WebhookRecord:
        """Let a webhook work again. Raises NotKeptError."""
        with self._database.writing() as connection:
            working = {"disabled_at": None, "disabled_because": None, "evaluate_at": self._clock()}
            disabled = and_(_is(workspace, webhook), webhooks.c.disabled_at.is_not(None))
            connection.execute(update(webhooks).where(disabled).values(**working))
            return _read(connection, workspace, webhook)

    def messages(
        self, workspace: str, webhook: str, state: MessageState | None, after: tuple[datetime, str] | None, limit: int
    ) -> tuple[WebhookMessage, ...]:
        """Return messages, the latest first; one more than the limit where there are more. Raises NotKeptError.

        after: the time and the id of the last message of the page before.
        """
        columns = webhook_messages.c
        statement = select(*_MESSAGE).where(columns.workspace == workspace, columns.webhook == webhook)
        if state is not None:
            statement = statement.where(columns.state == state)
        if after is not None:
            at, last = after
            statement = statement.where(or_(columns.created_at < at, and_(columns.created_at == at, columns.id < last)))
        order = columns.created_at.desc(), columns.id.desc()
        with self._database.reading() as connection:
            _read(connection, workspace, webhook)
            found = connection.execute(statement.order_by(*order).limit(limit + 1))
            return tuple(read_record(WebhookMessage, row) for row in found)

    def message(self, workspace: str, webhook: str, message: str) -> WebhookMessage:
        """Return a message. Raises NotKeptError."""
        with self._database.reading() as connection:
            return _message(connection, workspace, webhook, message)

    def put(self, workspace: str, webhook: str, body: MessageBody) -> str:
        """Put a message into the outbox, and return its id. Raises NotKeptError and DisabledError."""
        with self._database.writing() as connection:
            _take_turns(connection, workspace, webhook)
            if _read(connection, workspace, webhook).disabled_at is not None:
                raise DisabledError("the webhook is disabled; enable it first")
            return outbox.put(connection, workspace, webhook, body, new_id=self._new_id, at=self._clock())

    def resend(self, workspace: str, webhook: str, message: str) -> WebhookMessage:
        """Have a message that was delivered or given up sent again, as often as a new one.

        Raises NotKeptError, DisabledError, and MessagePendingError where it is still to be sent.
        """
        with self._database.writing() as connection:
            _take_turns(connection, workspace, webhook)
            if _message(connection, workspace, webhook, message).state == "pending":
                raise MessagePendingError("the message is still to be sent")
            if _read(connection, workspace, webhook).disabled_at is not None:
                raise DisabledError("the webhook is disabled; enable it first")
            again = {"state": "pending", "attempts": 0, "next_at": self._clock(), "finished_at": None}
            connection.execute(update(webhook_messages).where(webhook_messages.c.id == message).values(**again))
            return _message(connection, workspace, webhook, message)

    def has_work(self) -> bool:
        """Return whether a message is to be sent, or builds are to be looked through."""
        at = self._clock()
        with self._database.reading() as connection:
            return any(connection.scalar(select(func.count()).where(*due)) for due in (_to_send(at), _to_evaluate(at)))

    def claim(self, limit: int, lease: timedelta, only: str | None = None) -> tuple[Outgoing, ...]:
        """Take messages that are due, so that no other process sends them before the lease is over.

        An attempt is counted when it begins: one that ends with its process is made again after the lease. only: the
        id of the one message to take.
        """
        with self._database.writing() as connection:
            at = self._clock()
            columns = (*webhook_messages.c, webhooks.c.url, webhooks.c.secret)
            old = (webhooks.c.old_secret, webhooks.c.old_secret_until)
            statement = (
                select(*columns, *old)
                .join(webhooks, webhooks.c.id == webhook_messages.c.webhook)
                .where(*_to_send(at), *(() if only is None else (webhook_messages.c.id == only,)))
                .order_by(webhook_messages.c.next_at, webhook_messages.c.id)
                .limit(limit)
                .with_for_update(skip_locked=True, of=webhook_messages)
            )
            rows = connection.execute(statement).all()
            for row in rows:
                taken = {"attempts": row.attempts + 1, "next_at": at + lease}
                connection.execute(update(webhook_messages).where(webhook_messages.c.id == row.id).values(**taken))
            return tuple(_outgoing(row, at) for row in rows)

    def finish(
        self, sent: Outgoing, state: MessageState, *, status: int | None, error: str | None, wait: timedelta | None
    ) -> None:
        """Note what came of an attempt. Nothing is noted where a later attempt has begun, or it was sent anew.

        wait: how long until the next attempt, of a message that stays pending.
        """
        with self._database.writing() as connection:
            at = self._clock()
            one = and_(
                webhook_messages.c.id == sent.id,
                webhook_messages.c.attempts == sent.attempt,
                webhook_messages.c.state == "pending",
            )
            end = {"next_at": None, "finished_at": at} if wait is None else {"next_at": at + wait}
            connection.execute(
                update(webhook_messages).where(one).values(state=state, status=status, error=error, **end)
            )

    def disable(self, webhook: str, because: str) -> None:
        """Send nothing more to a webhook, and give up what was still to be sent."""
        with self._database.writing() as connection:
            at = self._clock()
            working = and_(webhooks.c.id == webhook, webhooks.c.disabled_at.is_(None))
            connection.execute(update(webhooks).where(working).values(disabled_at=at, disabled_because=because))
            waiting = and_(webhook_messages.c.webhook == webhook, webhook_messages.c.state == "pending")
            end = {"state": "dead", "next_at": None, "finished_at": at, "error": f"the webhook was disabled: {because}"}
            connection.execute(update(webhook_messages).where(waiting).values(**end))

    def take_due(self) -> Due | None:
        """Take a webhook for which the builds are to be looked through; no other process does for half an hour.

        Also drops messages that were delivered a month, or given up three months ago.
        """
        with self._database.writing() as connection:
            at = self._clock()
            for state, kept_for in (("delivered", DELIVERED_KEPT_FOR), ("dead", DEAD_KEPT_FOR)):
                old = webhook_messages.c.finished_at < at - kept_for
                connection.execute(delete(webhook_messages).where(webhook_messages.c.state == state, old))
            order = webhooks.c.evaluate_at, webhooks.c.id
            first = select(webhooks.c.workspace, *_RECORD).where(*_to_evaluate(at)).order_by(*order).limit(1)
            row = connection.execute(first.with_for_update(skip_locked=True)).one_or_none()
            if row is None:
                return None
            later = {"evaluate_at": at + EVALUATED_AGAIN_AFTER}
            connection.execute(update(webhooks).where(webhooks.c.id == row.id).values(**later))
            return Due(workspace=row.workspace, webhook=_record(row))

    def evaluated(self, webhook: str, next_at: datetime, builds: Iterable[str]) -> None:
        """Note that all builds were looked through for a webhook; what it was told of others no longer holds."""
        with self._database.writing() as connection:
            connection.execute(update(webhooks).where(webhooks.c.id == webhook).values(evaluate_at=next_at))
            mine = webhook_conditions.c.webhook == webhook
            told = set(connection.scalars(select(webhook_conditions.c.build).where(mine).distinct()))
            for build in told - set(builds):
                connection.execute(delete(webhook_conditions).where(mine, webhook_conditions.c.build == build))

    def hold(
        self, workspace: str, webhook: str, build: str, found: Mapping[str, MessageBody], *, complete: bool
    ) -> int:
        """Put a message into the outbox for each condition of a build that the webhook has not been told of.

        found: the message of each condition that holds. complete: a condition that is not among them has ended, and
        is told again when it comes back. Returns how many messages there are.
        """
        with self._database.writing() as connection:
            if not _take_turns(connection, workspace, webhook):
                return 0  # it was deleted meanwhile
            columns = webhook_conditions.c
            mine = and_(columns.webhook == webhook, columns.build == build)
            told = set(connection.scalars(select(columns.condition).where(mine)))
            at = self._clock()
            new = [condition for condition in found if condition not in told]
            for condition in new:
                key = {"workspace": workspace, "webhook": webhook, "build": build, "condition": condition}
                connection.execute(insert(webhook_conditions).values(**key, since=at))
                outbox.put(connection, workspace, webhook, found[condition], new_id=self._new_id, at=at)
            for condition in told - found.keys() if complete else ():
                connection.execute(delete(webhook_conditions).where(mine, columns.condition == condition))
            return len(new)


def _is(workspace: str, webhook: str) -> ColumnElement[bool]:
    """The condition that every access to a single webhook goes through."""
    return and_(webhooks.c.workspace == workspace, webhooks.c.id == webhook)


def _to_send(at: datetime) -> tuple[ColumnElement[bool], ...]:
    return (webhook_messages.c.next_at <= at,)


def _to_evaluate(at: datetime) -> tuple[ColumnElement[bool], ...]:
    return webhooks.c.evaluate_at <= at, webhooks.c.disabled_at.is_(None)


def _take_turns(connection: Connection, workspace: str, webhook: str) -> bool:
    """Wait until no other transaction works on the webhook. Return whether there is one."""
    return connection.scalar(select(webhooks.c.id).where(_is(workspace, webhook)).with_for_update()) is not None


def _read(connection: Connection, workspace: str, webhook: str) -> WebhookRecord:
    found = connection.execute(select(*_RECORD).where(_is(workspace, webhook))).one_or_none()
    if found is None:
        raise NotKeptError("there is no such webhook")
    return _record(found)


def _record(row: Row[*tuple[Any, ...]]) -> WebhookRecord:
    """Return the record of a webhook. Raises DamagedError when a value is none that this program writes."""
    fields = {name: row._mapping[name] for name in WebhookRecord.__struct_fields__}
    try:
        fields |= {"events": fields["events"].split(), "thresholds": msgspec.json.decode(fields["thresholds"])}
        return msgspec.convert(fields, WebhookRecord, strict=False)
    except (AttributeError, TypeError, msgspec.MsgspecError):
        raise DamagedError(f"{row.id} does not fit: what is kept of it has been altered and cannot be read") from None


def _message(connection: Connection, workspace: str, webhook: str, message: str) -> WebhookMessage:
    columns = webhook_messages.c
    one = and_(columns.workspace == workspace, columns.webhook == webhook, columns.id == message)
    found = connection.execute(select(*_MESSAGE).where(one)).one_or_none()
    if found is None:
        raise NotKeptError("there is no such message")
    return read_record(WebhookMessage, found)


def _outgoing(row: Row[*tuple[Any, ...]], at: datetime) -> Outgoing:
    is_old_in_use = row.old_secret is not None and row.old_secret_until.astimezone(UTC) > at
    return Outgoing(
        id=row.id,
        webhook=row.webhook,
        url=row.url,
        secrets=(row.secret, row.old_secret) if is_old_in_use else (row.secret,),
        body=row.body.encode(),
        attempt=row.attempts + 1,
    )

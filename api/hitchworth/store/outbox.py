"""The outbox: a message to each webhook that wants to know of a change, written in the transaction of the change.

So there is no change without its message, and no message without its change, whenever the process is killed.
"""

from collections.abc import Callable
from datetime import datetime
from secrets import token_hex

import msgspec
from sqlalchemy import Connection, insert, select

from hitchworth.model.kept import Revision
from hitchworth.model.webhook import BuildChange, MessageBody
from hitchworth.store.tables import webhook_messages, webhooks

BUILD_CHANGED = "build.changed"


def announce(connection: Connection, workspace: str, revision: Revision, name: str) -> None:
    """Put a message about a revision into the outbox for each webhook of the workspace that is told of changes.

    A webhook is not deleted meanwhile.
    """
    working = select(webhooks.c.id, webhooks.c.events).where(
        webhooks.c.workspace == workspace, webhooks.c.disabled_at.is_(None)
    )
    held = working.with_for_update(read=True, key_share=True)
    told = [each.id for each in connection.execute(held) if BUILD_CHANGED in each.events.split()]
    change = BuildChange(name=name, revision=revision, path=f"/v1/builds/{revision.build}")
    body = MessageBody(type=BUILD_CHANGED, timestamp=revision.at, data=change)
    for webhook in told:
        put(connection, workspace, webhook, body, at=revision.at)


def put(
    connection: Connection,
    workspace: str,
    webhook: str,
    body: MessageBody,
    *,
    at: datetime,
    new_id: Callable[[], str] = lambda: token_hex(8),
) -> str:
    """Put a message into the outbox, to be sent at this time, and return its id."""
    message = f"msg_{new_id()}"
    connection.execute(
        insert(webhook_messages).values(
            id=message,
            workspace=workspace,
            webhook=webhook,
            event=body.type,
            body=msgspec.json.encode(body).decode(),
            state="pending",
            created_at=at,
            attempts=0,
            next_at=at,
        )
    )
    return message

"""The records of what has a secret, keys and share links: kept with its digest, found by what is sent, revoked."""

from datetime import datetime
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict
from sqlalchemy import ColumnElement, Connection, Row, Select, Table, insert, update

from hitchworth.store import idempotency
from hitchworth.store.credentials import Credential
from hitchworth.store.idempotency import Done, IdempotencyClaim


def found(
    connection: Connection, record: Select[*tuple[Any, ...]], table: Table, credential: Credential
) -> Row[*tuple[Any, ...]] | None:
    """Return the row of a credential, with the workspace that it opens; None where its secret is another."""
    one = record.add_columns(table.c.workspace, table.c.secret_digest).where(table.c.id == credential.public)
    row = connection.execute(one).one_or_none()
    return row if row is not None and credential.fits(row.secret_digest) else None


def add(
    connection: Connection,
    table: Table,
    workspace: str,
    record: Struct,
    *,
    credential: Credential,
    claim: IdempotencyClaim | None = None,
) -> None:
    """Keep a new record, and note it under the idempotency key of its request, if that has one."""
    values = asdict(record) | {"workspace": workspace, "secret_digest": credential.digest}
    connection.execute(insert(table).values(**values))
    if claim is not None:
        idempotency.keep(connection, workspace, claim, Done(credential.public))


def revoke(connection: Connection, table: Table, one: ColumnElement[bool], at: datetime) -> None:
    """End a record at once; one that has ended stays as it is."""
    connection.execute(update(table).where(one, table.c.revoked_at.is_(None)).values(revoked_at=at))

"""The methods of a client for keys, share links, the log and the workspace, and for what a share link opens."""

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Literal, Unpack, overload

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import Caller, CallOptions, FileReport, ReportFormat, SharedReportOptions, TextReport
from hitchworth_sdk._exchange import NO_BODY
from hitchworth_sdk._kept_builds import Seen, id_of
from hitchworth_sdk._kept_quotes import SeenQuote, quote_id_of
from hitchworth_sdk._types import (
    AccessEntry,
    Estimate,
    KeyRecord,
    KeyRequest,
    KeyRotation,
    NewKey,
    NewShare,
    SharedBuild,
    SharedReport,
    ShareRecord,
    ShareRequest,
    WorkspaceRecord,
)


class WorkspaceAccess(Caller):
    """The methods of a client for who may use a workspace. The server must have been started with a database."""

    def create_key(
        self,
        name: str,
        scope: Literal["read", "write", "admin"],
        *,
        expires_at: datetime | None = None,
        **options: Unpack[CallOptions],
    ) -> NewKey:
        """Make a key for this workspace. The answer is the only one that has the key itself, in `key`.

        Sent again when no answer came, it is made once; where the first request had made it, MadeBefore names the key,
        to rotate.
        """
        wanted = KeyRequest(name=name, scope=scope, expires_at=expires_at)
        return self._call(operations.CREATE_KEY, wanted, options)

    def list_keys(self, **options: Unpack[CallOptions]) -> tuple[KeyRecord, ...]:
        """List the keys of this workspace, without their secrets."""
        return self._call(operations.LIST_KEYS, NO_BODY, options)

    def rotate_key(self, key: str, *, grace_seconds: int = 0, **options: Unpack[CallOptions]) -> NewKey:
        """Replace a key by a new one. key: its public part. grace_seconds: how long the old one stays valid."""
        return self._call(operations.ROTATE_KEY, KeyRotation(grace_seconds=grace_seconds), options, key=key)

    def revoke_key(self, key: str, **options: Unpack[CallOptions]) -> KeyRecord:
        """End a key at once. key: its public part."""
        return self._call(operations.REVOKE_KEY, NO_BODY, options, key=key)

    def create_share(
        self,
        build: Seen | str,
        name: str,
        expires_at: datetime,
        *,
        for_policy: str | None = None,
        **options: Unpack[CallOptions],
    ) -> NewShare:
        """Make a link through which somebody without a key reads one build. Only this answer has its address: `path`.

        name: whom it is for. expires_at: a time with its zone. for_policy: the one policy that it shows.
        """
        wanted = ShareRequest(name=name, expires_at=expires_at, for_policy=for_policy)
        return self._call(operations.CREATE_SHARE, wanted, options, build=id_of(build))

    def list_shares(self, build: Seen | str, **options: Unpack[CallOptions]) -> tuple[ShareRecord, ...]:
        """List the links to a build, without their addresses."""
        return self._call(operations.LIST_SHARES, NO_BODY, options, build=id_of(build))

    def revoke_share(self, build: Seen | str, share: str, **options: Unpack[CallOptions]) -> ShareRecord:
        """End a link at once. share: its public part."""
        return self._call(operations.REVOKE_SHARE, NO_BODY, options, build=id_of(build), share=share)

    def list_access(
        self,
        *,
        build: Seen | str | None = None,
        quote: SeenQuote | str | None = None,
        limit: int = 50,
        **options: Unpack[CallOptions],
    ) -> Iterator[AccessEntry]:
        """Iterate over who read and changed what, the latest first. Pages are fetched as they are needed.

        build, quote: only what was about it. limit: how many to fetch at a time.
        """
        which = {
            "build": None if build is None else id_of(build),
            "quote": None if quote is None else quote_id_of(quote),
            "limit": limit,
        }
        return self._items(operations.LIST_ACCESS, options, **which)

    def get_workspace(self, **options: Unpack[CallOptions]) -> WorkspaceRecord:
        """Get the name of this workspace, and how much it holds."""
        return self._call(operations.GET_WORKSPACE, NO_BODY, options)

    def export_workspace(self, *, into: Path | None = None, **options: Unpack[CallOptions]) -> bytes:
        """Export everything of this workspace, as the bytes of a ZIP file.

        into: a file to write it to, piece by piece; the bytes are empty then.
        """
        return self._call(operations.EXPORT_WORKSPACE.written_to(into), NO_BODY, options)

    def delete_workspace(self, confirm: str, **options: Unpack[CallOptions]) -> WorkspaceRecord:
        """Delete everything of this workspace, for good, and get what it held. confirm: its name."""
        return self._call(operations.DELETE_WORKSPACE, NO_BODY, options, confirm=confirm)

    def get_shared_build(self, link: str, **options: Unpack[CallOptions]) -> SharedBuild:
        """See what a share link opens. link: the last part of its path."""
        return self._call(operations.GET_SHARED_BUILD, NO_BODY, options, link=link)

    def get_shared_estimate(self, link: str, *, as_of: date | None = None, **options: Unpack[CallOptions]) -> Estimate:
        """Value the build that a share link opens. link: the last part of its path. as_of: default: today."""
        return self._call(operations.GET_SHARED_ESTIMATE, NO_BODY, options, link=link, as_of=as_of)

    @overload
    def get_shared_report(
        self,
        link: str,
        report: SharedReport,
        media_type: TextReport = "text/html",
        **options: Unpack[SharedReportOptions],
    ) -> str: ...

    @overload
    def get_shared_report(
        self, link: str, report: SharedReport, media_type: FileReport, **options: Unpack[SharedReportOptions]
    ) -> bytes: ...

    def get_shared_report(
        self,
        link: str,
        report: SharedReport,
        media_type: ReportFormat = "text/html",
        **options: Unpack[SharedReportOptions],
    ) -> str | bytes:
        """Make a report on the build that a share link opens: text for HTML and Markdown, bytes for PDF and DOCX."""
        operation = operations.GET_SHARED_REPORT[media_type]
        return self._call(operation, NO_BODY, options, None, link=link, report=report)

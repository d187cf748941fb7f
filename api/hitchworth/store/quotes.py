"""Kept quotes: what became of one, and of the build that it was accepted for, is kept in one transaction."""

from hitchworth.model.kept import Revision
from hitchworth.model.kept_quote import QuoteEntry
from hitchworth.store.builds import Change, KeptRecords, Writing


class Quotes(KeptRecords[QuoteEntry]):
    """The quotes of every workspace."""

    kind = "quote"
    _entry_type = QuoteEntry

    def accept(self, workspace: str, seen: Revision, accepted: Change, made: Change) -> Revision:
        """Make the next revision of a quote, and the build that it becomes. Return the first revision of the build.

        The claim is that of `made`. Raises StaleError when the quote has been changed since, and KeyReusedError.
        """
        with self._database.writing() as connection:
            writing = Writing(connection, workspace, self._clock())
            if before := writing.made_before("build", made):
                return before
            writing.change(self.kind, seen, accepted)
            return writing.create("build", self._new_id(), made, quote=seen.build)

    def change_with_build(
        self, workspace: str, seen: Revision, change: Change, seen_build: Revision, build_change: Change
    ) -> Revision:
        """Make the next revision of a quote and of its build. Return that of the quote.

        The claim is that of `change`. Raises StaleError when one of the two has been changed since, and KeyReusedError.
        """
        with self._database.writing() as connection:
            writing = Writing(connection, workspace, self._clock())
            if before := writing.made_before(self.kind, change):
                return before
            revision = writing.change(self.kind, seen, change)
            writing.change("build", seen_build, build_change)
            return revision

"""The rows of two sheets that are no records of the model: facts by name, and what no column of a record can hold."""

from typing import Annotated

from msgspec import Meta, Struct


class FactEntry(Struct, frozen=True, kw_only=True):
    """One fact of the build."""

    fact: Annotated[str, Meta(description="Name of the fact, as in GET /v1/facts.")]
    question: Annotated[str | None, Meta(description="The fact as a question; it is not read.")] = None
    value: Annotated[str | None, Meta(description="The value. Empty: not given.")] = None
    unit: Annotated[str | None, Meta(description="Unit of the value. Empty: the fact's own.")] = None
    planned: Annotated[bool | None, Meta(description="Whether it is planned only.")] = None


class FurtherEntry(Struct, frozen=True, kw_only=True):
    """One field of a record that no single cell can show."""

    sheet: Annotated[str | None, Meta(description="The sheet of the record. Empty: the document itself.")] = None
    entry: Annotated[str | None, Meta(description="The record: its id or its name. Empty: the sheet has one.")] = None
    field: Annotated[str, Meta(description="Name of the field, as the API has it.")]
    value: Annotated[str, Meta(description="Its value in JSON; a long one goes on in the next row of the same field.")]

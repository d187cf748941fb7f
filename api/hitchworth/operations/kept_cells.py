"""Cells of a kept build: its values, what a policy pays, the verdict, the money that hangs on a question.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Iterable
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.caller import Caller
from hitchworth.model.cell import Cell, CellDate, Mark
from hitchworth.model.fault import Fault
from hitchworth.model.gap import Question
from hitchworth.model.settlement import Settlement
from hitchworth.model.strings import Identifier
from hitchworth.operations import kept_appraisals
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.cells import figure
from hitchworth.operations.kept_appraisals import Version
from hitchworth.store import Store
from hitchworth.validation import InvalidInputError
from hitchworth.validation.fault_texts import with_suggestions


class KeptCell(Struct, frozen=True, kw_only=True):
    """When a kept build is valued for a cell, and how its figure is written."""

    as_of: CellDate = None
    decimal: Mark = "point"


class LossCell(KeptCell, frozen=True, kw_only=True):
    """A policy of a kept build, and one of its losses."""

    policy: Annotated[Identifier, Meta(description="Name of the policy.", examples=["agreed value"])]
    loss: Annotated[Identifier, Meta(description="Name of the loss.", examples=["theft"])]


class QuestionCell(KeptCell, frozen=True, kw_only=True):
    """A question about a kept build."""

    question: Annotated[
        Identifier | None, Meta(description="Id of a question of the gap statement. Null: the one with the most money.")
    ] = None


def get_replacement_cost(store: Store, caller: Caller, build: BuildParameter, cell: KeptCell) -> Cell:
    """Get the replacement cost new of a kept build."""
    estimate = kept_appraisals.get_estimate(store, caller, build, Version(as_of=cell.as_of))
    return figure(estimate.totals.replacement_cost, cell.decimal)


def get_actual_cash_value(store: Store, caller: Caller, build: BuildParameter, cell: KeptCell) -> Cell:
    """Get the actual cash value of a kept build."""
    estimate = kept_appraisals.get_estimate(store, caller, build, Version(as_of=cell.as_of))
    return figure(estimate.totals.actual_cash_value, cell.decimal)


def get_verdict(store: Store, caller: Caller, build: BuildParameter, cell: KeptCell) -> Cell:
    """Get how the registered class of a kept build compares with its built use.

    match, mismatch or undetermined.
    """
    assessment = kept_appraisals.get_classification(store, caller, build, Version(as_of=cell.as_of))
    return Cell(text=assessment.verdict)


def get_payable(store: Store, caller: Caller, build: BuildParameter, cell: LossCell) -> Cell:
    """Get what a policy of a kept build pays for one of its losses.

    In the end, with the recoverable depreciation; open terms at their least favorable plausible answers.
    """
    return figure(_settlement(store, caller, build, cell).payable, cell.decimal)


def get_gap(store: Store, caller: Caller, build: BuildParameter, cell: LossCell) -> Cell:
    """Get the gap that a policy of a kept build leaves at one of its losses.

    What replacing costs beyond what is paid.
    """
    return figure(_settlement(store, caller, build, cell).gap, cell.decimal)


def get_money_at_stake(store: Store, caller: Caller, build: BuildParameter, cell: QuestionCell) -> Cell:
    """Get the money that hangs on a question about a kept build.

    The greatest spread of what is payable over its plausible answers.
    """
    statement = kept_appraisals.get_gap_statement(store, caller, build, Version(as_of=cell.as_of))
    asked = _question(statement.questions, cell.question)
    return figure(asked.money_at_stake.high, cell.decimal)


def _settlement(store: Store, caller: Caller, build: str, cell: LossCell) -> Settlement:
    settlements = kept_appraisals.get_settlements(store, caller, build, Version(as_of=cell.as_of)).settlements
    faults = [
        *_unknown("policy", cell.policy, (each.policy for each in settlements)),
        *_unknown("loss", cell.loss, (each.loss for each in settlements)),
    ]
    if faults:
        raise InvalidInputError(faults)
    return next(each for each in settlements if (each.policy, each.loss) == (cell.policy, cell.loss))


def _question(questions: Iterable[Question], named: str | None) -> Question:
    """Return the question of that id, or the first. Raises InvalidInputError when there is none."""
    by_id = {question.id: question for question in questions}
    if named is None and by_id:
        return next(iter(by_id.values()))
    if faults := tuple(_unknown("question", named or "", by_id)):
        raise InvalidInputError(faults)
    return by_id[named or ""]


def _unknown(parameter: str, name: str, known: Iterable[str]) -> Iterable[Fault]:
    names = tuple(dict.fromkeys(known))
    if name not in names:
        expected = f"one of {', '.join(names)}" if names else f"nothing: the build has no {parameter}"
        yield Fault(
            pointer=f"/{parameter}",
            detail=f"Unknown {parameter}",
            expected=with_suggestions(name, names, expected),
            found=name,
        )

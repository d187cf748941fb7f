"""Discounts of measures: one way of stating each, and from a policy that is on the table."""

from collections.abc import Iterator, Sequence

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.policy import Policy


def discounts_given_twice(build: Build) -> Iterator[Fault]:
    """A discount is an amount or a rate."""
    for index, protection in enumerate(build.protections):
        if protection.annual_discount is not None and protection.discount_rate is not None:
            yield Fault(
                pointer=f"/protections/{index}/discount_rate",
                detail="The amount says this",
                expected="either annual_discount or discount_rate",
                found="both",
            )


def discounts_of_no_policy(build: Build, policies: Sequence[Policy]) -> Iterator[Fault]:
    """The policy that grants a discount is on the table, once anything is."""
    names = {policy.name for policy in policies}
    for index, protection in enumerate(build.protections):
        if names and protection.policy is not None and protection.policy not in names:
            yield Fault(
                pointer=f"/protections/{index}/policy",
                detail="No policy has this name",
                expected="the name of a policy on the table, or null",
                found=protection.policy,
            )

"""The protection report of a build on a day."""

from collections.abc import Sequence
from datetime import date

from hitchworth.model.build import Build
from hitchworth.model.note import Note
from hitchworth.model.policy import Policy
from hitchworth.model.protection import ProtectionReport
from hitchworth.protection.circuits import circuit_results
from hitchworth.protection.measures import measure_results, perils_slowed, uncovered_layers
from hitchworth.protection.payback import paybacks
from hitchworth.reference.protections import measures_by_name


def protection_report(build: Build, policies: Sequence[Policy], as_of: date) -> ProtectionReport:
    """What slows a loss and what does not: measures, perils, bare layers, circuits and paybacks.

    Measures fitted after the day count as planned. Policies serve only discounts that are given as a rate.
    """
    measures = measure_results(build.protections, as_of)
    repaid = paybacks(build, policies)
    return ProtectionReport(
        as_of=as_of,
        measures=measures,
        perils=perils_slowed(measures),
        uncovered_layers=uncovered_layers(measures),
        circuits=circuit_results(build.circuits),
        paybacks=repaid,
        cautions=_cautions(build, saving=bool(repaid)),
    )


def _cautions(build: Build, *, saving: bool) -> tuple[Note, ...]:
    """What the insurer decides, and a caution for everything touched that may hurt someone."""
    known = [measures_by_name()[each.name] for each in build.protections if each.name in measures_by_name()]
    codes = ["insurer_decides", *(["payback"] if saving else []), *(["wiring", "circuits"] if build.circuits else [])]
    codes += [hazard for measure in known for hazard in measure.touches]
    return tuple(Note(code=code) for code in dict.fromkeys(codes))

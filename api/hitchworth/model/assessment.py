"""An assessment: the class on the title compared with the use that the trailer is built for, element by element."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.definition import DefinitionResult, ElementResult
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.model.vin import VinCheck

Verdict: TypeAlias = Literal["match", "mismatch", "undetermined"]
"""How the registered class compares with the built use.

match: the trailer meets the definition of its class, and none that contradicts it
mismatch: it does not meet the definition of its class, or meets one that contradicts it
undetermined: a fact or a definition is missing

Where the place defines no such class, it is the verdict of a working reading, and the assessment says so.
"""

TrailerKind: TypeAlias = Literal["goods", "living"]
"""What a class of trailers is for.

goods: carrying things
living: staying in it
"""

WordStatus: TypeAlias = Literal["defined", "named", "not_found", "not_looked_up"]
"""What is known of a place's own word for a kind of trailer.

defined: its law defines a class of this kind
named: its law or authority uses the word; no definition of it was read
not_found: sought in the source named, and not found
not_looked_up: not sought yet; that says nothing about the law there
"""

ReadingBasis: TypeAlias = Literal["nearest_class", "standard"]
"""By what a class without a definition of its own is read.

nearest_class: the definitions of the nearest classes of the same kind there
standard: the national rule or the industry standard
"""

Outlook: TypeAlias = Literal["as_planned", "insurer", "across_border"]
"""Another way to look at the trailer.

as_planned: where it is registered; planned facts are used as if they were already in effect
insurer: by what insurers usually mean by their words
across_border: by the definitions of a jurisdiction of travels_to
"""


class RegisteredResult(Struct, frozen=True, kw_only=True):
    """The class that the title or registration names, compared with its definition."""

    class_: Annotated[
        str | None, Meta(description="The registered class by its key: utility_trailer. Null: not known.")
    ] = field(name="class")
    definition: Annotated[
        str | None, Meta(description="Id of the definition of this class. Null: the jurisdiction has none.")
    ]
    holds: Annotated[
        bool | None, Meta(description="Whether the trailer meets it. Null: no definition, or a fact is missing.")
    ]
    elements: Annotated[tuple[ElementResult, ...], Meta(description="The definition, element by element.")]
    body_codes: Annotated[
        tuple["BodyCode", ...], Meta(description="What the body code means, where the registration names one.")
    ] = ()
    document_fields: Annotated[
        tuple["DocumentField", ...],
        Meta(description="The fields of this jurisdiction's registration document that say what a trailer is."),
    ] = ()
    nearest_words: Annotated[
        tuple["ClassWord", ...],
        Meta(
            description="Where the jurisdiction has no definition of this class: its words for this kind of trailer, "
            "or what is known of them; where the kind is not known either, its words for any kind."
        ),
    ] = ()


class ClassWord(Struct, frozen=True, kw_only=True):
    """A place's own word for a kind of trailer, or what is known where it has none."""

    status: Annotated[WordStatus, Meta(description="What is known of the word.")]
    kind: Annotated[TrailerKind, Meta(description="What a trailer of this kind is for.")]
    jurisdiction: Annotated[str, Meta(description="Whose word it is: the place, or a wider one: US-WA, EU.")]
    word: Annotated[str, Meta(description="The word, in the language of the locale. Empty: none is known.")] = ""
    class_: Annotated[str | None, Meta(description="Key of the class. Null: none is known.")] = field(
        name="class", default=None
    )
    definition: Annotated[
        str | None, Meta(description="Id of its definition in GET /v1/definitions. Null: none was read.")
    ] = None
    source: Annotated[str, Meta(description="The law or page where it was read or sought; empty: not looked up.")] = ""
    verified: Annotated[bool, Meta(description="True: read in a published text.")] = False
    note: Annotated[str, Meta(description="What else to know about it; empty: nothing.")] = ""


class WorkingReading(Struct, frozen=True, kw_only=True):
    """What a registered class was read by in a place that defines no such class. It is not the law of the place."""

    basis: Annotated[ReadingBasis, Meta(description="By what it is read.")]
    read_by: Annotated[
        tuple[str, ...],
        Meta(description="Ids of the definitions in `built` that stand for that of the class; one has to hold."),
    ]
    contradicted_by: Annotated[
        tuple[str, ...],
        Meta(description="Ids of the definitions in `built` that speak against the class in this reading."),
    ]
    holds: Annotated[bool | None, Meta(description="Whether one of read_by holds. Null: a fact is missing.")]
    text: Annotated[str, Meta(description="The same in words, in the language of the request's locale.")] = ""


class BodyCode(Struct, frozen=True, kw_only=True):
    """A code for the body of a trailer in a public standard."""

    code: Annotated[str, Meta(description="The code, as on the registration.")]
    meaning: Annotated[str, Meta(description="What it means.")]
    source: Annotated[str, Meta(description="The standard.")]
    verified: Annotated[bool, Meta(description="True: compared with the published text.")]


class DocumentField(Struct, frozen=True, kw_only=True):
    """A field of the registration document that says what the trailer is."""

    field: Annotated[str, Meta(description="The field's code: J, F.1.")]
    meaning: Annotated[str, Meta(description="What the field holds.")]
    source: Annotated[str, Meta(description="The directive, law or form.")]
    verified: Annotated[bool, Meta(description="True: compared with the published text.")]


class MissingFact(Struct, frozen=True, kw_only=True):
    """A fact whose answer could change the verdict, and how to find it out."""

    fact: Annotated[str, Meta(description="Name of the fact in GET /v1/facts.")]
    question: Annotated[str, Meta(description="The fact as a question, in the language of the request's locale.")]
    measure: Annotated[str, Meta(description="Where to look, or how to measure.")]
    decisive: Annotated[
        bool,
        Meta(
            description="One of the smallest set of facts whose answers can settle the verdict. Find out these first."
        ),
    ] = False


class PresetFact(Struct, frozen=True, kw_only=True):
    """A fact that was not given and follows from the registered class: a trailer has no engine. It is never asked."""

    fact: Annotated[str, Meta(description="Name of the fact in GET /v1/facts.")]
    value: Annotated[bool, Meta(description="The value that was used. Enter the fact to use another.")]
    class_: Annotated[str, Meta(description="Key of the registered class that it follows from.")] = field(name="class")
    source: Annotated[str, Meta(description="Why it follows.")]
    verified: Annotated[bool, Meta(description="True: compared with the published text.")]
    text: Annotated[str, Meta(description="The same in words, in the language of the request's locale.")] = ""


class NearMiss(Struct, frozen=True, kw_only=True):
    """A definition that the trailer meets in all but one element."""

    definition: Annotated[str, Meta(description="Id of the definition in GET /v1/definitions.")]
    class_: Annotated[str, Meta(description="Key of the class that it defines.")] = field(name="class")
    title: Annotated[str, Meta(description="What is defined.")]
    element: Annotated[ElementResult, Meta(description="The one element that does not hold.")]
    text: Annotated[str, Meta(description="The element with the fact, its value and the threshold, in words.")] = ""


ClassChangeTopic: TypeAlias = Literal["brakes", "lights", "inspection", "title", "fees", "insurance"]
"""What a change of class may bring.

brakes: brakes, breakaway device, hitch and chains
lights: lights and reflectors
inspection: an inspection of the trailer or of its papers
title: the title, its brand, or a salvage law
fees: fees and taxes of registration
insurance: a duty to insure the trailer
"""


class ClassChangeEffect(Struct, frozen=True, kw_only=True):
    """What a change of class brings on one topic."""

    topic: Annotated[ClassChangeTopic, Meta(description="What it is about.")]
    text: Annotated[str, Meta(description="What it brings, in the language of the request's locale.")]
    parameters: Annotated[
        dict[str, str], Meta(description="The numbers in the text, by name, as unformatted text.")
    ] = field(default_factory=dict)
    differs: Annotated[
        bool | None,
        Meta(description="Whether a rule differs from that of the class now; false: it stays. Null: not known."),
    ] = None
    source: Annotated[str, Meta(description="Where that is said; empty where it was not looked up.")] = ""
    verified: Annotated[bool, Meta(description="True: compared with the published text, or with a survey of it.")] = (
        False
    )


class Remedy(Struct, frozen=True, kw_only=True):
    """A usual way to make registration and built use agree, or to insure the trailer as it is."""

    id: Annotated[str, Meta(description="Stable name of the remedy.")]
    route: Annotated[str, Meta(description="What to do, in the language of the request's locale.")]
    decided_by: Annotated[str, Meta(description="Who decides on it.")]
    needs: Annotated[tuple[str, ...], Meta(description="Papers and photos that it takes.")]
    source: Annotated[str, Meta(description="Where it comes from.")]
    verified: Annotated[
        bool, Meta(description="True: compared with the published text. False: not, or common practice.")
    ] = False
    caution: Annotated[str, Meta(description="What to keep in mind; empty: nothing.")] = ""
    brings: Annotated[
        tuple[ClassChangeEffect, ...],
        Meta(
            description="What the change of class brings, one entry or more on each topic. Empty: it changes no class."
        ),
    ] = ()


class StandardNamed(Struct, frozen=True, kw_only=True):
    """A standard that a label on the trailer names. It says what the standard covers, and gives no class."""

    name: Annotated[str, Meta(description="Number of the standard.")]
    covers: Annotated[str, Meta(description="What it covers.")]
    source: Annotated[str, Meta(description="Where that is said.")]
    verified: Annotated[bool, Meta(description="True: compared with the published text.")]


class View(Struct, frozen=True, kw_only=True):
    """The same trailer looked at in another way: as planned, in insurers' usual terms, or across a border."""

    outlook: Annotated[Outlook, Meta(description="How the trailer is looked at.")]
    jurisdiction: Annotated[str, Meta(description="Whose definitions are used; INS: insurers' usual terms.")]
    verdict: Annotated[Verdict, Meta(description="How the registered class compares with the built use in this view.")]
    registered: Annotated[
        RegisteredResult, Meta(description="The registered class, or what it is called there, and its definition.")
    ]
    built: Annotated[tuple[DefinitionResult, ...], Meta(description="Every definition that applies in this view.")]
    missing_facts: Annotated[tuple[MissingFact, ...], Meta(description="Facts that could change this verdict.")]
    near_misses: Annotated[tuple[NearMiss, ...], Meta(description="Definitions met in all but one element.")]
    working_reading: Annotated[
        WorkingReading | None,
        Meta(
            description="By what the class is read for want of a definition. Null: the definitions themselves decide."
        ),
    ] = None


class Assessment(Struct, frozen=True, kw_only=True):
    """How the registered class compares with the built use, for the trailer as it is: planned facts are not known."""

    as_of: Annotated[date, Meta(description="The date whose definitions apply.")]
    jurisdiction: Annotated[str | None, Meta(description="Where the trailer is registered. Null: not known.")]
    verdict: Annotated[Verdict, Meta(description="How the registered class compares with the built use.")]
    registered: Annotated[RegisteredResult, Meta(description="The registered class and its definition.")]
    built: Annotated[
        tuple[DefinitionResult, ...],
        Meta(description="Every definition that applies there, those of the nearest jurisdiction first."),
    ]
    missing_facts: Annotated[
        tuple[MissingFact, ...],
        Meta(description="Facts that could change an undetermined verdict, those that can settle it first."),
    ]
    presets: Annotated[
        tuple[PresetFact, ...],
        Meta(description="Facts that were not given and are taken from the registered class; none of them is missing."),
    ]
    remedies: Annotated[tuple[Remedy, ...], Meta(description="Usual ways to make registration and built use agree.")]
    statement: Annotated[
        str, Meta(description="The verdict and its reasons in a short paragraph, in the language of the locale.")
    ]
    near_misses: Annotated[tuple[NearMiss, ...], Meta(description="Definitions met in all but one element.")] = ()
    towing_rules: Annotated[
        tuple[TowingRuleResult, ...],
        Meta(
            description="Rules on weight, brakes, size and speed that apply to the trailer, or may apply; those that "
            "ask for equipment also where they do not. Where no brake rule was looked up, an entry says so."
        ),
    ] = ()
    vin_check: Annotated[
        VinCheck | None,
        Meta(
            description="What the VIN says by itself; without a VIN, a serial number of the base that has the shape of "
            "one, to confirm. Null: neither."
        ),
    ] = None
    standards: Annotated[
        tuple[StandardNamed, ...], Meta(description="Standards that the label on the trailer names.")
    ] = ()
    views: Annotated[
        tuple[View, ...], Meta(description="The trailer as planned, in insurers' terms, and across borders.")
    ] = ()
    working_reading: Annotated[
        WorkingReading | None,
        Meta(
            description="Not null: the place defines no such class; the verdict is that of this reading, not of its "
            "law. Settlements then leave the verdict open. Null: the definitions decide."
        ),
    ] = None

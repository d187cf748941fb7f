"""The commands of the program, in the order of its help."""

from typing import NamedTuple


class Entry(NamedTuple):
    """A command: its name, what it is for, the MODULE:FUNCTION that declares its options, and an example."""

    name: str
    purpose: str
    declared_in: str
    example: str


ENTRIES: dict[str, tuple[Entry, ...]] = {
    "a document": (
        Entry(
            "start",
            "begin a document with ten questions, or an empty one that explains its fields",
            "start:add_options",
            "hitchworth start camper.yaml",
        ),
        Entry(
            "import",
            "add receipts or hours from a file to a document",
            "imports:add_options",
            "hitchworth import receipts.csv --into camper.yaml",
        ),
        Entry(
            "check",
            "name the faults of a document, and what is not known yet, by the money at stake",
            "computations:add_options",
            "hitchworth check camper.yaml",
        ),
        Entry(
            "convert",
            "write a document in another format, or print it as JSON",
            "convert:add_options",
            "hitchworth convert camper.yaml -o camper.json",
        ),
        Entry(
            "workbook",
            "write a workbook: to fill in, or with its results",
            "workbook:add_options",
            "hitchworth workbook camper.yaml -o camper.xlsx",
        ),
        Entry(
            "macro",
            "write the macro for a spreadsheet program",
            "macro:add_options",
            "hitchworth macro libreoffice -o hitchworth.bas",
        ),
    ),
    "figures": (
        Entry(
            "estimate",
            "value every line of a build",
            "computations:add_options",
            "hitchworth estimate camper.yaml --as-of 2026-11-01",
        ),
        Entry(
            "classify",
            "compare the registered class with how the trailer is used",
            "computations:add_options",
            "hitchworth classify camper.yaml",
        ),
        Entry(
            "settle",
            "settle losses under policies, step by step",
            "computations:add_options",
            "hitchworth settle camper.yaml --format csv",
        ),
        Entry(
            "gap",
            "value the build, compare the class, settle each loss, and rank the questions",
            "computations:add_options",
            "hitchworth gap camper.yaml --locale de-DE",
        ),
        Entry(
            "curve",
            "value a build on a series of dates and compare a limit with it",
            "computations:add_options",
            "hitchworth curve camper.yaml --on 2026-11-01 --on 2028-11-01 --limit 60000",
        ),
        Entry(
            "compare",
            "compare two documents: what changed, in words, and what that changes of the values",
            "computations:add_options",
            "hitchworth compare last-year.yaml camper.yaml",
        ),
        Entry(
            "opinion",
            "get a second opinion of the value: adjust comparable sales to the build and weigh them with its cost",
            "computations:add_options",
            "hitchworth opinion camper.yaml",
        ),
        Entry(
            "protect",
            "check the protection measures and circuits of a build",
            "computations:add_options",
            "hitchworth protect camper.yaml",
        ),
        Entry(
            "documentation",
            "score what has a receipt, a photo and a serial number, and list the records to find first",
            "computations:add_options",
            "hitchworth documentation camper.yaml",
        ),
        Entry(
            "serials",
            "list every serial number, where it is and what shows it; or look a number up",
            "serials:add_options",
            "hitchworth serials camper.yaml --find CR85-19A-7730",
        ),
        Entry(
            "attention",
            "list what needs attention: limits outgrown, gaps, old answers, quotes that expire",
            "computations:add_options",
            "hitchworth attention camper.yaml",
        ),
        Entry(
            "quote",
            "quote a build as a workshop prices it",
            "computations:add_options",
            "hitchworth quote customer.yaml",
        ),
        Entry(
            "bill",
            "bill the progress of a contract: what is done, its tax, and what is to be paid after the deposit",
            "computations:add_options",
            "hitchworth bill progress.yaml",
        ),
        Entry(
            "batch",
            "estimate, or settle the losses of, many documents: a line of JSON each, or a folder",
            "batch:add_options",
            "hitchworth batch fleet.ndjson -o estimates.ndjson",
        ),
        Entry(
            "portfolio",
            "revalue many builds in several processes or on a cluster, and compare with an earlier run",
            "portfolio:add_options",
            "hitchworth portfolio revalue fleet --into runs/june --as-of 2026-06-01",
        ),
    ),
    "papers": (
        Entry(
            "sheet", "write the conversation sheet", "reports:add_sheet", "hitchworth sheet camper.yaml -o sheet.pdf"
        ),
        Entry(
            "report",
            "write another report, or all of them",
            "reports:add_report",
            "hitchworth report inventory camper.yaml -o inventory.pdf",
        ),
        Entry(
            "letter",
            "write a letter to the insurer or the registering authority",
            "reports:add_letter",
            "hitchworth letter confirm-answers camper.yaml -o letter.docx",
        ),
        Entry(
            "claim-pack",
            "write everything for one loss into a ZIP file: papers, tables, evidence",
            "claim_packs:add_options",
            "hitchworth claim-pack camper.yaml --loss fire --policy home --evidence photos -o pack.zip",
        ),
    ),
    "reference data, with sources": (
        Entry(
            "schedules",
            "list the depreciation schedules",
            "reference_lists:add_options",
            "hitchworth schedules tires",
        ),
        Entry(
            "categories",
            "list the categories of components and labor, each with its schedule",
            "reference_lists:add_options",
            "hitchworth categories battery",
        ),
        Entry(
            "facts",
            "list the facts that definitions ask for, and how to measure each",
            "reference_lists:add_options",
            "hitchworth facts length",
        ),
        Entry(
            "definitions",
            "list the published definitions of trailer classes",
            "reference_lists:add_options",
            "hitchworth definitions --jurisdiction US-WA",
        ),
        Entry(
            "jurisdictions",
            "list the places of registration, and how well definitions cover each",
            "reference_lists:add_options",
            "hitchworth jurisdictions Germany",
        ),
        Entry(
            "questions",
            "list the questions to settle before, during and after the build",
            "reference_lists:add_options",
            "hitchworth questions deductible",
        ),
        Entry(
            "wages",
            "list hourly wages by trade, and what they come to with the employer's costs",
            "reference_lists:add_options",
            "hitchworth wages welder",
        ),
        Entry(
            "indexes",
            "list the published price indexes, month by month",
            "reference_lists:add_options",
            "hitchworth indexes --format csv",
        ),
    ),
    "kept builds and the server": (
        Entry(
            "demo",
            "serve the API, appraise a fictional build and write its sheet",
            "demo:add_options",
            "hitchworth demo",
        ),
        Entry(
            "serve",
            "serve the API until interrupted",
            "serve:add_options",
            "hitchworth serve --port 8000 --database builds.db",
        ),
        Entry(
            "builds",
            "keep builds: add, change, list, compare and verify them",
            "builds:add_options",
            "hitchworth builds add camper.yaml --database builds.db",
        ),
        Entry(
            "quotes",
            "keep quotes: add, change, accept and compare them, with their change orders",
            "quotes:add_options",
            "hitchworth quotes add quote.json --database builds.db",
        ),
        Entry(
            "evidence",
            "add, list and collect photos and papers of builds",
            "evidence:add_options",
            "hitchworth evidence add photos --build 0f3c9a7be21d4c58 --database builds.db",
        ),
        Entry(
            "keys",
            "make, list, rotate and revoke keys",
            "keys:add_options",
            "hitchworth keys create workshop --database builds.db",
        ),
        Entry(
            "workspaces",
            "make, list and delete workspaces",
            "database:add_workspaces",
            "hitchworth workspaces list --database builds.db",
        ),
        Entry(
            "webhooks",
            "send the messages to webhooks",
            "webhooks:add_options",
            "hitchworth webhooks deliver --database builds.db",
        ),
        Entry(
            "backup",
            "write one state of a database into a file, also while it is served",
            "database:add_backup",
            "hitchworth backup friday.db --database builds.db",
        ),
        Entry(
            "restore",
            "copy a backup into a database that holds nothing, and verify it",
            "database:add_restore",
            "hitchworth restore friday.db --database new.db",
        ),
        Entry(
            "copy-database",
            "copy a database into one that holds nothing",
            "database:add_copy",
            "hitchworth copy-database builds.db postgresql://hitchworth@localhost/builds",
        ),
        Entry(
            "export",
            "write everything of a workspace into a ZIP file",
            "database:add_export",
            "hitchworth export everything.zip --database builds.db",
        ),
        Entry(
            "migrate",
            "bring the tables of a database up to this release",
            "migrate:add_options",
            "hitchworth migrate --database builds.db",
        ),
        Entry(
            "completion",
            "print what a shell needs to complete commands and options",
            "completion:add_options",
            "hitchworth completion bash",
        ),
        Entry("help", "describe the program or a command", "parser:add_help", "hitchworth help estimate"),
    ),
}
"""The commands by what they are about, in the order of the help."""

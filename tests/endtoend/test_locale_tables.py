"""The tables of an estimate in a spreadsheet program with German settings: it adds them up as we do, to the cent.

The program opens a file with the number format of its locale, as a person does who clicks on it.
"""

import subprocess
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.model.estimate import Estimate
from hitchworth.model.request import EstimateRequest
from hitchworth.operations import result_tables
from hitchworth.operations.appraisals import create_estimate, create_gap_statement
from hitchworth.operations.renderings import AS_TABLE
from hitchworth.operations.tables import columns_of, filled
from installed import installed

SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop></item></oor:items>"""
DELIMITERS = {"de-DE": ";", "fr-CA": ";", "en-US": ",", "en-GB": ","}
OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"


def cells(file: Path, locale: str, delimiter: str) -> list[list[tuple[str, str]]]:
    """The cells of a file as the program understands them: each with its type, and its value.

    For CSV, the filter is told the delimiter and UTF-8, as the dialog shows them; language 0 is that of the settings.
    """
    profile = file.parent / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(SETTINGS.format(locale=locale))
    program = installed("soffice", package="libreoffice-calc")
    command = [program, "--headless", "--norestore", f"-env:UserInstallation={profile.as_uri()}"]
    if file.suffix == ".csv":
        command.append(f"--infilter=Text - txt - csv (StarCalc):{ord(delimiter)},34,76,1,,0,false,true")
    command += ["--convert-to", "fods", "--outdir", str(file.parent), str(file)]
    run = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert run.returncode == 0, run.stderr
    sheet = next(ElementTree.parse(file.with_suffix(".fods")).iter(f"{TABLE}table"))
    return [list(_row(row)) for row in sheet.iter(f"{TABLE}table-row")]


def _row(row: ElementTree.Element) -> Iterable[tuple[str, str]]:
    for cell in row.iter(f"{TABLE}table-cell"):
        kind = cell.get(f"{OFFICE}value-type", "")
        value = cell.get(f"{OFFICE}date-value") or cell.get(f"{OFFICE}value") or "".join(cell.itertext()).strip()
        yield from [(kind, value)] * min(int(cell.get(f"{TABLE}number-columns-repeated", "1")), 300)


def estimate(locale: str) -> Estimate:
    demo = demo_request()
    first = replace(demo.build.components[0], description='=HYPERLINK("x")')
    build = replace(demo.build, components=(first, *demo.build.components[1:]))
    return create_estimate(EstimateRequest(build=build, as_of=demo.as_of, locale=locale))


@pytest.mark.parametrize("form", ["csv", "xlsx", "ods"])
@pytest.mark.parametrize("locale", ["de-DE", "en-US"])
def test_the_program_adds_the_table_up_as_we_do(locale: str, form: str, tmp_path: Path) -> None:
    ours = estimate(locale)
    rendering = next(each for each in AS_TABLE if each.name == form)
    file = tmp_path / f"estimate.{form}"
    file.write_bytes(rendering.render(filled(result_tables.ESTIMATE[0], ours, locale)))
    head, *rows = cells(file, locale, DELIMITERS[locale])
    rows = [row for row in rows if row and row[0][1]]
    names = [column.name for column in columns_of(result_tables.ESTIMATE[0].record)]
    assert [text for _, text in head[: len(names)]] == names
    assert len(rows) == len(ours.lines)
    for place, column in enumerate(columns_of(result_tables.ESTIMATE[0].record)):
        if column.kind not in ("money", "number", "share"):
            continue
        kinds = {row[place][0] for row in rows}
        assert kinds <= {"float", "currency", "percentage"}, (column.name, kinds)
        assert (form == "csv" or column.kind != "money") or kinds == {"currency"}
        theirs = sum(Decimal(row[place][1]) for row in rows)
        assert theirs == sum(getattr(line, column.name) for line in ours.lines), column.name
    mark = "'" if form == "csv" else ""  # a file that does not tell text from formulas
    assert rows[0][names.index("description")] == ("string", f'{mark}=HYPERLINK("x")')
    total = sum(Decimal(row[names.index("replacement_cost")][1]) for row in rows)
    assert total == ours.totals.replacement_cost


@pytest.mark.parametrize("form", ["csv", "xlsx", "ods"])
def test_the_program_reads_the_dates_as_dates(form: str, tmp_path: Path) -> None:
    statement = create_gap_statement(replace(demo_request(), locale="de-DE"))
    rendering = next(each for each in AS_TABLE if each.name == form)
    file = tmp_path / f"settlements.{form}"
    file.write_bytes(rendering.render(filled(result_tables.GAP_STATEMENT[0], statement, "de-DE")))
    head, first, *_ = cells(file, "de-DE", ";")
    place = [text for _, text in head].index("valued_on")
    assert first[place] == ("date", statement.settlements[0].valued_on.isoformat())

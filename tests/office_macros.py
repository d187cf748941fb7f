"""Macros run by a real office without a window, in a profile of its own.

A new profile overwrites what lies in it, so the office is started once before the macro is installed. Its exit code
says nothing, and a document that stays open keeps it running for ever: the macro that drives the run writes how it
ended into a file, and closes the document in any case.
"""

import os
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from xml.sax.saxutils import escape

from installed import installed

LINKS_ALWAYS = """<item oor:path="/org.openoffice.Office.Common/Security/Scripting">\
<prop oor:name="SecureURL" oor:op="fuse"><value><it>{folder}</it></value></prop></item>\
<item oor:path="/org.openoffice.Office.Calc/Content/Update">\
<prop oor:name="Link" oor:op="fuse"><value>0</value></prop></item>"""
"""Documents in the folder may fetch from other places without asking."""

LOCALE = """<item oor:path="/org.openoffice.Setup/L10N">\
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop></item>"""

DRIVER = """Option Explicit
Sub Run
  Dim doc As Object, ended As String, file As Integer
  On Error Goto Failed
  Dim how(1) As New com.sun.star.beans.PropertyValue
  how(0).Name = "UpdateDocMode" : how(0).Value = 3
  how(1).Name = "MacroExecutionMode" : how(1).Value = 4
  doc = StarDesktop.loadComponentFromURL(Environ("SHEET_URL"), "_blank", 0, how())
  If Environ("ACTIVE") <> "" Then doc.CurrentController.setActiveSheet(doc.Sheets.getByName(Environ("ACTIVE")))
{steps}
  doc.store()
  ended = "done"
  Goto Finish
Failed:
  ended = "failed: " & Error$ & " in line " & Erl
  Resume Finish
Finish:
  If Not IsNull(doc) Then doc.close(True)
  file = FreeFile
  Open Environ("SHEET_LOG") For Output As #file
  Print #file, ended
  Close #file
End Sub
"""

MODULE = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="{name}" script:language="StarBasic">\
{source}</script:module>
"""
LIBRARY = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE library:library PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "library.dtd">
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard" library:readonly="false" \
library:passwordprotected="false">{elements}</library:library>
"""


class Office:
    """An office with a profile in a folder. Every run is a process of its own, with a limit of time."""

    def __init__(self, folder: Path, locale: str = "en-US") -> None:
        """Make the profile."""
        self._program = installed("soffice", package="libreoffice-calc")
        self._folder, self._profile = folder, folder / "profile"
        self._start("--terminate_after_init")
        settings = self._profile / "user" / "registrymodifications.xcu"
        more = LINKS_ALWAYS.format(folder=folder.as_uri()) + LOCALE.format(locale=locale)
        settings.write_text(settings.read_text("utf-8").replace("</oor:items>", f"{more}</oor:items>"), "utf-8")

    def run(self, document: Path, steps: Sequence[str], modules: Mapping[str, str], active: str = "") -> None:
        """Open a document, run the steps, and store it. Fails where a step does."""
        driver = DRIVER.format(steps="\n".join(f"  {step}" for step in steps))
        self._install({**modules, "Driver": driver})
        log = self._folder / "ended.txt"
        log.unlink(missing_ok=True)
        variables = {"SHEET_URL": document.as_uri(), "SHEET_LOG": str(log), "ACTIVE": active}
        self._start("macro:///Standard.Driver.Run", **variables)
        assert log.exists(), "the macro that drives the run has not ended"
        ended = log.read_text("utf-8").strip()
        assert ended == "done", ended

    def convert(self, document: Path, kind: str) -> Path:
        """Write a document in another format, and return the new file."""
        self._start("--convert-to", kind, "--outdir", str(self._folder), str(document))
        return self._folder / f"{document.stem}.{kind.partition(':')[0]}"

    def _install(self, modules: Mapping[str, str]) -> None:
        library = self._profile / "user" / "basic" / "Standard"
        library.mkdir(parents=True, exist_ok=True)
        for name, source in modules.items():
            (library / f"{name}.xba").write_text(MODULE.format(name=name, source=escape(source)), "utf-8")
        elements = "".join(f'<library:element library:name="{name}"/>' for name in modules)
        (library / "script.xlb").write_text(LIBRARY.format(elements=elements), "utf-8")

    def _start(self, *arguments: str, **variables: str) -> None:
        profile = f"-env:UserInstallation={self._profile.as_uri()}"
        command = [self._program, "--headless", "--norestore", profile, *arguments]
        subprocess.run(command, timeout=120, check=True, capture_output=True, env={**os.environ, **variables})

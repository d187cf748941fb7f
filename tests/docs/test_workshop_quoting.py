"""The script that shows a workshop how to quote runs, is short, and uses nothing but the client."""

import os
import re
import subprocess
import sys
from pathlib import Path

from documents import GUIDE, ROOT, text_of
from hitchworth.web.server import running

SCRIPT = ROOT / "sdk" / "examples" / "workshop_quoting.py"


def test_it_is_short_and_needs_only_the_client() -> None:
    source = SCRIPT.read_text("utf-8")
    assert len(source.splitlines()) < 60
    imported = set(re.findall(r"^(?:from|import) (\w+)", source, re.MULTILINE))
    assert imported <= {*sys.stdlib_module_names, "hitchworth_sdk"}
    assert "sdk/examples/workshop_quoting.py" in text_of(f"{GUIDE}/quotes.md")


def test_it_quotes(tmp_path: Path) -> None:
    with running() as address:
        run = subprocess.run(
            [sys.executable, str(SCRIPT), str(tmp_path)],
            env={**os.environ, "HITCHWORTH_URL": address},
            capture_output=True,
            text=True,
            check=False,
        )
    assert run.returncode == 0, run.stderr
    # 2,450 x 1 (a bought base has overhead and profit inside), 13 sheets and 2 panels with them, 71 hours at 82:
    # 968.50 + 378 = 1,346.50; x 1.1 / 0.85 = 1,742.53; 2,450 + 1,742.53 + 5,822 = 10,014.53; 5 % of it 500.73.
    assert "Camper: $10,515.26 as quoted on June 1, 2026; at most" in run.stdout
    assert "Is this taxed where the trailer is sold: materials?" in run.stdout
    assert (tmp_path / "quote.pdf").read_bytes().startswith(b"%PDF")

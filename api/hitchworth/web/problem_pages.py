"""The page of a problem type, for who follows the `type` of a problem: made from its record."""

import re
from html import escape
from http import HTTPStatus

from hitchworth.operations.renderings import Rendering
from hitchworth.web.problems import ProblemType

CONTENT_SECURITY_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; frame-ancestors 'none'"
"""The page loads nothing and runs nothing."""

_HTML = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{title}</title>
<style>body {{ font: 1.1rem/1.5 system-ui, sans-serif; max-width: 40rem; margin: 2rem auto; padding: 0 1rem }}</style>
</head>
<body>
<main>
<h1>{title}</h1>
<p>{description}</p>
<p>Problem type <code>{type}</code>, HTTP status {status}.</p>
<p><a href="../docs">The documentation</a></p>
</main>
</body>
</html>
"""
_CODE = re.compile("`([^`]+)`")
_MARKDOWN = """# {title}

{description}

Problem type `{type}`, HTTP status {status}.
"""


def _phrase(kind: ProblemType) -> str:
    return f"{kind.status} {HTTPStatus(kind.status).phrase}"


def _html(kind: ProblemType) -> bytes:
    texts = {"title": kind.title, "description": kind.description, "type": kind.type, "status": _phrase(kind)}
    return _HTML.format_map(
        {name: _CODE.sub(r"<code>\1</code>", escape(text)) for name, text in texts.items()}
    ).encode()


def _markdown(kind: ProblemType) -> bytes:
    return _MARKDOWN.format(
        title=kind.title, description=kind.description, type=kind.type, status=_phrase(kind)
    ).encode()


AS_PAGE = (Rendering("html", "text/html", _html), Rendering("markdown", "text/markdown", _markdown))
"""The formats of a problem type for people."""

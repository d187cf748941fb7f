"""The guide: chapters in Markdown, made into pages and searched. It needs no network."""

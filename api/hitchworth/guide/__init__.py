"""The guide: chapters in Markdown, made into pages and searched. It is read where the server runs, without a network."""

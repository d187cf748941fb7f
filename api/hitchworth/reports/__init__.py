"""Sheets to hold in the hand: their content, once, and its forms as HTML, PDF, DOCX and Markdown."""

"""Printed reports: their content, built once, and its output as HTML, PDF, DOCX and Markdown."""

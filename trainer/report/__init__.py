"""Sheets to print: self-contained pages and plain text of the same matter."""

"""Worksheet functions in each spreadsheet program, rendered from the list in calc.registry."""

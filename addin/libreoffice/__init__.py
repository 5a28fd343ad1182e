"""The LibreOffice extension, rendered from the list in calc.registry."""

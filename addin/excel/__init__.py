"""The module for Excel on Windows, rendered from the list in calc.registry."""

"""The lot as plain data, whoever read its cells: a library from a file, or LibreOffice from an open window.

Nothing here knows a file, and nothing needs more than the standard library: LibreOffice's own Python runs it.
"""

"""The trade: its formulas as small pure functions, and how they are said in cells.

Standard library only, relative imports only, Python 3.10: LibreOffice's own Python carries all of it.
Nothing here knows a workbook, a file or a spreadsheet program.
"""

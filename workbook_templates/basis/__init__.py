"""What every sheet is made with: units, style, references into tables.

Nothing here knows a sheet or a file.
"""

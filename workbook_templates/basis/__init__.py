"""What every sheet is made with: units, style, references into tables, and where each limit stands.

Nothing here knows another sheet or a file.
"""

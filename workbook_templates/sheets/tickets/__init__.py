"""The Tickets sheet: what a scale says, one row a weighing, and what it comes to.

``columns.py`` and ``results.py`` need the standard library only: LibreOffice's own Python runs them too.
"""

"""What the sheets say of their figures: each figure and each check once, as an expression over figures named by key.

LIMITS are the figures that a yard may change; ``entries.py`` says what is not likely of what was typed.

Nothing here knows a sheet, a heading or a unit: those come as places and values. Standard library only.
"""

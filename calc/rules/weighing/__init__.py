"""What scale tickets say of a trailer, and what disagrees: between them, with the Lot, with ratings.

Expressions over a weighing's entries and the Lot's figures by key; nothing here knows a sheet. Standard library only.
"""

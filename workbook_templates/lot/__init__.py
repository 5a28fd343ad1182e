"""The Lot sheet and the options it reads: columns, formulas, reading, results, review.

Nothing here knows a machine or a truck.
"""

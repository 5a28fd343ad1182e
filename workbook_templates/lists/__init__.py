"""Any list that comes in: readers, headings, quantities, dates; and lists that are written.

Nothing here knows a workbook of ours.
"""

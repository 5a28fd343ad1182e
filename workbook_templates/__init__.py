"""Workbooks: the sheets as literal tables, their files, and lists that come in.

Rooms look downward only: updates, hauling, sheets, lot, lists, ooxml, basis.
Nothing here prints, asks or knows which program a person has.
"""

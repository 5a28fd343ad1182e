"""Bringing an older lot up to date: what its entries are, what each sheet of ours needs, and the doing of it.

Nothing here prints or asks. ``plan`` is where to start reading.
"""

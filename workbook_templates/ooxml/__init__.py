"""Edits inside a package that leave every other byte alone, and files put in place safely.

Nothing here knows trailers, sheets of ours or lists that come in.
"""

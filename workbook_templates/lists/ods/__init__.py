"""Lists in an ODS file: its sheets' rows, with the numbers in them as a person sees them.

It knows nothing of headings, and nothing of other forms of files.
"""

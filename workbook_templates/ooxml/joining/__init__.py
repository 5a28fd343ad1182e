"""Parts of one package brought into another: sheets with all that hangs on them, the looks of cells, names.

Like the rest of this room it knows nothing of trailers.
"""

"""How the trade is said in cells: plain formulas, workbook names, and values that go in and come out.

Formula text is written here and in the registry, and nowhere else.
Nothing here knows which sheet or file a cell stands in.
"""

"""The commands ``import`` and ``tickets``: a list of trailers, or what scales say, into a lot workbook.

What it does stands in ``workbook_templates/updates``; here it is asked for and said.
"""

"""The command ``import``: a list of trailers into a lot workbook.

What it does stands in ``workbook_templates/updates``; here it is asked for and said.
"""

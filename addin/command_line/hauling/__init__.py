"""The commands about hauling: which trailers carry a machine, and a page for the customer.

What they answer stands in ``workbook_templates/hauling``; here it is asked for and said.
"""

"""Changes to a workbook that is there: the import's plan and its application, results stored anew, copies of values.

Nothing here prints or asks.
"""

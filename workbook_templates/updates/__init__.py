"""Changes to a workbook that is there: the import's plan and its carrying out, results stored anew, copies of values.

Nothing here prints or asks.
"""

"""The lot workbook: columns, sheets, stored results, edits inside a package, bulk update."""

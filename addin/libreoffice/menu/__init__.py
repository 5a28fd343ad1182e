"""The menu Tarelot in LibreOffice Calc: what each entry does, in the workbook that is open.

Carried inside the extension and run by LibreOffice's own Python: nothing here needs a library beside the standard one.
"""

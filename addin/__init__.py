"""What a person meets: the command, LibreOffice's extension, Excel's module.

Everything looks down from here; nothing below imports it.
"""

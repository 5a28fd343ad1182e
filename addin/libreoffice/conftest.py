"""The component is imported by LibreOffice alone; the tests run it there."""

collect_ignore = ["component.py"]

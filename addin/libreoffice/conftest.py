"""What is imported by LibreOffice alone; the tests run it there."""

collect_ignore = ["component.py", "menu.py", "menu_dialogs.py", "menu_review.py", "menu_workbook.py"]

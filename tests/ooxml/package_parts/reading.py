"""Reads and changes packages for the package tests with means of their own."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl

from tests.ooxml.package_parts.by_hand import SHEET, Made, remade


def by_hand(plain: Path, made: Made) -> Path:
    path = plain.with_name("by hand.xlsx")
    remade(plain, path, made)
    return path


def with_sheet(plain: Path, change: Callable[[str], str]) -> Path:
    return by_hand(plain, Made(changed={SHEET: change}))


def lot(path: Path, *, results: bool = False) -> Any:
    return openpyxl.load_workbook(path, data_only=results)["Lot"]


def part(path: Path, name: str = SHEET) -> str:
    with zipfile.ZipFile(path) as package:
        return package.read(name).decode()

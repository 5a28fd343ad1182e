"""Every example in a docstring of the product gives what it says."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
from types import ModuleType

import pytest

from tarelot import addin, calc, workbook_templates

IN_LIBREOFFICE_ALONE = {
    f"tarelot.addin.libreoffice.{name}"
    for name in (
        "component",
        *(
            f"menu.{name}"
            for name in (
                "cells",
                "component",
                "dialogs",
                "importing",
                "lists",
                "lot",
                "preview",
                "review",
                "rows",
                "tickets",
                "workbook",
            )
        ),
    )
}
"""They import uno; the tests run them there."""
RUN_AS_PROGRAM = {"tarelot.addin.command_line.__main__"}


def modules(package: ModuleType) -> list[str]:
    """The names of all modules of a package."""
    found = pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
    return [module.name for module in found if module.name not in IN_LIBREOFFICE_ALONE | RUN_AS_PROGRAM]


MODULES = [name for package in (calc, workbook_templates, addin) for name in modules(package)]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples() -> None:
    finder = doctest.DocTestFinder()
    assert sum(bool(test.examples) for name in MODULES for test in finder.find(importlib.import_module(name))) > 80

"""A LibreOffice with the menu Tarelot, and lots for it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tarelot.addin.libreoffice.build import build
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines.office import Office
from tests.lot.small_lot import write_demo_lot


@pytest.fixture(scope="module")
def office_with_menu(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """A LibreOffice with the extension alone: nothing of ours, and no library, can be imported there."""
    with Office(build(tmp_path_factory.mktemp("menu") / "tarelot.oxt")) as running:
        yield running


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo yard's lot with its lists beside it; nothing may write there."""
    folder = tmp_path_factory.mktemp("demo")
    write_demo_lot(folder / "lot.xlsx")
    demo_yard.copy_lists(folder)
    return folder


@pytest.fixture
def yard(demo: Path, tmp_path: Path) -> Path:
    """A copy of it for one test."""
    return Path(shutil.copytree(demo, tmp_path / "yard"))


@pytest.fixture
def whole_yard(yard: Path, demo_workbook: Path) -> Path:
    """The same with every sheet of the workbook, for what the sheets beside the lot might upset."""
    shutil.copy(demo_workbook, yard / "lot.xlsx")
    return yard

"""Fixtures that several test files share: one headless LibreOffice for a whole run (for each worker under xdist)."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.engines.office import Office

# How fast this machine is says nothing about the code.
settings.register_profile("any-machine", settings(), deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any-machine")

# A workbook is some hundred thousand objects that stay: to look through them for cycles takes a tenth of a run.
gc.set_threshold(100_000, 50, 50)

collect_ignore = ["office_server.py", "office_values.py", "office_person.py"]  # run under LibreOffice's own Python only

OFFICES = {"office", "office_with_addin", "office_with_menu", "office_alone", "asking_office"}


def pytest_configure(config: pytest.Config) -> None:
    """`make quick` leaves slow tests out; `make test`, `make check` and `.ci/run` run every test."""
    config.addinivalue_line("markers", "slow: asks LibreOffice, or takes seconds; left out by `make quick` alone")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Whatever asks for a LibreOffice is slow."""
    for item in items:
        if OFFICES & set(getattr(item, "fixturenames", ())):
            item.add_marker("slow")


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """What `tarelot demo` writes, once a run since it takes seconds; tests that write take a copy."""
    from tarelot.addin.command_line.main import main

    folder = tmp_path_factory.mktemp("demo")
    assert main(["demo", "--out", str(folder)]) == 0
    before = {path: path.read_bytes() for path in folder.iterdir()}
    yield folder
    assert {path: path.read_bytes() for path in folder.iterdir()} == before, "a test wrote where others read"


@pytest.fixture(scope="session")
def demo_workbook(demo_folder: Path) -> Path:
    """The demo yard's workbook; tests that write take a copy."""
    return demo_folder / "tarelot-demo.xlsx"


@pytest.fixture(scope="session")
def office() -> Iterator[Office]:
    """A LibreOffice without our extension."""
    with Office() as running:
        yield running


@pytest.fixture(scope="session")
def extension(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Our LibreOffice extension, built from the sources."""
    from tarelot.addin.libreoffice.build import build

    target = tmp_path_factory.mktemp("extension") / "tarelot.oxt"
    build(target)
    return target


@pytest.fixture(scope="session")
def office_with_addin(extension: Path) -> Iterator[Office]:
    """A LibreOffice with our extension installed."""
    with Office(extension) as running:
        yield running

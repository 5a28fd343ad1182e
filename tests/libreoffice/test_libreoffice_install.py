"""`install`, `check` and `uninstall` against LibreOffice's own unopkg, and every way in which they refuse."""

from __future__ import annotations

import functools
import os
import subprocess
import sys
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

import pytest

from tarelot.addin.libreoffice import install as module
from tarelot.addin.libreoffice.install import InstallError, check, default_profile, find_office, install, uninstall
from tests.engines.office import Office, add_extension, ordinary_user, profile_folder

FORMULA = "LOT_PAYLOAD(14000,4000)"


@pytest.fixture
def as_ordinary_user(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the tests run as root, the programs they start run as an ordinary user, and the code sees one."""
    user = ordinary_user()
    monkeypatch.setattr(subprocess, "run", functools.partial(subprocess.run, **user))
    monkeypatch.setattr(os, "geteuid", lambda: user.get("user", os.getuid()))


@pytest.fixture
def fresh_office(monkeypatch: pytest.MonkeyPatch) -> Iterator[Office]:
    """A LibreOffice of its own, running, whose profile may be changed; programs keep their caches there too."""
    with Office() as office:
        monkeypatch.setenv("HOME", str(office.profile))
        yield office


@pytest.fixture
def profile(fresh_office: Office) -> Path:
    """Its profile, after a first start, with the office ended."""
    fresh_office.stop()
    return profile_folder(fresh_office.folder)


@pytest.fixture
def readable_extension(extension: Path, fresh_office: Office) -> Path:
    """The extension where an ordinary user can read it."""
    copy = fresh_office.folder / "tarelot.oxt"
    copy.write_bytes(extension.read_bytes())
    copy.chmod(0o644)
    return copy


def files_of_the_extension(profile: Path) -> list[Path]:
    """Files in a profile that LibreOffice has from the extension.

    Its log is left out, and so is its own waste folder: it moves what it removes there, and empties it when it next
    adds or removes any extension.
    """
    waste = profile / "user" / "extensions" / "tmp"
    files = [path for path in profile.rglob("*") if path.is_file() and waste not in path.parents]
    ours = [path for path in files if "tarelot" in str(path.relative_to(profile)) or b"tarelot" in path.read_bytes()]
    return [path for path in ours if path.name != "log.txt"]


@pytest.mark.usefixtures("as_ordinary_user")
class TestInstall:
    def test_install_use_and_remove(self, fresh_office: Office, profile: Path, readable_extension: Path) -> None:
        install(readable_extension, profile)
        assert check(profile) == version("tarelot")
        assert files_of_the_extension(profile)
        install(readable_extension, profile)  # again, as an update does
        fresh_office.start()
        assert fresh_office.evaluate([FORMULA]) == [10_000]
        fresh_office.stop()
        profile_folder(fresh_office.folder)  # root's LibreOffice has written there in between

        uninstall(profile)
        fresh_office.start()
        assert fresh_office.evaluate([FORMULA]) == ["#NAME?"]
        assert fresh_office.function_names("LOT_") == []
        fresh_office.stop()
        assert files_of_the_extension(profile) == []

    def test_before_the_first_start_of_libreoffice(self, extension: Path) -> None:
        with Office(extension) as office:
            assert office.evaluate([FORMULA]) == [10_000]

    def test_check_and_uninstall_without_it(self, profile: Path) -> None:
        for refused in (check, uninstall):
            with pytest.raises(InstallError, match="^the extension is not installed in LibreOffice$"):
                refused(profile)

    def test_check_sees_that_it_is_switched_off(self, fresh_office: Office, profile: Path, extension: Path) -> None:
        add_extension(fresh_office.installation.unopkg, extension, fresh_office.folder)
        registered = next(profile.rglob("*component.PackageRegistryBackend/unorc"))
        registered.unlink()
        with pytest.raises(InstallError, match="^the extension is installed but switched off: install it again$"):
            check(profile)

    def test_a_file_that_is_no_extension(self, fresh_office: Office, profile: Path) -> None:
        bad = fresh_office.folder / "bad.oxt"
        bad.write_text("x")
        with pytest.raises(InstallError, match="^LibreOffice refused: .*Zip"):
            install(bad, profile)

    def test_while_libreoffice_is_open(self, fresh_office: Office, readable_extension: Path) -> None:
        assert fresh_office.evaluate(["1+1"]) == [2]
        for refused in (lambda: install(readable_extension, fresh_office.profile), lambda: check(fresh_office.profile)):
            with pytest.raises(InstallError, match="^LibreOffice is open: close it"):
                refused()


class TestRefusals:
    def test_root(self, monkeypatch: pytest.MonkeyPatch, profile: Path, extension: Path) -> None:
        monkeypatch.setattr(os, "geteuid", lambda: 0)
        with pytest.raises(InstallError, match="^LibreOffice has no extensions for root: run this as the user"):
            install(extension, profile)

    def test_no_libreoffice(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(module, "_program_folders", list)
        with pytest.raises(InstallError, match="^LibreOffice is not installed"):
            find_office()

    @pytest.mark.parametrize(
        ("said", "refusal"),
        [
            ("LibreOffice 7.4.7.2 40(Build:2)", "^LibreOffice 7.4.7.2 is too old: version 25.2 or later is needed$"),
            ("LibreOffice 24.8.4.2 bb3cfa12c7b1bf994ecc5649a80400d06cd71002", "is too old"),
            ("something else", "does not say which version"),
        ],
    )
    def test_other_programs(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, said: str, refusal: str) -> None:
        stand_in(tmp_path / "soffice", f"echo '{said}'")
        monkeypatch.setenv("PATH", str(tmp_path))
        with pytest.raises(InstallError, match=refusal):
            find_office()

    def test_a_program_that_hangs(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        stand_in(tmp_path / "soffice", "exec /bin/sleep 30")
        monkeypatch.setenv("PATH", str(tmp_path))
        monkeypatch.setattr(module, "TOOL_SECONDS", 0.2)
        with pytest.raises(InstallError, match="did not end within 0.2 seconds$"):
            find_office()

    def test_every_refusal_is_one_line(self) -> None:
        output = "\nERROR: Exception occurred: Zip too small!\n\nERROR: unopkg failed.\n\n"
        assert module._reason(output) == "LibreOffice refused: Exception occurred: Zip too small!"
        assert module._reason("") == "LibreOffice refused and gave no reason"


def stand_in(path: Path, command: str) -> None:
    """A program of this name that does one thing."""
    path.write_text(f"#!/bin/sh\n{command}\n")
    path.chmod(0o755)


class TestOtherSystems:
    """Where LibreOffice's installers put things on systems that these tests do not run on."""

    def test_windows(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        monkeypatch.setattr(sys, "platform", "win32")
        monkeypatch.setenv("ProgramFiles", str(tmp_path))  # noqa: SIM112 - its spelling on Windows
        monkeypatch.setenv("APPDATA", str(tmp_path))
        monkeypatch.setenv("PATH", "")
        folder = tmp_path / "LibreOffice" / "program"
        folder.mkdir(parents=True)
        stand_in(folder / "soffice.com", "echo LibreOffice 25.8.1.1")
        assert find_office().unopkg == folder / "unopkg.com"
        assert default_profile() == tmp_path / "LibreOffice" / "4"

    def test_macos(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        monkeypatch.setattr(sys, "platform", "darwin")
        monkeypatch.setenv("HOME", str(tmp_path))
        monkeypatch.setenv("PATH", "")
        folder = tmp_path / "Applications" / "LibreOffice.app" / "Contents" / "MacOS"
        folder.mkdir(parents=True)
        stand_in(folder / "soffice", "echo LibreOffice 26.2.0.1")
        assert find_office().unopkg == folder / "unopkg"
        assert default_profile() == tmp_path / "Library" / "Application Support" / "LibreOffice" / "4"

    def test_linux_profile(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        monkeypatch.setattr(sys, "platform", "linux")
        monkeypatch.setenv("HOME", str(tmp_path))
        monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
        assert default_profile() == tmp_path / ".config" / "libreoffice" / "4"
        monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
        assert default_profile() == tmp_path / "settings" / "libreoffice" / "4"

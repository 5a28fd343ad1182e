"""Where this machine has its packages from, Debian's and Python's, written into a system in a folder."""
# ruff: noqa: S603, S607 - programs of the system by their names, arguments of our own

from __future__ import annotations

import configparser
import os
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

PIP_FILES = ("/etc/xdg/pip/pip.conf", "/etc/pip.conf", "~/.pip/pip.conf", "~/.config/pip/pip.conf")
PIP_KEYS = (  # those that say where packages come from; the others are this machine's own affair
    "index-url",
    "extra-index-url",
    "find-links",
    "no-index",
    "trusted-host",
    "proxy",
    "cert",
    "constraint",
    "timeout",
    "default-timeout",
    "retries",
)
VARIABLES = re.compile(r"((https?|ftp|no|all)_proxy|SSL_CERT_FILE|REQUESTS_CA_BUNDLE)", re.IGNORECASE)
NOT_WHERE = ("Acquire::IndexTargets", "Acquire::Changelogs", "Acquire::cdrom")
KEYRING = "/usr/share/keyrings/debian-archive-keyring.gpg"
CERTIFICATES = Path("/usr/local/share/ca-certificates")
NETWORK_FILES = ("/etc/resolv.conf", "/etc/hosts")


class SettingsError(Exception):
    """This machine does not say where it has its packages from."""


@dataclass(frozen=True)
class Settings:
    """What a system needs to have its packages from where this machine has them."""

    codename: str
    mirrors: dict[str, str]  # by release, such as bookworm-security
    apt: list[str]  # lines of its configuration
    pip: dict[str, str]
    variables: dict[str, str]
    files: set[Path]  # that those name; copied
    bound: set[Path]  # folders that those name; seen, not copied

    @property
    def mirror(self) -> str:
        """The mirror of Debian itself."""
        return self.mirrors[self.codename]

    def environment(self) -> dict[str, str]:
        """For a program outside, such as debootstrap, which knows nothing of apt's proxy."""
        proxy = re.search(r'^Acquire::http::Proxy "(http[^"]+)"', "\n".join(self.apt), re.MULTILINE)
        return {**({"http_proxy": proxy[1]} if proxy else {}), **os.environ}

    def write(self, root: Path, release: str, layout: str) -> None:
        """Write all of it there, apt's sources in the old layout ("list") or the new one ("sources")."""
        suites = [(suite, self._mirror(suite)) for suite in (release, f"{release}-updates", f"{release}-security")]
        lists = root / "etc/apt"
        (lists / "sources.list").unlink(missing_ok=True)
        if layout == "list":
            lines = [f"deb {uri} {suite} main\n" for suite, uri in suites if uri]
            (lists / "sources.list").write_text("".join(lines), encoding="utf-8")
        else:
            lines = [
                f"Types: deb\nURIs: {uri}\nSuites: {suite}\nComponents: main\nSigned-By: {KEYRING}\n\n"
                for suite, uri in suites
                if uri
            ]
            (lists / "sources.list.d/debian.sources").write_text("".join(lines), encoding="utf-8")
        (lists / "apt.conf.d/00machine").write_text("".join(f"{line}\n" for line in self.apt), encoding="utf-8")
        pip = "".join(f"{key} = {value}\n" for key, value in self.pip.items())
        (root / "etc/pip.conf").write_text(f"[global]\n{pip}", encoding="utf-8")
        for file in self.files:
            copy = root / file.relative_to("/")
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(file, copy)

    def _mirror(self, suite: str) -> str | None:
        """The mirror of a suite of any release: where this machine has its own one of that kind."""
        kind = suite.partition("-")[2]
        return self.mirrors.get(f"{self.codename}-{kind}" if kind else self.codename)


def codename() -> str | None:
    """The name of this machine's Debian release; None where it is no Debian."""
    file = Path("/etc/os-release")
    lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    facts = dict(line.split("=", 1) for line in lines if "=" in line)
    return facts.get("VERSION_CODENAME", "").strip('"') or None if facts.get("ID") == "debian" else None


def read() -> Settings:
    """This machine's settings.

    Raises:
        SettingsError: None of its sources serves its own release.
    """
    name = codename() or ""
    apt = [line for line in _output("apt-config", "dump").splitlines() if _says_where(line)]
    pip = _pip()
    variables = {key: value for key, value in os.environ.items() if VARIABLES.fullmatch(key)}
    values = [*pip.values(), *variables.values(), *re.findall(r'"(/[^"]+)"', "\n".join(apt))]
    named = [path for value in values for path in _paths(value)]
    files = {path for path in named if path.is_file()}
    files |= {path for path in map(Path, NETWORK_FILES) if path.exists()} | set(CERTIFICATES.glob("*.crt"))
    bound = {path for path in named if path.is_dir()}
    settings = Settings(name, _mirrors(), apt, pip, variables, files, bound)
    if name not in settings.mirrors:
        raise SettingsError(f"no source of packages of this machine serves {name} over the network")
    return settings


def _output(*command: str) -> str:
    return subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout


def _says_where(line: str) -> bool:
    return line.startswith("Acquire::") and not line.startswith(NOT_WHERE) and not line.endswith('"";')


def _mirrors() -> dict[str, str]:
    """Mirror by release, as apt itself reads its sources."""
    wanted = "$(RELEASE) $(CODENAME) $(REPO_URI)"  # a source may say "stable" where its codename is bookworm
    lines = _output("apt-get", "indextargets", "--format", wanted, "Created-By: Packages").splitlines()
    named = [line.split() for line in lines]
    return {
        name: uri.rstrip("/") for *names, uri in reversed(named) if uri.startswith("http") for name in reversed(names)
    }


def _pip() -> dict[str, str]:
    """Settings of pip for every command: of all its files, and of the environment, which win."""
    parser = configparser.RawConfigParser()
    files = [*PIP_FILES, os.environ.get("PIP_CONFIG_FILE", "")]
    parser.read([Path(file).expanduser() for file in files if file and file != os.devnull], encoding="utf-8")
    found: dict[str, str] = dict(parser["global"]) if parser.has_section("global") else {}
    for key, value in os.environ.items():
        if key.startswith("PIP_"):
            found[key.removeprefix("PIP_").lower().replace("_", "-")] = value
    return {key: " ".join(found[key].split()) for key in PIP_KEYS if key in found}


def _paths(value: str) -> list[Path]:
    """Files and folders that a setting names. An index's pages point to files beside it: its whole folder is meant."""
    paths = []
    for word in value.split():
        path = Path(word.removeprefix("file://"))
        if path.is_absolute() and path.exists():
            index = word.startswith("file://") and path.is_dir() and len(path.parts) > 2
            paths.append(path.parent if index else path)
    return paths

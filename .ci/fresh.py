#!/usr/bin/env python3
"""The README's commands on Debian systems made for it, as a stranger meets them.

For each release and each user a bare system is unpacked (debootstrap makes it once and it is kept for the next time),
gets the packages that the README asks for and a clone of this checkout's HEAD, and runs the README's commands exactly
as printed there: as root with the checkout in root's home, and as an ordinary user with LibreOffice installed before.
A table says what passed and how long it took. It needs root on Debian, an hour and 5 GB.

    python3 .ci/fresh.py              # Debian 12 and 13, root and user
    python3 .ci/fresh.py --only trixie/root
    python3 .ci/fresh.py --short      # one system, and of the tests a handful in every engine: under 6 minutes

Where packages come from is taken from this machine's own settings and stands in those systems alone. Each command
runs in a mount and process namespace of its own, which ends with it: nothing of this machine is mounted in a folder
that is removed, and nothing goes on running when this program is killed.
"""
# ruff: noqa: S603, S607 - programs of the system by their names, arguments of our own

from __future__ import annotations

import argparse
import fcntl
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import fresh_settings as settings

TOP = Path(__file__).resolve().parent.parent
CACHE = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "tarelot-fresh"
RELEASES = {"bookworm": "Debian 12", "trixie": "Debian 13"}
SYSTEMS = {  # the two layouts of apt's sources take turns
    "bookworm/root": "list",
    "bookworm/user": "sources",
    "trixie/root": "sources",
    "trixie/user": "list",
}
SHORT = "bookworm/root"  # its LibreOffice comes from the backports, which takes the most steps
HANDFUL = "tests/engines/test_every_engine.py"
HOMES = {"root": "/root", "user": "/home/user"}
BARE_DAYS = 30
FREE_BYTES = 6 * 10**9
COMMAND_SECONDS = 45 * 60

# $1 is the root, $2 the user, the rest the command; what is bound stands in the environment, a folder a line.
ENTER = """
set -e
mount -t proc proc "$1/proc"
mount --rbind /dev "$1/dev"
mount -t tmpfs tmpfs "$1/dev/shm"
mount --bind /sys "$1/sys"
mount -o remount,bind,ro "$1/sys"
while read -r folder; do
    [ -n "$folder" ] || continue
    mkdir -p "$1$folder"
    mount --bind "$folder" "$1$folder"
    mount -o remount,bind,ro "$1$folder"
done <<<"$FRESH_BOUND"
unset FRESH_BOUND
status=0
chroot "$1" setpriv --reuid "$2" --regid "$2" --init-groups "${@:3}" </dev/null || status=$?
exit $status
"""


class NotHereError(Exception):
    """This machine cannot make such systems; the text says why."""


class FreshError(Exception):
    """A system could not be made; the text says why."""


@dataclass(frozen=True)
class Row:
    """A command that was run, and how it ended."""

    system: str
    who: str
    command: str
    passed: bool
    seconds: float
    said: str


class System:
    """A Debian in a folder, for one user."""

    def __init__(self, folder: Path, name: str, machine: settings.Settings) -> None:
        self.folder = folder
        self.name = name
        self.release, self.who = name.split("/")
        self._machine = machine
        self.rows: list[Row] = []

    def unpack(self) -> None:
        """Put the bare system there, with this machine's sources of packages and the user."""
        self.folder.mkdir()
        subprocess.run(["tar", "-xf", bare(self.release, self._machine), "-C", self.folder], check=True)
        self._machine.write(self.folder, self.release, SYSTEMS[self.name])
        if self.who != "root":
            self._plain("root", f"useradd --create-home --shell /bin/bash {self.who}")

    def install(self, packages: str) -> bool:
        """What the README has a person install first, and a clone of the checkout."""
        command = f"apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -y -q {packages}"
        if not self.run("root", command, f"apt install {packages}", "/"):
            return False
        source = self.folder / "var/tmp/tarelot.git"
        git("clone", "--quiet", "--bare", "--depth", "1", f"file://{TOP}", str(source))
        self._plain("root", f"chown -R {self.who}: /var/tmp/tarelot.git")
        return self.run(self.who, "git clone --quiet /var/tmp/tarelot.git tarelot", "git clone", HOMES[self.who])

    def run(self, who: str, command: str, shown: str, folder: str) -> bool:
        """Run a command as a user in a folder, keep what it prints, and note how it went."""
        print(f"fresh: {self.name}: {shown}", flush=True)
        log = CACHE / "logs" / f"{self.release}-{self.who}-{len(self.rows) + 1}.txt"
        log.parent.mkdir(exist_ok=True)
        start = time.monotonic()
        try:
            with log.open("wb") as output:
                code = subprocess.run(
                    self._entering(who, ["bash", "-c", f"cd {folder} && {command}"]),
                    env=self._environment(),
                    stdout=output,
                    stderr=subprocess.STDOUT,
                    timeout=COMMAND_SECONDS,
                    check=False,
                ).returncode
        except subprocess.TimeoutExpired:
            code = -1
        text = log.read_text(encoding="utf-8", errors="replace").rstrip().splitlines()
        if code != 0:
            print(*(f"    {line}" for line in text[-60:]), f"fresh: it failed ({code}); all of it: {log}", sep="\n")
        summary = text[-1].strip("= ") if text else ""
        said = summary if re.match(r"\d+ (passed|failed)", summary) else ""
        self.rows.append(Row(RELEASES[self.release], who, shown, code == 0, time.monotonic() - start, said))
        return code == 0

    def versions(self) -> str:
        """Which Python and which LibreOffice were there."""
        said = self._plain(self.who, "python3 --version; soffice --version || true")
        return ", ".join(re.findall(r"Python [\d.]+|LibreOffice [\d.]+", said))

    def _plain(self, who: str, command: str) -> str:
        done = subprocess.run(
            self._entering(who, ["bash", "-c", command]),
            env=self._environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
        if done.returncode != 0:
            raise FreshError(f"{self.name}: {command}: {done.stdout}")
        return done.stdout

    def _entering(self, who: str, command: list[str]) -> list[str]:
        """The command in namespaces of its own, which end with it and with us."""
        sbin = ":/usr/local/sbin:/usr/sbin:/sbin" if who == "root" else ""
        variables = {
            "HOME": HOMES[who],
            "USER": who,
            "LOGNAME": who,
            "SHELL": "/bin/bash",
            "LANG": "C.UTF-8",
            "PATH": f"/usr/local/bin:/usr/bin:/bin{sbin}",
            **self._machine.variables,
        }
        clean = ["env", "-i", *(f"{name}={value}" for name, value in variables.items()), *command]
        ending = ["setpriv", "--pdeathsig", "KILL", "unshare", "--mount", "--pid", "--fork", "--kill-child=KILL"]
        return [*ending, "bash", "-c", ENTER, "enter", str(self.folder), who, *clean]

    def _environment(self) -> dict[str, str]:
        return {**os.environ, "FRESH_BOUND": "\n".join(map(str, self._machine.bound))}


def git(*arguments: str) -> str:
    """What git prints, for a checkout that may be another user's."""
    trusting = {"GIT_CONFIG_COUNT": "1", "GIT_CONFIG_KEY_0": "safe.directory", "GIT_CONFIG_VALUE_0": "*"}
    command = ["git", "-C", str(TOP), *arguments]
    return subprocess.run(command, env={**os.environ, **trusting}, check=True, stdout=subprocess.PIPE, text=True).stdout


def bare(release: str, machine: settings.Settings) -> Path:
    """The packed bare system of a release, made where there is none or an old one."""
    packed = CACHE / f"{release}.tar"
    if packed.exists() and time.time() - packed.stat().st_mtime < BARE_DAYS * 86_400:
        return packed
    print(f"fresh: making a bare {RELEASES[release]}: half a minute", flush=True)
    with working_folder() as folder:
        command = ["debootstrap", "--variant=minbase", release, str(folder / "bare"), machine.mirror]
        done = subprocess.run(
            command, env=machine.environment(), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False
        )
        if done.returncode != 0:
            raise FreshError(f"debootstrap could not make {RELEASES[release]}:\n{done.stdout[-3000:]}")
        subprocess.run(["tar", "-cf", folder / "bare.tar", "-C", folder / "bare", "."], check=True)
        (folder / "bare.tar").rename(packed)
    return packed


@contextmanager
def working_folder() -> Iterator[Path]:
    """A folder for systems, removed in the end; what killed runs left is removed before."""
    CACHE.mkdir(parents=True, exist_ok=True)
    for left in CACHE.glob("run-*"):
        with held(left) as ours:
            if ours:
                remove(left)
    folder = Path(tempfile.mkdtemp(prefix="run-", dir=CACHE))
    folder.chmod(0o755)
    with held(folder):
        try:
            yield folder
        finally:
            remove(folder)


@contextmanager
def held(folder: Path) -> Iterator[bool]:
    """Whether this folder is ours to change: a run holds its own for as long as it lives."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        yield True
    except BlockingIOError:
        yield False
    finally:
        os.close(handle)


def remove(folder: Path) -> None:
    """Remove a folder in which nothing is mounted."""
    mounts = Path("/proc/self/mountinfo").read_text(encoding="utf-8").splitlines()
    inside = [line.split()[4] for line in mounts if line.split()[4].startswith(f"{folder}/")]
    if inside:
        raise FreshError(f"not removed, since something is mounted there: {', '.join(inside)}")
    shutil.rmtree(folder)


def look_at_machine() -> None:
    """Bring debootstrap, and see that this machine may make such systems.

    Raises:
        NotHereError: It may not.
    """
    if os.geteuid() != 0:
        raise NotHereError("it needs root: run it as root, or with sudo")
    if settings.codename() is None:
        raise NotHereError("it needs Debian, whose package sources it takes")
    CACHE.mkdir(parents=True, exist_ok=True)
    if shutil.disk_usage(CACHE).free < FREE_BYTES:
        raise NotHereError(f"it needs {FREE_BYTES // 10**9} GB of free disk at {CACHE}")
    if shutil.which("debootstrap") is None:
        print("fresh: installing debootstrap: a few seconds", flush=True)
        command = "apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -y -q debootstrap"
        if subprocess.run(["bash", "-c", command], capture_output=True, check=False).returncode != 0:
            raise NotHereError("debootstrap could not be installed: apt-get install debootstrap says why")
    trial = "unshare --mount --pid --fork bash -c 'mount -t tmpfs tmpfs /mnt && mount -t proc proc /proc'"
    if subprocess.run(["bash", "-c", trial], capture_output=True, check=False).returncode != 0:
        raise NotHereError("this machine lets nobody mount in a namespace (a container without that right?)")


def printed_in_readme() -> tuple[str, list[str]]:
    """The Debian packages and the commands that the README prints, as in the clone.

    Raises:
        FreshError: It prints none.
    """
    readme = git("show", "HEAD:README.md")
    packages = re.search(r"sudo apt(?:-get)? install ([a-z0-9 .+-]+)", readme)
    if packages is None:
        raise FreshError("README.md does not say what Debian needs first: a line `sudo apt install ...`")
    blocks = re.findall(r"^```\w*\n(.*?)^```", readme, re.MULTILINE | re.DOTALL)
    commands = next((b.strip().splitlines() for b in blocks if "make demo" in b and "make test" in b), None)
    if commands is None:
        raise FreshError("README.md has no block with `make demo` and `make test`")
    return packages[1].strip(), [line for line in commands if line.startswith("make ")]


def try_system(system: System, *, short: bool) -> None:
    """Run all that a person would, up to the first failure."""
    packages, commands = printed_in_readme()
    home = f"{HOMES[system.who]}/tarelot"
    system.unpack()
    if not system.install(packages):
        return
    if system.who != "root" and not system.run("root", "bash .ci/install-office", ".ci/install-office", home):
        return
    for command in commands:
        typed = command.split("#")[0].strip()
        if short and typed == "make test":
            command = typed = f"{typed} TESTS={HANDFUL}"
        if not system.run(system.who, command, typed, home):
            return


def table(rows: list[Row]) -> str:
    """The rows as a Markdown table."""
    lines = ["| system | user | command | result | min:s |", "|---|---|---|---|---|"]
    for row in rows:
        minutes, seconds = divmod(round(row.seconds), 60)
        result = ("passed" if row.passed else "FAILED") + (f": {row.said}" if row.said else "")
        lines.append(f"| {row.system} | {row.who} | `{row.command}` | {result} | {minutes}:{seconds:02} |")
    return "\n".join(lines)


def try_all(names: list[str], *, short: bool) -> bool:
    """Try these systems one after the other and print the table; whether all passed."""
    machine = settings.read()
    if git("status", "--porcelain"):
        print("fresh: changes that are not committed take no part: the clone is of HEAD")
    rows: list[Row] = []
    notes: list[str] = []
    for name in names:
        with working_folder() as folder:
            system = System(folder / "root", name, machine)
            try_system(system, short=short)
            rows += system.rows
            notes.append(f"{name}: {system.versions()}")
    print(f"\nfresh: commit {git('rev-parse', '--short', 'HEAD').strip()}", table(rows), *notes, sep="\n", flush=True)
    return all(row.passed for row in rows)


def main() -> int:
    """Read the command line and run it; 0 when all passed."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--only", choices=SYSTEMS, action="append", help="one system; may be repeated")
    parser.add_argument("--short", action="store_true", help="one system, a handful of tests")
    parser.add_argument("--where-it-may", action="store_true", help="a machine that may not is said, and no failure")
    options = parser.parse_args()
    for number in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, lambda *_: sys.exit("fresh: ended from outside"))
    names = options.only or ([SHORT] if options.short else list(SYSTEMS))
    try:
        look_at_machine()
    except NotHereError as reason:
        print(f"fresh: NOT RUN on this machine: {reason}")
        return 0 if options.where_it_may else 1
    try:
        return 0 if try_all(names, short=options.short) else 1
    except (FreshError, settings.SettingsError) as error:
        print(f"fresh: {error}", file=sys.stderr)
        return 1


if __name__ == "__main__":
    sys.exit(main())

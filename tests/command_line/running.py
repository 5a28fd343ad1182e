"""Runs the command in a process of its own: into a pipe, or in a terminal of a size."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from pathlib import Path

COMMAND = (sys.executable, "-m", "tarelot.addin.command_line")
OUTSIDE = ("PYTHONIOENCODING", "PYTHONUTF8", "LC_ALL", "LC_CTYPE", "LANG", "NO_COLOR", "TERM", "COLUMNS", "LINES")
"""What the machine that runs the tests may have set."""
ESCAPE = re.compile(rb"\x1b\[[0-9;?]*[A-Za-z]")


def environment(**settings: str) -> dict[str, str]:
    """The machine's own, without what decides how things are printed, and with these settings."""
    return {name: value for name, value in os.environ.items() if name not in OUTSIDE} | settings


def tarelot(*arguments: str | Path, cwd: Path | None = None, **settings: str) -> subprocess.CompletedProcess[str]:
    """Run the command into a pipe, in UTF-8 where no setting says otherwise."""
    done = in_pipe(*arguments, cwd=cwd, **{"LC_ALL": "C.UTF-8", **settings})
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def in_pipe(*arguments: str | Path, cwd: Path | None = None, **settings: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command into a pipe; its very bytes."""
    command = [*COMMAND, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, cwd=cwd, env=environment(**settings))


def in_terminal(*arguments: str | Path, columns: int, typed: bytes = b"", **settings: str) -> tuple[int, bytes]:
    """Run the command in a terminal this wide; its exit status and everything that the terminal was sent.

    Args:
        arguments: What a person types after ``tarelot``.
        columns: Characters in a line.
        typed: What the person types while it runs.
        settings: Environment variables.
    """
    ours, its = pty.openpty()
    fcntl.ioctl(its, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    variables = environment(**{"TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **settings})
    running = subprocess.Popen([*COMMAND, *map(str, arguments)], stdin=its, stdout=its, stderr=its, env=variables)
    os.close(its)
    os.write(ours, typed)
    sent = []
    while True:
        try:
            block = os.read(ours, 65536)
        except OSError:  # how Linux says that the other side is closed
            break
        if not block:
            break
        sent.append(block)
    os.close(ours)
    return running.wait(), b"".join(sent)


def shown(sent: bytes) -> list[str]:
    """The lines of what a terminal was sent, without colors and progress bars."""
    text = ESCAPE.sub(b"", sent).decode().replace("\r\n", "\n")
    return [line.rsplit("\r", 1)[-1].rstrip() for line in text.split("\n")]

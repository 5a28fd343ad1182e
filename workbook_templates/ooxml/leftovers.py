"""Files and folders of ours that are there only for a while, named and held so that a later run can tell them.

A killed run cannot tidy up. Each name holds the number of its process, and each folder is held by a lock that ends
with the process: what no living process holds is removed by the next run, and nothing else is.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

if os.name != "nt":
    import fcntl

LEFTOVER_AFTER_SECONDS = 3600
"""From this age on also what bears the number of a living process is removed, as numbers are given out anew."""
FOLDER = "tarelot-"
HIDDEN = f".{FOLDER}"
"""How a folder of ours begins that stands beside a person's files."""
_OWNER = re.compile(r"-([0-9]+)-[a-z0-9_]{8}(?:\.[^.]*)?")


@contextmanager
def own_folder(parent: Path | None = None) -> Iterator[Path]:
    """A folder of our own, empty, taken away at the end; what killed runs left in the same place goes first.

    Args:
        parent: Where; it is hidden there. In the system's folder for temporary files if left out.
    """
    place = parent or Path(tempfile.gettempdir())
    prefix = HIDDEN if parent else FOLDER
    remove_leftovers(place, f"{prefix}*")
    with tempfile.TemporaryDirectory(prefix=owned(prefix), dir=place) as name, _held(Path(name)):
        yield Path(name)


def owned(prefix: str) -> str:
    """The beginning of a name that says which process it belongs to, for ``tempfile`` to complete.

    >>> owned("lot-") == f"lot-{os.getpid()}-"
    True
    """
    return f"{prefix}{os.getpid()}-"


def remove_leftovers(folder: Path, pattern: str) -> None:
    """Remove what killed runs left under such names in a folder."""
    for left in folder.glob(pattern):
        with suppress(OSError):  # another run removes it too, or it is not ours to remove
            if _is_abandoned(left):
                shutil.rmtree(left) if left.is_dir() else left.unlink()


def _is_abandoned(path: Path) -> bool:
    """Whether no living process of this person has the file or folder."""
    state = path.lstat()
    if path.is_symlink() or (os.name != "nt" and state.st_uid != os.getuid()):
        return False
    owner = _OWNER.search(path.name[-80:])
    is_old = time.time() - state.st_mtime > LEFTOVER_AFTER_SECONDS
    if not is_old and (owner is None or os.name == "nt" or _lives(int(owner[1]))):
        return False
    return _is_free(path)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):  # there, but another person's; or no number of a process
        return True
    return True


def _is_free(path: Path) -> bool:
    """Whether nobody holds the lock; a process in another container has a number that says nothing here."""
    if os.name == "nt":
        return True
    handle = os.open(path, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    finally:
        os.close(handle)
    return True


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """Hold the lock of a file or folder; it ends with the process."""
    if os.name == "nt":
        yield
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        with suppress(OSError):  # a file system without locks: the process's number must do
            fcntl.flock(handle, fcntl.LOCK_SH | fcntl.LOCK_NB)
        yield
    finally:
        os.close(handle)

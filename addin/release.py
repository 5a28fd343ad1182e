"""Everything that a person may download, in one folder with check sums: run by ``make release``.

python -m tarelot.addin.release dist
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent
READY = "workbook_templates/ready"
SUMS = "SHA256SUMS"


def release(folder: Path, root: Path = ROOT) -> list[Path]:
    """Write the source archive, the wheel made from it, the LibreOffice extension and the ready workbooks.

    Args:
        folder: Where to; it must not be there yet.
        root: The tree.

    Returns:
        The files, and the list of their SHA-256 sums in the form that ``sha256sum --check`` reads.

    Raises:
        FileExistsError: The folder is there.
        RuntimeError: The archive or the wheel cannot be built.
    """
    folder.mkdir(parents=True)
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder), str(root)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603  # no shell
    if done.returncode != 0:
        raise RuntimeError(f"{done.stdout}{done.stderr}")
    for ready in (root / READY).iterdir():
        shutil.copy(ready, folder)
    files = sorted(folder.iterdir())
    sums = folder / SUMS
    lines = (f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}\n" for path in files)
    sums.write_text("".join(lines), encoding="ascii", newline="\n")
    return [*files, sums]


if __name__ == "__main__":
    for written in release(Path(sys.argv[1])):
        print(f"written: {written}")

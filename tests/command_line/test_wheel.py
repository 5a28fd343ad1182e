"""The release, and the wheel of it installed where no checkout is: the README's commands as printed there.

The wheel is made from the source archive, installed by pip into an environment of its own, and run beside packages
named `calc`, `addin` and `workbook_templates` that fail when they are imported. What the project leans on is lent by
the Python that runs the tests, so that nothing is downloaded.
"""

from __future__ import annotations

import hashlib
import os
import re
import shlex
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from importlib.metadata import version
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.release import SUMS, release
from tests.command_line.running import environment

ROOT = Path(__file__).parents[2]
TREE = ("addin", "calc", "workbook_templates", "tests", ".ci")
FILES = (
    "pyproject.toml",
    "MANIFEST.in",
    "README.md",
    "CHANGELOG.md",
    "DEVELOPERS.md",
    "LICENSE",
    "Makefile",
    ".gitignore",
)
OTHERS = ("calc", "addin", "workbook_templates")
CONFLICTS_OR_REFUSED_ROWS = 1


@pytest.fixture(scope="module")
def dist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The release of a copy of the tree: building leaves its traces there."""
    folder = tmp_path_factory.mktemp("release")
    for name in TREE:
        shutil.copytree(ROOT / name, folder / "tree" / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in FILES:
        shutil.copy(ROOT / name, folder / "tree" / name)
    release(folder / "dist", folder / "tree")
    return folder / "dist"


@pytest.fixture(scope="module")
def wheel(dist: Path) -> Path:
    (found,) = dist.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the programs of an environment with the wheel."""
    home = tmp_path_factory.mktemp("installed") / ".venv"
    venv.create(home, symlinks=True)
    paths = sysconfig.get_paths(vars={"base": str(home), "platbase": str(home)})
    python = Path(paths["scripts"]) / "python"
    install = [sys.executable, "-m", "pip", "--python", str(python), "install", "--no-deps", "--no-index", str(wheel)]
    subprocess.run(install, check=True, capture_output=True)
    site = Path(paths["purelib"])
    lent = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (site / "lent.pth").write_text("\n".join(lent), encoding="utf-8")
    for name in OTHERS:
        write_failing_package(site / name)
    return python.parent


def write_failing_package(folder: Path) -> None:
    folder.mkdir()
    (folder / "__init__.py").write_text("raise RuntimeError('not ours')\n", encoding="utf-8")


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """A person's folder, with packages in it whose names are those of our top folders."""
    for name in OTHERS:
        write_failing_package(tmp_path / name)
    return tmp_path


def run(programs: Path, line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """A line of the README that begins with `tarelot`, in a folder."""
    variables = environment(LC_ALL="C.UTF-8", HOME=str(folder), XDG_CONFIG_HOME=str(folder / "config"))
    variables.pop("PYTHONPATH", None)
    command = [str(programs / "tarelot"), *shlex.split(line)[1:]]
    return subprocess.run(command, capture_output=True, text=True, cwd=folder, env=variables, stdin=subprocess.DEVNULL)


def test_what_the_wheel_holds(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as package:
        names = package.namelist()
    info = f"tarelot-{version('tarelot')}.dist-info"
    assert {name.split("/")[0] for name in names} == {"tarelot", info}
    assert {Path(name).suffix for name in names if not name.startswith(info)} == {".py", ".csv", ".png"}
    pictures = [name for name in names if name.endswith(".png")]  # the one that every workbook holds, no others
    assert pictures == ["tarelot/workbook_templates/pictures/where-to-measure.png"]
    sources = {f"tarelot/{path.relative_to(ROOT)}" for top in OTHERS for path in (ROOT / top).rglob("*.py")}
    assert sources == {name for name in names if name.endswith(".py")}


def test_what_the_source_archive_holds(dist: Path) -> None:
    (archive,) = dist.glob("*.tar.gz")
    with tarfile.open(archive) as package:
        names = {name.partition("/")[2] for name in package.getnames()}
    tracked = {
        str(path.relative_to(ROOT))
        for top in TREE
        for path in (ROOT / top).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert tracked | set(FILES) <= names


def test_check_sums(dist: Path) -> None:
    lines = (dist / SUMS).read_text(encoding="ascii").splitlines()
    summed = dict(reversed(line.split("  ")) for line in lines)
    assert summed.keys() == {path.name for path in dist.iterdir()} - {SUMS}
    suffixes = sorted(Path(name).suffix for name in summed)
    assert suffixes == [".gz", ".oxt", ".whl", ".xlsx", ".xlsx", ".xlsx"]
    for name, digest in summed.items():
        assert hashlib.sha256((dist / name).read_bytes()).hexdigest() == digest


def readme_commands() -> list[str]:
    """Every line of the README that a person may type as it stands, in order."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    inline = re.findall(r"`(tarelot [^`]+)`|^\$? ?(tarelot .+)$", text, re.MULTILINE)
    found = [first or second for first, second in inline]
    return [line for line in found if "COMMAND" not in line]


def test_the_readme_names_every_command() -> None:
    from tests.command_line.test_command_line import COMMANDS

    lines = readme_commands()
    assert [name for name in COMMANDS if not any(line.startswith(f"tarelot {name}") for line in lines)] == []


def expected(line: str) -> tuple[int, ...]:
    """The exit status of a line."""
    if line.startswith("tarelot setup libreoffice"):
        return (2,) if os.getuid() == 0 else (0,)  # LibreOffice installs nothing for root, and says so
    if line.startswith(("tarelot review", "tarelot import", "tarelot tickets")):
        return (0, CONFLICTS_OR_REFUSED_ROWS)
    return (0,)


def test_every_command_of_the_readme_runs(installed: Path, desk: Path) -> None:
    """In the README's order, in one folder, where `list.csv` and the lots beside `demo` are a person's own."""
    said = {}
    done = run(installed, "tarelot demo", desk)
    assert done.returncode == 0, done.stderr
    (desk / "yards").mkdir()
    shutil.copy(desk / "demo" / "price-list.csv", desk / "list.csv")
    for name in ("lot.xlsx", "north.xlsx", "south.xlsx", "yards/east.xlsx", "yards/west.xlsx"):
        shutil.copy(desk / "demo" / "tarelot-demo.xlsx", desk / name)
    run(installed, "tarelot import lot.xlsx list.csv --yes", desk)  # so that there is something to undo
    cards: dict[str, int] = {}
    for line in readme_commands():
        if line.startswith("tarelot new"):
            line = line.replace("lot.xlsx", "new.xlsx")  # never over the lot that is there
            (desk / "new.xlsx").unlink(missing_ok=True)
        if line.endswith("--use"):  # on a copy: the lot has one change to undo
            line = line.replace("lot.xlsx", str(shutil.copy(desk / "lot.xlsx", desk / "weighed.xlsx").name))
        if line.startswith("tarelot card"):
            shutil.rmtree(desk / "cards", ignore_errors=True)
        if line == "tarelot import lot.xlsx":
            paste_a_list(desk / "lot.xlsx")
        if line.startswith(("tarelot import", "tarelot update")) or line.endswith("--use"):
            line += " --yes"  # nobody is there to be asked
        done = run(installed, line, desk)
        assert done.returncode in expected(line), (line, done.stderr)
        assert "not ours" not in done.stdout + done.stderr
        assert (done.stderr == "") == (done.returncode != 2), (line, done.stderr)
        said[line] = done.stdout
        cards[line] = len(list((desk / "cards").glob("*.pdf")))
    assert said["tarelot --version"] == f"tarelot {version('tarelot')}\n"
    assert "24 trailers" in said["tarelot demo"]
    assert (
        "4 new, 0 changed, 0 same, 1 refused."
        in said["tarelot import demo/tarelot-demo.xlsx demo/new-truckload.csv --yes"]
    )
    assert "py3-none-any.whl" in said["tarelot setup check"]  # what it runs from
    assert cards["tarelot card lot.xlsx --all --out cards"] == 24


def paste_a_list(path: Path) -> None:
    book = openpyxl.load_workbook(path)
    page = book["Incoming"]
    for row in ((), ("Stock no.", "Price"), ("1101", 1)):
        page.append(row)
    book.save(path)


def test_as_a_module_beside_other_packages_of_these_names(installed: Path, desk: Path) -> None:
    """`python -m` puts the folder at the front of Python's search path."""
    command = [str(installed / "python"), "-m", "tarelot.addin.command_line", "demo", "--out", "made"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=desk, env=environment())
    assert (done.returncode, done.stderr) == (0, "")


def test_the_frame_of_the_readme(installed: Path, desk: Path) -> None:
    run(installed, "tarelot demo", desk)
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    code = "\n".join(re.findall(r"```python\n(.*?)```", text, re.DOTALL))
    assert "add_results" in code
    command = [str(installed / "python"), "-c", code]
    done = subprocess.run(command, capture_output=True, text=True, cwd=desk, env=environment())
    assert done.returncode == 0, done.stderr
    assert re.search(r"gooseneck +\d+\.0", done.stdout)
    assert done.stdout.rstrip().endswith(" lb")

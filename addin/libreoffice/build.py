"""Builds the LibreOffice extension: FUNCTIONS -> an .oxt, with zipfile alone and the same bytes every time.

    build(Path("tarelot.oxt"))

Members of the .oxt:

    META-INF/manifest.xml  the list of the parts below, with the kind of each
    description.xml        name, version, and the oldest LibreOffice it works in
    functions.idl          the interface with one method a function, as text
    functions.components   which Python file implements the service; read without running it
    CalcAddIns.xcu         names, helps and arguments for the function wizard and for .xlsx files
    component.py           the component itself
    Addons.xcu             the menu Tarelot in Calc
    ProtocolHandler.xcu    which component answers the menu's URLs
    menu.py                that component
    pythonpath/            a package of our own name with copies of calc/ and what else the components import

LibreOffice's own Python has no library of ours, and needs none for what is carried: the menu reads and writes the open
workbook through LibreOffice, and plans an import by the same code as the command. Members are stored as they are, not
packed: what a packer makes of the same text differs from one Python to the next.

Why the texts are in an .xcu and not in the component (XAddIn): LibreOffice then starts no Python before a cell calls
a function; and after an update of LibreOffice, or when the extension is installed before LibreOffice's first start, it
switches off every extension that has only interfaces and components, and not those that also have configuration.
"""

from __future__ import annotations

import re
import zipfile
from importlib.metadata import version
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from tarelot.addin.libreoffice.carried import COMPONENTS, ROOT, carried_files
from tarelot.addin.libreoffice.menu import names as menu_names
from tarelot.addin.libreoffice.names import (
    EXTENSION,
    IMPLEMENTATION,
    INTERFACE,
    MODULE,
    SERVICE,
    camel_case,
    method_name,
)
from tarelot.calc.registry import FUNCTIONS
from tarelot.calc.spec import Function, Parameter

PACKAGE = "tarelot_addin"  # all extensions share one Python: `calc` alone could be anybody's
DATE = (1980, 1, 1, 0, 0, 0)
HEADER = '<?xml version="1.0" encoding="UTF-8"?>\n'
PARTS = {
    "functions.idl": "application/vnd.sun.star.uno-typelibrary;type=RDB",
    "functions.components": "application/vnd.sun.star.uno-components",
    "CalcAddIns.xcu": "application/vnd.sun.star.configuration-data",
    "ProtocolHandler.xcu": "application/vnd.sun.star.configuration-data",
    "Addons.xcu": "application/vnd.sun.star.configuration-data",
}
IDL_TYPES = {
    "number": "any",
    "text": "any",
    "range": "com::sun::star::table::XCellRange",  # `any` would answer Err:504 where a cell of the block has an error
}


def build(target: Path) -> Path:
    """Write the extension and return its path.

    Args:
        target: The .oxt to write; its folder is there already.
    """
    with zipfile.ZipFile(target, "w") as package:
        for name, content in sorted(members().items()):
            member = zipfile.ZipInfo(name, DATE)
            member.compress_type = zipfile.ZIP_STORED
            member.external_attr = 0o644 << 16
            member.create_system = 3  # else it names the system that built it
            package.writestr(member, content)
    return target


def members() -> dict[str, bytes]:
    """The content of each member of the .oxt."""
    texts = {
        "META-INF/manifest.xml": manifest(),
        "description.xml": description(),
        "functions.idl": interface(),
        "functions.components": components(),
        "CalcAddIns.xcu": configuration(),
        "ProtocolHandler.xcu": menu_names.handler(),
        "Addons.xcu": menu_names.menu(),
        **{name: carried((ROOT / source).read_text(encoding="utf-8")) for name, source in COMPONENTS.items()},
    }
    return {name: text.encode() for name, text in texts.items()} | private_package()


def private_package() -> dict[str, bytes]:
    """The Python that the components import, under a package name of our own."""
    root = f"pythonpath/{PACKAGE}"
    copies = {f"{root}/__init__.py": b'"""Carried by the extension; the sources are those of the package tarelot."""\n'}
    for path in carried_files():
        name = f"{root}/{path.relative_to(ROOT).as_posix()}"
        if path.suffix == ".py":
            copies[name] = carried(path.read_text(encoding="utf-8")).encode()
        else:
            copies[name] = path.read_bytes()
    return copies


def carried(source: str) -> str:
    """Python source with its imports of our packages pointed into the private one.

    >>> carried("from tarelot.calc.spec import Function")
    'from tarelot_addin.calc.spec import Function'
    """
    return re.sub(r"^(\s*)from tarelot([.\s])", rf"\1from {PACKAGE}\2", source, flags=re.MULTILINE)


def interface() -> str:
    """The interface in UNO's interface language: one method a function, which takes and returns what a cell holds."""
    methods = "\n".join(f"  any {method_name(f.name)}({_idl_parameters(f)});" for f in FUNCTIONS)
    opening = " ".join(f"module {name} {{" for name in MODULE.split("."))
    closing = " ".join("};" for _ in MODULE.split("."))
    return f"{opening}\ninterface {INTERFACE} {{\n{methods}\n}};\n{closing}\n"


def _idl_parameters(function: Function) -> str:
    return ", ".join(f"[in] {IDL_TYPES[p.kind]} {camel_case(p.name)}" for p in function.parameters)


def components() -> str:
    """The passive registration: each component's file, read only when its service is asked for."""
    return f"""{HEADER}<components xmlns="http://openoffice.org/2010/uno-components">
  <component loader="com.sun.star.loader.Python" uri="component.py">
    <implementation name="{IMPLEMENTATION}">
      <service name="{SERVICE}"/>
    </implementation>
  </component>
  <component loader="com.sun.star.loader.Python" uri="menu.py">
    <implementation name="{menu_names.IMPLEMENTATION}">
      <service name="{menu_names.SERVICE}"/>
    </implementation>
  </component>
</components>
"""


def configuration() -> str:
    """What Calc knows of each function without running it."""
    functions = "\n".join(_function_node(function) for function in FUNCTIONS)
    return f"""{HEADER}<oor:component-data oor:name="CalcAddIns" oor:package="org.openoffice.Office"
 xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<node oor:name="AddInInfo"><node oor:name="{SERVICE}" oor:op="replace"><node oor:name="AddInFunctions">
{functions}
</node></node></node>
</oor:component-data>
"""


def _function_node(function: Function) -> str:
    parameters = "\n".join(_parameter_node(parameter) for parameter in function.parameters)
    return f"""<node oor:name="{method_name(function.name)}" oor:op="replace">
{_text("DisplayName", function.name)}
{_text("Description", function.help)}
{_text("CompatibilityName", function.name)}
<prop oor:name="Category"><value>Add-In</value></prop>
<node oor:name="Parameters">
{parameters}
</node></node>"""


def _parameter_node(parameter: Parameter) -> str:
    return f"""<node oor:name={quoteattr(camel_case(parameter.name))} oor:op="replace">
{_text("DisplayName", parameter.name)}
{_text("Description", argument_help(parameter))}</node>"""


def _text(name: str, text: str) -> str:
    return f'<prop oor:name="{name}"><value xml:lang="en-US">{escape(text)}</value></prop>'


def argument_help(parameter: Parameter) -> str:
    """What the function wizard says of an argument: meaning, unit, and what leaving it blank means."""
    notes = [parameter.unit] if parameter.unit else []
    if not parameter.required:
        notes.append("optional")
    if parameter.zero_is_value:
        notes.append("a blank cell counts as 0")
    return f"{parameter.meaning} ({'; '.join(notes)})" if notes else parameter.meaning


def description() -> str:
    """Name and version of the extension, and the oldest LibreOffice that resolves its names in an .xlsx."""
    return f"""{HEADER}<description xmlns="http://openoffice.org/extensions/description/2006"
 xmlns:d="http://openoffice.org/extensions/description/2006"
 xmlns:l="http://libreoffice.org/extensions/description/2011">
  <identifier value="{EXTENSION}"/>
  <version value="{version("tarelot")}"/>
  <display-name><name lang="en">Tarelot: worksheet functions and menu</name></display-name>
  <dependencies><l:LibreOffice-minimal-version value="25.2" d:name="LibreOffice 25.2"/></dependencies>
</description>
"""


def manifest() -> str:
    """The parts that LibreOffice registers, with the kind of each."""
    entries = "\n".join(
        f'  <manifest:file-entry manifest:media-type="{kind}" manifest:full-path="{name}"/>'
        for name, kind in PARTS.items()
    )
    return f"""{HEADER}<manifest:manifest xmlns:manifest="http://openoffice.org/2001/manifest">
{entries}
</manifest:manifest>
"""

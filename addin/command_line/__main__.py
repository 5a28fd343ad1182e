"""``python -m tarelot.addin.command_line`` is the command ``tarelot``."""

import sys

from tarelot.addin.command_line.main import program

sys.exit(program())

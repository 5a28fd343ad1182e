"""``python -m tarelot.addin.command_line`` is the command ``tarelot``."""

import sys

from tarelot.addin.command_line.main import program

if __name__ == "__main__":  # processes that work lots out begin by importing this
    sys.exit(program())

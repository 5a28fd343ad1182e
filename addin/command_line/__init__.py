"""The command ``tarelot``: one module a command or a family of them.

Nothing here calculates; heavy parts are imported only by the command that needs them.
"""

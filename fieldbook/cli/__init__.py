"""The command ``fieldbook``: reads arguments, calls the site, prints. Nothing else happens here.

Exit codes: 0 done, 1 something was refused or found wrong, 2 wrong usage. Every verb takes ``--json`` after it.
"""

from fieldbook.cli.run import run

__all__ = ["run"]

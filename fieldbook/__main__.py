"""The door of the command: hands the arguments to ``cli`` and gives its exit code back."""

from __future__ import annotations

import sys

from fieldbook.cli import run


def main() -> None:
    """Run the command line and leave with its exit code."""
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()

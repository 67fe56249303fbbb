"""`python -m arsenal` is `padbook`: the desk where no command is named, else the command line."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from arsenal import commands


def main(argv: Sequence[str] | None = None) -> int:
    """Run; the exit code."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: a second thread costs more than it brings
    return commands.main(argv, open_desk)


def open_desk(argv: Sequence[str]) -> int:
    """The window. Only here is anything of it imported."""
    from arsenal.desk.app import main as start  # noqa: PLC0415

    return start(argv)


if __name__ == "__main__":
    sys.exit(main())

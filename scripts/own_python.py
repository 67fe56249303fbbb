"""Start a script again in the private environment where this Python has not what the program needs."""

from __future__ import annotations

import importlib.util
import os
import sys

from environment import ROOT, SetupError, prepare, python, say

NEEDED = ("numpy", "numba", "scipy", "PySide6", "pyqtgraph")


def ensure(extras: tuple[str, ...] = ("test",)) -> None:
    """Return where the needed packages are here; else set up with `extras` and start the same script there."""
    sys.path.insert(0, str(ROOT))
    os.environ["PYTHONPATH"] = str(ROOT)
    if all(importlib.util.find_spec(name) for name in NEEDED):
        return
    try:
        prepare(extras)
    except SetupError as error:
        say(str(error))
        raise SystemExit(1) from None
    os.execv(python(), [str(python()), *sys.argv])

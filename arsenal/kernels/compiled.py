"""How a kernel is compiled: once for the processor at hand, kept on disk, free of the interpreter's lock."""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import numba

F = TypeVar("F", bound=Callable[..., Any])
FUSED = {"contract", "arcp", "nsz"}
"""Sums may be fused and divisions turned into products of reciprocals; NaN and infinity keep their meaning."""
PREFIX = "padbook-kernels-"


def _hash_of_sources() -> str:
    found = hashlib.sha256(numba.__version__.encode())
    for source in sorted(Path(__file__).parent.glob("*.py")):
        text = source.read_bytes()
        if b"compiled" in text:
            found.update(text)
    return found.hexdigest()[:16]


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def _home() -> Path | None:
    """Folder of the machine code, beside the sources or in the user's cache; None where neither can be written."""
    user = Path(os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache"))  # noqa: PTH111 - no home, no error
    for parent in (Path(__file__).parent / "__pycache__", user):
        home = parent / (PREFIX + _hash_of_sources())
        if _writable(home):
            for old in parent.glob(PREFIX + "*"):
                if old != home:
                    shutil.rmtree(old, ignore_errors=True)
            return home
    return None


def _keep() -> bool:
    """Machine code is kept under the hash of every kernel's source: numba alone looks at one file, and a changed law
    would go on as it was in all that calls it.
    """
    if os.environ.get("NUMBA_CACHE_DIR"):
        return True
    home = _home()
    if home is not None:
        setattr(numba.config, "CACHE_DIR", str(home))  # noqa: B010 - numba makes its settings at run time
    return home is not None


KEPT = _keep()


def compiled(kernel: F) -> F:
    """`kernel` as machine code on its first call; `kernel.py_func` stays the plain Python of it."""
    made: F = numba.njit(nogil=True, error_model="numpy", fastmath=FUSED, cache=KEPT)(kernel)  # type: ignore[assignment]
    return made

"""Where the desk's own files are: fonts and icons, in a checkout or in an installed wheel."""

from __future__ import annotations

from functools import cache
from pathlib import Path


@cache
def folder() -> Path:
    """The resources folder: inside the installed package, else beside it in the checkout."""
    package = Path(__file__).resolve().parents[1]
    packed = package / "_resources"
    return packed if packed.is_dir() else package.parent / "resources"

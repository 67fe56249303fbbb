"""A PDF's text and page sizes, told by poppler (an independent reader)."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest


def poppler(tool: str, *args: str) -> str:
    """What one of its tools prints."""
    found = shutil.which(tool)
    if found is None:
        pytest.skip("poppler is not installed")
    return subprocess.run([found, *args], capture_output=True, check=True).stdout.decode()  # noqa: S603 - fixed words


def words_of(path: Path) -> list[str]:
    """The text of each page; ligatures as letters."""
    told = poppler("pdftotext", "-layout", str(path), "-")
    return [page.replace("ﬁ", "fi").replace("ﬂ", "fl") for page in told.split("\f")[:-1]]


def sizes_of(path: Path) -> list[tuple[float, float]]:
    """Width and height of each page in points."""
    told = poppler("pdfinfo", "-l", "99", str(path))
    rows = re.findall(r"^Page +\d+ size: +([\d.]+) x ([\d.]+) pts", told, re.MULTILINE)
    return [(float(wide), float(high)) for wide, high in rows]

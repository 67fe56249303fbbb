"""Where the files that come with the program are: beside the package in a checkout, inside it once installed."""

from __future__ import annotations

from pathlib import Path

import arsenal


def resources_dir() -> Path:
    """The folder of fonts, icons and the sample shop."""
    package = Path(arsenal.__file__).resolve().parent
    beside = package.parent / "resources"
    return beside if beside.is_dir() and (package.parent / "pyproject.toml").is_file() else package / "_resources"


def sample_dir() -> Path:
    """The folder of the sample shop's tables."""
    return resources_dir() / "sample"

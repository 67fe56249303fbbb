"""Mistakes in the program, written to one log file on this machine that can be copied from."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from platformdirs import user_log_path

MOST_BYTES = 1_000_000


def log_file() -> Path:
    """Where mistakes are written."""
    return user_log_path("padbook", appauthor=False) / "mistakes.log"


def write_log(text: str) -> Path | None:
    """Append to the log file, starting a new one past a megabyte. None where it cannot be written."""
    where = log_file()
    try:
        where.parent.mkdir(parents=True, exist_ok=True)
        if where.exists() and where.stat().st_size > MOST_BYTES:
            where.replace(where.with_suffix(".old.log"))
        with where.open("a", encoding="utf-8") as out:
            out.write(f"{datetime.now().astimezone():%Y-%m-%d %H:%M:%S %z}\n{text}\n\n")
    except OSError:
        return None
    return where

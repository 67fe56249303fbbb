"""What every command does with the terminal and the file: open, show as text or JSON, say that something broke."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from arsenal.trade.errors import NotFound

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop

BUG, KNOWN = 1, 2
INITIATOR = "command line"
"""Who began an act, as the file keeps it."""


def has_display() -> bool:
    """Whether a window can be shown from here."""
    if sys.platform != "linux" or os.environ.get("QT_QPA_PLATFORM"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


@contextmanager
def opened(given: argparse.Namespace, *, read_only: bool = False, make: bool = False) -> Iterator[Shop]:
    """The shop's file; a new one only with `make`, and gone again where nothing came to be in it."""
    from arsenal.acts.shop import Shop  # noqa: PLC0415

    where, path = getattr(given, "data", None), shop_path(given)
    missing = not path.exists()
    if missing and not make:
        raise NotFound(
            f"There is no file {path}.",
            next_step="Write the sample shop with “padbook sample FILE”, or “padbook load” your own tables.",
        )
    shop = Shop.open(where, read_only=read_only)
    try:
        yield shop
    finally:
        idle = missing and shop.revision == 0
        shop.close()
        if idle:
            path.unlink(missing_ok=True)


def shop_path(given: argparse.Namespace) -> Path:
    """The file named, else the user's own."""
    from arsenal.acts import places  # noqa: PLC0415

    where: Path | None = getattr(given, "data", None)
    return where or places.shop_file()


def show(given: argparse.Namespace, rows: object, text: Callable[[], str]) -> None:
    """`rows` as JSON where it was asked for, else the text."""
    if given.json:
        print(json.dumps(rows, ensure_ascii=False, indent=1, allow_nan=False))
    else:
        print(text())


def speak_utf8() -> None:
    """What is printed is UTF-8 wherever that can be had."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None and (getattr(stream, "encoding", "") or "").lower() not in ("utf-8", "utf8"):
            reconfigure(encoding="utf-8", errors="replace")


def bug(text: str) -> int:
    """Log a bug, say where, and that what was kept stands."""
    from arsenal.acts import mistakes  # noqa: PLC0415

    where = mistakes.write_log(text)
    print(text, file=sys.stderr)
    print(
        "Something in Padbook went wrong. Everything kept before stands; what was being written was taken back whole.\n"
        + (f"The text above is also in {where}." if where else "The text above can be copied."),
        file=sys.stderr,
    )
    return BUG

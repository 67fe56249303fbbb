"""The printers of this machine: the one used last for each kind of paper, and a sentence where it is not there."""

from __future__ import annotations

from typing import Any

from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

from arsenal.acts.settings import Settings
from arsenal.trade.errors import KnownError

KEPT = "printers"
SAFE = "Nothing was printed and nothing is lost."


def there() -> list[str]:
    """Names of the printers this machine knows now."""
    return [str(name) for name in QPrinterInfo.availablePrinterNames()]


def remembered(settings: Settings, kind: str) -> str:
    """The printer used last for that kind of paper; empty where none was."""
    kept: Any = settings.kept.get(KEPT)
    name = kept.get(kind) if isinstance(kept, dict) else ""
    return name if isinstance(name, str) else ""


def remember(settings: Settings, kind: str, printer: QPrinter) -> None:
    """Take this one again next time."""
    if kind and printer.printerName():
        _put(settings, kind, printer.printerName())


def _put(settings: Settings, kind: str, name: str) -> None:
    kept: Any = settings.kept.get(KEPT)
    settings.kept[KEPT] = {**(kept if isinstance(kept, dict) else {}), kind: name}


def ready(settings: Settings, kind: str = "") -> QPrinter:
    """A printer to ask for pages with, the remembered one where it is there. Raises KnownError where there is none, or
    where the remembered one is not there; it is forgotten then, so that another can be chosen.
    """
    names, wanted = there(), remembered(settings, kind)
    if wanted and wanted not in names:
        _put(settings, kind, "")
        more = "Print again to choose another one, or keep the pages as PDF." if names else "Keep the pages as PDF."
        raise KnownError(f"The {kind} printer {wanted} is not there.", safe=SAFE, next_step=more)
    if not names:
        raise KnownError("No printer is set up on this machine.", safe=SAFE, next_step="Keep the pages as PDF.")
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    if wanted:
        printer.setPrinterName(wanted)
    return printer

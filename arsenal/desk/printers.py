"""The printers of this machine: the one used last for each kind of paper, and a sentence where it is not there."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QPageLayout, QPageSize
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

from arsenal.acts.settings import Settings
from arsenal.trade.errors import KnownError

KEPT = "printers"
SAFE = "Nothing was printed and nothing is lost."
NEAR_MM = 2.0
"""A: drivers round the sizes they list; a paper so near is the one that is meant."""


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


def put_paper(printer: QPrinter, wanted: QPageLayout) -> bool:
    """Make the pages as large as they are meant: on the printer's own paper of that size, lying where it lists it so; a
    printer that lists no such paper gets them on the one it usually has where they fit on it, else by their size. Tells
    whether it is a paper the printer lists: its dialog puts the usual one in place of any other, nobody asked.
    """
    printer.setFullPage(True)  # before any size: with margins a driver refuses sizes it has
    size = wanted.pageSize().size(QPageSize.Unit.Millimeter)
    info = QPrinterInfo(printer)
    for paper, turned in _fitting(info.supportedPageSizes(), size):
        if printer.setPageSize(paper):
            lies, stands = QPageLayout.Orientation.Landscape, QPageLayout.Orientation.Portrait
            printer.setPageOrientation(lies if turned else stands)
            return True
    usual = info.defaultPageSize()
    large = usual.size(QPageSize.Unit.Millimeter) if usual.isValid() else QSizeF()
    listed = bool(info.supportedPageSizes()) and not info.supportsCustomPageSizes()
    holds = large.width() >= size.width() and large.height() >= size.height()
    printer.setPageSize(usual if listed and holds else wanted.pageSize())
    printer.setPageOrientation(wanted.orientation())
    return listed and holds


def _fitting(papers: list[QPageSize], size: QSizeF) -> list[tuple[QPageSize, bool]]:
    """Papers of that size and whether they lie, the nearest first."""
    found = []
    for paper in papers:
        own = paper.size(QPageSize.Unit.Millimeter)
        for turned, one in ((False, own), (True, own.transposed())):
            off = max(abs(one.width() - size.width()), abs(one.height() - size.height()))
            if off <= NEAR_MM:
                found.append((off, turned, paper))
    return [(paper, turned) for _, turned, paper in sorted(found, key=lambda one: one[:2])]

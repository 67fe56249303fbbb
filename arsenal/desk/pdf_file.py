"""Drawn pages as a PDF file that appears whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice
from PySide6.QtGui import QPageLayout, QPainter, QPdfWriter

from arsenal.exchange.atomic import write_file

DPI = 300


def write_pdf(path: Path, title: str, layout: QPageLayout, pages: Sequence[Callable[[QPainter, float], None]]) -> Path:
    """One page for each of `pages`, which is given the painter and its dots a millimetre. Raises KnownError."""
    memory = QBuffer()
    memory.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(memory)
    writer.setPageLayout(layout)
    writer.setResolution(DPI)
    writer.setTitle(title)
    writer.setCreator("Padbook")
    painter = QPainter(writer)
    try:
        for number, draw in enumerate(pages):
            if number:
                writer.newPage()
            draw(painter, DPI / 25.4)
    finally:  # or the device goes while it is painted on, and takes the program with it
        painter.end()
    write_file(path, bytes(memory.data().data()))
    return path

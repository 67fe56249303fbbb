"""Photographs made by hand: a JPEG with what cameras write into it (EXIF 2.3, TIFF 6.0), and broken ones."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice
from PySide6.QtGui import QColor, QImage, QImageWriter

PLACE = b"51 deg North by the river\x00"


def picture(wide: int, high: int) -> QImage:
    """Blue, with a red top left quarter."""
    image = QImage(wide, high, QImage.Format.Format_RGB32)
    image.fill(QColor("#2040C0"))
    for y in range(high // 2):
        for x in range(wide // 2) if wide * high < 100_000 else ():
            image.setPixelColor(x, y, QColor("#D02010"))
    return image


def encoded(image: QImage, kind: bytes, quality: int = 90) -> bytes:
    """The file's bytes."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QImageWriter(buffer, QByteArray(kind))
    writer.setQuality(quality)
    assert writer.write(image)
    return bytes(buffer.data().data())


def exif(orientation: int) -> bytes:
    """An APP1 segment: orientation (274), and a GPS directory (34853) with the name of a place (GPS area, 28)."""
    head = b"MM\x00\x2a" + struct.pack(">I", 8)
    gps_at = 8 + 2 + 2 * 12 + 4
    entries = struct.pack(">HHIHH", 274, 3, 1, orientation, 0) + struct.pack(">HHII", 34853, 4, 1, gps_at)
    first = struct.pack(">H", 2) + entries + struct.pack(">I", 0)
    text_at = gps_at + 2 + 12 + 4
    gps = struct.pack(">H", 1) + struct.pack(">HHII", 28, 7, len(PLACE), text_at) + struct.pack(">I", 0)
    body = b"Exif\x00\x00" + head + first + gps + PLACE
    return b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body


def with_exif(jpeg: bytes, orientation: int) -> bytes:
    """A JPEG as a camera writes it, with a comment besides."""
    comment = b"\xff\xfe" + struct.pack(">H", 2 + len(PLACE)) + PLACE
    return jpeg[:2] + exif(orientation) + comment + jpeg[2:]


def bomb(wide: int, high: int) -> bytes:
    """A small PNG that says it is huge (PNG, ISO/IEC 15948)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\x00" * 4096))
        + chunk(b"IEND", b"")
    )


def segments(jpeg: bytes) -> list[int]:
    """The markers before the picture's data (ISO/IEC 10918-1 annex B)."""
    at, found = 2, []
    while jpeg[at] == 0xFF and jpeg[at + 1] != 0xDA:
        found.append(jpeg[at + 1])
        at += 2 + struct.unpack(">H", jpeg[at + 2 : at + 4])[0]
    return found


def kept(path: Path, data: bytes) -> Path:
    """A file with those bytes."""
    path.write_bytes(data)
    return path

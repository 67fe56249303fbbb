"""A photograph out of a file: checked, turned upright, made small, and written anew without anything but the picture.

A camera writes into the file where and when it was taken and by whose telephone; none of that is kept.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QColor, QColorSpace, QImage, QImageReader, QImageWriter, QPainter

from arsenal.trade.errors import KnownError

MOST_BYTES = 50_000_000
SIDE_PX, QUALITY = 1600, 85
MOST_JPEG_PX, MOST_PX = 220_000_000, 60_000_000
"""JPEG is read smaller than it is; the others have to be unpacked whole, four bytes a dot."""
KINDS = ("jpeg", "png", "webp")
HEIF = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis")
NAMES = "Photographs (*.jpg *.jpeg *.png *.webp)"
START_OF_SCAN, START, END = 0xDA, b"\xff\xd8", b"\xff\xd9"


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph ready to be kept: the bytes of a JPEG, and its size."""

    jpeg: bytes
    width: int
    height: int


def read(path: Path) -> Picture:
    """The photograph in a file, off the window's thread. Raises KnownError with what is wrong with the file."""
    raw = _bytes(path)
    data = QByteArray(raw)
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer)
    reader.setDecideFormatFromContent(True)
    kind = bytes(reader.format().data()).decode("ascii", "replace")
    _check_kind(path, raw, kind)
    if kind == "jpeg" and not _whole(raw):
        raise _damaged(path)
    _check_size(path, reader.size(), kind)
    reader.setAutoTransform(True)
    _ask_for_less(reader, kind)
    image = reader.read()
    if image.isNull():
        raise _damaged(path)
    return _written(_plain(image))


def _bytes(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise KnownError(f"{path.name} is no file.", next_step="Choose a photograph.")
        if path.stat().st_size > MOST_BYTES:
            raise _too_large(path)
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise KnownError(
            f"{path.name} could not be read: {error.strerror or error}.", next_step="Choose another file."
        ) from error
    if len(raw) > MOST_BYTES:
        raise _too_large(path)
    return raw


def _too_large(path: Path) -> KnownError:
    return KnownError(
        f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB.", next_step="Save it smaller, or choose another one."
    )


def _damaged(path: Path) -> KnownError:
    return KnownError(f"{path.name} is damaged or not whole.", next_step="Copy it from the camera again.")


def _check_kind(path: Path, raw: bytes, kind: str) -> None:
    if raw[4:8] == b"ftyp" and raw[8:12] in HEIF:
        raise KnownError(
            f"{path.name} is a HEIC photograph, which this program cannot read.",
            next_step="Save it as JPEG; many telephones have a setting for it.",
        )
    if not raw:
        raise KnownError(f"{path.name} is empty.", next_step="Choose another file.")
    if kind not in KINDS:
        raise KnownError(f"{path.name} is no photograph in JPEG, PNG or WebP.", next_step="Choose another file.")


def _check_size(path: Path, size: QSize, kind: str) -> None:
    if not size.isValid() or size.isEmpty():
        raise _damaged(path)
    if size.width() * size.height() > (MOST_JPEG_PX if kind == "jpeg" else MOST_PX):
        raise KnownError(
            f"{path.name} has {size.width()} × {size.height()} dots, more than a photograph has.",
            next_step="Save it smaller, or choose another one.",
        )


def _whole(raw: bytes) -> bool:
    """Whether the picture's data come to their end; a thumbnail inside has an end of its own, which does not count."""
    at = 2
    while at + 4 <= len(raw) and raw[at] == END[0]:
        marker, long = raw[at + 1], struct.unpack(">H", raw[at + 2 : at + 4])[0]
        if marker == START_OF_SCAN:
            return raw.find(END, at + 2 + long) >= 0
        at += 1 if marker == END[0] else 2 + long
    return False


def _ask_for_less(reader: QImageReader, kind: str) -> None:
    """Let a JPEG be unpacked at about twice the size that is kept: less memory, and smooth afterwards."""
    size = reader.size()
    if kind == "jpeg" and max(size.width(), size.height()) > 2 * SIDE_PX:
        reader.setScaledSize(size.scaled(2 * SIDE_PX, 2 * SIDE_PX, Qt.AspectRatioMode.KeepAspectRatio))


def _plain(image: QImage) -> QImage:
    """At most `SIDE_PX` a side, on white, in the usual colours; nothing else of the file comes along."""
    usual = QColorSpace(QColorSpace.NamedColorSpace.SRgb)
    if image.colorSpace().isValid() and image.colorSpace() != usual:
        changed = image.convertedToColorSpace(usual)
        image = image if changed.isNull() else changed
    if max(image.width(), image.height()) > SIDE_PX:
        aspect, smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        image = image.scaled(SIDE_PX, SIDE_PX, aspect, smooth)
    image.setDevicePixelRatio(1.0)
    made = QImage(image.size(), QImage.Format.Format_RGB32)
    made.fill(QColor("#FFFFFF"))
    painter = QPainter(made)
    painter.drawImage(0, 0, image)
    painter.end()
    return made


def _written(image: QImage) -> Picture:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QImageWriter(buffer, QByteArray(b"jpeg"))
    writer.setQuality(QUALITY)
    if not writer.write(image):
        raise KnownError("The photograph could not be made smaller.", next_step="Choose another file.")
    return Picture(bytes(buffer.data().data()), image.width(), image.height())

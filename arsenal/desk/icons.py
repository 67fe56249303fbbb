"""Icons: our own simple drawings, tinted with a token and drawn at the screen's resolution."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from arsenal.desk.resources import folder
from arsenal.desk.theme import look


@lru_cache(maxsize=64)
def _source(name: str) -> str:
    return (folder() / "icons" / f"{name}.svg").read_text("utf-8")


@lru_cache(maxsize=256)
def _drawn(name: str, side: int, colour: str, ratio: float) -> QPixmap:
    renderer = QSvgRenderer(QByteArray(_source(name).replace("currentColor", colour).encode()))
    made = QPixmap(round(side * ratio), round(side * ratio))
    made.fill(Qt.GlobalColor.transparent)
    painter = QPainter(made)
    renderer.render(painter, QRectF(0, 0, made.width(), made.height()))
    painter.end()
    made.setDevicePixelRatio(ratio)
    return made


def pixmap(name: str, side: int, token: str = "ink2", ratio: float = 1.0) -> QPixmap:
    """Icon `name`, `side` logical pixels square, in a token's present colour, for a screen of that ratio."""
    return _drawn(name, side, look().color(token).name(), ratio)


def icon(name: str, token: str = "ink2") -> QIcon:
    """The icon for a menu or action, at one and two pixels a point."""
    made = QIcon(pixmap(name, 16, token))
    made.addPixmap(pixmap(name, 16, token, 2.0))
    return made

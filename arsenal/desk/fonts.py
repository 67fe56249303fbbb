"""The bundled typeface (three weights, SIL Open Font License) and what stands in where it cannot be loaded."""

from __future__ import annotations

from functools import cache

from PySide6.QtGui import QFont, QFontDatabase

from arsenal.desk.resources import folder

FAMILY = "IBM Plex Sans"
FALLBACK = ("Noto Sans", "DejaVu Sans")
FILES = ("IBMPlexSans-Regular.ttf", "IBMPlexSans-Medium.ttf", "IBMPlexSans-SemiBold.ttf")
WEIGHTS = {400: QFont.Weight.Normal, 500: QFont.Weight.Medium, 600: QFont.Weight.DemiBold}


@cache
def load() -> bool:
    """Register the font files with Qt. False where one of them cannot be read."""
    found = [QFontDatabase.addApplicationFont(str(folder() / "fonts" / name)) for name in FILES]
    return all(number >= 0 for number in found)


def make(px: int, weight: int) -> QFont:
    """A font of `px` screen pixels; without hinting, or widths jump between sizes."""
    font = QFont([FAMILY, *FALLBACK])
    font.setPixelSize(px)
    font.setWeight(WEIGHTS[weight])
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setStyleStrategy(QFont.StyleStrategy.PreferAntialias)
    return font

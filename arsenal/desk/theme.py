"""The look at run time: scheme, text size, colours, fonts, pens; one object, one signal when any of it changes."""

from __future__ import annotations

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QPalette, QPen
from PySide6.QtWidgets import QApplication, QStyleFactory

from arsenal.desk import fonts
from arsenal.desk.sheet import style_sheet
from arsenal.desk.tokens import DARK, LIGHT, SERIES, WHAT_IF, Series, Tokens

SCALES = (80, 90, 100, 110, 125, 150, 175, 200)
LEAST_PX = 12


class Look(QObject):
    """Colours, fonts and lengths for every painter. Ask `look()` for the one there is."""

    changed = Signal()
    """Scheme or text size changed: recolour pens, redo sizes, repaint."""

    def __init__(self) -> None:
        super().__init__()
        self.tokens: Tokens = LIGHT
        self.choice = "system"
        self.percent = 100
        self._colors: dict[str, QColor] = {}
        self._fonts: dict[tuple[float, int], QFont] = {}

    @property
    def scale(self) -> float:
        """Text size over the base of 14 px."""
        return self.percent / 100.0

    @property
    def dark(self) -> bool:
        """Whether the dark tokens are on."""
        return self.tokens is DARK

    def color(self, token: str, alpha: float = 1.0) -> QColor:
        """The colour of a token (`tokens.NAMES`); with `alpha` under 1 it is mixed over what is below."""
        found = self._colors.get(token)
        if found is None:
            found = self._colors[token] = QColor(getattr(self.tokens, token))
        if alpha >= 1.0:
            return QColor(found)
        mixed = QColor(found)
        mixed.setAlphaF(alpha)
        return mixed

    def tint(self, token: str, ground: str, share: float) -> QColor:
        """An opaque mix: `share` of `token` over `ground`."""
        top, under = self.color(token), self.color(ground)
        return QColor(
            *(
                round(a * share + b * (1.0 - share))
                for a, b in zip(top.getRgb()[:3], under.getRgb()[:3], strict=True)  # type: ignore[index]
            )
        )

    def px(self, length: float) -> int:
        """A length given at base text size, in pixels at the present one."""
        return round(length * self.scale)

    def line(self, length: float) -> int:
        """A line's thickness: grows with the text but is at least one pixel."""
        return max(1, round(length * max(1.0, self.scale)))

    def size(self, width: float, height: float) -> QSize:
        """A size given at base text size."""
        return QSize(self.px(width), self.px(height))

    def logical(self, pixels: float) -> float:
        """Pixels as a length at base text size: what the breakpoints 1200 × 680 and 900 are compared with."""
        return pixels / self.scale

    def font(self, px: float = 14, weight: int = 400) -> QFont:
        """The desk's font at `px` of base text size (never under 12 px on screen), weight 400, 500 or 600."""
        key = (px, weight)
        found = self._fonts.get(key)
        if found is None:
            found = self._fonts[key] = fonts.make(max(LEAST_PX, round(px * self.scale)), weight)
        return QFont(found)

    def pen(self, token: str, width: float = 1.0, dash: tuple[float, ...] = ()) -> QPen:
        """A cosmetic pen with flat caps; `dash` in pixels."""
        pen = QPen(self.color(token), width)
        pen.setCosmetic(True)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if dash:
            pen.setDashPattern([d / width * max(1.0, width / 2.2) for d in dash])
        return pen

    def series_pen(self, index: int) -> QPen:
        """The pen of series 0 (in hand) to 3 (benchmark)."""
        return self._pen_of(SERIES[index])

    def what_if_pen(self) -> QPen:
        """The pen of the path with a pad on the ball."""
        return self._pen_of(WHAT_IF)

    def _pen_of(self, series: Series) -> QPen:
        return self.pen(series.token, series.width, tuple(d * series.width for d in series.dash))

    def choose(self, choice: str) -> None:
        """light, dark or system."""
        self.choice = choice
        self._apply()

    def resize(self, percent: int) -> None:
        """Text size in percent of 14 px, 75 to 200."""
        self.percent = min(200, max(75, int(percent)))
        self._apply()

    def set_both(self, choice: str, percent: int) -> None:
        """Scheme and text size at once: one repaint at start."""
        self.choice, self.percent = choice, min(200, max(75, int(percent)))
        self._apply()

    def _wanted(self) -> Tokens:
        if self.choice == "system":
            dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
            return DARK if dark else LIGHT
        return DARK if self.choice == "dark" else LIGHT

    def _apply(self) -> None:
        self.tokens = self._wanted()
        self._colors.clear()
        self._fonts.clear()
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.setFont(self.font())
            app.setPalette(palette(self))
            app.setStyleSheet(style_sheet(self))
        self.changed.emit()

    def system_changed(self) -> None:
        """The desktop switched light and dark."""
        if self.choice == "system":
            self._apply()


def palette(now: Look) -> QPalette:
    """The look as a palette for Fusion, every role that paints something set for all groups."""
    role = QPalette.ColorRole
    made = QPalette()
    for which, token in (
        (role.Window, "paper"), (role.WindowText, "ink"), (role.Base, "sheet"), (role.AlternateBase, "well"),
        (role.Text, "ink"), (role.Button, "sheet"), (role.ButtonText, "ink"), (role.BrightText, "bad"),
        (role.PlaceholderText, "ink3"), (role.Highlight, "hand"), (role.HighlightedText, "on_hand"),
        (role.Accent, "hand"), (role.Link, "hand"), (role.LinkVisited, "hand"), (role.ToolTipBase, "sheet"),
        (role.ToolTipText, "ink"), (role.Light, "sheet"), (role.Midlight, "well"), (role.Mid, "rule"),
        (role.Dark, "edge"), (role.Shadow, "edge"),
    ):  # fmt: skip
        made.setColor(which, now.color(token))
    for which in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, which, now.color("ink3"))
    return made


_look: Look | None = None


def look() -> Look:
    """The one look of this process."""
    global _look  # noqa: PLW0603 - one look a process, as there is one QApplication
    if _look is None:
        _look = Look()
    return _look


def dress(app: QApplication, choice: str = "system", percent: int = 100) -> Look:
    """Put Fusion, the fonts, the palette and the sheet on `app`; follow the desktop where the choice is system."""
    fonts.load()
    app.setStyle(QStyleFactory.create("Fusion"))
    now = look()
    app.styleHints().colorSchemeChanged.connect(now.system_changed)
    now.set_both(choice, percent)
    return now

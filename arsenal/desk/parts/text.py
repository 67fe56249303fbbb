"""Text that is only ever plain: labels, tool tips, captions, and one line of weighted runs."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPalette, QResizeEvent, QTextCharFormat, QTextLayout
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from arsenal.desk.theme import look

_TURNS = dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A)))


def unturned(text: str) -> str:
    """`text` without the signs that turn the writing round: in one name they would turn the serial beside it too. What
    is written from right to left by its own letters stays so.
    """
    return text if text.isascii() else text.translate(_TURNS)


def caption(text: str) -> str:
    """`text` for a button, menu or action: an ampersand stays an ampersand."""
    return unturned(text).replace("&", "&&")


def set_tip(widget: QWidget, text: str) -> None:
    """A tool tip that shows `text` as it stands; Qt would guess at HTML."""
    widget.setToolTip(f"<qt>{html.escape(unturned(text))}</qt>" if text else "")


class Plain(QLabel):
    """A label of plain text in one size, weight and token. With `elide` it shortens rather than widen its parent."""

    def __init__(
        self,
        text: str = "",
        *,
        px: float = 14,
        weight: int = 400,
        token: str = "ink",
        elide: bool = False,
        wrap: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self._px, self._weight, self._token, self._elide, self._whole = px, weight, token, elide, text
        self.setWordWrap(wrap)
        if elide:
            self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        look().changed.connect(self._dress)
        self._dress()
        self.setText(text)

    def setText(self, text: str) -> None:
        """Show `text`; the accessible name is the whole of it even where it is shortened."""
        self._whole = text
        self.setAccessibleName(text)
        if self._elide:
            self.updateGeometry()
        self._fit()

    def whole(self) -> str:
        """The text before shortening."""
        return self._whole

    def recolor(self, token: str) -> None:
        """Write in another token."""
        if token != self._token:
            self._token = token
            self._dress()

    def sizeHint(self) -> QSize:
        """Wide enough for the whole text."""
        hint = super().sizeHint()
        if self._elide:
            hint.setWidth(round(QFontMetricsF(self.font()).horizontalAdvance(self._whole)) + 2)
        return hint

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shorten again."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        shown = whole = unturned(self._whole)
        if self._elide:
            metrics = QFontMetricsF(self.font())
            shown = metrics.elidedText(whole, Qt.TextElideMode.ElideRight, self.width() + 0.5)
            set_tip(self, whole if shown != whole else "")
        super().setText(shown)

    def _dress(self) -> None:
        self.setFont(look().font(self._px, self._weight))
        colors = self.palette()
        colors.setColor(QPalette.ColorRole.WindowText, look().color(self._token))
        self.setPalette(colors)
        self._fit()


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of a sentence: strong is weight 600 in `ink`, else 400 in `token`."""

    text: str
    strong: bool = False
    token: str = ""


def runs_of(parts: Sequence[tuple[str, bool]]) -> tuple[Run, ...]:
    """Runs from (text, strong) pairs."""
    return tuple(Run(text, strong) for text, strong in parts)


class Runs(QWidget):
    """A sentence of plain and strong runs, wrapped to its width or kept to one line; never HTML."""

    def __init__(
        self, runs: Sequence[Run] = (), *, px: float = 14, token: str = "ink2", wrap: bool = True,
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._px, self._token, self._wrap = px, token, wrap
        self._runs: tuple[Run, ...] = ()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(wrap)
        self.setSizePolicy(policy)
        look().changed.connect(self._dress)
        self.set_runs(runs)

    def set_runs(self, runs: Sequence[Run]) -> None:
        """Show these runs."""
        self._runs = tuple(Run(unturned(run.text), run.strong, run.token) for run in runs)
        self.setAccessibleName(self.text())
        self._dress()

    def text(self) -> str:
        """The whole sentence."""
        return "".join(r.text for r in self._runs)

    def set_px(self, px: float) -> None:
        """Another size of letters."""
        if px != self._px:
            self._px = px
            self._dress()

    def _layout(self, width: float) -> tuple[QTextLayout, float]:
        layout = QTextLayout(self.text(), look().font(self._px))
        ranges, at = [], 0
        for run in self._runs:
            one = QTextLayout.FormatRange()
            one.start, one.length = at, len(run.text)
            style = QTextCharFormat()
            style.setFont(look().font(self._px, 600 if run.strong else 400))
            style.setForeground(look().color(run.token or ("ink" if run.strong else self._token)))
            one.format = style
            ranges.append(one)
            at += len(run.text)
        layout.setFormats(ranges)
        layout.beginLayout()
        height = 0.0
        while (line := layout.createLine()).isValid():
            line.setLineWidth(width if self._wrap else 1e6)
            line.setPosition(QPointF(0.0, height))
            height += line.height()
        layout.endLayout()
        return layout, height

    def heightForWidth(self, width: int) -> int:
        """Lines at that width."""
        return round(self._layout(width)[1] + 0.5)

    def sizeHint(self) -> QSize:
        """On one line."""
        layout, height = self._layout(1e6)
        return QSize(round(layout.maximumWidth()) + 2, round(height + 0.5))

    def minimumSizeHint(self) -> QSize:
        """May be narrow."""
        return QSize(look().px(40), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the runs."""
        painter = QPainter(self)
        layout, height = self._layout(self.width())
        painter.setClipRect(QRectF(self.rect()))
        layout.draw(painter, QPointF(0.0, 0.0 if self._wrap else (self.height() - height) / 2.0))
        painter.end()

    def _dress(self) -> None:
        self.updateGeometry()
        self.update()

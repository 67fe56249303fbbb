"""Sentences as controls: plain words, and words that can be changed (600, underlined in `hand`, with a menu)."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QMenu, QSizePolicy, QToolButton, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.flow import Flow
from arsenal.desk.parts.text import Plain, caption, set_tip, unturned
from arsenal.desk.theme import look

MOST_IN_MENU = 60
"""Choices of a menu that can still be looked through."""
LEAST = 28
"""Width of the narrowest word that acts; 24 px is the least a pointer target should have (WCAG 2.2, 2.5.8)."""


class SentenceWord(QToolButton):
    """A word of a sentence that can be changed. Either it has choices (a menu) or it is clicked to open something."""

    picked = Signal(object)
    """The value chosen from the menu."""

    def __init__(self, what: str, text: str = "", *, px: float = 16, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._what, self._px, self._word = what, px, ""
        self.arrow = True
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._dress)
        self.set_word(text)

    def set_word(self, text: str) -> None:
        """Show another word."""
        self._word = unturned(text)
        self.setText(caption(text))
        self.setAccessibleName(f"{self._what}: {text}")
        self._dress()

    def word(self) -> str:
        """The word as shown."""
        return self._word

    def set_choices(
        self,
        choices: Sequence[tuple[str, object]],
        current: object = None,
        *,
        more: Sequence[tuple[str, Callable[[], object]]] = (),
    ) -> None:
        """A menu of (label, value) with the current one ticked; `more` are further entries below a line. Of very many
        it holds the current one and a way to the others.
        """
        menu = QMenu(self)
        many = len(choices) > MOST_IN_MENU
        for label, value in choices if not many else [one for one in choices if one[1] == current]:
            act = menu.addAction(caption(label))
            act.setCheckable(True)
            act.setChecked(value == current)
            act.triggered.connect(lambda _=False, v=value: self.picked.emit(v))
        if many:
            every = list(choices)
            act = menu.addAction(f"Choose from all {len(every)} …")
            act.triggered.connect(lambda _=False: self._choose_from(every, current))
        if more:
            menu.addSeparator()
        for label, call in more:
            menu.addAction(caption(label)).triggered.connect(lambda _=False, c=call: c())
        old = self.menu()
        self.setMenu(menu)
        if old is not None:
            old.deleteLater()

    def _choose_from(self, choices: Sequence[tuple[str, object]], current: object) -> None:
        from arsenal.desk.parts.choosing import open_choice  # noqa: PLC0415 - when first wanted

        open_choice(self.window(), self._what, choices, current, self.picked.emit)

    def _space(self) -> int:
        return look().px(17) if self.arrow else 0

    def sizeHint(self) -> QSize:
        """The word and its arrow."""
        wide = QFontMetricsF(look().font(self._px, 600)).horizontalAdvance(self._word)
        return QSize(round(wide + 0.5) + self._space() + 2, look().px(self._px + 14))

    def minimumSizeHint(self) -> QSize:
        """A few letters and the arrow."""
        return QSize(min(self.sizeHint().width(), look().px(56)), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw word, arrow and line."""
        painter = QPainter(self)
        now = look()
        font = now.font(self._px, 600)
        painter.setFont(font)
        painter.setPen(now.color("ink" if self.isEnabled() else "ink3"))
        room = self.width() - self._space() - 1
        metrics = QFontMetricsF(font)
        painter.drawText(
            QRectF(0, 0, room, self.height()),
            Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
            metrics.elidedText(self._word, Qt.TextElideMode.ElideRight, room),
        )
        base = min(self.height() - now.line(2), round((self.height() + metrics.height()) / 2))
        painter.fillRect(QRect(0, base, self.width() - 1, now.line(2 if self.underMouse() else 1.5)), now.color("hand"))
        if self.arrow:
            with paint.kept(painter):
                painter.setPen(QPen(now.color("hand"), 1.8 * max(1.0, now.scale)))
                x, y, r = self.width() - now.px(8), self.height() / 2.0, now.px(4)
                arrow = QPainterPath(QPointF(x - r, y - r / 2))
                arrow.lineTo(x, y + r / 2)
                arrow.lineTo(x + r, y - r / 2)
                painter.drawPath(arrow)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
        painter.end()

    def _dress(self) -> None:
        self.updateGeometry()
        self.update()


class TextButton(SentenceWord):
    """A word that only acts: underlined in `hand`, no arrow. `quiet` ones look like text until pointed at."""

    def __init__(self, text: str, *, px: float = 14, token: str = "hand", parent: QWidget | None = None) -> None:
        self._token, self.quiet = token, False
        super().__init__("", text, px=px, parent=parent)
        self.arrow = False

    def set_word(self, text: str) -> None:
        """Show another word."""
        super().set_word(text)
        self.setAccessibleName(text)

    def sizeHint(self) -> QSize:
        """A single sign is still wide enough to be hit."""
        hint = super().sizeHint()
        return QSize(max(hint.width(), look().px(LEAST)), hint.height()) if self._word else hint

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the word and its line."""
        painter = QPainter(self)
        now = look()
        painter.setFont(now.font(self._px, 400 if self.quiet else 600))
        painter.setPen(now.color(self._token if self.isEnabled() else "ink3"))
        metrics = QFontMetricsF(painter.font())
        shown = metrics.elidedText(self._word, Qt.TextElideMode.ElideRight, self.width() + 1)
        painter.drawText(QRectF(self.rect()), Qt.AlignmentFlag.AlignCenter, shown)
        base = round((self.height() + metrics.height()) / 2)
        if not self.quiet or self.underMouse():
            painter.fillRect(QRect(0, base, self.width() - 1, now.line(1)), now.color("hand"))
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
        painter.end()


class Sentence(QWidget):
    """The sentence bar of a room: words left, what stands right at the end. Optional words give way where all does not
    fit in one row, those of level 1 first, then those of level 2; where that does not help, only level 1 gives way and
    the sentence goes on in a second row.
    """

    height_changed = Signal()

    def __init__(self, name: str = "Sentence", *, px: float = 16, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._px, self._margin, self._lines = px, 20.0, 0
        self._optional: dict[QWidget, int] = {}
        self._flow = Flow(self)
        look().changed.connect(self._dress)
        self._dress()

    def say(self, text: str, *, optional: int = 0) -> Plain:
        """Add plain words; `optional` ones give way, 1 before 2, when there is little room."""
        label = Plain(text, px=self._px, token="ink2")
        self.add(label, optional=optional)
        return label

    def word(self, what: str, text: str = "") -> SentenceWord:
        """Add a word that can be changed; `what` names it to a screen reader."""
        word = SentenceWord(what, text, px=self._px)
        self.add(word)
        return word

    def add(self, widget: QWidget, *, optional: int = 0) -> QWidget:
        """Add any widget."""
        if optional:
            self._optional[widget] = int(optional)
        self._flow.addWidget(widget)
        return widget

    def right(self, widget: QWidget) -> QWidget:
        """Add a widget at the right end."""
        self._flow.add_right(widget)
        return widget

    def flush_left(self) -> None:
        """No margins: the sentence stands within a page."""
        self._margin = 0.0
        self._dress()

    def finish(self) -> None:
        """Everything is said."""
        self.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let optional words give way."""
        super().resizeEvent(event)
        self.fit()

    def event(self, event: QEvent) -> bool:
        """A word was changed, shown or hidden."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.fit()
        return super().event(event)

    def fit(self) -> None:
        """Show the optional words there is room for, then see how high the sentence is."""
        hides = next((most for most in (0, 1, 2) if self._wide(most) <= self.width()), 1)
        for widget, level in self._optional.items():
            show = level > hides and self._says(widget)
            if widget.isHidden() == show:
                widget.setVisible(show)
        lines = self._flow.heightForWidth(self.width())
        if lines != self._lines:
            self._lines = lines
            self.height_changed.emit()

    def _wide(self, hides: int) -> int:
        """Width of one row without the optional words up to a level."""
        wide, gap = self._flow.one_row(), look().px(7)
        for widget, level in self._optional.items():
            show = level > hides and self._says(widget)
            if widget.isHidden() == show:
                wide += (1 if show else -1) * (widget.sizeHint().width() + gap)
        return wide

    @staticmethod
    def _says(widget: QWidget) -> bool:
        return not isinstance(widget, Plain) or bool(widget.whole())

    def _dress(self) -> None:
        margin = look().px(self._margin)
        self._flow.setContentsMargins(margin, 0, margin, 0)
        self._flow.invalidate()
        self.fit()


class RuleMark(QWidget):
    """What may be done to a ball now: square with strokes in `good`, or struck square in `warn`, and the sentence."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._allowed, self._sentence = True, ""
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)
        look().changed.connect(self.update)

    def show_rule(self, allowed: bool, sentence: str, hover: str = "") -> None:
        """Another state."""
        self._allowed, self._sentence = allowed, sentence
        self.setAccessibleName(f"Rule: {sentence}" if sentence else "Rule")
        set_tip(self, hover)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Icon and sentence."""
        wide = QFontMetricsF(look().font(15, 500)).horizontalAdvance(self._sentence)
        return QSize(round(wide + 0.5) + look().px(26), look().px(24)) if self._sentence else QSize(0, look().px(24))

    def minimumSizeHint(self) -> QSize:
        """The icon and a few words."""
        return QSize(min(self.sizeHint().width(), look().px(120)), look().px(24))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the mark."""
        if not self._sentence:
            return
        painter = QPainter(self)
        token = "good" if self._allowed else "warn"
        side = look().px(15)
        paint_rule_icon(painter, QRectF(1, (self.height() - side) / 2.0, side, side), allowed=self._allowed)
        painter.setFont(look().font(15, 500))
        painter.setPen(look().color(token))
        room = QRectF(look().px(25), 0, self.width() - look().px(25), self.height())
        shown = QFontMetricsF(painter.font()).elidedText(self._sentence, Qt.TextElideMode.ElideRight, room.width() + 1)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
        painter.end()


def paint_rule_icon(painter: QPainter, box: QRectF, *, allowed: bool) -> None:
    """The square: with strokes where pads may be used, struck through where not."""
    with paint.kept(painter):
        pen = QPen(look().color("good" if allowed else "warn"), 1.6 * max(1.0, look().scale))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.drawRoundedRect(box, 2, 2)
        if allowed:
            for share in (0.30, 0.52, 0.74):
                x = box.left() + share * box.width()
                painter.drawLine(
                    QPointF(x - box.width() * 0.08, box.bottom() - box.height() * 0.25),
                    QPointF(x + box.width() * 0.08, box.top() + box.height() * 0.25),
                )
        else:
            painter.drawLine(
                QPointF(box.left() - 3, box.bottom() + 2), QPointF(box.right() + 3, box.top() - 2)
            )  # fmt: skip

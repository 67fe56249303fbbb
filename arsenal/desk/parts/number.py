"""The one number field: takes . and , alike, refuses a second separator, says the range when a value is outside."""

from __future__ import annotations

import re
from collections.abc import Mapping

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.parts import paint
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.trade.limits import Limit

NUMBER = re.compile(r"\s*([+\-−]?)(\d*)(?:[.,](\d*))?\s*([^\d.,\s][^\d]*)?\s*")


class NotANumber(ValueError):
    """What was typed is no number; the message is a sentence."""


def read_number(text: str, units: Mapping[str, float] | None = None) -> float:
    """The number in `text`, with . or , as the decimal sign and no group separators.

    A unit after it must be a key of `units` and multiplies by its factor: a typed unit wins over the field's.
    Raises NotANumber.
    """
    found = NUMBER.fullmatch(text)
    if found is None or not (found[2] or found[3]):
        if len(re.findall(r"[.,]", text)) > 1:
            raise NotANumber("Write one decimal sign and no thousands sign.")
        raise NotANumber(f"“{text.strip()}” is not a number." if text.strip() else "A number is wanted here.")
    value = float(f"{found[2] or '0'}.{found[3] or '0'}") * (-1.0 if found[1] in ("-", "−") else 1.0)
    unit = (found[4] or "").strip()
    if not unit:
        return value
    if units and unit in units:
        return value * units[unit]
    known = ", ".join(units) if units else "none"
    raise NotANumber(f"“{unit}” is not a unit here; known: {known}.")


def write_number(value: float, digits: int = 2) -> str:
    """A number for a field: a point, no group signs, no trailing zeros, a true minus."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace("-", "−") if text != "-0" else "0"


class NumberField(QWidget):
    """A number with its unit inside the field and one sentence below when something is wrong.

    `limit` is a range in the unit of the field; `units` maps units one may type to their factor. `required` empty
    fields are an error, others give None.
    """

    changed = Signal()

    def __init__(
        self,
        limit: Limit,
        value: float | None = None,
        *,
        digits: int = 2,
        units: Mapping[str, float] | None = None,
        required: bool = False,
        name: str = "",
        wide: float = 120,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._limit, self._digits, self._required = limit, digits, required
        self._units = {limit.unit: 1.0, **(units or {})} if limit.unit else dict(units or {})
        self._name = name or limit.field
        self.box = _Box(limit.unit, wide)
        self.edit = self.box.edit
        self.edit.setAccessibleName(f"{self._name} in {limit.unit}" if limit.unit else self._name)
        self.sentence = Told()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.box)
        column.addWidget(self.sentence)
        self.setFocusProxy(self.edit)
        self.edit.textEdited.connect(self._edited)
        self.edit.editingFinished.connect(self.check)
        if value is not None:
            self.set_value(value)

    def set_value(self, value: float | None) -> None:
        """Write a value in the field's unit, or nothing."""
        self.edit.setText("" if value is None else write_number(value, self._digits))
        self._tell("")

    def text(self) -> str:
        """What is typed."""
        return self.edit.text()

    def problem(self) -> str:
        """What is wrong with what is typed, as a sentence; empty where nothing is."""
        text = self.edit.text().strip()
        if not text:
            return f"{self._name.capitalize()} is needed: {self._limit.allowed}." if self._required else ""
        try:
            value = read_number(text, self._units)
        except NotANumber as error:
            return str(error)
        if not self._limit.low <= value <= self._limit.high:
            return f"{self._name[:1].upper()}{self._name[1:]} is {self._limit.allowed}. Nothing was saved."
        return ""

    def value(self) -> float | None:
        """The number in the field's unit; None where the field is empty or wrong (see `problem`)."""
        text = self.edit.text().strip()
        return None if not text or self.problem() else read_number(text, self._units)

    def check(self) -> bool:
        """Show what is wrong, if anything. True where all is well."""
        self._tell(self.problem())
        return not self.problem()

    def _edited(self) -> None:
        if self.sentence.isVisibleTo(self):
            self._tell(self.problem())
        self.changed.emit()

    def _tell(self, problem: str) -> None:
        self.box.wrong = bool(problem)
        self.box.update()
        self.sentence.setText(problem)
        self.edit.setAccessibleDescription(problem)


class _Box(QWidget):
    """Field and unit in one frame."""

    def __init__(self, unit: str, wide: float) -> None:
        super().__init__()
        self.wrong, self._wide = False, wide
        self.edit = QLineEdit(self)
        self.edit.setFrame(False)
        self.edit.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.edit.setStyleSheet("QLineEdit, QLineEdit:focus { border: none; background: transparent; padding: 0; }")
        self.unit: QLabel = Plain(unit, px=14, token="ink3")
        self._row = QHBoxLayout(self)
        self._row.addWidget(self.edit, 1)
        self._row.addWidget(self.unit)
        self.unit.setVisible(bool(unit))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._dress)
        self._dress()
        self.edit.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Repaint the frame when the focus comes or goes."""
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        return False

    def sizeHint(self) -> QSize:
        """34 high."""
        return look().size(self._wide, 34)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the frame."""
        painter = QPainter(self)
        with paint.kept(painter):
            focus = self.edit.hasFocus()
            width = 2 if self.wrong or focus else 1
            token = "bad" if self.wrong else ("hand" if focus else "edge")
            painter.setBrush(look().color("sheet"))
            painter.setPen(QPen(look().color(token), width))
            half = width / 2
            painter.drawRoundedRect(self.rect().toRectF().adjusted(half, half, -half, -half), 4, 4)
        painter.end()

    def _dress(self) -> None:
        pad = look().px(8)
        self._row.setContentsMargins(pad, 2, pad, 2)
        self._row.setSpacing(look().px(8))
        self.edit.setFont(look().font(15, 600))
        colors = self.edit.palette()
        colors.setColor(QPalette.ColorRole.Text, look().color("ink"))
        self.edit.setPalette(colors)
        self.setFixedSize(look().size(self._wide, 34))

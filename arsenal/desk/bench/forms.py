"""One form engine for every kind of entry: fields from their description, the draft they make, what is wrong where."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDateEdit, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.bench.forms_fields import Around, Form, cautions
from arsenal.desk.bench.forms_widgets import Slot
from arsenal.desk.parts.dialog import Caution, Facts
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.theme import look
from arsenal.trade.entries import Draft
from arsenal.trade.errors import KnownError, OutOfRange

DAY = "day"
_FIELDS_OF = {
    "date": DAY, "grain number": "steps", "sides": "steps", "seconds": "steps", "steps": "steps", "holes used": "used",
    "note": "text", "spread of the boards": "sd", "the grain number": "finish",
}  # fmt: skip
"""Where the sentence of a refused value stands, where its name is not the key or the limit of a field."""


class DayField(QWidget):
    """A day: today unless changed; what is wrong with it stands below."""

    changed = Signal()

    def __init__(self, today: date) -> None:
        super().__init__()
        self.edit, self.told = _DayEdit(QDate(today.year, today.month, today.day)), Told()
        self.edit.setDisplayFormat("ddd d MMM yyyy")
        self.edit.setCalendarPopup(True)  # without buttons the style sheet leaves no room for the text
        self.edit.setStyleSheet("QDateEdit::drop-down { border: none; width: 0; }")
        self.edit.setAccessibleName("Day")
        self.edit.lineEdit().setAccessibleName("Day")
        self.edit.setFixedHeight(look().px(34))
        self.edit.setMinimumWidth(look().px(190))
        self.edit.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.edit.setCurrentSection(QDateEdit.Section.DaySection)
        self.earlier = TextButton("a day earlier")
        self.earlier.setFocusPolicy(Qt.FocusPolicy.ClickFocus)  # ↓ in the field does the same
        self.earlier.clicked.connect(lambda: self.put(self.read() - timedelta(days=1)))
        self.edit.dateChanged.connect(lambda _day: self.changed.emit())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        row = QHBoxLayout()
        row.setSpacing(look().px(12))
        row.addWidget(self.edit)
        row.addWidget(self.earlier)
        row.addStretch(1)
        column.addLayout(row)
        column.addWidget(self.told)
        self.setFocusProxy(self.edit)

    def read(self) -> date:
        """The day."""
        chosen = self.edit.date()
        return date(chosen.year(), chosen.month(), chosen.day())

    def put(self, day: date) -> None:
        """Another day."""
        self.edit.setDate(QDate(day.year, day.month, day.day))

    def tell(self, sentence: str) -> None:
        """Say this below it."""
        self.told.setText(sentence)
        self.edit.setAccessibleDescription(sentence)


class _DayEdit(QDateEdit):
    """A date whose Enter belongs to the dialog."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes what is typed and goes on to the dialog's button."""
        super().keyPressEvent(event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.ignore()


class FormPanel(QWidget):
    """The form of one kind: day first, then its own fields, then its caution."""

    changed = Signal()

    def __init__(self, form: Form, around: Around) -> None:
        super().__init__()
        self.form, self.around = form, around
        self.day = DayField(around.today)
        self.slots: dict[str, Slot] = {}
        self._shown: dict[str, bool] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, look().px(8), 0)
        column.setSpacing(look().px(10))
        self.cautions = cautions(form, around)
        for strong, plain in self.cautions:
            column.addWidget(Caution(strong, plain))
        self.rows = Facts()
        column.addWidget(self.rows)
        self.rows.field("Day", self.day)
        for asked in form.fields:
            slot = self.slots[asked.key] = Slot(asked, around)
            slot.changed.connect(self._changed)
            self.rows.field(asked.label, slot)
        self.day.changed.connect(self._changed)
        column.addStretch(1)
        self._show_asked()

    def first(self) -> QWidget:
        """Where one begins: the first field of the kind, the day where it has none."""
        for asked in self.form.fields:
            if self._shown[asked.key]:
                return self.slots[asked.key].target()
        return self.day.edit

    def draft(self) -> Draft:
        """The entry the fields say, not yet looked at by the shop. Raises KnownError; ask `problems` first."""
        values = {key: slot.read() if self._shown[key] else _nothing(slot) for key, slot in self.slots.items()}
        made = self.form.make(values, self.around)
        return Draft(self.around.ball.id, made.kind, self.day.read(), made.payload, made.typed)

    def problems(self) -> Sequence[tuple[str, str]]:
        """(field, sentence) for each field that is asked and wrong or still empty, top to bottom."""
        asked = [(key, slot.problem()) for key, slot in self.slots.items() if self._shown[key]]
        return [(key, sentence) for key, sentence in asked if sentence]

    def check(self) -> bool:
        """Show what is wrong below its field and go to the first; True where nothing is."""
        wrong = [slot for key, slot in self.slots.items() if self._shown[key] and not slot.check()]
        if wrong:
            wrong[0].target().setFocus(Qt.FocusReason.OtherFocusReason)
        return not wrong

    def blame(self, error: KnownError) -> bool:
        """Put the sentence of an error below the field it is about. False where no field is."""
        key = self._key_of(error)
        said = f"{error.sentence} {error.next_step}".strip()
        if key == DAY:
            self.day.tell(said)
        elif key in self.slots:
            self.slots[key].tell(said)
        return key == DAY or key in self.slots

    def clear(self) -> None:
        """Nothing is wrong for all one knows."""
        self.day.tell("")
        for slot in self.slots.values():
            if slot.told.whole():
                slot.tell("")

    def _key_of(self, error: KnownError) -> str:
        if not isinstance(error, OutOfRange):
            return self.form.blames
        field = error.field.casefold()
        if field in self.slots:
            return field
        for key, slot in self.slots.items():
            if self._shown[key] and getattr(slot.asked, "limit", None) == field:
                return key
        key = _FIELDS_OF.get(field, self.form.blames)
        return key if key == DAY or key in self.slots else self.form.blames

    def _changed(self) -> None:
        self._show_asked()
        self.changed.emit()

    def _show_asked(self) -> None:
        """A field that hangs on another is shown while that one has its value."""
        for asked in self.form.fields:
            show = asked.only is None or self.slots[asked.only[0]].read() in asked.only[1]
            self._shown[asked.key] = show
            slot = self.slots[asked.key]
            slot.setVisible(show)
            self.rows.label_of(slot).setVisible(show)


def _nothing(slot: Slot) -> object:
    return "" if isinstance(slot.read(), str) else None


__all__ = ["DAY", "DayField", "FormPanel"]

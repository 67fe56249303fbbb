"""The holes of a fit sheet or a drilling as a small table; what is wrong with a hole stands below its row."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QApplication, QGridLayout, QVBoxLayout, QWidget

from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.dialogs.length import LengthField
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.exchange import lengths
from arsenal.trade.fit import DEPTH, MOST_HOLES, PITCH, SPAN, WIDTH, Hole
from arsenal.trade.limits import Limit

Ways = tuple[str, str, Mapping[str, float]]
USUAL = ("thumb", "middle", "ring")
USED, NOT_USED, NONE = "used", "not used", "no hole"
CELL = 84
NARROW = 940
"""Logical width of a screen under which a hole takes two rows of fields."""
COLUMNS = ("Span", "Pitch F or R", "Pitch L or R", "Width", "Depth", "Insert, slug")
PITCHES = "Pitch: F forward, R reverse; then L left, R right."
INCHES = f"{PITCHES} Inches as 4 3/8 or 4.38; a typed mm is millimetres."
MILLIMETRES = f"{PITCHES} Millimetres as 111 or 111.1; 4 3/8, or a typed in, is inches."


class HoleRow:
    """The fields of one hole."""

    def __init__(self, finger: str, hole: Hole | None, system: str, changed: Callable[[], object]) -> None:
        self.finger, self.told = finger, Told()
        self.name = Plain(finger.capitalize(), px=15, weight=600)
        state = NONE if hole is None else USED if hole.used else NOT_USED
        self.state = Choice(f"{finger} hole", [(word, word) for word in (USED, NOT_USED, NONE)], state)
        self.state.picked.connect(lambda _value: self._show())
        self.state.picked.connect(lambda _value: changed())
        kept = hole or Hole(finger)

        def cell(what: str, limit: Limit, si: float | None, ways: Ways | None = None) -> LengthField:
            field = LengthField(
                limit, system, si, name=f"{what} of the {finger} hole", wide=CELL, ways=ways, tells=self.tell,
            )  # fmt: skip
            field.changed.connect(changed)
            return field

        self.cells: list[LengthField] = []
        self.span = cell("span", SPAN, kept.span_m)
        self.forward = cell("pitch forward or reverse", PITCH, kept.forward_m, ("F", "R", lengths.FORWARD))
        self.side = cell("pitch left or right", PITCH, kept.side_m, ("R", "L", lengths.SIDE))
        self.width = cell("width", WIDTH, kept.diameter_m)
        self.depth = cell("depth", DEPTH, kept.depth_m)
        self.insert = Words(f"insert or slug of the {finger} hole", kept.insert, "none", most=60)
        self.insert.setMinimumWidth(look().px(112))
        self.insert.textEdited.connect(lambda _text: changed())
        self.cells = [self.span, self.forward, self.side, self.width, self.depth]
        if finger == "thumb":
            self.span.edit.setPlaceholderText("–")
            self.span.edit.setAccessibleDescription("Spans are measured from the thumb hole; leave it empty")
        self._show()

    def fields(self) -> list[QWidget]:
        """In the order of the columns."""
        return [*self.cells, self.insert]

    def _show(self) -> None:
        for field in self.fields():
            field.setEnabled(self.state.value != NONE)

    def tell(self) -> None:
        """What is wrong with it, one sentence below the row."""
        wrong = [field.edit.accessibleDescription() for field in self.cells if field.box.wrong]
        self.told.setText(wrong[0] if wrong else "")

    def hole(self) -> Hole | None:
        """As the fields say; None where there is none."""
        if self.state.value == NONE:
            return None
        return Hole(
            self.finger, self.width.si(), self.depth.si(), self.span.si(), self.forward.si(), self.side.si(),
            self.insert.words(), self.state.value == USED,
        )  # fmt: skip


class HolesTable(QWidget):
    """Thumb, middle, ring, and others where they are wanted."""

    changed = Signal()
    grown = Signal()

    def __init__(self, holes: Sequence[Hole], system: str) -> None:
        super().__init__()
        self._system = system
        self._wide = look().logical(QApplication.primaryScreen().availableSize().width()) >= NARROW
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(look().px(8))
        self._grid.setVerticalSpacing(look().px(4))
        self.rows: list[HoleRow] = []
        self.more = TextButton("Another hole", px=14)
        self.more.clicked.connect(self._another)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look().px(6))
        column.addLayout(self._grid)
        column.addWidget(self.more, 0, Qt.AlignmentFlag.AlignLeft)
        explained = MILLIMETRES if system == "metric" else INCHES
        column.addWidget(Plain(explained, px=12, token="ink2", wrap=True))
        if self._wide:
            for at, words in enumerate(COLUMNS):
                self._grid.addWidget(Plain(words, px=12, token="ink2"), 0, at + 1)
        self._grid.setColumnStretch(len(COLUMNS) if self._wide else 3, 1)
        self.put(holes)

    def put(self, holes: Sequence[Hole]) -> None:
        """Other holes in place of these; none at all stands for the usual three, all used and not measured."""
        for row in self.rows:
            for part in (row.name, row.state, row.told, *row.fields()):
                part.hide()
                part.deleteLater()
        self.rows = []
        for caption in self.findChildren(Plain, "of a hole"):
            caption.hide()
            caption.deleteLater()
        left = list(holes) or [Hole(finger) for finger in USUAL]
        for finger in USUAL:
            own = next((hole for hole in left if hole.finger == finger), None)
            if own is not None:
                left.remove(own)
            self._add(HoleRow(finger, own, self._system, self.changed.emit))
        for hole in left:
            self._add(HoleRow(hole.finger, hole, self._system, self.changed.emit))
        self.more.setVisible(len(self.rows) < MOST_HOLES)

    def _add(self, row: HoleRow) -> None:
        self.rows.append(row)
        top = self._grid.rowCount()
        top_aligned = Qt.AlignmentFlag.AlignVCenter
        if self._wide:
            self._grid.addWidget(row.name, top, 0, top_aligned)
            for at, field in enumerate(row.fields()):
                self._grid.addWidget(field, top, at + 1)
            self._grid.addWidget(row.state, top, len(COLUMNS) + 1)
            self._grid.addWidget(row.told, top + 1, 1, 1, -1)
            return
        self._grid.addWidget(row.name, top, 0)
        self._grid.addWidget(row.state, top, 1)
        for at, (words, field) in enumerate(zip(COLUMNS, row.fields(), strict=True)):
            caption = Plain(words, px=12, token="ink2", elide=True)
            caption.setObjectName("of a hole")
            down = top + 1 + 2 * (at // 3)
            self._grid.addWidget(caption, down, at % 3)
            self._grid.addWidget(field, down + 1, at % 3)
        self._grid.addWidget(row.told, top + 5, 0, 1, -1)

    def _another(self) -> None:
        row = HoleRow("other", Hole("other"), self._system, self.changed.emit)
        self._add(row)
        self.more.setVisible(len(self.rows) < MOST_HOLES)
        self.order_tabs()
        row.span.edit.setFocus()
        self.grown.emit()
        self.changed.emit()

    def order_tabs(self) -> None:
        """Row by row, then the button."""
        stops = [stop for row in self.rows for stop in (*map(_stop, row.fields()), row.state)]
        for first, second in zip([*stops], [*stops[1:], self.more], strict=True):
            QWidget.setTabOrder(first, second)

    def holes(self) -> tuple[Hole, ...]:
        """As the fields say."""
        return tuple(hole for row in self.rows if (hole := row.hole()) is not None)

    def fine(self) -> bool:
        """Whether every field can be read."""
        return not any(field.problem() for row in self.rows if row.state.value != NONE for field in row.cells)


def _stop(field: QWidget) -> QWidget:
    return field.focusProxy() or field

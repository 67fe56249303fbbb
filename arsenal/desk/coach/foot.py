"""Under the sheet: how boards are counted, what “all threw” logs, and the four big keys."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from arsenal.desk.coach import words
from arsenal.desk.coach.columns import NARROW, WIDE
from arsenal.desk.coach.kept import Kept
from arsenal.desk.coach.sheet import Line
from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.sentence import Sentence
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.trade.entries import Wiped

LEGEND = (
    "Boards are against each bowler’s own benchmark, from each bowler’s own gutter. "
    "Unticked rows are left out of “All threw”."
)
READING = "being read …"
LEGEND_SHORT = "Boards: each one’s own benchmark and gutter. Unticked rows are left out of “All threw”."
GAMES = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
WIPES = (
    ("wiped every shot", Wiped.EACH), ("wiped sometimes", Wiped.SOMETIMES), ("never wiped", Wiped.NEVER),
    ("wiping not said", None),
)  # fmt: skip
CLEANED = (("cleaned", True), ("not cleaned", False))


class Foot(QWidget):
    """Legend, controls of “all threw”, keys A V D P."""

    changed = Signal()
    """Games, wiping or cleaning was changed; they are in `games`, `wiped` and `cleaned`."""

    def __init__(self) -> None:
        super().__init__()
        self.games, self.cleaned = 3.0, True
        self.wiped: Wiped | None = Wiped.EACH
        self.legend = Plain(LEGEND, px=12, token="ink2", wrap=True)
        self.all_logs = Sentence("What “all threw” logs", px=13)
        self.all_logs.flush_left()
        self.all_logs.say("All threw")
        self.how_many = self.all_logs.word("Games")
        self.how_wiped = self.all_logs.word("Wiped")
        self.and_cleaned = self.all_logs.word("Cleaned")
        self.all_logs.finish()
        self.threw = KeyButton("All threw", "A", primary=True, detail=" ", height=54)
        self.pair = KeyButton("Two side by side", "V", detail=" ", height=54)
        self.down = KeyButton("Ball down", "D", detail=" ", height=54)
        self.cards = KeyButton("Print cards", "P", detail="one a bowler", height=54)
        self._upper, self._keys = QGridLayout(), QGridLayout()
        column = self._column = QVBoxLayout(self)
        column.addLayout(self._upper)
        column.addLayout(self._keys)
        self._shape = (0, False)
        for word, taken in (
            (self.how_many, "games"), (self.how_wiped, "wiped"), (self.and_cleaned, "cleaned"),
        ):  # fmt: skip
            word.picked.connect(lambda value, field=taken: self._take(field, value))
        look().changed.connect(self._dress)
        self._dress()

    def keys(self) -> tuple[KeyButton, ...]:
        """A V D P."""
        return (self.threw, self.pair, self.down, self.cards)

    def put(self, kept: Kept) -> None:
        """Take what was kept."""
        self.games, self.wiped, self.cleaned = kept.games, kept.wiped, kept.cleaned
        self._say()

    def say(self, lines: Sequence[Line], chosen: Line | None, other: Line | None, *, paired: bool) -> None:
        """Names and second lines of the keys, and which can be pressed."""
        reading = any(line.row is None for line in lines)
        ticked = [line.bowler.name for line in lines if line.ticked and line.ready]
        left_out = [line.bowler.name for line in lines if not (line.ticked and line.ready)]
        told = READING if reading else words.out_of(ticked, left_out)
        self._put(self.threw, self.threw.name(), told, bool(ticked) and not reading)
        both = f"{chosen.bowler.name} and {other.bowler.name}" if chosen and other else "there is only one"
        if paired:
            self._put(self.pair, "All the bowlers", words.counted(len(lines), "row"), True)
        else:
            self._put(self.pair, "Two side by side", both, other is not None)
        row = chosen.row if chosen is not None else None
        down = row.down if row is not None else None
        told = f"{chosen.bowler.name} to {down.ball.name}" if chosen and down else "the weakest is in hand"
        self._put(self.down, "Ball down", told if row is not None else READING, down is not None)
        ready = sum(line.ready for line in lines)
        self._put(self.cards, f"Print {words.counted(ready, 'card')}", "one a bowler", ready > 0 and not reading)

    @staticmethod
    def _put(key: KeyButton, name: str, detail: str, on: bool) -> None:
        if key.accessibleName() != f"{name}, {detail}":
            key.rename(name, detail)
        key.setEnabled(on)

    def _take(self, field: str, value: object) -> None:
        setattr(self, field, value)
        self._say()
        self.changed.emit()

    def _say(self) -> None:
        count = f"{self.games:g} game{'' if self.games == 1 else 's'}"
        self.how_many.set_word(count)
        every = sorted({*GAMES, self.games})
        self.how_many.set_choices([(f"{g:g} game{'' if g == 1 else 's'}", g) for g in every], self.games)
        self.how_wiped.set_word(next(label for label, value in WIPES if value is self.wiped))
        self.how_wiped.set_choices(WIPES, self.wiped)
        self.and_cleaned.set_word("cleaned" if self.cleaned else "not cleaned")
        self.and_cleaned.set_choices(CLEANED, self.cleaned)
        self.threw.rename(words.threw(self.games, self.wiped, cleaned=self.cleaned))
        self.all_logs.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Four keys in a row, or two."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        wide = look().logical(self.width())
        columns = 4 if wide >= NARROW else 2
        one_row = wide >= NARROW
        self.legend.setText(LEGEND if wide >= WIDE else LEGEND_SHORT)
        self.legend.setContentsMargins(0, 0 if one_row else look().px(6), 0, 0)
        if (columns, one_row) == self._shape:
            return
        self._shape = (columns, one_row)
        for number, key in enumerate(self.keys()):
            self._keys.removeWidget(key)
            self._keys.addWidget(key, number // columns, number % columns)
        for at in range(4):
            self._keys.setColumnStretch(at, (13 if at == 0 and columns == 4 else 10) if at < columns else 0)
        for widget in (self.legend, self.all_logs):
            self._upper.removeWidget(widget)
        self._upper.addWidget(self.legend, 0, 0)
        self._upper.addWidget(self.all_logs, *((0, 1) if one_row else (1, 0)))
        self._upper.setColumnStretch(0, 1)
        self._upper.setColumnStretch(1, 0)
        self.all_logs.setMinimumWidth(self.all_logs.sizeHint().width() if one_row else 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The full rule between rows and foot."""
        painter = QPainter(self)
        paint.hairline(painter, 0, self.width(), 0, "edge")
        painter.end()

    def _dress(self) -> None:
        px = look().px
        self._column.setContentsMargins(px(20), px(1), px(20), px(12))
        self._column.setSpacing(px(2))
        self._keys.setHorizontalSpacing(px(12))
        self._keys.setVerticalSpacing(px(8))
        self._shape = (0, False)
        self._arrange()

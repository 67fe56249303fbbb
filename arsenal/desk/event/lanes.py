"""At the lanes: how long pads may still be used, the stage now, the next ball down and why, and the block's log."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from arsenal.acts.event_views import AtTheLanes
from arsenal.desk.event.clock import Clock, left_words, next_look
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look

NAMES = ("Stage now", "In hand", "Next ball down", "Wipe", "Block", "Between blocks", "Thrown today")


class Countdown(QWidget):
    """The one big number: time left until no pad may touch a ball."""

    over = Signal()
    """The time is up: what is allowed has to be asked again."""

    def __init__(self, clock: Clock) -> None:
        super().__init__()
        self._clock = clock
        self._until: datetime | None = None
        self._else = ""
        self.caption = Plain("", px=13, weight=500, token="ink2")
        self.number = Plain("", px=34, weight=600)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.caption)
        column.addWidget(self.number)
        self.timer = QTimer(self)
        self.timer.setSingleShot(True)
        self.timer.timeout.connect(self.tick)

    def run_to(self, until: datetime | None, otherwise: str) -> None:
        """Count to `until`; without it, or when it is over, say `otherwise`."""
        self._until, self._else = until, otherwise
        self.tick()

    def stop(self) -> None:
        """Nobody is looking."""
        self.timer.stop()

    def tick(self) -> None:
        """Say what is left now."""
        self.timer.stop()
        now, until = self._clock(), self._until
        left = left_words(until, now) if until is not None else ""
        if until is not None and not left:
            self._until = None
            self._show("", "No pads from now", "warn")
            self.over.emit()
            return
        self._show("No pads in" if left else "", left or self._else, "ink" if left else "warn")
        if left:
            self.timer.start(next_look(until, now))

    def _show(self, caption: str, number: str, token: str) -> None:
        self.caption.setText(caption)
        self.number.setText(number)
        self.number.recolor(token)
        self.setAccessibleName(f"{caption} {number}".strip())


class LanesView(QWidget):
    """Facts in two columns, the countdown over them, the keys under them."""

    def __init__(self, clock: Clock) -> None:
        super().__init__()
        self.setAccessibleName("At the lanes")
        self.countdown = Countdown(clock)
        self.block_number: int | None = None
        self.log_key = KeyButton("Log the block", "L", primary=True)
        self.clean_key = KeyButton("Clean all used", "C")
        self.back_key = KeyButton("Back to the plan", "A")
        self.values: dict[str, tuple[Plain, Plain, Plain]] = {}
        self.grid = QGridLayout()
        self.grid.setColumnStretch(1, 1)
        for number, name in enumerate(NAMES):
            told = (Plain(name, px=13, weight=500, token="ink2"), Plain("", px=16, weight=600, wrap=True),
                    Plain("", px=13, token="ink2", wrap=True))  # fmt: skip
            box = QVBoxLayout()
            box.setSpacing(0)
            box.addWidget(told[1])
            box.addWidget(told[2])
            self.grid.addWidget(told[0], number, 0, Qt.AlignmentFlag.AlignTop)
            self.grid.addLayout(box, number, 1)
            self.values[name] = told
        self._keys = QHBoxLayout()
        for key in (self.log_key, self.clean_key, self.back_key):
            self._keys.addWidget(key)
        self._keys.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.countdown)
        self._column.addWidget(Line())
        self._column.addLayout(self.grid)
        self._column.addStretch(1)
        self._column.addLayout(self._keys)
        look().changed.connect(self._dress)
        self._dress()

    def show_lanes(self, at: AtTheLanes) -> None:
        """What is so now."""
        self.countdown.run_to(at.pads_until, at.countdown[:1].upper() + at.countdown[1:])
        said = "; ".join(f"{t.name}: {t.words}" for t in at.thrown) or "nothing is logged today"
        told = not at.shots_on_pair or str(at.shots_on_pair) in at.stage_words
        pair = "" if told else f"about {at.shots_on_pair} shots on the pair"
        for name, strong, plain in (
            ("Stage now", at.stage_words, pair), ("In hand", at.in_hand, ""),
            ("Next ball down", at.next_ball, at.next_reason), ("Wipe", at.wipe, ""), ("Block", at.block, ""),
            ("Between blocks", at.between, ""), ("Thrown today", said, ""),
        ):  # fmt: skip
            label, value, more = self.values[name]
            value.setText(strong)
            more.setText(plain)
            for widget, there in ((label, strong), (value, strong), (more, plain)):
                widget.setVisible(bool(there))
        self.block_number = at.block_number
        logged = f"block {at.block_number} is logged" if at.logged else ""
        detail = logged or (f"block {at.block_number}" if at.block_number else "no block is on or over yet")
        self.log_key.rename("Log the block", detail)
        self.log_key.setEnabled(at.block_number is not None and not at.logged)
        self.clean_key.rename("Clean all used", at.clean.rpartition(": ")[2] or "nothing to clean")
        self.clean_key.setEnabled(bool(at.clean))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The lighter plane."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().color("sheet"))
        painter.end()

    def _dress(self) -> None:
        px = look().px
        for label, _, _ in self.values.values():
            label.setContentsMargins(0, px(3), 0, 0)
        self._column.setContentsMargins(px(44), px(20), px(20), px(20))
        self._column.setSpacing(px(14))
        self.grid.setHorizontalSpacing(px(24))
        self.grid.setVerticalSpacing(px(14))
        self._keys.setSpacing(px(10))

"""The blocks of an event in its form: squad, first ball, games, condition; a row each, added and taken away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.event.fields import TimeField
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.trade.event import Block, Squad
from arsenal.trade.lane import Lane
from arsenal.trade.limits import Limit

GAMES = Limit("games", 1, 60, "games")
USUAL_GAMES = 3
STACKED = 1.3
"""Text size from which a block stands in three lines."""
APART = timedelta(hours=3)
"""Where the next block is offered, after the one before it."""


class BlockRow:
    """The fields of one block."""

    def __init__(self, squad: str, block: Block, lanes: Sequence[Lane], number: int) -> None:
        self.before = block
        self.squad = Words(f"Squad of block {number}", squad, "squad", 40)
        self.squad.setMinimumWidth(look().px(84))
        self.squad.setMaximumWidth(look().px(110))
        self.starts = TimeField(f"First ball of block {number}", block.starts_at)
        self.games = NumberField(GAMES, block.games, digits=0, required=True, name=f"games of block {number}")
        self.games.edit.setAccessibleName(f"Games of block {number}")
        choices = [("as the event", None), *((lane.name, lane.id) for lane in lanes)]
        self.lane = Choice(f"Condition of block {number}", choices, block.lane_id)
        self.remove = TextButton("Remove", px=13)
        self.remove.setAccessibleName(f"Remove block {number}")

    def widgets(self) -> tuple[QWidget, ...]:
        """Left to right."""
        return self.squad, self.starts, self.games, self.lane, self.remove

    def block(self) -> Block:
        """As the fields say."""
        starts = self.starts.at()
        ends = self.before.ends_at if starts == self.before.starts_at else None
        return replace(
            self.before, starts_at=starts, ends_at=ends, games=round(self.games.value() or 0), lane_id=self.lane.value
        )


class BlocksEditor(QWidget):
    """Rows of blocks; those with the same squad belong to it, in the order of their times."""

    changed = Signal()

    def __init__(self, squads: Sequence[Squad], lanes: Sequence[Lane], first: datetime) -> None:
        super().__init__()
        self._lanes, self._first = tuple(lanes), first
        self.rows: list[BlockRow] = []
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(look().px(10))
        self._grid.setVerticalSpacing(look().px(6))
        self._stacked = look().scale > STACKED
        heads = ("Squad", "First ball") if self._stacked else ("Squad", "First ball", "Games", "On")
        for column, head in enumerate(heads):
            self._grid.addWidget(Plain(head, px=12, weight=500, token="ink2"), 0, column)
        self._grid.setColumnStretch(len(heads) - 1, 1)
        self.add_button = TextButton("Add a block", px=13)
        self.add_button.clicked.connect(self.add)
        column_ = QVBoxLayout(self)
        column_.setContentsMargins(0, 0, 0, 0)
        column_.addLayout(self._grid)
        column_.addWidget(self.add_button, 0, Qt.AlignmentFlag.AlignLeft)
        for squad in squads:
            for block in squad.blocks:
                self._put(squad.name, block)
        if not self.rows:
            self._put("", Block(first, USUAL_GAMES))
        self.setFocusProxy(self.rows[0].squad)

    def add(self) -> None:
        """One more block, later the same day, in the same squad."""
        last = self.rows[-1] if self.rows else None
        starts = last.starts.at() + APART if last else self._first
        self._put(last.squad.words() if last else "", Block(starts, USUAL_GAMES))
        self.rows[-1].starts.setFocus()
        self.changed.emit()

    def move_days(self, days: int) -> None:
        """All of them to another day."""
        for row in self.rows:
            row.starts.move_days(days)

    def squads(self) -> tuple[Squad, ...]:
        """What the rows say; squads in the order they are named, blocks by time."""
        found: dict[str, list[Block]] = {}
        for row in self.rows:
            found.setdefault(row.squad.words(), []).append(row.block())
        return tuple(Squad(name, tuple(sorted(each, key=lambda b: b.starts_at))) for name, each in found.items())

    def _put(self, squad: str, block: Block) -> None:
        row = BlockRow(squad, block, self._lanes, len(self.rows) + 1)
        at = self._grid.rowCount()
        for number, widget in enumerate(row.widgets()):
            line, column = (number // 2, number % 2) if self._stacked else (0, number)
            self._grid.addWidget(widget, at + line, column, Qt.AlignmentFlag.AlignLeft)
        row.remove.clicked.connect(lambda: self._remove(row))
        self.rows.append(row)
        self._offer()

    def _remove(self, row: BlockRow) -> None:
        self.rows.remove(row)
        for widget in row.widgets():
            widget.hide()
            self._grid.removeWidget(widget)
            widget.deleteLater()
        self._offer()
        self.add_button.setFocus()
        self.changed.emit()

    def _offer(self) -> None:
        """The last block stays."""
        for row in self.rows:
            row.remove.setEnabled(len(self.rows) > 1)

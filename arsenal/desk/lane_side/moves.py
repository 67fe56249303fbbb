"""Moves of the ball in hand as a row of keys: what brings a miss back, side by side, or what each usual move does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter

from arsenal.desk.lane_side import move_words
from arsenal.desk.lane_side.key_hints import KeyHint, SwitchKey, in_tab_order
from arsenal.desk.lane_side.move_words import End, Saw, Told
from arsenal.desk.lane_side.what_if_pane import WhatIfPane
from arsenal.desk.parts.buttons import ChoiceKey
from arsenal.desk.parts.lists import write
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import Plain, Run, runs_of, set_tip
from arsenal.desk.theme import look
from arsenal.order.records import OrderRow
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.moves import MovesSheet

SPARE = "A spare ball: out of strike advice."
FEET_FIRST = "Boards of the feet, then of the target, from the ball’s own best line, where it ends flush."
NOTHING = "Nothing tried brings it back."


class MoveKey(ChoiceKey):
    """One change: its name, where the shot then ends, and a word more."""

    def __init__(self) -> None:
        super().__init__("", height=72)
        self.compact = False
        self.told: Told | None = None

    def show_told(self, told: Told | None) -> None:
        """What it would do; None while that is worked out."""
        self.told = told
        self.rename(told.name if told else "…", told.spoken if told else "being worked out")
        set_tip(self, told.spoken if told else "")

    def paint_lines(self, painter: QPainter, box: QRect) -> None:
        """Name, ends, last line."""
        now, told = look(), self.told
        if self.compact:
            box = box.adjusted(-now.px(6), 0, now.px(7), 0)
        third = box.height() // 3
        lines = [QRect(box.left(), box.top() + i * third + (2 if i else 0), box.width(), third) for i in range(3)]
        if told is None:
            write(painter, lines[1], "…", now.font(13), "ink3")
            return
        name = now.font(13 if self.compact else 15, 600)
        if QFontMetricsF(name).horizontalAdvance(told.name) > box.width():
            name = now.font(13, 600)
        write(painter, lines[0], told.name, name, "hand" if self.isChecked() else "ink")
        for line, end in zip(lines[1:], told.ends, strict=False):
            _write_end(painter, line, end)
        if told.last and len(told.ends) < len(lines) - 1:
            write(painter, lines[-1], told.last, now.font(12), "ink2")


def _write_end(painter: QPainter, box: QRect, end: End) -> None:
    """“left 16 ± ½ light”, with as much behind the board as there is room for."""
    now, gap = look(), look().px(4)
    strong, small = now.font(13, 600), now.font(12)
    metrics, bold = QFontMetricsF(small), QFontMetricsF(strong)
    first = metrics.horizontalAdvance(end.first) + gap if end.first else 0.0
    taken = first + bold.horizontalAdvance(end.board) + gap
    tail = next((t for t in end.tails if taken + metrics.horizontalAdvance(t) <= box.width()), "")
    write(painter, box, end.first, small, "ink3" if end.faint else "ink2", elide=False)
    box = box.adjusted(round(first), 0, 0, 0)
    write(painter, box, end.board, strong, "ink3" if end.faint else "ink", elide=False)
    box = box.adjusted(round(taken - first), 0, 0, 0)
    write(painter, box, tail, small, "ink3" if end.faint else "ink2", elide=False)


class Moves(WhatIfPane):
    """Heading with the word for how it ended, keys, and the sentence of the chosen one."""

    saw_picked = Signal(object)

    def __init__(self) -> None:
        super().__init__("What would a move do?")
        self.saw = move_words.FIRST
        self._sheet: MovesSheet | None = None
        self._told: tuple[Told, ...] = ()
        self._trouble = ""
        self.title = Plain("If it ended", px=15, weight=600)
        self.ended = SentenceWord("If it ended", self.saw.label, px=15)
        self.ended.picked.connect(self._pick)
        self.switch = SwitchKey("pads", "M")
        set_tip(self.switch, "What would one pad do?")
        self.hint = KeyHint("Left and right step the changes, Escape chooses none")
        self.keys.chosen.connect(lambda _index: self._tell())
        for widget in (self.title, self.ended, self.switch, self.hint):
            self._head.addWidget(widget)
        self._head.addStretch(1)
        self._offer()
        look().changed.connect(self._dress)
        self._dress()

    def _offer(self) -> None:
        self.ended.set_word(self.saw.label)
        self.ended.set_choices([(one.label, one) for one in move_words.SAWS], self.saw)

    def _pick(self, saw: object) -> None:
        if isinstance(saw, Saw):
            self.saw = saw
            self._offer()
            self.saw_picked.emit(saw)

    def wait(self) -> None:
        """Another ball or another end: it is being worked out."""
        self._sheet, self._told, self._owed, self._trouble = None, (), 0, ""
        self.keys.choose(-1, tell=False)
        for key in self._move_keys():
            key.show_told(None)
        self._tell()

    def show_sheet(self, sheet: MovesSheet, row: OrderRow, person: Person) -> None:
        """The moves of the ball in hand."""
        self._sheet = sheet
        self._told = () if row.ball.spare else move_words.keys(sheet, row, person)
        self._trouble = SPARE if row.ball.spare else "" if self._told else sheet.sentence or NOTHING
        if len(self._move_keys()) != len(self._told):
            made = [MoveKey() for _ in self._told]
            self.keys.set_keys(made)
            in_tab_order([self.switch, *made])
            self._dress()
        for key, told in zip(self._move_keys(), self._told, strict=True):
            key.show_told(told)
        self._tell()
        self._make_up()

    def show_trouble(self, sentence: str) -> None:
        """Why there is nothing to show."""
        self._trouble = sentence
        self.keys.set_keys([])
        self._tell()

    def _move_keys(self) -> list[MoveKey]:
        return [key for key in self.keys.choices() if isinstance(key, MoveKey)]

    def known(self) -> int:
        """How many answers are there."""
        return len(self._told)

    def told(self) -> tuple[Told, ...]:
        """What the keys say."""
        return self._told

    def _tell(self) -> None:
        self.sentence.tell(self._says(), move_words.film_words(self._sheet) if self._sheet else "")
        self._show_sentence()

    def _says(self) -> tuple[tuple[Run, ...], ...]:
        at = self.keys.at()
        if 0 <= at < len(self._told):
            return tuple(runs_of(part) for part in self._told[at].sentence)
        if self._trouble:
            return ((Run(self._trouble),),)
        if self._sheet is None:
            return ((Run("Being worked out …", token="ink3"),),)
        said = self._sheet.sentence
        return ((Run(said),),) if said else ((Run(FEET_FIRST, token="ink3"),),)

    def set_compact(self, compact: bool) -> None:
        """No sentence, but where there are no keys."""
        if compact != self.compact:
            self.compact = compact
            self._dress()

    def _show_sentence(self) -> None:
        self.sentence.setVisible(not self.compact or bool(self._trouble))

    def _dress(self) -> None:
        now = look()
        self._show_sentence()
        self.hint.set_short(self.compact)
        self.ended.setFixedHeight(now.px(24))
        for key in self._move_keys():
            key.compact = self.compact
            key.set_height(66 if self.compact else 72)
        self._dress_frame()
        self._column.setAlignment(Qt.AlignmentFlag.AlignTop)

"""The bowler's pads as a row of keys: what one pad would do to the ball in hand, and one sentence about the chosen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.acts.views import RuleState
from arsenal.desk.lane_side import words
from arsenal.desk.lane_side.chart import AXIS
from arsenal.desk.lane_side.key_hints import KeyHint, SwitchKey, in_tab_order
from arsenal.desk.lane_side.what_if_pane import WhatIfPane
from arsenal.desk.parts import paint
from arsenal.desk.parts.buttons import ChoiceKey
from arsenal.desk.parts.lists import write
from arsenal.desk.parts.sentence import paint_rule_icon
from arsenal.desk.parts.text import Plain, Run, set_tip
from arsenal.desk.theme import look
from arsenal.order.records import PadResult

UNSURE = "the doubt is as large as the change"
UNSURE_SHORT = "within its doubt"
OVER = "over-surfaced: rolls out too early"
CARE = (
    "Sanding makes dust: wet it or keep it out of the air you breathe, mind fingers and loose clothes at a spinner. "
    "The maker’s sheet, local rules and a trained pro shop come first."
)
DOUBT = "The doubt is of the change: what is unknown of ball and lane cancels where it moves both alike."


class PadKey(ChoiceKey):
    """One pad: its name, boards, first read, and a mark where it would be too much."""

    def __init__(self) -> None:
        super().__init__("", height=72)
        self.compact = False
        self.result: PadResult | None = None

    def show_pad(self, name: str, result: PadResult | None) -> None:
        """What it would do; None while that is worked out."""
        self.result = result
        if result is None:
            self.rename(name, f"{name}, being worked out")
            set_tip(self, "")
            return
        amount, unit = words.pad_boards(result)
        over = f", {OVER}" if result.rolls_out else ""
        self.rename(name, f"{name}: {amount} {unit}, {words.pad_read(result)}{over}")
        set_tip(self, " ".join([f"{words.scale(result.recipe.steps)}", *result.warnings, DOUBT, CARE]).strip())

    def paint_lines(self, painter: QPainter, box: QRect) -> None:
        """Three lines and the mark."""
        now, result = look(), self.result
        if self.compact:
            box = box.adjusted(-now.px(6), 0, now.px(7), 0)
        third = box.height() // 3
        mark = now.px(16) if result is not None and result.rolls_out else 0
        first = QRect(box.left(), box.top(), box.width() - (mark + 4 if mark else 0), third + 2)
        write(
            painter,
            first,
            self.name(),
            now.font(13 if self.compact else 15, 600),
            "hand" if self.isChecked() else "ink",
        )
        if result is None:
            write(painter, first.translated(0, third + 4), "…", now.font(13), "ink3")
            return
        if mark:
            icon = QRectF(box.right() - mark + now.px(4), box.top() + (third - mark) / 2 + 2, mark, mark)
            paint.due_mark(painter, icon, "over")
        amount, unit = words.pad_boards(result)
        second = QRect(box.left(), box.top() + third + 2, box.width(), third)
        wide = write(painter, second, amount, now.font(13, 600), "ink")
        if self.compact:
            unit = unit[unit.index("±") :]
        rest = QRect(round(second.left() + wide + now.px(5)), second.top(), second.width(), third)
        rest.setRight(second.right())
        write(painter, rest, unit, now.font(12), "ink2")
        last = QRect(box.left(), box.top() + 2 * third + 2, box.width(), third)
        read, small = words.pad_read(result, short=self.compact), now.font(12)
        if QFontMetricsF(small).horizontalAdvance(read) > last.width():
            read = words.pad_read(result, short=True)
        write(painter, last, read, small, "ink2")


class Notice(QWidget):
    """At the right end of the heading: pads barred, the chosen pad's warning, or what the mark means."""

    def __init__(self) -> None:
        super().__init__()
        self._kind, self._text = "", ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(10)
        look().changed.connect(self.updateGeometry)

    def tell(self, kind: str, text: str) -> None:
        """`kind` is barred, over, mind or empty."""
        if (kind, text) != (self._kind, self._text):
            self._kind, self._text = kind, text
            self.setAccessibleName(text or "Notice")
            set_tip(self, text)
            self.update()

    def text(self) -> str:
        """What it says."""
        return self._text

    def wide(self) -> int:
        """Width of icon and words."""
        weight = 400 if self._kind in ("over", "unsure") else 500
        return round(QFontMetricsF(look().font(13, weight)).horizontalAdvance(self._text)) + look().px(26)

    def sizeHint(self) -> QSize:
        """One line."""
        return QSize(look().px(200), look().px(22))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Icon and words, flush right."""
        if not self._text:
            return
        painter, now = QPainter(self), look()
        font = now.font(13, 400 if self._kind in ("over", "unsure") else 500)
        metrics = QFontMetricsF(font)
        side = now.px(15)
        shown = metrics.elidedText(self._text, Qt.TextElideMode.ElideRight, self.width() - side - now.px(10))
        left = self.width() - metrics.horizontalAdvance(shown) - 1
        icon = QRectF(left - side - now.px(7), (self.height() - side) / 2.0, side, side)
        if self._kind == "barred":
            paint_rule_icon(painter, icon, allowed=False)
        else:
            paint.due_mark(painter, icon, {"over": "over", "mind": "due"}.get(self._kind, "fine"))
        painter.setFont(font)
        painter.setPen(now.color("ink2" if self._kind in ("over", "unsure") else "warn"))
        painter.drawText(QRectF(left, 0, self.width(), self.height()), Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()


class Pads(WhatIfPane):
    """Heading, keys and the sentence of the chosen pad. `chosen` tells the result, or None for as it is."""

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__("What would one pad do?")
        self.title = Plain("What would one pad do?", px=15, weight=600)
        self.switch = SwitchKey("moves", "M")
        set_tip(self.switch, "What brings a shot back that ended high, light or late?")
        self.hint = KeyHint("Left and right step the pads, Escape shows the ball as it is")
        self.notice = Notice()
        self.keys.chosen.connect(self._chosen)
        self._results: tuple[PadResult, ...] = ()
        self._rule: RuleState | None = None
        for widget in (self.title, self.switch, self.hint):
            self._head.addWidget(widget)
        self._head.addWidget(self.notice, 1)
        look().changed.connect(self._dress)
        self._dress()

    def show_rule(self, rule: RuleState) -> None:
        """Whether pads may be used now; the keys stay either way."""
        self._rule = rule
        self._tell()

    def wait(self) -> None:
        """Another ball came in hand: its results are being worked out; the names stay."""
        self._results, self._owed = (), 0
        self.keys.choose(-1, tell=False)
        for key in self._pad_keys():
            key.show_pad(key.name(), None)
        self._tell()

    def show_results(self, results: Sequence[PadResult]) -> None:
        """What each pad would do to the ball in hand."""
        self._results = tuple(results)
        if len(self._pad_keys()) != len(results):
            made = [PadKey() for _ in results]
            self.keys.set_keys(made)
            in_tab_order([self.switch, *made])
            self._dress()
        for key, result in zip(self._pad_keys(), results, strict=True):
            key.show_pad(result.recipe.name, result)
        self._tell()
        self._make_up()

    def _pad_keys(self) -> list[PadKey]:
        return [key for key in self.keys.choices() if isinstance(key, PadKey)]

    def known(self) -> int:
        """How many answers are there."""
        return len(self._results)

    def result(self) -> PadResult | None:
        """Of the chosen key."""
        at = self.keys.at()
        return self._results[at] if 0 <= at < len(self._results) else None

    def _chosen(self, _index: int) -> None:
        self._tell()
        self.chosen.emit(self.result())

    def _tell(self) -> None:
        result = self.result()
        self.sentence.tell(sentence(result))
        barred = self._rule is not None and not self._rule.pads_allowed
        warning = (
            next((w for w in result.warnings if not result.rolls_out or "Over-surfaced" not in w), "") if result else ""
        )
        if barred and self._rule is not None:
            told = "" if self.compact else f": {self._rule.sentence}"
            self.notice.tell("barred", f"for the next block{told}")
        elif warning and not (result and result.rolls_out):
            self.notice.tell("mind", warning)
        elif result is not None and not result.as_large_as_its_doubt:
            self.notice.tell("unsure", UNSURE_SHORT if self.compact else UNSURE)
        elif any(r.rolls_out for r in self._results):
            self.notice.tell("over", OVER)
        else:
            self.notice.tell("", "")
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The hint gives way to the notice."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        taken = self.title.sizeHint().width() + self.switch.sizeHint().width() + self.hint.full_width()
        free = self.width() - look().px(AXIS + 21) - taken - 3 * self._head.spacing()
        self.hint.set_short(bool(self.notice.text()) and self.notice.wide() > free)

    def set_compact(self, compact: bool) -> None:
        """Keys without unit words, no sentence."""
        if compact != self.compact:
            self.compact = compact
            self._dress()
            self._tell()

    def _dress(self) -> None:
        self.sentence.setVisible(not self.compact)
        for key in self._pad_keys():
            key.compact = self.compact
            key.set_height(66 if self.compact else 72)
        self._dress_frame()


def sentence(result: PadResult | None) -> tuple[tuple[Run, ...], ...]:
    """“With 1000 h: still place 2 … · room 1 in, 1 out · …” in parts."""
    if result is None:
        rest = Run("A pad shows here what it would do; nothing is logged.", token="ink3")
        return (Run("The ball as it is. "), rest), ()
    first, *rest_ = (part for part in result.sentence.split(" · ") if part != UNSURE)
    return (Run(f"With {result.recipe.name}: "), Run(first, True)), *((Run(f" · {part}"),) for part in rest_)

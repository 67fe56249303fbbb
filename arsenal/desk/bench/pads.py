"""The pads in stock as a table under the timeline: uses, cut, and what each would do to the ball in hand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from arsenal.acts.words import two_figures
from arsenal.desk.parts import paint
from arsenal.desk.parts.lists import RowPainter, write
from arsenal.desk.theme import look
from arsenal.order import words as say

if TYPE_CHECKING:
    from arsenal.acts.views import PadOnBall

SHARES = {"pad": 0.19, "uses": 0.07, "cuts": 0.19, "plays": 0.17, "boards": 0.13, "read": 0.16, "minutes": 0.09}
HEADS = {
    "pad": "Pad", "uses": "Uses", "cuts": "Cuts now, uses left", "plays": "It would play about",
    "boards": "Boards back", "read": "First read", "minutes": "Minutes",
}  # fmt: skip
SHORT_HEADS = {**HEADS, "cuts": "Cuts", "plays": "Plays about", "boards": "Boards", "minutes": "Min"}
NARROW_SHARES = {"pad": 0.16, "uses": 0.09, "cuts": 0.13, "plays": 0.21, "boards": 0.15, "read": 0.18, "minutes": 0.08}
NARROW = 640
RIGHT = ("uses", "boards", "read", "minutes")


def narrow(box: QRect) -> bool:
    """Whether the short heads and no pad kinds are shown."""
    return look().logical(box.width()) < NARROW


def columns(box: QRect) -> dict[str, QRect]:
    """Where each column lies."""
    px = look().px
    left, room = box.left() + px(20), box.width() - px(40)
    places, x = {}, left
    for name, share in (NARROW_SHARES if narrow(box) else SHARES).items():
        wide = round(room * share)
        places[name] = QRect(x, box.top(), wide - (px(12) if name != "minutes" else 0), box.height())
        x += wide
    return places


def boards_words(row: PadOnBall) -> tuple[str, str]:
    """(“+3”, “± 1”); nothing where the throw is not known."""
    if math.isnan(row.boards_back):
        return "", ""
    return say.signed(row.boards_back, row.boards_back_sd), f"± {say.doubt(row.boards_back_sd)}"


def read_words(feet: float) -> str:
    """“2 ft earlier”, “the same”."""
    if math.isnan(feet):
        return ""
    whole = round(abs(feet) * 2) / 2
    if whole == 0:
        return "the same"
    amount = "½" if whole == 0.5 else f"{whole:.0f}"
    return f"{amount} ft {'earlier' if feet < 0 else 'later'}"


def spoken(row: PadOnBall) -> str:
    """A pad for a screen reader."""
    uses = row.pad.uses_hand + row.pad.uses_spinner
    told = [f"{row.recipe.name}, {row.pad.kind}, {uses:.0f} uses, {left_words(row)}", f"cuts {100 * row.cuts:.0f} %"]
    if row.used_up:
        return ", ".join([*told, "used up, no longer cuts"])
    return ", ".join(part for part in (*told, *spoken_result(row)) if part)


def spoken_result(row: Any) -> list[str]:
    """What a pad or recipe would do, for a screen reader."""
    number, doubt = boards_words(row)
    return [
        f"would play about {two_figures(row.grit):.0f}", f"boards back {number} {doubt}" if number else "",
        read_words(row.first_read_change_ft), "rolls out" if row.rolls_out else "", f"{row.minutes:.0f} minutes",
        " ".join(row.result.warnings) if row.result is not None else "",
    ]  # fmt: skip


def left_words(row: PadOnBall) -> str:
    """“about 4 left”; nothing where it is not known or it is used up."""
    left = row.result.uses_left if row.result is not None else None
    return f"about {left.mean:.0f} left" if left is not None and not row.used_up else ""


def warned(row: Any) -> str:
    """What to mind before it touches the ball, the most pressing first."""
    if row.result is None:
        return "This pad no longer cuts." if row.used_up else ""
    return " ".join(row.result.warnings)


def note(row: PadOnBall) -> tuple[str, bool]:
    """What stands below the table for the chosen pad, and whether it is a warning."""
    told = warned(row)
    if told:
        return told, True
    return (row.result.sentence if row.result is not None else ""), False


class PadPainter(RowPainter):
    """One pad a row."""

    dim = False
    """Of another day than the one looked at."""

    height = 27
    line_from = 20
    line_to = 20

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        painter.setOpacity(0.5 if self.dim else 1.0)
        px, at = look().px, columns(box)
        quiet = "ink3" if row.used_up else "ink"
        plain, bold = look().font(13), look().font(13, 600)
        wide = write(painter, at["pad"], row.recipe.name, bold, quiet)
        kind = row.pad.kind + (", shop’s" if row.pad.owner_id is None else "")
        if not narrow(box):
            write(painter, at["pad"].adjusted(round(wide) + px(10), 0, 0, 0), kind, plain, "ink2")
        uses = row.pad.uses_hand + row.pad.uses_spinner
        write(painter, at["uses"], f"{uses:.0f}", plain, quiet, right=True)
        self._cut(painter, at["cuts"], row, chosen=chosen, short=narrow(box))
        if row.used_up:
            size = px(12)
            spot = QRectF(at["plays"].left(), box.center().y() - size / 2, size, size)
            paint.due_mark(painter, spot, "soon")
            wide_box = at["plays"].adjusted(px(18), 0, px(160), 0)
            write(painter, wide_box, "used up, no longer cuts", plain, "warn")
            return
        paint_result(painter, box, at, row)

    def _cut(self, painter: QPainter, box: QRect, row: PadOnBall, *, chosen: bool, short: bool) -> None:
        px = look().px
        left = left_words(row).removeprefix("about ") if not short else ""
        wide = box.width() - px(96 if left else 52)
        if wide < px(12):
            write(painter, box, f"{100 * row.cuts:.0f} %", look().font(13), "ink", elide=False)
            return
        bar = QRect(box.left(), box.center().y() - px(4), wide, px(8))
        painter.fillRect(bar, look().color("sheet" if chosen else "well"))
        full = QRect(bar.left(), bar.top(), round(bar.width() * min(1.0, row.cuts)), bar.height())
        painter.fillRect(full, look().color("warn" if row.used_up else "edge"))
        text = f"{100 * row.cuts:.0f} %"
        place = QRect(bar.right() + px(8), box.top(), px(44), box.height())
        write(painter, place, text, look().font(13), "ink")
        write(painter, place.translated(px(40), 0), left, look().font(12), "ink2", elide=False)


def paint_result(painter: QPainter, box: QRect, at: dict[str, QRect], row: Any) -> None:
    """What it would play about, boards back, first read, minutes."""
    px = look().px
    small, plain, bold = look().font(12), look().font(13), look().font(13, 600)
    wide = write(painter, at["plays"], f"{two_figures(row.grit):.0f}", bold, "ink")
    step = 10.0 ** (math.floor(math.log10(max(row.grit, 10.0))) - 1)
    doubt = f"± {max(round(row.grit_sd / step), 1) * step:.0f}"
    write(painter, at["plays"].adjusted(round(wide) + px(6), 0, 0, 0), doubt, small, "ink2")
    number, spread = boards_words(row)
    wide = write(painter, at["boards"], spread, small, "ink2", right=True)
    beside = at["boards"].adjusted(0, 0, -round(wide) - px(8), 0)
    write(painter, beside, number, bold, "ink", right=True, elide=False)
    write(painter, at["read"], read_words(row.first_read_change_ft), plain, "ink", right=True)
    mark = "over" if row.rolls_out else "soon" if row.used_up else ""
    if mark:
        size = px(13)
        paint.due_mark(painter, QRectF(at["minutes"].left() + px(2), box.center().y() - size / 2, size, size), mark)
    write(painter, at["minutes"], f"{row.minutes:.0f}", plain, "ink2", right=True)


class PadHeads(QWidget):
    """Column heads."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._heads, self._recipes = HEADS, False
        self.show_heads(HEADS, recipes=False)
        look().changed.connect(self._dress)
        self._dress()

    def show_heads(self, heads: dict[str, str], *, recipes: bool) -> None:
        """Those of pads or of recipes."""
        self._heads, self._recipes = heads, recipes
        self.setAccessibleName("Columns: " + ", ".join(name.lower() for name in heads.values() if name))
        self.update()

    def _dress(self) -> None:
        self.setFixedHeight(look().px(26))
        self.update()

    def sizeHint(self) -> QSize:
        """One line."""
        return look().size(600, 26)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Captions between two lines."""
        painter = QPainter(self)
        px = look().px
        short = narrow(self.rect())
        for name, box in columns(self.rect()).items():
            head = SHORT_HEADS[name] if short and self._heads[name] == HEADS[name] else self._heads[name]
            place = box
            if self._recipes and name == "cuts":
                place = box.translated(columns(self.rect())["pad"].right() + px(16) - box.left(), 0)
            write(painter, place, head, look().font(12, 500), "ink2", right=name in RIGHT)
        paint.hairline(painter, px(20), self.width() - px(20), self.height() - 1, "edge")
        painter.end()

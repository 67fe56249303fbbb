"""A pad or recipe in full on the ball in hand: as it is, in one jump, and by the full sequence, side by side."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from arsenal.desk.bench import asking_work
from arsenal.desk.bench.asking_work import InFull
from arsenal.desk.parts.dialog import Caution, Dialog, Line
from arsenal.desk.parts.text import Plain, Run, Runs
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.order import words as say
from arsenal.trade.pads import Recipe
from arsenal.trade.units import FOOT_M, INCH_M

if TYPE_CHECKING:
    from arsenal.desk.bench.asking_work import Column
    from arsenal.order.records import PadResult
    from arsenal.surface.state import Estimate

THOU_M = 0.001 * INCH_M
Cell = tuple[str, str]
"""A number or words, and its doubt."""


def rows_of(found: InFull) -> list[tuple[str, Cell, list[Cell]]]:
    """(what, the ball as it is, one cell for each way of doing it)."""
    from arsenal.acts.words import grit_sd, two_figures  # noqa: PLC0415 - heavy

    ways = [way for way in (found.jump, found.full) if way is not None]

    def each(cell: Callable[[Column], Cell]) -> list[Cell]:
        return [cell(way) for way in ways]

    def of_result(cell: Callable[[PadResult], Cell]) -> list[Cell]:
        return [cell(way.result) if way.result else ("not known", "") for way in ways]

    def plays(way: Column) -> Cell:
        doubt = two_figures(grit_sd(way.state.grit_low, way.state.grit_high))
        return f"{two_figures(way.state.grit):.0f}", f"± {doubt:.0f}"

    place = str(found.place_now) if found.place_now else ""
    rooms = of_result(lambda r: _room(r.room_in_boards, r.room_out_boards))
    return [
        ("Steps", ("as it is", ""), each(lambda way: (asking_work.steps_words(way.recipe.steps), ""))),
        ("Plays about", (f"{two_figures(found.plays_about):.0f}", ""), each(plays)),
        ("Boards at the pins", ("", ""), of_result(_boards)),
        ("First read", ("", ""), of_result(lambda r: _way(r.first_read_change_m, "earlier", "later"))),
        ("Rolls at", ("", ""), of_result(lambda r: _way(r.rolls_change_m, "earlier", "later"))),
        ("Shape", ("", ""), of_result(lambda r: (r.shape_word, ""))),
        ("Place in the order", (place, ""), of_result(_place)),
        ("Room on its own line", _room(*found.room_now), rooms),
        ("Cover off the radius", ("", ""), each(_cover)),
        ("Uses left in the pad", ("", ""), of_result(_uses)),
        ("Bench minutes", ("", ""), each(lambda way: (f"about {way.minutes:.0f}", ""))),
    ]  # fmt: skip


def _boards(result: PadResult) -> Cell:
    by = result.boards_change
    return say.signed(by.mean, by.sd), f"± {say.doubt(by.sd)}"


def _way(by: Estimate, less: str, more: str) -> Cell:
    feet, sd = by.mean / FOOT_M, by.sd / FOOT_M
    amount = say.amount(feet, sd)
    return ("the same" if amount == "0" else f"{amount} ft {less if feet < 0.0 else more}"), f"± {say.doubt(sd)}"


def _place(result: PadResult) -> Cell:
    if not result.place:
        return "out of the order", ""
    span = f"({result.place_low} to {result.place_high})" if result.place_low != result.place_high else ""
    return str(result.place), span


def _room(inside: float | None, outside: float | None) -> Cell:
    if inside is None or outside is None:
        return "", ""
    return f"{say.halves(inside)} in, {say.halves(outside)} out", ""


def _cover(way: Column) -> Cell:
    mean, sd = way.cover_off_m
    if mean <= 0.0:
        return "hardly any", ""
    return f"{mean / THOU_M:.1g} thousandths in", f"± {sd / THOU_M:.1g}"


def _uses(result: PadResult) -> Cell:
    if result.pad_done:
        return "no longer cuts", ""
    left = result.uses_left
    return (f"about {left.mean:.0f}", f"± {max(left.sd, 1.0):.0f}") if left is not None else ("no pad in stock", "")


class InFullDialog(Dialog):
    """The table, its warnings, and a button to take the one or the other."""

    def __init__(self, parent: QWidget, found: InFull, take: Callable[[Recipe], None]) -> None:
        super().__init__(f"{found.jump.recipe.name} on {found.ball}", parent, width=820)
        self._take, self._found = take, found
        self._fill()
        self._tell()
        self.offer("Close", "Esc", self.reject)
        if found.full is not None:
            self.offer("Take the full sequence", "F", lambda: self._taken(found.full))
        self.offer("Take this one", "↵", lambda: self._taken(found.jump), primary=True).setFocus()

    def _fill(self) -> None:
        found, grid = self._found, QGridLayout()
        grid.setHorizontalSpacing(look().px(24))
        grid.setVerticalSpacing(look().px(7))
        self.body.addLayout(grid)
        heads = ["", "Now", found.jump.recipe.name, *(["Full sequence"] if found.full else [])]
        for column, head in enumerate(heads):
            grid.addWidget(Plain(head, px=13, weight=600, token="ink2"), 0, column)
            grid.setColumnStretch(column, 0 if column < 2 else 1)
        grid.addWidget(Line("edge"), 1, 0, 1, len(heads))
        for at, (what, now, cells) in enumerate(rows_of(found), 2):
            grid.addWidget(Plain(what, px=13, token="ink2"), at, 0, Qt.AlignmentFlag.AlignTop)
            for column, (value, doubt) in enumerate([now, *cells], 1):
                shown = Runs((Run(value, strong=at > 2), Run(f" {doubt}" if doubt else "")), px=13)
                shown.setAccessibleName(f"{what}, {heads[column]}: {shown.text()}")
                grid.addWidget(shown, at, column)
        grid.setColumnMinimumWidth(1, look().px(96))

    def _tell(self) -> None:
        result = self._found.jump.result
        if result is not None and result.warnings:
            self.body.addWidget(Caution(result.warnings[0], " ".join(result.warnings[1:])))
        told = ["No common grit lies between: this is no jump."] if self._found.full is None else []
        if result is not None:
            told.append(result.way_back)
            if result.unsure:
                told.append(f"The doubt is as large as the change: {', '.join(result.unsure)}.")
        if told:
            self.body.addWidget(Plain(" ".join(told), px=13, token="ink2", wrap=True))

    def _taken(self, way: Column | None) -> None:
        self.accept()
        if way is not None:
            self._take(way.recipe)


def open_in_full(
    shared: Shared, parent: QWidget, ball_id: int, recipe: Recipe, take: Callable[[Recipe], None]
) -> None:  # fmt: skip
    """Show what it would do, once that is worked out; `take` gets the recipe that is taken."""

    def show(found: InFull) -> None:
        InFullDialog(parent, found, take).open_()

    shared.ask("bench in full", asking_work.in_full(ball_id, recipe), show, failed=shared.trouble)

"""Labels for balls: seen as they print, on a roll or a sheet; then printed or kept as a PDF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.desk import pdf_file
from arsenal.desk.counter_prints import label_paper, stocks
from arsenal.desk.counter_prints.stocks import BY_NAME, STOCKS, Stock
from arsenal.desk.counter_prints.ticket_rows import count, when
from arsenal.desk.dialogs.paper import LARGEST, Asked, Page, Paper, PaperDialog, open_paper
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.labels import Label
    from arsenal.acts.settings import Settings
    from arsenal.acts.shop import Shop

KEPT = "labels"
OWNER = (("owner’s name", False), ("owner’s initials", True))


@dataclass
class Wish:
    """How labels are wanted: which stock, initials for the owner, the first free place of a sheet."""

    stock: Stock
    initials: bool = False
    first: int = 0

    @classmethod
    def kept(cls, settings: Settings) -> Wish:
        """As they were wanted last on this machine."""
        was: Any = settings.kept.get(KEPT)
        kept = was if isinstance(was, dict) else {}
        name = kept.get("stock")
        stock = BY_NAME.get(name) if isinstance(name, str) else None
        return cls(stock or stocks.usual(), kept.get("initials") is True)

    def keep(self, settings: Settings) -> None:
        """Remember stock and owner; a sheet's first free place is another one next time."""
        settings.kept[KEPT] = {"stock": self.stock.name, "initials": self.initials}


def _hands(labels: Sequence[Label], wish: Wish, zone: tzinfo | None) -> list[partial[None]]:
    asked = replace(wish)
    return [partial(_draw, tuple(labels), asked, zone, n) for n in range(wish.stock.pages(len(labels), wish.first))]


def _draw(
    labels: tuple[Label, ...], wish: Wish, zone: tzinfo | None, page: int, painter: QPainter, dots: float
) -> None:  # fmt: skip
    stock = wish.stock
    size = QSizeF(stock.wide, stock.high)
    for at in range(stock.many):
        number = page * stock.many + at - wish.first
        if 0 <= number < len(labels):
            where = stock.place(at)
            label_paper.draw(painter, labels[number], size, where, zone, dots, initials=wish.initials)


def write_pdf(path: Path, labels: Sequence[Label], wish: Wish, zone: tzinfo | None) -> Path:
    """The labels as PDF; the file appears whole or not at all. Raises KnownError."""
    return pdf_file.write_pdf(path, "Labels", wish.stock.layout(), _hands(labels, wish, zone))


def spoken(label: Label, zone: tzinfo | None, *, initials: bool) -> str:
    """A label in words, for a screen reader."""
    promised = f"promised {when(label.promised_at, zone)}" if label.promised_at is not None else ""
    owner = label.initials if initials else label.owner
    number = f"ticket {label.number}" if label.number else ""
    return ", ".join(part for part in (number, label.ball, owner, promised, label.serial) if part)


def paper_of(labels: Sequence[Label], wish: Wish, zone: tzinfo | None) -> Paper:
    """The labels as something to show and print."""
    stock, what = wish.stock, count(len(labels), "label")
    hands = _hands(labels, wish, zone)
    words = [spoken(label, zone, initials=wish.initials) for label in labels]
    pages = []
    for n, hand in enumerate(hands):
        told = words[max(0, n * stock.many - wish.first) : (n + 1) * stock.many - wish.first]
        pages.append(Page(f"page {n + 1} of {len(hands)}", "; ".join(told), hand))
    size = f"{stock.wide:g} × {stock.high:g} mm{' each' if len(labels) > 1 else ''}"
    note = f"{what}, {size}, black only; print at 100 %, without “fit to page”."
    number = labels[0].number
    name = f"labels-{number}.pdf" if number else "label.pdf"
    what = f"{what} of ticket {number}" if number else f"the label of {labels[0].ball}"
    title = "Label" if len(labels) == 1 else f"{len(labels)} labels"
    return Paper(
        title, what, name, note, stock.layout(), tuple(pages), lambda path: write_pdf(path, labels, wish, zone),
        kind="label", largest=LARGEST,
    )  # fmt: skip


def _places(stock: Stock) -> list[tuple[str, int]]:
    return [(f"first free label: {n + 1}", n) for n in range(stock.many)]


def show(shared: Shared, labels: Sequence[Label], parent: QWidget | None = None) -> PaperDialog | None:
    """Show labels as they will print. None where there is none, or no window is open."""
    over = parent or QApplication.activeWindow()
    if over is None or not labels:
        return None
    zone, wish, kept = datetime.now().astimezone().tzinfo, Wish.kept(shared.settings), shared.settings

    def stock(name: str) -> Paper:
        wish.stock, wish.first = BY_NAME[name], 0
        return made()

    def initials(value: bool) -> Paper:
        wish.initials = value
        return made()

    def first(value: int) -> Paper:
        wish.first = value
        return made()

    def made() -> Paper:
        wish.keep(kept)
        return paper_of(labels, wish, zone)

    asked = (
        Asked("Labels", [(each.name, each.name) for each in STOCKS], wish.stock.name, stock),
        Asked("Owner", OWNER, wish.initials, initials), Asked("First free label", _places(wish.stock), 0, first),
    )  # fmt: skip
    dialog = open_paper(shared, over.window(), paper_of(labels, wish, zone), asked)
    which, _, place = dialog.asked
    place.setVisible(wish.stock.sheet is not None)

    def other(_name: object) -> None:
        place.offer(_places(wish.stock), wish.first)
        place.setVisible(wish.stock.sheet is not None)

    which.picked.connect(other)
    return dialog


def open_label_print(shared: Shared, parent: QWidget, number: int) -> None:
    """Show a label for every ball of a ticket."""
    _open(shared, parent, lambda shop: _of_ticket(shop, number))


def open_ball_label(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """Show the label of one ball, of the ticket it is on, if any."""
    _open(shared, parent, lambda shop: _of_ball(shop, ball_id))


def _open(shared: Shared, parent: QWidget, read: Callable[[Shop], tuple[Label, ...]]) -> None:
    def shown(labels: tuple[Label, ...]) -> None:
        if labels:
            show(shared, labels, parent)
        else:
            shared.trouble(KnownError("No ball is on this ticket yet.", next_step="Put one on it first."))

    shared.ask("label print", read, shown, failed=shared.trouble)


def _of_ticket(shop: Shop, number: int) -> tuple[Label, ...]:
    from arsenal.acts import labels  # noqa: PLC0415 - heavy, on the worker's thread

    return labels.of_ticket(shop, number)


def _of_ball(shop: Shop, ball_id: int) -> tuple[Label, ...]:
    from arsenal.acts import labels  # noqa: PLC0415 - heavy, on the worker's thread

    return (labels.of_ball(shop, ball_id),)

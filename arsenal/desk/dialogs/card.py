"""See the bag card as it will print, then print it or keep it as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QSizePolicy, QWidget

from arsenal.desk import print_card
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade import days
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BagCard

PAPER = QColor("#FFFFFF")
NEW = "as it is now"


def said(card: BagCard) -> str:
    """The card in words, for a screen reader."""
    rows = [f"{r.place} {r.name}, {r.finish}, {r.read_word} {r.shape_word}, {print_card.signed(r.boards)} boards"
            for r in card.rows]  # fmt: skip
    return f"Bag card of {card.bowler} on {card.lane}: " + "; ".join(rows)


class Preview(QWidget):
    """The card on white paper, drawn by the same hand that prints it."""

    def __init__(self, card: BagCard) -> None:
        super().__init__()
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.show_card(card)

    def show_card(self, card: BagCard) -> None:
        """Another card."""
        self._card = card
        self.setAccessibleName(said(card))
        self.update()

    def _per_mm(self) -> float:
        high = self.screen().availableSize().height() - look().px(290)
        return max(2.6, min(5.0, high / print_card.HEIGHT_MM))

    def sizeHint(self) -> QSize:
        """As large as the screen lets it be read."""
        per = self._per_mm()
        return QSize(round(print_card.WIDTH_MM * per), round(print_card.HEIGHT_MM * per))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the card."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), PAPER)
        print_card.draw(painter, self._card, self._per_mm(), outline=True)
        painter.end()


class CardDialog(Dialog):
    """Preview and what to do with it. `cards` may hold one of several bowlers; the first is shown."""

    def __init__(self, shared: Shared, parent: QWidget, cards: Sequence[BagCard]) -> None:
        super().__init__("Bag card" if len(cards) == 1 else f"{len(cards)} bag cards", parent, width=520)
        self.shared, self._cards, self._made = shared, list(cards), list(cards)
        self.preview = Preview(cards[0])
        self.which = SentenceWord("Which card", NEW, px=14)
        self.which.hide()
        self.which.picked.connect(self._pick)
        self.since, self.same = Told("due", "warn"), Plain("Nothing has moved since.", px=13, token="ink2")
        self.same.hide()
        above = QHBoxLayout()
        above.addWidget(self.which)
        above.addStretch(1)
        self.body.addLayout(above)
        for told in (self.since, self.same):
            self.body.addWidget(told)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.preview)
        row.addStretch(1)
        self.body.addLayout(row)
        more = " One page a card; the first is shown." if len(cards) > 1 else ""
        self.body.addWidget(
            Plain(f"85 × 120 mm, black only; print at 100 % and cut along the dots.{more}", px=13, token="ink2",
                  wrap=True, )
        )  # fmt: skip
        self.offer("Close", "Esc", self.reject)
        self.offer("Keep as PDF", "F", self._pdf)
        self.offer("Print", "P", self._print, primary=True)

    def offer_earlier(self, earlier: Sequence[BagCard]) -> None:
        """Cards printed before may be looked at again, with what has happened since."""
        before = [card for card in earlier if card.id not in {one.id for one in self._made}]
        self.which.setVisible(bool(before))
        self.which.set_choices([(NEW, None), *((printed_words(card), card) for card in before)], None)

    def _pick(self, card: BagCard | None) -> None:
        self.which.set_word(NEW if card is None else printed_words(card))
        self._cards = list(self._made) if card is None else [card]
        self.preview.show_card(self._cards[0])
        self.since.setText("")
        self.same.hide()
        if card is not None:
            self.shared.ask("card since", lambda shop: _since(shop, card.id), self._tell_since)
        self.fit()

    def _tell_since(self, sentences: tuple[str, ...]) -> None:
        if self._cards != self._made:
            self.since.setText(" ".join(sentences))
            self.same.setVisible(not sentences)
            self.fit()

    def _pdf(self) -> None:
        card = self._cards[0]
        suggested = Path.home() / f"bag-card{'s' if len(self._cards) > 1 else ''}-{card.printed_at:%Y-%m-%d}.pdf"
        name, _ = QFileDialog.getSaveFileName(self, "Keep the card as PDF", str(suggested), "PDF (*.pdf)")
        if name:
            self.write_pdf(Path(name))

    def _what(self) -> str:
        return "the bag card" if len(self._cards) == 1 else f"{len(self._cards)} bag cards"

    def write_pdf(self, path: Path) -> None:
        """Write it there and say so."""
        try:
            print_card.write_pdf(path, self._cards)
        except KnownError as error:
            self.complain(str(error))
            return
        self.shared.say(f"Wrote {self._what()} to {path}")
        self.accept()

    def _print(self) -> None:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageLayout(print_card.layout())
        printer.setFullPage(True)
        dialog = QPrintDialog(printer, self)
        chosen = dialog.exec() == QPrintDialog.DialogCode.Accepted
        dialog.deleteLater()
        if chosen:
            self._to(printer)

    def _to(self, printer: QPrinter) -> None:
        painter = QPainter()
        if not painter.begin(printer):
            self.complain("The printer does not answer. Nothing was printed. Keep the card as PDF instead.")
            return
        for number, card in enumerate(self._cards):
            if number:
                printer.newPage()
            print_card.draw(painter, card, printer.resolution() / 25.4, outline=True)
        painter.end()
        self.shared.say(f"Sent {self._what()} to {printer.printerName() or 'the printer'}")
        self.accept()


def printed_words(card: BagCard) -> str:
    """“printed 12 Mar, 18:42, on 41 ft house”."""
    at = card.printed_at
    return f"printed {days.day(at)}, {at:%H:%M}, on {card.lane}"


def _since(shop: Shop, card_id: int) -> tuple[str, ...]:
    from arsenal.acts import changed_since  # noqa: PLC0415 - heavy, on the worker's thread

    return changed_since.of_card(shop, card_id)


def _printed(shop: Shop, bowler_id: int) -> tuple[BagCard, ...]:
    from arsenal.acts import cards  # noqa: PLC0415 - heavy, on the worker's thread

    return cards.printed(shop, bowler_id)


def open_card(shared: Shared, parent: QWidget, cards: Sequence[BagCard]) -> CardDialog:
    """Show the card, or the first of several; of one bowler also those printed before."""
    dialog = CardDialog(shared, parent, cards)
    dialog.open_()
    if len(cards) == 1:
        bowler = cards[0].bowler_id
        shared.ask("cards printed", lambda shop: _printed(shop, bowler), dialog.offer_earlier)
    return dialog

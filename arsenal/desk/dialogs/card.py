"""See the bag card as it will print, then print it or keep it as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHBoxLayout, QWidget

from arsenal.desk import print_card
from arsenal.desk.dialogs.paper import Page, Paper, PaperDialog
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BagCard

NEW = "as it is now"


def said(card: BagCard) -> str:
    """The card in words, for a screen reader."""
    rows = [f"{r.place} {r.name}, {r.finish}, {r.read_word} {r.shape_word}, {print_card.signed(r.boards)} boards"
            for r in card.rows]  # fmt: skip
    return f"Bag card of {card.bowler} on {card.lane}: " + "; ".join(rows)


def paper_of(cards: Sequence[BagCard]) -> Paper:
    """One page a card."""
    many = len(cards) > 1
    kept, more = tuple(cards), " One page a card." if many else ""
    pages = tuple(Page(card.bowler, said(card), partial(_draw, card)) for card in kept)
    return Paper(
        f"{len(kept)} bag cards" if many else "Bag card", f"{len(kept)} bag cards" if many else "the bag card",
        f"bag-card{'s' if many else ''}-{kept[0].printed_at:%Y-%m-%d}.pdf",
        f"85 × 120 mm, black only; print at 100 % and cut along the dots.{more}", print_card.layout(), pages,
        lambda path: print_card.write_pdf(path, kept), kind="bag card",
    )  # fmt: skip


def _draw(card: BagCard, painter: QPainter, per_mm: float) -> None:
    print_card.draw(painter, card, per_mm, outline=True)


class CardDialog(PaperDialog):
    """The cards, which may be of several bowlers; of one bowler also those printed before."""

    def __init__(self, shared: Shared, parent: QWidget, cards: Sequence[BagCard]) -> None:
        super().__init__(shared, parent, paper_of(cards))
        self._cards, self._made = list(cards), list(cards)
        self.which = SentenceWord("Which card", NEW, px=14)
        self.which.hide()
        self.which.picked.connect(self._pick)
        self.since, self.same = Told("due", "warn"), Plain("Nothing has moved since.", px=13, token="ink2")
        self.same.hide()
        above = QHBoxLayout()
        above.addWidget(self.which)
        above.addStretch(1)
        self.body.insertLayout(0, above)
        for at, told in enumerate((self.since, self.same), 1):
            self.body.insertWidget(at, told)

    def offer_earlier(self, earlier: Sequence[BagCard]) -> None:
        """Cards printed before may be looked at again, with what has happened since."""
        before = [card for card in earlier if card.id not in {one.id for one in self._made}]
        self.which.setVisible(bool(before))
        self.which.set_choices([(NEW, None), *((printed_words(card), card) for card in before)], None)
        if self.isVisible():
            self.fit()

    def _pick(self, card: BagCard | None) -> None:
        self.which.set_word(NEW if card is None else printed_words(card))
        self._cards = list(self._made) if card is None else [card]
        self.since.setText("")
        self.same.hide()
        self.show_paper(paper_of(self._cards))
        if card is not None:
            self.shared.ask("card since", lambda shop: _since(shop, card.id), self._tell_since)

    def _tell_since(self, sentences: tuple[str, ...]) -> None:
        if self._cards != self._made:
            self.since.setText(" ".join(sentences))
            self.same.setVisible(not sentences)
            self.fit()


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

"""A ball's history on paper: what the page says by an independent reader, its size, pages, no names for a buyer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from pdf_told import poppler, words_of
from people_desk import Ground
from PySide6.QtCore import QLocale
from PySide6.QtGui import QImage, QPainter

from arsenal.acts import ball_paper, fits, hands, logging
from arsenal.acts.ball_paper import BallPaper
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk import print_history
from arsenal.desk.dialogs.paper import PaperDialog
from arsenal.trade.entries import Crack, Draft, Kind, Note, Played
from arsenal.trade.fit import DrillRecord, Hole
from arsenal.trade.units import INCH_M

A4_PT, LETTER_PT = (595, 842), (612, 792)
"""Sizes of a page in points: ISO 216 A4 is 210 × 297 mm; ANSI/ASME Y14.1 letter is 8.5 × 11 in."""


@pytest.fixture(params=[("German", "Germany"), ("English", "UnitedStates")], ids=["A4", "letter"])
def place(request: pytest.FixtureRequest) -> Iterator[tuple[int, int]]:
    before = QLocale()
    language, country = request.param
    QLocale.setDefault(QLocale(getattr(QLocale.Language, language), getattr(QLocale.Country, country)))
    yield A4_PT if language == "German" else LETTER_PT
    QLocale.setDefault(before)


@pytest.fixture
def told(shop_file: Path, tmp_path: Path) -> tuple[BallPaper, BallPaper]:
    """Owner's and buyer's copy of a ball with a life: drilled, sanded, played, cracked, lent and back, noted."""
    with Shop.open(shop_file, settings=Settings(path=tmp_path / "none.json")) as shop:
        day = shop.today()
        holes = (Hole("middle", span_m=4.375 * INCH_M), Hole("ring", span_m=4.5 * INCH_M))
        fits.keep_drill(shop, DrillRecord(0, 1, day, holes, 4.5 * INCH_M, palm_mark=True, driller="Hollis Marrow"))
        logging.keep(shop, logging.read_line(shop, "quarry 500/2000 m").drafts, confirmed=True)
        logging.keep(shop, logging.read_line(shop, "quarry 3g wiped clean").drafts, confirmed=True)
        logging.keep(shop, (Draft(1, Kind.NOTE, day, Note("Mirel says it skids")),))
        logging.keep(shop, (Draft(1, Kind.CRACK, day, Crack("where Mirel dropped it")),), confirmed=True)
        hands.lend(shop, 1, "Kell Ambry")
        hands.take_back(shop, 1)
        return ball_paper.paper(shop, 1, buyers=False), ball_paper.paper(shop, 1, buyers=True)


def test_the_owners_copy_says_it_all_on_a_page_of_this_place(told, tmp_path: Path, place: tuple[int, int]) -> None:
    path = print_history.write_pdf(tmp_path / "owner.pdf", told[0])
    size = next(line for line in poppler("pdfinfo", str(path)).splitlines() if line.startswith("Page size"))
    wide, high = (float(word) for word in size.split()[2:5:2])
    assert (round(wide), round(high)) == place
    page = " ".join(" ".join(words_of(path)).split())
    for said in (
        "Quarry Song", "owner’s copy", "Mirel Oster", "500/2000 m", "pin 4 1/2 in from the axis point", "palm marked",
        "Hollis Marrow", "Kell Ambry", "Mirel says it skids", "A crack is open", "page 1 of 1", "span 4 3/8 in",
    ):  # fmt: skip
        assert said in page, said


def test_the_buyers_copy_names_nobody_and_says_what_was_left_out(told, tmp_path: Path) -> None:
    path = print_history.write_pdf(tmp_path / "buyer.pdf", told[1])
    (page,) = words_of(path)
    for said in (
        "Quarry Song",
        "History for the next owner",
        "500",
        "4 1/2 in",
        "A crack is open",
        "the owner dropped",
    ):
        assert said in page, said
    for name in ("Mirel", "Oster", "Kell", "Ambry", "Hollis", "Marrow"):
        assert name not in page, name
    assert "3 lines that may name somebody left out" in page
    assert "Mirel" not in poppler("pdfinfo", str(path))


def test_a_long_history_goes_over_pages_and_loses_no_line(shop_file: Path, tmp_path: Path) -> None:
    with Shop.open(shop_file, settings=Settings(path=tmp_path / "none.json")) as shop:
        day = shop.today()
        drafts = [Draft(2, Kind.PLAYED, day, Played(11.0 * (1 + n % 3))) for n in range(180)]
        with shop.ledger.act("A season", "test") as act:
            for draft in drafts:
                act.append(draft)
        told = ball_paper.paper(shop, 2, buyers=False)
    path = print_history.write_pdf(tmp_path / "long.pdf", told)
    pages = words_of(path)
    assert len(pages) > 3
    assert sum(page.count("Played") for page in pages) == 180
    assert all(f"page {n + 1} of {len(pages)}" in page for n, page in enumerate(pages))
    assert "360" in pages[-1]


HOSTILE = "<b>Moth</b> & \u202eSong\n" + "x" * 300


def test_hostile_words_are_printed_literally_and_shortened(shop_file: Path, tmp_path: Path) -> None:
    with Shop.open(shop_file, settings=Settings(path=tmp_path / "none.json")) as shop:
        note = Note("<img src='file:///etc/passwd'> " * 30)
        hostile = replace(shop.ball(3), name=HOSTILE)
        with shop.ledger.act("Hostile", "test") as act:
            act.put(hostile)
            act.append(Draft(3, Kind.NOTE, shop.today() - timedelta(days=1), note))
        told = ball_paper.paper(shop, 3, buyers=False)
    path = print_history.write_pdf(tmp_path / "hostile.pdf", told)
    page = " ".join(words_of(path))
    assert "<b>Moth</b> & " in page
    assert "<img src='file:///etc/passwd'>" in page
    assert "\u202e" not in page
    assert "file:///etc/passwd" not in poppler("pdfinfo", str(path))


def test_the_preview_draws_what_is_printed(told) -> None:
    """The same hand draws both: ink where the page has its title, none in the margins."""
    (hand,) = print_history.hands(told[0])
    image = QImage(630, 891, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    hand(painter, 3.0)
    painter.end()
    black = [(x, y) for x in range(0, 630, 2) for y in range(0, 891, 2) if image.pixelColor(x, y).lightness() < 128]
    assert min(x for x, _ in black) >= 42
    assert max(x for x, _ in black) <= 630 - 42
    assert 42 <= min(y for _, y in black) <= 66


def test_the_copy_is_chosen_in_the_preview(qtbot, qapp, window, told, shop_file: Path, settings) -> None:
    ground = Ground(qtbot, shop_file, settings)
    try:
        print_history.open_history_print(ground.shared, window, 1)
        dialog = ground.top(PaperDialog)
        assert "Mirel Oster" in dialog.preview.accessibleName()
        dialog.asked[0].picked.emit(True)
        assert "Mirel" not in dialog.preview.accessibleName()
        assert "Every name this file knows is off it" in dialog.note.whole()
        print_history.open_history_print(ground.shared, window, 99)
        ground.qtbot.waitUntil(lambda: bool(ground.troubles))
        assert "no such ball" in ground.troubles[-1]
    finally:
        ground.close()

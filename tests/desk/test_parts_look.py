"""Colours, contrast, text size and fonts."""

from __future__ import annotations

import itertools

import pytest
from PySide6.QtCore import QStringListModel
from PySide6.QtGui import QFontInfo, QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication, QListView

from arsenal.desk import fonts
from arsenal.desk.theme import look
from arsenal.desk.tokens import DARK, LIGHT, MARKS, TEXT, contrast, luminance

SCHEMES = pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])


def test_black_on_white_has_the_contrast_the_guideline_gives() -> None:
    """WCAG 2.2, contrast ratio: 21 to 1 for black on white, 1 to 1 for a colour on itself."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#6B1F73", "#6B1F73") == pytest.approx(1.0)
    assert luminance("#FFFFFF") == pytest.approx(1.0)


@SCHEMES
def test_every_text_colour_can_be_read_on_every_ground(tokens) -> None:
    """WCAG 2.2, success criterion 1.4.3 (minimum contrast): 4.5 to 1 for text."""
    for token, ground in itertools.product(TEXT, tokens.grounds):
        assert contrast(getattr(tokens, token), ground) >= 4.5, (token, ground)
    assert contrast(tokens.on_hand, tokens.hand) >= 4.5


@SCHEMES
def test_every_mark_stands_out_on_every_ground(tokens) -> None:
    """WCAG 2.2, success criterion 1.4.11 (non-text contrast): 3 to 1 for marks."""
    for token, ground in itertools.product(MARKS, tokens.grounds):
        assert contrast(getattr(tokens, token), ground) >= 3.0, (token, ground)


@SCHEMES
def test_chosen_text_in_a_field_can_be_read(tokens, qapp: QApplication) -> None:
    look().choose(tokens.name)
    colours = qapp.palette()
    top = colours.color(QPalette.ColorRole.HighlightedText).name()
    under = colours.color(QPalette.ColorRole.Highlight).name()
    assert contrast(top, under) >= 4.5


@SCHEMES
def test_hints_in_empty_fields_can_be_read(tokens, qapp: QApplication) -> None:
    look().choose(tokens.name)
    colours = qapp.palette()
    hint = colours.color(QPalette.ColorRole.PlaceholderText)
    assert hint.alpha() == 255
    assert contrast(hint.name(), colours.color(QPalette.ColorRole.Base).name()) >= 4.5


def test_a_list_of_qts_own_such_as_file_names_to_choose_from_can_be_read(qapp: QApplication) -> None:
    names = QListView()
    names.setModel(QStringListModel(["crack.jpg"], names))
    names.resize(200, 200)
    ground = names.grab().toImage().pixelColor(100, 150)
    assert ground.alpha() == 255
    assert contrast(names.palette().text().color().name(), ground.name()) >= 4.5
    names.deleteLater()


def test_a_new_scheme_reaches_palette_sheet_and_painters_at_once(qapp: QApplication, qtbot) -> None:
    with qtbot.waitSignal(look().changed):
        look().choose("dark")
    assert qapp.palette().color(QPalette.ColorRole.Window).name().upper() == DARK.paper
    assert DARK.edge in qapp.styleSheet()
    assert look().color("ink").name().upper() == DARK.ink
    assert look().series_pen(0).color().name().upper() == DARK.hand


def test_no_text_is_smaller_than_twelve_pixels() -> None:
    look().resize(80)
    assert look().font(12).pixelSize() == 12
    assert look().font(14).pixelSize() == 12
    look().resize(200)
    assert look().font(14).pixelSize() == 28


def test_the_bundled_typeface_is_there_with_its_three_weights_and_signs() -> None:
    assert fonts.load()
    for weight in (400, 500, 600):
        font = look().font(14, weight)
        assert QFontInfo(font).family() == fonts.FAMILY
        assert QFontInfo(font).weight() == weight
    metrics = QFontMetricsF(look().font())
    assert all(metrics.inFontUcs4(ord(sign)) for sign in "→←↑↓↵≤≥−±½×°“”…◆μ")


def test_numbers_are_as_wide_whatever_the_digit() -> None:
    metrics = QFontMetricsF(look().font(18, 600))
    assert len({round(metrics.horizontalAdvance(digit), 3) for digit in "0123456789"}) == 1

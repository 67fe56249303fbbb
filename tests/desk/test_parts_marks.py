"""Painted marks, lists, empty states and sentences that break."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest

from arsenal.desk import icons
from arsenal.desk.parts import paint
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView
from arsenal.desk.parts.sentence import RuleMark, Sentence
from arsenal.desk.resources import folder
from arsenal.desk.theme import look


def drawn(draw, wide: int = 120, high: int = 40, ground: str = "sheet") -> np.ndarray:
    """What `draw` paints, as an array [row, column, RGB]."""
    image = QImage(wide, high, QImage.Format.Format_RGB888)
    image.fill(look().color(ground))
    painter = QPainter(image)
    draw(painter)
    painter.end()
    flat = np.frombuffer(image.constBits(), np.uint8).reshape(high, image.bytesPerLine())
    return flat[:, : wide * 3].reshape(high, wide, 3).astype(int)


def where(picture: np.ndarray, colour: QColor) -> np.ndarray:
    return np.all(picture == np.array(colour.getRgb()[:3]), axis=2)


@pytest.mark.parametrize(("mean", "low", "high"), [(4, 2, 6), (-5, -7, -3), (1, -1, 3), (0, -1, 1), (3, 3, 3)])
def test_a_whisker_never_lies_over_the_solid_part_of_its_bar(mean: float, low: float, high: float) -> None:
    picture = drawn(lambda p: paint.diverging_bar(p, QRect(0, 0, 120, 40), 60.0, 7.0, mean, low, high, token="hand"))
    solid, over = where(picture, look().color("hand")), where(picture, look().color("ink"))
    near = low if mean >= 0 else high
    straddles = near * mean <= 0
    assert solid.any() == (not straddles)
    assert over.any()
    if solid.any():
        inner = np.flatnonzero(solid.any(axis=0))
        reach = np.flatnonzero(over.any(axis=0))
        assert not set(inner[1:-1]) & set(reach) or low == high
        assert 60 in range(inner.min() - 1, inner.max() + 2), "it starts at the benchmark's line"


def test_the_whisker_of_a_meter_is_below_its_bar() -> None:
    picture = drawn(lambda p: paint.meter(p, QRect(0, 0, 120, 40), 1.4, 1.0, 1.8, token="warn"))
    bar = np.flatnonzero(where(picture, look().color("warn")).any(axis=1))
    columns = slice(75, 110)
    whisker = np.flatnonzero(where(picture, look().color("ink"))[:, columns].any(axis=1))
    assert whisker.min() > bar.max()


def test_due_states_differ_by_shape_and_not_by_colour_alone() -> None:
    shapes = {}
    for state in ("fine", "soon", "due", "over", "done"):
        picture = drawn(lambda p, s=state: paint.due_mark(p, QRectF(2, 2, 26, 26), s), 30, 30)
        shapes[state] = np.any(picture != picture[0, 0], axis=2)
    for one, other in itertools.combinations(shapes, 2):
        assert np.mean(shapes[one] != shapes[other]) > 0.02, (one, other)


def test_a_finish_falls_as_the_log_of_its_grit_with_rougher_up() -> None:
    box = QRectF(0, 0, 32, 34)
    heights = [paint.fall_y(grit, box) for grit in (500, 1000, 2000, 4000)]
    assert heights == sorted(heights)
    steps = [b - a for a, b in itertools.pairwise(heights)]
    assert steps == pytest.approx([steps[0]] * 3)
    assert paint.fall_y(1, box) == box.top()
    assert paint.fall_y(99_999, box) == box.bottom()


@pytest.mark.parametrize("grits", [(None, None), (None, 2000.0), (500.0, 2100.0), (5000.0, 300.0)])
def test_a_fall_is_drawn_whatever_is_known(grits) -> None:
    picture = drawn(lambda p: paint.fall(p, QRectF(4, 3, 32, 34), *grits), 40, 40)
    assert np.any(picture != picture[0, 0])


def test_every_icon_is_there_and_takes_the_tokens_colour() -> None:
    names = sorted(path.stem for path in (folder() / "icons").glob("*.svg"))
    assert names
    for name in names:
        image = icons.pixmap(name, 16, "bad", 2.0).toImage().convertToFormat(QImage.Format.Format_ARGB32)
        assert image.width() == 32
        seen = {
            image.pixelColor(x, y).name() for x in range(32) for y in range(32) if image.pixelColor(x, y).alpha() == 255
        }
        assert seen == {look().color("bad").name()}


def test_a_list_says_its_rows_skips_headings_and_leaves_letters_to_the_room(qtbot) -> None:
    model = RowsModel(lambda row: f"ball {row}", pick=lambda row: row != "Now")
    view = RowsView("Order", model, RowPainter())
    qtbot.addWidget(view)
    told: list[str] = []
    view.chosen.connect(told.append)
    model.set_rows(["Now", "Rook Hollow", "Quarry Song"])
    view.show()
    view.choose(1)
    QTest.keyClick(view, Qt.Key.Key_Down)
    QTest.keyClick(view, Qt.Key.Key_R)
    assert told == ["Rook Hollow", "Quarry Song"]
    assert model.index(1).data(Qt.ItemDataRole.AccessibleTextRole) == "ball Rook Hollow"
    assert not model.flags(model.index(0)) & Qt.ItemFlag.ItemIsSelectable


def test_new_numbers_keep_the_row_in_hand(qtbot) -> None:
    model = RowsModel()
    view = RowsView("Order", model, RowPainter())
    qtbot.addWidget(view)
    model.set_rows(["a", "b", "c"])
    view.choose(2)
    model.set_rows(["a2", "b2", "c2"])
    assert view.in_hand() == "c2"


def test_an_empty_list_says_what_it_is_and_offers_the_first_action(qtbot) -> None:
    empty = Empty("No balls for <b>Mirel</b> yet", "A ball is kept with its finish.", "Add the first ball", "N")
    qtbot.addWidget(empty)
    with qtbot.waitSignal(empty.wanted):
        empty.button.click()
    assert empty.title.text() == "No balls for <b>Mirel</b> yet"


def sentence() -> Sentence:
    bar = Sentence()
    bar.word("bowler", "Mirel Oster")
    bar.say("right-handed,", optional=True)
    bar.say("throws")
    bar.word("release", "16.4 mph, 325 rpm")
    bar.say("on")
    bar.word("lane", "41 ft house, 25 mL, fresh")
    rule = RuleMark()
    rule.show_rule(True, "pads allowed until the first scored ball, 19:00")
    bar.right(rule)
    bar.finish()
    return bar


@pytest.mark.parametrize(("wide", "optional", "rows"), [(1600, True, 1), (1000, False, 1), (700, False, 2)])
def test_optional_words_give_way_first_and_then_the_sentence_breaks(
    qtbot, wide: int, optional: bool, rows: int
) -> None:
    bar = sentence()
    qtbot.addWidget(bar)
    bar.resize(wide, 46)
    bar.show()
    bar.resize(wide, bar.heightForWidth(wide))
    qtbot.wait(10)
    assert next(iter(bar._optional)).isVisible() == optional
    assert bar.heightForWidth(wide) == (46 if rows == 1 else 82)
    shown = [w for w in bar.children() if w.isWidgetType() and w.isVisible()]
    assert all(w.geometry().right() <= wide for w in shown)
    assert all(w.width() >= w.sizeHint().width() for w in shown), "no word is cut"
    assert not any(a.geometry().intersects(b.geometry()) for a, b in itertools.combinations(shown, 2))

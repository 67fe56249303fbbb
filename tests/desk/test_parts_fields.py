"""Number fields, plain text, keys and sentences."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from arsenal.desk.last_act import LastAct
from arsenal.desk.parts.buttons import ChoiceKey, KeyButton, KeyRow
from arsenal.desk.parts.choosing import ChooseDialog
from arsenal.desk.parts.number import NotANumber, NumberField, read_number, write_number
from arsenal.desk.parts.sentence import SentenceWord, TextButton
from arsenal.desk.parts.text import Plain, Run, Runs, set_tip
from arsenal.desk.units import measure
from arsenal.trade.limits import LIMITS

HOSTILE = "<b>Rook</b> & <img src='file:///etc/hostname'>"


@given(st.floats(-1e6, 1e6), st.sampled_from(".,"))
def test_a_number_reads_the_same_with_point_and_comma(value: float, sign: str) -> None:
    assert read_number(f"{value:.3f}".replace(".", sign)) == pytest.approx(value, abs=6e-4)


@given(st.floats(-9999, 9999))
def test_what_is_written_reads_back(value: float) -> None:
    assert read_number(write_number(value)) == pytest.approx(value, abs=0.00501)


@pytest.mark.parametrize("text", ["1.234,5", "1,234,567", "1.2.3", "12 000", "fast", "", "--3", "5..", "1e3"])
def test_a_second_separator_or_no_number_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(NotANumber, match=r"\.$"):
        read_number(text)


def test_fifteen_and_a_half_stays_that_in_a_german_locale(qtbot) -> None:
    """A stock spin box reads 15.5 as 155 there: the group sign is dropped."""
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.German, QLocale.Country.Germany))
    try:
        field = NumberField(LIMITS["speed"])
        qtbot.addWidget(field)
        for text in ("15.5", "15,5"):
            field.edit.clear()
            QTest.keyClicks(field.edit, text)
            assert field.value() == 15.5
    finally:
        QLocale.setDefault(before)


def test_a_speed_no_one_throws_names_the_range_and_saves_nothing(qtbot) -> None:
    field = NumberField(LIMITS["speed"], 200)
    qtbot.addWidget(field)
    assert not field.check()
    assert field.value() is None
    assert field.sentence.whole() == "Speed is 8 to 25 mph. Nothing was saved."
    QTest.keyClick(field.edit, Qt.Key.Key_Backspace)
    assert field.problem() == ""


def test_a_typed_unit_wins_over_the_unit_of_the_field(qtbot) -> None:
    """One mile is 1.609344 km exactly (international yard and pound agreement, 1959)."""
    shown = measure("speed", "imperial")
    field = NumberField(shown.limit, units=shown.units)
    qtbot.addWidget(field)
    field.edit.setText("16.09344 km/h")
    assert field.value() == pytest.approx(10.0)
    field.edit.setText("16 furlongs")
    assert field.value() is None


@pytest.mark.parametrize("name", ["speed", "weight", "diameter", "RG", "oil length"])
def test_metric_and_trade_units_store_the_same(name: str) -> None:
    trade, metric = measure(name, "imperial"), measure(name, "metric")
    si = trade.store((trade.limit.low + trade.limit.high) / 2)
    assert metric.store(metric.show(si)) == pytest.approx(si)
    assert metric.to_si * metric.limit.low == pytest.approx(trade.to_si * trade.limit.low, rel=2e-3)


def test_a_name_with_markup_is_shown_as_it_stands(qtbot) -> None:
    label, word, key = Plain(HOSTILE), SentenceWord("bowler", HOSTILE), KeyButton(HOSTILE, "T")
    for widget in (label, word, key):
        qtbot.addWidget(widget)
    assert label.textFormat() == Qt.TextFormat.PlainText
    assert label.text() == HOSTILE
    assert word.text() == key.text() == HOSTILE.replace("&", "&&")
    set_tip(label, HOSTILE)
    assert "<b>" not in label.toolTip()
    assert "<img" not in label.toolTip()
    assert "&lt;b&gt;" in label.toolTip()


def test_a_sentence_of_runs_keeps_its_words_and_grows_when_narrow(qtbot) -> None:
    runs = Runs([Run("Rook Hollow", strong=True), Run(" sanded today with "), Run("1000 by hand <i>", strong=True)])
    qtbot.addWidget(runs)
    assert runs.accessibleName() == "Rook Hollow sanded today with 1000 by hand <i>"
    assert runs.heightForWidth(120) > runs.heightForWidth(800)


def test_no_label_of_the_desk_is_ever_rich_text(qtbot) -> None:
    holder = QWidget()
    qtbot.addWidget(holder)
    QVBoxLayout(holder).addWidget(NumberField(LIMITS["speed"]))
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in holder.findChildren(QLabel))


def test_arrows_walk_a_row_of_keys_and_escape_leaves_it(qtbot) -> None:
    row = KeyRow("pads")
    qtbot.addWidget(row)
    row.set_keys([ChoiceKey(name) for name in ("500 h", "1000 h", "polish")])
    row.show()
    chosen: list[int] = []
    row.chosen.connect(chosen.append)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Left, Qt.Key.Key_End, Qt.Key.Key_Escape):
        QTest.keyClick(row, key)
    assert chosen == [0, 1, 0, 2, -1]
    row.choose(1)
    stops = [key for key in row.choices() if key.focusPolicy() == Qt.FocusPolicy.StrongFocus]
    assert stops == [row.choices()[1]], "one Tab stop, on the chosen key"


def test_ten_thousand_updates_of_a_label_do_not_bring_the_process_down(qtbot) -> None:
    label = Plain("")
    qtbot.addWidget(label)
    for number in range(10_000):
        label.setText(f"{number} games")
    assert label.whole() == "9999 games"


def test_a_name_that_turns_the_writing_round_turns_nothing_beside_it(qtbot) -> None:
    turning = "\u202eagraV \u2066Ilse"
    label = Plain(f"{turning}, 7K20977", elide=True)
    qtbot.addWidget(label)
    label.resize(400, 30)
    assert label.text() == "agraV Ilse, 7K20977"
    assert label.whole() == f"{turning}, 7K20977"
    runs = Runs([Run(turning), Run(", 7K20977", strong=True)])
    qtbot.addWidget(runs)
    assert runs.text() == "agraV Ilse, 7K20977"
    button = KeyButton(turning, "N")
    assert button.text() == button.name() == "agraV Ilse", "as Qt tells it and as it is painted"
    word = TextButton(turning)
    assert word.text() == word.word() == "agraV Ilse"
    hebrew = "\u05d0\u05d1\u05d2"
    assert Plain(hebrew).text() == hebrew


def test_a_word_of_one_sign_is_wide_enough_to_be_hit(qtbot) -> None:
    """24 by 24 px at least: WCAG 2.2, success criterion 2.5.8."""
    for word in ("–", "no", "a"):
        button = TextButton(word, px=13)
        qtbot.addWidget(button)
        assert button.sizeHint().width() >= 24
        assert button.sizeHint().height() >= 24


def test_of_thousands_a_word_offers_a_few_letters_instead_of_a_menu_as_high_as_the_wall(qtbot) -> None:
    top = QWidget()
    qtbot.addWidget(top)
    word = SentenceWord("bowler", "Isa 7", parent=top)
    picked: list[object] = []
    word.picked.connect(picked.append)
    word.set_choices([(f"Isa {n}", n) for n in range(5000)], 7, more=[("Add a bowler …", lambda: None)])
    menu = word.menu()
    assert menu is not None
    assert [act.text() for act in menu.actions() if act.text()] == [
        "Isa 7", "Choose from all 5000 …", "Add a bowler …"
    ]  # fmt: skip
    top.show()
    menu.actions()[1].trigger()
    dialog = top.findChild(ChooseDialog)
    assert dialog is not None
    assert dialog.list.in_hand() == ("Isa 7", 7)
    QTest.keyClicks(dialog.line, "499 isa")
    QTest.keyClick(dialog.line, Qt.Key.Key_Down)
    assert dialog.list.in_hand() == ("Isa 1499", 1499)
    QTest.keyClick(dialog.line, Qt.Key.Key_Return)
    assert picked == [1499]


def test_of_a_few_a_word_offers_them_all(qtbot) -> None:
    word = SentenceWord("bowler", "Isa 7")
    qtbot.addWidget(word)
    word.set_choices([(f"Isa {n}", n) for n in range(60)], 7)
    assert len(word.menu().actions()) == 60


def test_undo_says_what_it_takes_back_where_another_sentence_stands_beside_it(qtbot) -> None:
    foot = LastAct()
    qtbot.addWidget(foot)
    foot.done("Sold Rook Hollow to Kell", "Sold Rook Hollow to Kell")
    assert foot.undo.word() == "Undo"
    foot.said("Erased. The balls keep their history.")
    assert foot.undo.isHidden()
    foot.offer_undo("Sold Rook Hollow to Kell")
    assert foot.undo.word() == "Undo: Sold Rook Hollow to Kell"
    foot.offer_undo("Sold " + "Rook " * 20)
    assert len(foot.undo.word()) <= 46

"""A ball's history: every entry newest first, what was typed as typed, findings on top, one entry taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from arsenal.acts import undo
from arsenal.acts.logging import keep
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.bench.history import History, open_history
from arsenal.desk.bench.history_rows import EntryRow, Heading, Told, below_of, entry_row, finding_row, spoken, wrapped
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.desk.worker import Worker
from arsenal.trade.entries import Compared, Draft, Kind, Note, Played, Step, SurfaceWork, Unknown
from arsenal.trade.findings import Finding, Weight

HOSTILE = '<img src="/etc/hostname"> & <b>“bold”</b>'


@pytest.fixture
def told_file(shop_file: Path, settings: Settings) -> Path:
    """Quarry Song with a hostile note, part-sanded, played about so many games, compared, and one entry taken back."""
    with Shop.open(shop_file, settings=settings) as shop:
        today = shop.today()
        ago = [today - timedelta(days=n) for n in range(5)]
        keep(shop, [Draft(1, Kind.NOTE, ago[0], Note(HOSTILE), typed=f"quarry note {HOSTILE}")])
        keep(shop, [Draft(1, Kind.SANDED, ago[0], SurfaceWork((Step(number=1000),), whole=False))])
        keep(shop, [Draft(1, Kind.PLAYED, ago[0], Played(220, 0.2, 20), typed="quarry ~20g")])
        keep(shop, [Draft(1, Kind.COMPARED, ago[0], Compared(2, 3.0, lane_id=1))])
        keep(shop, [Draft(1, Kind.PLAYED, ago[0], Played(33, 0, 3))])
        undo.undo(shop)
        with shop.ledger.act("A newer program wrote") as act:
            act.append(Draft(1, "weighed twice", ago[0], Unknown('{"grams": 1}'), version=7))
    return shop_file


@pytest.fixture
def ground(qapp, told_file: Path, settings: Settings) -> Iterator[Shared]:
    worker = Worker(lambda: Shop.open(told_file, settings=settings))
    shared = Shared(worker, settings)
    yield shared
    worker.close()
    shared.deleteLater()


@pytest.fixture
def dialog(qtbot, window: QWidget, ground: Shared) -> Iterator[History]:
    window.show()
    made = open_history(ground, window, 1)
    qtbot.waitUntil(lambda: bool(entries(made)), timeout=10000)
    yield made
    if window.findChildren(History):
        made.close()


def entries(dialog: History) -> list[EntryRow]:
    return [row for row in dialog.list.rows_model.rows() if isinstance(row, EntryRow)]


def read(qtbot, shared: Shared, what: Callable[[Shop], Any]) -> Any:
    found: list = []
    shared.worker.act(what, found.append)
    qtbot.waitUntil(lambda: bool(found))
    return found[0]


def test_every_entry_is_there_newest_first_and_the_way_it_came_last(dialog) -> None:
    seqs = [row.seq for row in entries(dialog)]
    assert seqs == sorted(seqs, reverse=True)
    assert len(seqs) == 7
    assert entries(dialog)[-1].sentence.startswith("Came new")


def test_what_was_typed_stands_as_it_was_typed_and_is_never_markup(dialog) -> None:
    note = next(row for row in entries(dialog) if "Noted" in row.sentence)
    assert HOSTILE in note.sentence
    assert note.typed == f"quarry note {HOSTILE}"
    index = dialog.list.rows_model.index(dialog.list.rows_model.rows().index(note))
    assert HOSTILE in index.data(Qt.ItemDataRole.DisplayRole)
    assert wrapped(note.sentence, look().font(14), 400)[0].text() == note.sentence


def test_an_entry_taken_back_stays_struck_and_says_so(dialog) -> None:
    back = [row for row in entries(dialog) if row.undone]
    assert [row.sentence for row in back] == ["Played 3 games"]
    assert "taken back" in spoken(back[0])


def test_about_and_unknown_kinds_are_said_in_words(dialog) -> None:
    about = next(row for row in entries(dialog) if "20 games" in row.sentence)
    assert "about" in about.notes
    odd = next(row for row in entries(dialog) if '{"grams": 1}' in row.sentence)
    assert any("weighed twice" in note for note in odd.notes)


def test_an_entry_from_memory_says_it_was_entered_later(qtbot, ground) -> None:
    entry = read(qtbot, ground, lambda shop: shop.entries(1)[0])
    from dataclasses import replace  # noqa: PLC0415 - only here

    row = entry_row(replace(entry, late=True), "Thu 19 Nov 2026", "Came new", undone=False)
    assert "entered later" in below_of(row)


def test_findings_stand_on_top_the_gravest_first_with_shape_word_and_the_rules_date(dialog) -> None:
    rows = dialog.list.rows_model.rows()
    assert isinstance(rows[0], Heading)
    findings = rows[1 : next(i for i, r in enumerate(rows[1:], 1) if isinstance(r, Heading))]
    assert all(isinstance(row, Told) for row in findings)
    order = {"stop": 0, "look": 1, "note": 2}
    assert [order[row.word] for row in findings] == sorted(order[row.word] for row in findings)
    part = next(row for row in findings if "not on the whole ball" in row.sentence)
    assert (part.mark, part.word) == ("over", "stop")
    assert part.below.startswith("Rule book says, check yours: ")


def test_a_finding_without_a_rule_names_none() -> None:
    row = finding_row(Finding("odd", "The dates are odd.", Weight.WARN))
    assert (row.mark, row.word, row.below) == ("due", "look", "")


def test_what_was_seen_against_another_ball_stands_beside_what_was_expected(qtbot, dialog) -> None:
    def seen() -> list[Told]:
        rows = dialog.list.rows_model.rows()
        return [row for row in rows if isinstance(row, Told) and "was seen" in row.sentence]

    qtbot.waitUntil(lambda: bool(seen()), timeout=20000)
    assert "expected" in seen()[0].sentence
    assert "gree" in seen()[0].sentence, "agrees or not, in words"
    assert any(isinstance(r, Heading) and "agree with what was expected" in r.detail for r in dialog.rows())


def test_u_takes_the_chosen_entry_back_and_the_last_act_line_says_it(qtbot, dialog, ground) -> None:
    said: list = []
    ground.kept.connect(lambda changes: said.append(changes.sentence))
    played = next(row for row in entries(dialog) if "20 games" in row.sentence)
    dialog.list.choose_where(lambda row: row == played)
    assert dialog.back.isEnabled()
    QTest.keyClick(dialog.windowHandle(), Qt.Key.Key_U)
    qtbot.waitUntil(lambda: any(row.undone and row.seq == played.seq for row in entries(dialog)), timeout=10000)
    assert said
    assert said[0].startswith("Took back: ")
    assert "20 games" in said[0]
    assert dialog.list.in_hand().seq == played.seq, "the place in the list is kept"
    assert not dialog.back.isEnabled(), "an entry is taken back once"
    kept = read(qtbot, ground, lambda shop: shop.ledger.entries(ball_id=1))
    assert kept[-1].undoes == played.seq
    assert any(e.seq == played.seq for e in kept), "nothing is ever removed"


def test_nothing_but_an_entry_can_be_taken_back(dialog) -> None:
    dialog.list.choose_where(lambda row: isinstance(row, Told))
    assert not dialog.back.isEnabled()


def test_esc_closes_and_lets_go(qtbot, dialog) -> None:
    with qtbot.waitSignal(dialog.destroyed):
        QTest.keyClick(dialog, Qt.Key.Key_Escape)


def test_the_list_can_be_read_row_by_row(dialog) -> None:
    reader = QAccessible.queryAccessibleInterface(dialog.list)
    assert reader.text(QAccessible.Text.Name) == "History, newest first"
    texts = [reader.child(n).text(QAccessible.Text.Name) for n in range(reader.childCount())]
    assert any("taken back" in text for text in texts)
    assert any(HOSTILE in text for text in texts)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("percent", [100, 200])
def test_rows_are_high_enough_for_their_words(qtbot, dialog, scheme, percent) -> None:
    look().set_both(scheme, percent)
    image = QImage(900, 600, QImage.Format.Format_ARGB32_Premultiplied)
    dialog.list.render(image)
    view = dialog.list
    for number, row in enumerate(view.rows_model.rows()):
        if isinstance(row, EntryRow):
            wide = view.viewport().width() - look().px(112 + 24) - (look().px(84) if row.undone else 0)
            wanted = wrapped(row.sentence, look().font(14), wide)[1]
            assert view.sizeHintForIndex(view.rows_model.index(number)).height() >= wanted


def test_a_word_without_an_end_is_broken_rather_than_cut() -> None:
    layout, high = wrapped("x" * 400, look().font(14), 200)
    assert all(layout.lineAt(n).naturalTextWidth() <= 201 for n in range(layout.lineCount()))
    assert high > 3 * look().font(14).pixelSize()

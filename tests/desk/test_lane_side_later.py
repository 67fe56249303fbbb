"""The strip of a ball's own line, and the same lane after some games."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from lane_side_desk import Desk, hold
from lane_side_shop import build
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from arsenal.acts import later
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.acts.views import Contours
from arsenal.desk.lane_side import bar, film, legend
from arsenal.desk.lane_side.strip import WAYS
from arsenal.motion.records import NoLine
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person

NONE = NoLine("No line reaches the pocket: the nearest ends 3 boards light. About 1 mph slower would open one.")


@pytest.fixture(scope="session")
def later_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lane-side-later") / "shop.padbook"
    build(path)
    return path


@pytest.fixture
def desk(qtbot, later_shop: Path, tmp_path: Path, settings: Settings) -> Iterator[Desk]:
    path = tmp_path / "shop.padbook"
    shutil.copy(later_shop, path)
    made = Desk(qtbot, path, settings)
    yield made
    made.close()


def choose(desk: Desk, word, label: str) -> None:
    next(act for act in word.menu().actions() if act.text() == label).trigger()
    desk.settle()


def test_misses_can_be_asked_by_angle_by_shift_and_by_speed(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    strip, told = desk.room.strip, {}
    for label, _ in WAYS:
        choose(desk, strip.way, label)
        assert strip.way.word() == (f"{label}, mph" if label == "by speed" else label)
        told[label] = strip.misses.accessibleName()
        QApplication.processEvents()
        assert strip.way.width() >= strip.way.sizeHint().width(), "the word is whole"
        assert strip.room.width() >= strip.room.sizeHint().width(), "the room is whole"
    assert "3 in: " in told["at the arrows"]
    assert "3 in: " in told["in parallel"]
    assert "1½ mph slower: " in told["by speed"]
    assert "1½ mph faster: " in told["by speed"]
    assert all("on line: flush" in told[way] or "as thrown: flush" in told[way] for way in told)
    assert len(set(told.values())) == len(WAYS)


def test_the_numbers_of_the_line_say_as_much_as_there_is_room_for_and_leave_the_name_whole(desk: Desk) -> None:
    hold(desk, "Paper Moth")
    strip, told = desk.room.strip, {}
    for size in ((1920, 1080), (1366, 768), (1093, 614)):
        desk.window.resize(*size)
        QApplication.processEvents()
        told[size] = strip.facts.text()
        assert strip.title.text() == strip.title.whole(), "the name is not shortened"
        assert strip.facts.sizeHint().width() <= strip.facts.width() + 1, "no number is cut"
    assert "at the pins" in told[1920, 1080]
    assert "% skid left" in told[1920, 1080]
    assert len(told[1093, 614]) < len(told[1366, 768]) <= len(told[1920, 1080])


@pytest.mark.parametrize("size", [(1366, 768), (1093, 614), (1920, 1080)])
def test_where_no_line_reaches_the_pocket_the_strip_says_so_and_what_would(desk: Desk, size: tuple[int, int]) -> None:
    desk.window.resize(*size)
    row = replace(desk.room.in_hand(), best=NONE)
    desk.room.strip.show_ball(row, desk.room.seen.side.bowler)
    QApplication.processEvents()
    strip = desk.room.strip
    assert strip.title.whole().endswith("has no line to the pocket here")
    assert strip.none.isVisible()
    assert strip.none.text() == NONE.sentence
    assert not strip.misses.isVisible()
    foot = desk.room.pads.mapTo(desk.room, desk.room.pads.rect().bottomLeft()).y()
    assert foot <= desk.room.height(), "the room does not grow"
    assert strip.none.heightForWidth(strip.none.width()) <= strip.none.height(), "no line of it is cut"


def test_the_lane_after_three_games_is_a_word_of_the_sentence_and_named_a_forecast(desk: Desk) -> None:
    room = desk.room
    assert room.bar.after.word() == "fresh"
    assert room.bar.where.word() == "41 ft house, 25 mL", "“fresh” is said once"
    before = [row.boards for row in room.seen.side.order.rows]
    fresh_film = room.seen.film
    choose(desk, room.bar.after, "after game 3")
    assert room.bar.after.word() == "after game 3"
    assert room.seen.side.game == 3
    assert room.seen.side.traffic_words in room.bar.after.toolTip()
    assert "forecast" in room.bar.after.toolTip()
    assert legend.FORECAST in room.plots.legend.accessibleName()
    assert room.seen.film is not fresh_film
    assert [row.boards for row in room.seen.side.order.rows] != before
    hold(desk, "Paper Moth")
    desk.key(Qt.Key.Key_Right)
    assert room.pads.result() is not None, "pads are reckoned on that lane too"
    choose(desk, room.bar.after, "fresh")
    assert [row.boards for row in room.seen.side.order.rows] == before
    assert "forecast" not in room.plots.legend.accessibleName()


def test_another_condition_is_fresh_again(desk: Desk) -> None:
    choose(desk, desk.room.bar.after, "after game 1")
    desk.room.bar.lane_picked.emit(2)
    desk.settle()
    assert desk.room.bar.after.word() == "fresh"
    assert desk.room.seen.side.game == 0


def test_a_lane_that_cannot_be_forecast_leads_back_to_the_fresh_one(desk: Desk, monkeypatch) -> None:
    def fails(*_a: object, **_k: object) -> None:
        raise KnownError("That set cannot be worked out.", next_step="Ask for the fresh lane.")

    monkeypatch.setattr(later, "order", fails)
    choose(desk, desk.room.bar.after, "after game 6")
    assert desk.room.empty.isVisible()
    assert desk.room.bar.after.isVisible(), "the word that leads back stays"
    desk.room.empty.button.click()
    desk.settle()
    assert desk.room.seen.side is not None
    assert desk.room.bar.after.word() == "fresh"


def test_the_forecast_counts_those_who_were_said_to_be_on_the_pair(desk: Desk) -> None:
    def told(shop: Shop) -> None:
        later.say_who(shop, 1, (1,))

    desk.shared.ask("who", told, lambda _none: None)
    desk.settle()
    choose(desk, desk.room.bar.after, "after game 1")
    assert desk.room.seen.side.traffic_words == "after 1 game by Mirel Oster alone"


def test_who_is_on_the_pair_is_ticked_and_counts(desk: Desk) -> None:
    choose(desk, desk.room.bar.after, "after game 1")
    assert "who throw alike" in desk.room.seen.side.traffic_words
    choose(desk, desk.room.bar.after, "Who is on the pair …")
    dialog = desk.dialog()
    assert dialog.beside.word() == "three more who throw alike"
    dialog.ticks.setFocus()
    QTest.keyClick(dialog.ticks, Qt.Key.Key_Space)
    assert dialog.beside.word() == "those ticked below"
    dialog.keep()
    desk.settle()
    assert desk.room.seen.side.traffic_words == "after 1 game by Mirel Oster and Anneke Roos"
    choose(desk, desk.room.bar.after, "Who is on the pair …")
    dialog = desk.dialog()
    assert dialog.beside.word() == "those ticked below", "kept"
    dialog.beside.put("alone")
    dialog.keep()
    desk.settle()
    assert desk.room.seen.side.traffic_words == "after 1 game by Mirel Oster alone"


def test_a_pair_without_names_is_refused_with_what_to_do(desk: Desk) -> None:
    choose(desk, desk.room.bar.after, "Who is on the pair …")
    dialog = desk.dialog()
    dialog.beside.put("named")
    with pytest.raises(KnownError, match="Tick who bowls"):
        dialog.named()
    dialog.reject()


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("41 ft house, 25 mL, fresh", "41 ft house, 25 mL"), ("Old wood FRESH", "Old wood"), ("fresh", "fresh"),
        ("46 ft long, 28 mL", "46 ft long, 28 mL"), ("Refresh lanes", "Refresh lanes"), ("afresh", "afresh"),
    ],
)  # fmt: skip
def test_fresh_is_said_once(name: str, shown: str) -> None:
    assert bar.without_fresh(name) == shown


def test_smoothing_for_drawing_keeps_the_oil_and_an_even_film_as_they_are() -> None:
    rough = np.random.default_rng(5).uniform(0.0, 20.0, (101, 53))
    assert film.smoothed(rough).mean() == pytest.approx(rough.mean(), rel=0.01)
    assert np.ptp(film.smoothed(rough)) < np.ptp(rough)
    even = np.full((101, 53), 7.0)
    assert np.allclose(film.smoothed(even), 7.0)
    feet, boards = np.linspace(0, 60, 101), np.linspace(0.5, 39.5, 53)
    slope = np.clip(24.0 * (1.0 - feet / 40.0), 0.0, None)[:, None] * np.ones(53)
    lines = film.film_lines(Contours(feet, boards, slope, 40.0), Person(1, "A"), played=True).lines
    assert {line.units for line in lines} == set(film.LEVELS)
    for line in lines:
        assert np.allclose(line.feet[2:-2], 40.0 * (1.0 - line.units / 24.0), atol=0.7)

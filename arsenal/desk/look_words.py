"""The few things one may change about the look, as sentence words: first run shows them, and so does the menu."""

from __future__ import annotations

import contextlib
from collections.abc import Callable

from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from arsenal.acts.settings import Settings
from arsenal.desk.parts.sentence import Sentence, SentenceWord
from arsenal.desk.theme import SCALES, look
from arsenal.trade.errors import KnownError

LOOKS = (("light", "light"), ("dark", "dark"), ("as the desktop", "system"))
UNITS = (("mph, lb, in", "imperial"), ("km/h, kg, mm", "metric"))


def _keep(settings: Settings) -> None:
    """Save now; where the folder cannot be written the look still holds, and closing tells it."""
    with contextlib.suppress(KnownError):
        settings.save()


def put_look(settings: Settings, choice: str) -> None:
    """Light, dark or as the desktop, now and next time."""
    settings.look = choice
    look().choose(choice)
    _keep(settings)


def put_size(settings: Settings, percent: int) -> None:
    """Text size in percent, now and next time."""
    settings.text_size = percent / 100.0
    look().resize(percent)
    _keep(settings)


def put_units(settings: Settings, units: str) -> None:
    """Units things are shown in; what was typed is never changed."""
    settings.units = units
    look().changed.emit()
    _keep(settings)


def look_sentence(settings: Settings) -> Sentence:
    """Look, text and speed as words."""
    bar = Sentence("Look", px=15)
    bar.say("Look")
    _word(bar.word("look"), LOOKS, settings.look, lambda value: put_look(settings, value))
    bar.say("  Text")
    sizes = tuple((f"{s} %", s) for s in SCALES)
    _word(bar.word("text size"), sizes, round(settings.text_size * 100), lambda value: put_size(settings, value))
    bar.say("  Units")
    _word(bar.word("units"), UNITS, settings.units, lambda value: put_units(settings, value))
    bar.finish()
    return bar


def _word(
    word: SentenceWord, choices: tuple[tuple[str, object], ...], current: object, put: Callable[..., None]
) -> None:
    def show(value: object) -> None:
        word.set_word(next((label for label, v in choices if v == value), str(value)))
        word.set_choices(choices, value)

    def picked(value: object) -> None:
        put(value)
        show(value)

    show(current)
    word.picked.connect(picked)


def look_menus(menu: QMenu, settings: Settings, parent: QWidget) -> None:
    """The same three as submenus."""
    sizes = tuple((f"{s} %", s) for s in SCALES)
    for title, choices, current, put in (
        ("Look", LOOKS, settings.look, put_look),
        ("Text size", sizes, round(settings.text_size * 100), put_size),
        ("Units", UNITS, settings.units, put_units),
    ):
        sub = menu.addMenu(title)
        group = QActionGroup(parent)
        for label, value in choices:
            act = QAction(label, parent)
            act.setCheckable(True)
            act.setChecked(value == current)
            act.triggered.connect(lambda _=False, p=put, v=value: p(settings, v))
            group.addAction(act)
            sub.addAction(act)

"""When a bowler's competition starts and ends: from the first scored ball only a dry towel may touch a ball."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QDateTime, QTime
from PySide6.QtWidgets import QDateTimeEdit, QSizePolicy, QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Words
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import NotUnderstood

if TYPE_CHECKING:
    from arsenal.acts.rules_now import Block, Competition
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

BETWEEN = (("dry towel only", False), ("pads allowed", True))
BLOCK = re.compile(r"(\d{1,2})[:.](\d{2})\s*(?:-|–|to)\s*(\d{1,2})[:.](\d{2})")
LASTS = (*((f"{h} hours", float(h)) for h in (2, 3, 4, 6, 8)), ("not known", 0.0))


def blocks_of(text: str, starts: datetime) -> tuple[Block, ...]:
    """“19:00 to 20:15, 20:45 to 22:00” from the day the competition starts on, each time after the one before it.

    Raises NotUnderstood.
    """
    found: list[Block] = []
    last = starts.replace(hour=0, minute=0, second=0, microsecond=0)
    for part in (p.strip() for p in re.split(r"[,;]", text)):
        read = BLOCK.fullmatch(part)
        hours = [int(n) for n in read.groups()] if read else []
        if not hours or max(hours[0], hours[2]) > 23 or max(hours[1], hours[3]) > 59:
            raise NotUnderstood(part, "Write the hours of a block, as 19:00 to 20:15.")
        ends = []
        for hour, minute in (hours[:2], hours[2:]):
            at = last.replace(hour=hour, minute=minute)
            last = at if at >= last else at + timedelta(days=1)
            ends.append(last)
        found.append((ends[0], ends[1]))
    return tuple(found)


class CompetitionDialog(FormDialog):
    """The form."""

    def __init__(
        self, shared: Shared, parent: QWidget, bowler_id: int, now: Competition | None, done: Done | None
    ) -> None:
        super().__init__("Competition", shared, parent, done)
        self._bowler, self._blocks_before = bowler_id, now.blocks if now else ()
        self.starts = QDateTimeEdit()
        self.starts.setDisplayFormat("ddd d MMM yyyy, HH:mm")
        self.starts.setAccessibleName("First scored ball")
        self.starts.setCalendarPopup(True)  # without buttons the style sheet leaves no room for the text
        self.starts.setStyleSheet("QDateTimeEdit::drop-down { border: none; width: 0; }")
        self.starts.lineEdit().setAccessibleName("First scored ball")
        self.starts.setMinimumWidth(look().px(230))
        self.starts.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.starts.setFixedHeight(look().px(34))
        start = now.starts_at if now else None
        if start is not None:
            self.starts.setDateTime(QDateTime.fromSecsSinceEpoch(round(start.timestamp())))
        else:
            today = QDateTime.currentDateTime()
            today.setTime(QTime(min(23, today.time().hour() + 1), 0))
            self.starts.setDateTime(today)
        hours = (now.ends_at - now.starts_at) / timedelta(hours=1) if now and now.ends_at else 0.0
        self.lasts = Choice("It lasts", LASTS, min((v for _, v in LASTS), key=lambda v: abs(v - hours)))
        self.rows.field("First scored ball", self.starts)
        self.rows.field("It lasts", self.lasts)
        told = ", ".join(f"{begins:%H:%M} to {ends:%H:%M}" for begins, ends in self._blocks_before)
        self.blocks = Words("Blocks", told, "19:00 to 20:15, 20:45 to 22:00")
        self._told_before = self.blocks.words()
        self.between = Choice("Between blocks", BETWEEN, now.between_allowed if now else False)
        self.rows.field("Blocks, if known", self.blocks)
        self.rows.field("Between blocks", self.between)
        self.body.addWidget(
            Plain(
                "The rule book in force decides; ask the tournament where it differs.", px=13, token="ink2", wrap=True
            )
        )
        if now is not None:
            self.offer("None set", "N", self._take_away)

    def _take_away(self) -> None:
        bowler = self._bowler
        self.shared.keep(lambda shop: _set(shop, bowler, None), self._finish, failed=self._failed)

    def act(self) -> Callable[[Shop], Changes]:
        """Set it."""
        naive = self.starts.dateTime().toPython()
        assert isinstance(naive, datetime)  # noqa: S101 - what Qt gives
        starts, hours, bowler = naive.astimezone(), float(self.lasts.value), self._bowler
        ends = starts + timedelta(hours=hours) if hours else None
        typed = self.blocks.words()
        same = typed == self._told_before
        blocks = self._blocks_before if same else blocks_of(typed, starts) if typed else ()
        between = bool(self.between.value)
        return lambda shop: _set(shop, bowler, (starts, ends, blocks, between))


When = tuple["datetime", "datetime | None", "tuple[Block, ...]", bool]


def _set(shop: Shop, bowler_id: int, when: When | None) -> Changes:
    from arsenal.acts import rules_now  # noqa: PLC0415 - heavy

    return rules_now.set_competition(shop, bowler_id, rules_now.Competition(*when) if when else None)


def _now(shop: Shop, bowler_id: int) -> Competition | None:
    from arsenal.acts import rules_now  # noqa: PLC0415 - heavy

    return rules_now.competition(shop, bowler_id)


def open_competition(shared: Shared, parent: QWidget, bowler_id: int, done: Done | None = None) -> None:
    """Show when the bowler's competition is; read first, so the dialog comes a moment later."""

    def show(now: Competition | None) -> None:
        CompetitionDialog(shared, parent, bowler_id, now, done).open_()

    shared.ask("competition", lambda shop: _now(shop, bowler_id), show)

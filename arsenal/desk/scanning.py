"""Where a scan leads: our label to what it names, a serial to its ball, what is not known to a dialog that asks."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QObject
from PySide6.QtWidgets import QApplication

from arsenal.trade.errors import KnownError, NotFound

if TYPE_CHECKING:
    from arsenal.acts.codes import Meant
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Hit
    from arsenal.desk.frame import Window

COUNTER = 6
WARM_MS = 2500
"""After the file is open, what the first scan needs is loaded, so that it is no slower than the next."""


class Scanning(QObject):
    """The window's one scan handler. A newer scan makes an older one stale."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window, self.shared = window, window.shared
        self._clock = QElapsedTimer()
        self.took_ms = 0
        """From the last sign of the last scan to the thing being opened."""

    def warm(self) -> None:
        """Load what a scan needs, a piece at a time, so that whatever else is asked comes between."""
        self._warm(list(WARMING))

    def _warm(self, left: list[Callable[[Shop], object]]) -> None:
        if left:
            first, rest = left[0], left[1:]
            self.shared.ask("scan warm", first, lambda _done: self._warm(rest), failed=lambda _error: None)

    def take(self, text: str) -> None:
        """A scan, without its Enter; refused while a dialog that is not our own (files, printers) is open."""
        if QApplication.activeModalWidget() is not None:
            again = "Close what is open first, then scan it again."
            self.shared.trouble(KnownError(f"Scanned {text[:60]}.", next_step=again))
            return
        self._clock.start()
        self.shared.ask("scan", lambda shop: _meant(shop, text), self._found, failed=self.shared.trouble, first=True)

    def _found(self, meant: Meant) -> None:
        if len(meant.hits) == 1:
            self.open(meant.hits[0])
        elif meant.hits:
            from arsenal.desk.dialogs.scanned import WhichDialog  # noqa: PLC0415 - rarely needed

            WhichDialog(self._window, meant.text, meant.hits, self.open).open_()
        else:
            room = self._window.opened()
            whose = room.whose() if room is not None else self.shared.bowler_id
            self.shared.ask("scan who", lambda shop: _person(shop, whose), lambda owner: self._ask(meant.text, owner))

    def _ask(self, text: str, owner: Hit | None) -> None:
        from arsenal.desk.dialogs.scanned import UnknownDialog  # noqa: PLC0415 - rarely needed

        UnknownDialog(self.shared, self._window, text, owner, self._made).open_()

    def _made(self, changes: Changes) -> None:
        """The ball that was added for an unknown code is what was scanned."""
        from arsenal.acts.views import Hit  # noqa: PLC0415 - heavy, on the worker's thread

        self.open(Hit("ball", changes.changed[0].id, "", ""))

    def open(self, hit: Hit) -> None:
        """Its card on the Counter, where there is one; else where the search line would open it."""
        window = self._window
        window.foot.trouble_over()
        room = window.room(COUNTER)
        shown = room is not None and room is not window.opened() and room.take_hit(hit)
        window.open_room(COUNTER)
        if not shown:
            window.open_hit(hit)
        self.took_ms = self._clock.elapsed()


def _person(shop: Shop, person_id: int | None) -> Hit | None:
    from arsenal.acts.views import Hit  # noqa: PLC0415 - heavy, on the worker's thread

    try:
        person = shop.person(person_id) if person_id is not None else None
    except NotFound:
        return None
    return Hit("person", person.id, person.name, person.phone) if person is not None else None


def _load_acts(_shop: Shop) -> None:
    from arsenal.acts import codes, counter  # noqa: F401, PLC0415 - heavy, on the worker's thread


def _look_up(shop: Shop) -> None:
    _meant(shop, "-")


def _make_card(shop: Shop) -> None:
    from arsenal.acts import counter  # noqa: PLC0415 - loaded by now

    ball = next(iter(shop.balls()), None)
    if ball is not None:
        counter.ball_card(shop, ball.id, whole=False)


WARMING = (_load_acts, _look_up, _make_card)


def _meant(shop: Shop, text: str) -> Meant:
    from arsenal.acts import codes  # noqa: PLC0415 - heavy, on the worker's thread

    return codes.meant(shop, text)

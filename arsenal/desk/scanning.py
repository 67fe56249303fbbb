"""Where a scan leads: our label to what it names, a serial to its ball, what is not known to a dialog that asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QObject

from arsenal.trade.errors import NotFound

if TYPE_CHECKING:
    from arsenal.acts.codes import Meant
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Hit
    from arsenal.desk.frame import Window

COUNTER = 6


class Scanning(QObject):
    """The window's one scan handler. A newer scan makes an older one stale."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window, self.shared = window, window.shared
        self._clock = QElapsedTimer()
        self.took_ms = 0
        """From the last sign of the last scan to the thing being opened."""

    def take(self, text: str) -> None:
        """A scan, without its Enter."""
        self._clock.start()
        self.shared.ask("scan", lambda shop: _meant(shop, text), self._found, failed=self.shared.trouble)

    def _found(self, meant: Meant) -> None:
        if len(meant.hits) == 1:
            self.open(meant.hits[0])
        elif meant.hits:
            from arsenal.desk.dialogs.scanned import WhichDialog  # noqa: PLC0415 - rarely needed

            WhichDialog(self._window, meant.text, meant.hits, self.open).open_()
        else:
            self.shared.ask("scan who", self._in_hand, lambda owner: self._ask(meant.text, owner))

    def _in_hand(self, shop: Shop) -> Hit | None:
        from arsenal.acts.views import Hit  # noqa: PLC0415 - heavy, on the worker's thread

        if self.shared.bowler_id is None:
            return None
        try:
            person = shop.person(self.shared.bowler_id)
        except NotFound:
            return None
        return Hit("person", person.id, person.name, person.phone)

    def _ask(self, text: str, owner: Hit | None) -> None:
        from arsenal.desk.dialogs.scanned import UnknownDialog  # noqa: PLC0415 - rarely needed

        UnknownDialog(self.shared, self._window, text, owner).open_()

    def open(self, hit: Hit) -> None:
        """Its card on the Counter, where there is one; else where the search line would open it."""
        self._window.open_room(COUNTER)
        self._window.open_hit(hit)
        self.took_ms = self._clock.elapsed()


def _meant(shop: Shop, text: str) -> Meant:
    from arsenal.acts import codes  # noqa: PLC0415 - heavy, on the worker's thread

    return codes.meant(shop, text)

"""One line of a sentence made of parts: those at its end give way whole where there is no room; the hover has all."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QResizeEvent

from arsenal.desk.parts.text import Run, Runs, set_tip

Part = Sequence[Run]


class ToldLine(Runs):
    """Runs in parts. The accessible name and the hover are the whole sentence."""

    def __init__(self, px: float = 13) -> None:
        self._parts: tuple[tuple[Run, ...], ...] = ()
        self._more = ""
        super().__init__(px=px, wrap=False)

    def tell(self, parts: Sequence[Part], more: str = "") -> None:
        """Say these parts; `more` follows in the hover."""
        self._parts, self._more = tuple(tuple(part) for part in parts), more
        self._fit()

    def whole(self) -> str:
        """All of it."""
        return "".join(run.text for part in self._parts for run in part)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many parts as fit."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        for count in range(len(self._parts), 0, -1):
            self.set_runs(tuple(run for part in self._parts[:count] for run in part))
            if self.sizeHint().width() <= self.width():
                break
        if not self._parts:
            self.set_runs(())
        self.setAccessibleName(self.whole())
        shortened = self.whole() if self.text() != self.whole() else ""
        set_tip(self, " ".join(text for text in (shortened, self._more) if text))

"""Which two stand side by side: the chosen bowler, and whom one means by “the other”."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.desk.coach.sheet import Line


class Beside:
    """Remembers who was picked to stand beside, and who was chosen before."""

    def __init__(self) -> None:
        self.picked: int | None = None
        self.before: int | None = None

    def other(self, chosen: Line | None, lines: Sequence[Line]) -> Line | None:
        """Who stands beside `chosen`: as picked, else chosen before, else the next who is ticked."""
        if chosen is None:
            return None
        by_id = {line.bowler.id: line for line in lines if line.bowler.id != chosen.bowler.id}
        for bowler_id in (self.picked, self.before):
            line = by_id.get(bowler_id) if bowler_id is not None else None
            if line is not None and line.ticked:
                return line
        at = next(n for n, line in enumerate(lines) if line.bowler.id == chosen.bowler.id)
        around = [*lines[at + 1 :], *lines[:at]]
        return next((line for line in around if line.ticked), around[0] if around else None)

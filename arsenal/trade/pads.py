"""Pads in stock and recipes: what a bowler can put on a ball."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.trade.entries import Abrasive, Scale, Step, Tool


@dataclass(frozen=True, slots=True)
class Pad:
    """One pad somebody owns. `uses` counts the sandings logged with it; `owner_id` None is the shop's."""

    id: int
    number: float | None
    scale: Scale = Scale.PLAIN
    abrasive: Abrasive = Abrasive.GRIT
    kind: str = "foam"
    owner_id: int | None = None
    uses_hand: float = 0.0
    uses_spinner: float = 0.0
    used_up: bool = False


@dataclass(frozen=True, slots=True)
class Recipe:
    """A named sequence of steps: “1000 h”, “500/2000 m”, “polish”."""

    name: str
    steps: tuple[Step, ...]

    @property
    def one_pad(self) -> bool:
        """A refresh is one pad; a resurface is the full sequence."""
        return len(self.steps) == 1


TOOL_LETTER = {Tool.HAND: "h", Tool.SPINNER: "s", Tool.MACHINE: "m"}


def label(steps: tuple[Step, ...]) -> str:
    """A finish as people say it: “1000 h”, “500/2000 m”, “500/1000/polish s”. Empty steps: “as it came”."""
    if not steps:
        return "as it came"
    if len(steps) == 1 and steps[0].abrasive in (Abrasive.POLISH, Abrasive.COMPOUND):
        return steps[0].abrasive.value
    parts = [f"{s.number:g}" if s.number is not None else s.abrasive.value for s in steps]
    return "/".join(parts) + f" {TOOL_LETTER[steps[-1].tool]}"

"""Pads in stock and recipes: what a bowler can put on a ball."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

from arsenal.trade.ball import Cover
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
    bought_on: date | None = None


@dataclass(frozen=True, slots=True)
class Recipe:
    """A named sequence of steps: “1000 h”, “500/2000 m”, “polish”. `id` 0 is one nobody has kept; the steps of a kept
    one name no pads: those are chosen when it is used. `owner_id` None is the shop's.
    """

    name: str
    steps: tuple[Step, ...]
    id: int = 0
    owner_id: int | None = None
    note: str = ""

    @property
    def one_pad(self) -> bool:
        """A refresh is one pad; a resurface is the full sequence."""
        return len(self.steps) == 1


TOOL_LETTER = {Tool.HAND: "h", Tool.SPINNER: "s", Tool.MACHINE: "m"}


def label(steps: tuple[Step, ...]) -> str:
    """A finish as people say it: “1000 h”, “500/2000 m”, “500/1000/polish s”. Empty steps: “as it came”."""
    return _label(steps, TOOL_LETTER)


def label_in_words(steps: tuple[Step, ...]) -> str:
    """The same with the tool's whole word, where a sentence has room for it: “500/2000 machine”."""
    return _label(steps, {tool: tool.value for tool in Tool})


def _label(steps: tuple[Step, ...], tools: Mapping[Tool, str]) -> str:
    if not steps:
        return "as it came"
    if len(steps) == 1 and steps[0].abrasive in (Abrasive.POLISH, Abrasive.COMPOUND):
        return steps[0].abrasive.value
    parts = [f"{s.number:g}" if s.number is not None else s.abrasive.value for s in steps]
    return "/".join(parts) + f" {tools[steps[-1].tool]}"


def grain_words(pad: Pad) -> str:
    """“1000”, “P3000”, “16 µm”, “non-woven”."""
    if pad.number is None:
        return pad.abrasive.value
    number = f"{pad.number:g}"
    said = {Scale.P: f"P{number}", Scale.MICRON: f"{number} µm", Scale.PLAIN: number}
    worded = said.get(pad.scale, f"{pad.scale.value} {number}")
    return worded if pad.abrasive is Abrasive.GRIT else f"{pad.abrasive.value} {worded}"


NEW_PAD_ID = 0
"""A step names this pad where it is done with one that is not in stock yet; keeping the step puts it there."""


def bare(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """The steps without the pads they were or would be done with."""
    return tuple(replace(step, pad_id=None, uses_before=None) for step in steps)


def _machine(*numbers: float, polish: bool = False) -> tuple[Step, ...]:
    steps = tuple(Step(number=n, tool=Tool.MACHINE, wet=True, sides=4, seconds=30.0) for n in numbers)
    return (*steps, Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True)) if polish else steps


OPENERS: Mapping[Cover, Recipe] = MappingProxyType({
    cover: Recipe(f"opener {cover.value}", steps, note="common practice, no source")
    for cover, steps in (
        (Cover.SOLID, _machine(500.0, 1000.0, 2000.0)),
        (Cover.HYBRID, _machine(500.0, 1000.0, 3000.0)),
        (Cover.PEARL, _machine(500.0, 1000.0, polish=True)),
        (Cover.URETHANE, _machine(500.0, 1000.0)),
        (Cover.POLYESTER, _machine(500.0, 1000.0, 2000.0, polish=True)),
    )
})  # fmt: skip
"""How a new ball of each cover is usually opened: common practice, no source; a start that anybody may change."""

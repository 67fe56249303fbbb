"""Rows and words of the room: a ball with its state in words, a cell for a screen reader, what a tick means next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from arsenal.acts.event_views import BallLine, Covered, EventPlan, Mark, PrepLine, PrepSheet, RoomCell, StageHead

HOME = "Stays home"
MARKS = {Mark.OPEN: "fine", Mark.DONE: "done", Mark.SOON: "soon", Mark.BAN: "due"}
"""The due mark each sign of the prep sheet is drawn as."""
SAID = {Mark.OPEN: "to do", Mark.DONE: "done", Mark.SOON: "deadline", Mark.BAN: "no pads from here"}


@dataclass(frozen=True, slots=True)
class Divider:
    """A line of text between the balls that go and those that stay."""

    title: str


Row = BallLine | Divider


def table_rows(plan: EventPlan) -> list[Row]:
    """Balls taken, then a divider and those that stay home."""
    taken = [line for line in plan.rows if line.taken]
    home = [line for line in plan.rows if not line.taken]
    return [*taken, *([Divider(HOME)] if home else []), *home]


def compact(line: BallLine) -> bool:
    """Whether a ball has a low row: it stays home, or is a spare ball, which covers nothing."""
    return line.spare or not line.taken


def state_words(line: BallLine) -> str:
    """“pinned”, “left at home”, empty where it is as the plan says."""
    return {True: "pinned", False: "left at home", None: ""}[line.settled]


def note_words(line: BallLine) -> str:
    """What stands beside the finish: whether the ball is settled by hand, why it is so, whether the finish is."""
    kept = "by hand" if line.finish_settled and line.taken else ""
    parts = [*dict.fromkeys(part for part in (state_words(line), line.note, kept) if part)]
    return ", ".join(parts)


def next_settled(line: BallLine) -> bool | None:
    """What the next tick makes of a ball: the other way round, then pinned, then as the plan says again."""
    if line.settled is None:
        return not line.taken
    return None if line.settled else True


def spoken_line(line: BallLine) -> str:
    """A ball for a screen reader."""
    there = "goes" if line.taken else "stays home"
    how = {True: "pinned by hand", False: "left at home by hand", None: "as planned"}[line.settled]
    parts = [line.name, "spare ball" if line.spare else "", f"{there}, {how}", f"finish {line.finish}", line.note]
    return ", ".join(part for part in parts if part)


def spoken_cell(stage: StageHead, cell: RoomCell) -> str:
    """One ball at one stage for a screen reader."""
    best = "best of the stage" if cell.best else ""
    line = f"line {cell.line}" if cell.line else ""
    return f"{stage.title}: " + ", ".join(part for part in (cell.words, best, line) if part)


def spoken_stage(stage: StageHead) -> str:
    """A column for a screen reader."""
    line = f"line {stage.line}" if stage.line else "no line reaches"
    return ", ".join(part for part in (stage.title, stage.shots, line, stage.likely) if part)


def spoken_covered(stages: Sequence[StageHead], feet: Sequence[Covered]) -> str:
    """The foot of the table for a screen reader."""
    title = {stage.key: stage.title for stage in stages}
    return "; ".join(f"{title.get(f.stage, f.stage)}: {f.name}, {f.more}".rstrip(", ") for f in feet)


def says_room(cell: RoomCell) -> bool:
    """Whether the cell has boards of room to speak of, and not a reason why there is none."""
    return any(sign.isdigit() or sign in "½¼¾" for sign in cell.words)


@dataclass(frozen=True, slots=True)
class PrepHead:
    """A heading of the prep sheet."""

    title: str


@dataclass(frozen=True, slots=True)
class PrepFact:
    """Something to mind, in as many lines as it takes."""

    name: str
    words: str


PrepRow = PrepLine | PrepHead | PrepFact
PINNED = 3
"""How many facts always stand under the sheet; the rest goes along with it."""


def prep_rows(sheet: PrepSheet) -> list[PrepRow]:
    """Headings with their lines, then what is to be minded."""
    return [*_prep(sheet)]


def _prep(sheet: PrepSheet) -> Iterator[PrepRow]:
    for part in sheet.parts:
        yield PrepHead(part.title)
        yield from part.lines
    if sheet.facts[PINNED:] or sheet.cautions:
        yield PrepHead("To mind")
    for name, words in sheet.facts[PINNED:]:
        yield PrepFact(name, words)
    for caution in sheet.cautions:
        yield PrepFact("Caution", caution)


def spoken_prep(row: PrepRow) -> str:
    """A row of the prep sheet for a screen reader."""
    if isinstance(row, PrepHead):
        return row.title
    if isinstance(row, PrepFact):
        return f"{row.name}: {row.words}"
    state = SAID[row.mark] if row.can_tick or row.mark is not Mark.OPEN else ""
    return ", ".join(part for part in (row.at, row.who, row.what, row.minutes, state) if part)


def ban_line(plan: EventPlan) -> PrepLine | None:
    """The line from which no pad touches a ball."""
    return next((line for part in plan.prep.parts for line in part.lines if line.mark is Mark.BAN), None)

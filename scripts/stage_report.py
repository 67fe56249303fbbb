"""Which ball the film model wants at each stage of a lane, beside common practice; writes resources/stages.md.

`python scripts/stage_report.py` writes the report, `--check` only prints it. Nothing in the program knows these
sayings: they are common practice, no source, and stand here to be compared with.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from arsenal.motion import reference  # noqa: E402
from arsenal.motion.pair import Player, Traffic  # noqa: E402
from arsenal.plan.bag_rooms import Thrower, curves, own, ready, room_of  # noqa: E402
from arsenal.plan.stages import LaneStage, stages  # noqa: E402
from arsenal.surface.state import Estimate, SurfaceState  # noqa: E402
from arsenal.trade.ball import Ball, Cover  # noqa: E402
from arsenal.trade.lane import FilmSummary, Lane  # noqa: E402
from arsenal.trade.priors import Priors, default_priors  # noqa: E402
from arsenal.trade.release import Style  # noqa: E402
from arsenal.trade.units import (  # noqa: E402
    DEGREE_RAD,
    FOOT_M,
    INCH_M,
    MICROINCH_M,
    MILLILITRE_M3,
    MPH_MPS,
    RPM_RADPS,
)

REPORT = ROOT / "resources" / "stages.md"
STYLE = Style(16.5 * MPH_MPS, 300 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)
"""A league bowler who turns it a little more than most (from memory)."""
LANES = (
    Lane(1, "41 ft house, 25 mL, 8:1", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0)),
    Lane(2, "38 ft house, 22 mL, 6:1", FilmSummary(38 * FOOT_M, 22 * MILLILITRE_M3, 6.0)),
    Lane(3, "40 ft sport, 26 mL, 2:1", FilmSummary(40 * FOOT_M, 26 * MILLILITRE_M3, 2.0)),
    Lane(4, "47 ft long, 28 mL, 5:1", FilmSummary(47 * FOOT_M, 28 * MILLILITRE_M3, 5.0)),
)
LN_RA_SD = 0.15
"""Doubt of a finish that was just set and settled in."""


@dataclass(frozen=True)
class Kind:
    """One ball of the report with one finish."""

    name: str
    cover: Cover
    rg_in: float
    differential_in: float
    grit: float

    @property
    def id(self) -> int:
        """A number of its own."""
        return 1 + KINDS.index(self)


KINDS = (
    Kind("strong solid 500", Cover.SOLID, 2.47, 0.056, 500.0),
    Kind("strong solid 2000", Cover.SOLID, 2.47, 0.056, 2000.0),
    Kind("medium solid 2000", Cover.SOLID, 2.50, 0.048, 2000.0),
    Kind("hybrid 2000", Cover.HYBRID, 2.50, 0.048, 2000.0),
    Kind("pearl 1000", Cover.PEARL, 2.54, 0.040, 1000.0),
    Kind("pearl polished", Cover.PEARL, 2.54, 0.040, 8000.0),
    Kind("urethane 1000", Cover.URETHANE, 2.52, 0.025, 1000.0),
)
BY_NAME = {kind.name: kind for kind in KINDS}


def made(kind: Kind, priors: Priors) -> tuple[Ball, SurfaceState]:
    """The ball and its surface."""
    ball, state = reference(priors)
    ball = replace(
        ball, id=kind.id, name=kind.name, cover=kind.cover, rg_m=kind.rg_in * INCH_M,
        differential_m=kind.differential_in * INCH_M,
    )  # fmt: skip
    ra = 42.0 * MICROINCH_M * priors.surface.cover_factor[kind.cover] * (kind.grit / 500.0) ** -0.75
    return ball, replace(state, cover=kind.cover, ln_ra_m=Estimate(math.log(ra), LN_RA_SD))


@dataclass(frozen=True)
class Seen:
    """What the model says on one condition: stages, and by (kind, stage) the room, and first read on its own line."""

    lane: Lane
    stages: tuple[LaneStage, ...]
    rooms: dict[tuple[str, str], Estimate]
    reads_ft: dict[tuple[str, str], float | None]

    @property
    def stage_keys(self) -> list[str]:
        """Stages that come."""
        return [s.key for s in self.stages]


def look(lane: Lane, priors: Priors, kinds: Sequence[Kind] = KINDS, bowlers: int = 4, games: int = 6) -> Seen:
    """Everything the report says of one condition: so many right-handers who throw alike."""
    ball, state = reference(priors)
    pair = Traffic(tuple(Player(STYLE, True, ball, state) for _ in range(bowlers)))
    found, thrower = stages((lane,), pair, priors, games=games), Thrower(STYLE, True)
    beds = ready(found, thrower, priors)
    balls = [made(kind, priors) for kind in kinds]
    room = curves(beds, [(b, [s]) for b, s in balls], thrower, priors)
    rooms, reads = {}, {}
    for (ball_, state_), kind in zip(balls, kinds, strict=True):
        for on in beds:
            at = (kind.name, on.stage.key)
            rooms[at] = room_of(room[ball_.id, on.stage.key], state_, priors)
            path = own(on, ball_, state_, thrower, priors).trace
            read = path.first_read_m if path else None
            reads[at] = None if read is None else read / FOOT_M
    return Seen(lane, found, rooms, reads)


@dataclass(frozen=True)
class Saying:
    """A thing bowlers say (common practice, no source), and how it reads in the model: `told` gives how far it agrees
    and the doubt of that, both in the saying's own measure; None where the stage does not come.
    """

    words: str
    told: Callable[[Seen], tuple[float, float] | None]
    measure: str


def more_room(one: str, other: str, stage: str) -> Callable[[Seen], tuple[float, float] | None]:
    """Room of one less room of the other at a stage, shots of a hundred; spreads taken as if they were apart."""

    def told(seen: Seen) -> tuple[float, float] | None:
        if stage not in seen.stage_keys:
            return None
        a, b = seen.rooms[one, stage], seen.rooms[other, stage]
        return 100.0 * (a.mean - b.mean), 100.0 * math.hypot(a.sd, b.sd)

    return told


def _spread(seen: Seen, stage: str) -> float:
    rooms = [seen.rooms[kind.name, stage].mean for kind in KINDS if (kind.name, stage) in seen.rooms]
    return 100.0 * (max(rooms) - min(rooms))


def _finish_matters(seen: Seen) -> tuple[float, float] | None:
    if "burnt" not in seen.stage_keys:
        return None
    return _spread(seen, "burnt") - _spread(seen, "fresh"), 3.0


def _reads_earlier(seen: Seen) -> tuple[float, float] | None:
    if "drying" not in seen.stage_keys:
        return None
    stage = next(s for s in seen.stages if s.key == "drying")
    return stage.told.ends_boards, 0.5 + 0.5 * abs(stage.told.ends_boards)


def _carry(seen: Seen) -> tuple[float, float] | None:
    stage = next(s for s in seen.stages if s.key == "carrydown")
    return -stage.told.ends_boards, 0.5 + 0.25 * abs(stage.told.ends_boards)


def _moves_in(seen: Seen) -> tuple[float, float] | None:
    last = [s for s in seen.stages if not s.variant][-1]
    return last.told.moved_in_boards, 0.5


SAYINGS = (
    Saying("On fresh oil a medium solid with surface has more room than a polished pearl.",
           more_room("medium solid 2000", "pearl polished", "fresh"), "of 100 shots"),
    Saying("On long, heavy, fresh oil a strong solid at 500 has more room than a polished pearl.",
           more_room("strong solid 500", "pearl polished", "fresh"), "of 100 shots"),
    Saying("Once the track dries the line of fresh oil ends higher.", _reads_earlier, "boards"),
    Saying("Bowlers move in as the lane breaks down.", _moves_in, "boards at the arrows"),
    Saying("Moved in, a pearl has more room than a strong solid at 500.",
           more_room("pearl polished", "strong solid 500", "moved"), "of 100 shots"),
    Saying("On burnt fronts a polished pearl has more room than a strong solid at 500.",
           more_room("pearl polished", "strong solid 500", "burnt"), "of 100 shots"),
    Saying("On burnt fronts a pearl with surface keeps up with a polished one.",
           more_room("pearl 1000", "pearl polished", "burnt"), "of 100 shots"),
    Saying("On burnt fronts it matters more which ball it is than on fresh oil.", _finish_matters, "of 100 shots"),
    Saying("Low flare on the pair carries oil down: the line of fresh oil ends lighter.", _carry, "boards"),
    Saying("With carrydown a strong solid has more room than a polished pearl.",
           more_room("strong solid 2000", "pearl polished", "carrydown"), "of 100 shots"),
)  # fmt: skip


def verdict(told: tuple[float, float] | None) -> str:
    """agrees, does not, within its doubt; or that the stage does not come."""
    if told is None:
        return "no such stage"
    by, doubt = told
    return "within its doubt" if abs(by) <= doubt else "agrees" if by > 0.0 else "does not agree"


def report(found: Sequence[Seen]) -> str:
    """The page."""
    lines = [
        "# Stages of a lane: what the film model wants, and what bowlers say", "",
        "Written by `scripts/stage_report.py`. The stages are told from the worn film (`arsenal/plan/stages.py`); no",
        "rule in the program says which ball a stage wants. Four right-handers who throw alike, six games; room is",
        "shots of a hundred that end on boards 17 to 18 on the ball's own best line, ± one spread over lane, finish",
        "and ball.",
        "",
    ]  # fmt: skip
    for seen in found:
        lines += _lane(seen)
    lines += ["## Beside common practice", "", "The sayings are common practice, no source.", ""]
    lines += ["| what bowlers say | " + " | ".join(s.lane.name for s in found) + " |", "|---" * (1 + len(found)) + "|"]
    for saying in SAYINGS:
        cells = []
        for seen in found:
            told = saying.told(seen)
            by = f" ({told[0]:+.1f} ± {told[1]:.1f})".replace("-", "−") if told else ""
            cells.append(f"{verdict(told)}{by}")
        lines.append(f"| {saying.words} [{saying.measure}] | {' | '.join(cells)} |")
    return "\n".join([*lines, "", *_summary(found)]) + "\n"


def _lane(seen: Seen) -> list[str]:
    lines = [f"## {seen.lane.name}", ""]
    lines += [
        "| stage | from shot | track holds | fronts hold | best line in | first line ends |",
        "|---|---|---|---|---|---|",
    ]
    for s in seen.stages:
        shot = "variant" if s.variant else str(s.from_shot)
        lines.append(
            f"| {s.title} | {shot} | {100 * s.told.mids:.0f} % | {100 * s.told.heads:.0f} % | "
            f"{s.told.moved_in_boards:+.1f} | {s.told.ends_boards:+.1f} |".replace("-", "−")
        )
    lines += ["", "| ball | " + " | ".join(s.title for s in seen.stages) + " |", "|---" * (1 + len(seen.stages)) + "|"]
    best = {k: max(seen.rooms[kind.name, k].mean for kind in KINDS) for k in seen.stage_keys}
    for kind in KINDS:
        cells = []
        for k in seen.stage_keys:
            room = seen.rooms[kind.name, k]
            said = f"{100 * room.mean:.0f} ± {100 * room.sd:.0f}"
            cells.append(f"**{said}**" if room.mean == best[k] else said)
        lines.append(f"| {kind.name} | {' | '.join(cells)} |")
    return [*lines, ""]


def _summary(found: Sequence[Seen]) -> list[str]:
    told = [verdict(saying.told(seen)) for saying in SAYINGS for seen in found]
    counts = {v: told.count(v) for v in ("agrees", "within its doubt", "does not agree", "no such stage")}
    said = ", ".join(f"{many} {what}" for what, many in counts.items())
    return [f"In all {len(told)} comparisons: {said}."]


def main() -> int:
    """Write or print the report."""
    given = argparse.ArgumentParser(description=__doc__)
    given.add_argument("--check", action="store_true", help="print it and write nothing")
    asked, priors = given.parse_args(), default_priors()
    text = report([look(lane, priors) for lane in LANES])
    if asked.check:
        print(text)
    else:
        REPORT.write_text(text, "utf-8")
        print(f"Wrote {REPORT}.")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())

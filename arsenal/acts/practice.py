"""Practice: what shots of an outing have shown and taught, and what may be logged of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from arsenal.acts import (
    logging,
    own_side,
    practice_out,
    practice_rows,
    practice_taught,
    recipe_book,
    rules_now,
    words,
)
from arsenal.acts import taught as teachings
from arsenal.acts.practice_held import Held, held, set_session
from arsenal.acts.practice_plan import keep_plan, next_shots, plan
from arsenal.acts.practice_views import AsSeen, InHand, PracticeSession
from arsenal.acts.shop import Shop
from arsenal.acts.taught import Progress
from arsenal.acts.views import Changes
from arsenal.motion import at_arrows
from arsenal.order import words as say
from arsenal.trade.entries import Compared, Draft, Entry, Kind, Shot, Step, Wiped
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.pads import Recipe, label
from arsenal.trade.release import Measured

__all__ = ["export", "keep_plan", "log_pad", "log_pair", "log_shot", "next_shots", "plan", "session", "set_session",
]  # fmt: skip
PAIR_SD = 1.5
"""A: boards, how well somebody sees how far two balls end apart."""


def session(
    shop: Shop, bowler_id: int, lane_id: int | None = None, *, ball_id: int | None = None, day: date | None = None,
    progress: Progress | None = None,
) -> PracticeSession:  # fmt: skip
    """Everything the room shows of one bowler's practice on a condition (None: the usual one), today or on a past day.

    `ball_id` is the ball in hand (None: the one thrown last, else the benchmark). Learning may take seconds after many
    shots: `progress` hears of it. Raises NotFound; KnownError where nobody has said how the bowler throws.
    """
    now = held(shop, bowler_id, lane_id, day=day, progress=progress)
    told = practice_rows.entries_of(shop, bowler_id, now.lane.id, now.day)
    findings = teachings.findings_of(shop, bowler_id)
    hand = _in_hand(shop, now, ball_id, told)
    shown = practice_taught.findings(shop, now, findings)
    return PracticeSession(
        now.bowler, now.lane, now.line, line_words(now), now.pair, now.wiping, now.day, now.outing,
        rules_now.rule_state(shop, bowler_id), practice_rows.keys(now.bowler), hand,
        practice_rows.rows(shop, now.bowler, told, now.found, findings),
        practice_taught.rows(shop, now, hand.ball.id if hand else None), practice_taught.lane_words(shop, now), shown,
        len(now.found.cases) if now.found else 0,
    )  # fmt: skip


def line_words(now: Held) -> str:
    """“22, over 15”: laydown and arrow board from the own gutter."""
    arrows = own_side.board(now.bowler, at_arrows(now.line)[1])
    return f"{own_side.board(now.bowler, now.line.lateral_m):.0f}, over {arrows:.0f}"


def _in_hand(shop: Shop, now: Held, ball_id: int | None, told: Sequence[Entry]) -> InHand | None:
    owned = {t.ball.id: t for t in now.owned}
    if ball_id is not None and ball_id not in owned:
        shop.ball(ball_id)
        ball_id = None
    wanted = ball_id if ball_id is not None else logging.ball_in_hand(shop, now.bowler.id)
    chosen = owned.get(wanted or 0) or next(iter(now.owned), None)
    if chosen is None:
        return None
    thrown = [e.ball_id for e in told if isinstance(e.payload, Shot)]
    number, own = len(thrown) + 1, thrown.count(chosen.ball.id) + 1
    return InHand(
        chosen.ball, chosen.state, label(chosen.state.finish), f"plays about {words.grit_words(chosen.state)}", number,
        own, f"shot {number}, its {say.nth(own)}",
    )  # fmt: skip


def log_shot(
    shop: Shop, bowler_id: int, lane_id: int, ball_id: int, seen: AsSeen, *, wiped: bool | None = None,
    speed_mps: float | None = None, typed: str = "", initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Log one shot of this practice; its forecast may be shown from then on. `wiped` None is as the session says.

    Raises KnownError where nothing was seen, OutOfRange for what is no number of the trade, NotFound.
    """
    if not seen.says_something:
        raise KnownError("Nothing was said of this shot.", next_step="Press a key, or type where it ended.")
    now = held(shop, bowler_id, lane_id, learn=False)
    sight = practice_rows.sighting(now.bowler, seen)
    clean = wiped if wiped is not None else {Wiped.EACH: True, Wiped.NEVER: False}.get(now.wiping or Wiped.SOMETIMES)
    at = shop.now()
    read = Measured(speed_mps=speed_mps) if speed_mps is not None else None
    shot = Shot(sight, bowler_id, lane_id, now.line, read, clean, 60 * at.hour + at.minute, now.pair)
    told = practice_rows.entries_of(shop, bowler_id, lane_id, now.day)
    number = sum(isinstance(e.payload, Shot) for e in told) + 1
    said = practice_rows.seen_words(now.bowler, sight)
    draft = Draft(ball_id, Kind.SHOT, now.day, shot, typed)
    return logging.keep(shop, (draft,), initiator, f"Logged shot {number}, {shop.ball(ball_id).name}: {said}")


def log_pair(
    shop: Shop, bowler_id: int, lane_id: int, ball_id: int, other_id: int, boards: float, sd_boards: float = PAIR_SD,
    initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Log that a ball ended so many boards stronger than another thrown right before or after it on the same line."""
    shop.person(bowler_id)
    if ball_id == other_id:
        raise KnownError("A ball ends where it ends: a pair takes two balls.", next_step="Choose the other ball.")
    names = {ball.id for ball in shop.balls()}
    if other_id not in names:
        raise NotFound("There is no such ball in this file.")
    pair = Compared(other_id, boards, sd_boards, shop.lane(lane_id).id)
    return logging.keep(shop, (Draft(ball_id, Kind.COMPARED, shop.today(), pair),), initiator)


def log_pad(
    shop: Shop, ball_id: int, work: Recipe | tuple[Step, ...], *, day: date | None = None, initiator: str = "desk"
) -> Changes:  # fmt: skip
    """A pad between two shots: the same entry as on the Bench. Raises OutOfRange, NotFound, KnownError."""
    recipe = work if isinstance(work, Recipe) else Recipe(label(work), work)
    return recipe_book.apply_recipe(shop, ball_id, recipe, day, initiator)


def export(shop: Shop, bowler_id: int | None, path: Path, kind: str = "csv") -> tuple[Path, ...]:
    """Write one bowler's practice, or everybody's: tables into the folder `path` (“csv”), or one file there (“json”).

    Raises KnownError where there is nothing to write or it cannot be written, NotFound.
    """
    return practice_out.write(shop, bowler_id, path, kind)

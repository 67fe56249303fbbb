"""One typed line to the entries it means: which balls, what happened, on which day. It never guesses.

A word that is not understood, a value that cannot be, a ball nobody has: each is told with what would do instead.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from arsenal.exchange.one_line import care, finish, life, measured, play, shot
from arsenal.exchange.one_line import recipes as recipe_lines
from arsenal.exchange.one_line.dates import read_day
from arsenal.exchange.one_line.names import ball_names, fits
from arsenal.exchange.one_line.sheet import Reader, Sheet
from arsenal.exchange.one_line.spoken import Parts, line_words
from arsenal.exchange.one_line.tokens import Cursor, Token
from arsenal.exchange.one_line.who import Scene, ball_of, named_words, read_ball, read_bowler
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Draft, Entry
from arsenal.trade.errors import KnownError, NotFound, NotUnderstood, OutOfRange
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

_FILLERS = frozenset(("and", "threw", "played", "bowled", "then", "it", ";", "was", "for"))
_EVERYONE = ("all", "everyone", "everybody")
ACTIONS = (
    "clean", "bath", "heat", "drop", "insp", "crack", "repair", "lent", "back", "sold", "retired", "note", "new",
    "used", "drilled", "undo", "polish", "compound", "ra", "r", "gloss", "d", "weight", "wiped", "sanded", "on",
    "saw", "recipe", "shot", "flush", "light", "high", "long", "over", "hung", "missed", "arrows", "bp",
)  # fmt: skip
_MORE_ACTIONS = frozenset(
    (*ACTIONS, "cleaned", "inspected", "inspect", "inspection", "cracked", "repaired", "returned", "retire", "lend",
     "drill", "redrilled", "polished", "compounded", "sand", "unwiped", "wipe", "not", "never", "sometimes", "reads",
     "scan", "scanner", "hardness", "diameter", "diam", "shore", "weighs", "w", "p", "c", "nw", "nonwoven", "non-woven",
     "jis", "cami", "about", "approx", "roughly", "ca", "except", "but", "oil", "heated", "@", ">", "<", "=", "~",
     "miss", "at", "arrow", "breakpoint", "crossed", "rolled", "rolled-out", "quit", "stood", "strike", "left",
     "g20", "g60", "g85", *_FILLERS)
)  # fmt: skip
WOULD_DO = "Try 1000 h, 500/2000 m, 3g, 14s, clean, r 2400, flush, 2 high, > other 3, note …"


@dataclass(frozen=True, slots=True)
class LineRead:
    """What a line means: the entries to be, the meaning in words, and what to mind before keeping it."""

    drafts: tuple[Draft, ...]
    parts: Parts
    cautions: tuple[str, ...] = ()
    needs_confirmation: bool = False


def _day(cursor: Cursor, sheet: Sheet) -> bool:
    day = read_day(cursor, sheet.scene.today)
    if day is None:
        return False
    if sheet.on is not None and day != sheet.on:
        raise NotUnderstood(
            cursor.tokens[cursor.at - 1].text, "A line tells of one day; write the other as its own line."
        )
    sheet.on = day
    return True


def _filler(cursor: Cursor, sheet: Sheet) -> bool:  # noqa: ARG001  (one signature for all readers)
    return bool(cursor.accept_any(_FILLERS))


READERS: tuple[Reader, ...] = (
    _filler, _day, shot.read_shot, play.read_play, play.read_wiping, care.read_clean, care.read_oil, care.read_drop,
    care.read_inspected, care.read_crack, care.read_repair, measured.read_scanner, measured.read_ra,
    measured.read_gloss, measured.read_hardness, measured.read_weight, measured.read_bare_diameter, life.read_new,
    life.read_drilled, life.read_handed, life.read_note, life.read_undo, play.read_compared, play.read_saw,
    play.read_place, recipe_lines.read_recipe,
    finish.read_work,
)  # fmt: skip


def is_action(cursor: Cursor, today: date) -> bool:
    """True where a word of the language stands here rather than a ball's name."""
    word = cursor.low()
    if word in _MORE_ACTIONS or re.match(r"[~±]?[\d.]|-\d+d$", word):
        return bool(word)
    ahead = Cursor.__new__(Cursor)
    ahead.line, ahead.tokens, ahead.at = cursor.line, cursor.tokens, cursor.at
    try:
        return read_day(ahead, today) is not None
    except KnownError:
        return True


def _acts(cursor: Cursor, scene: Scene) -> bool:
    """`is_action`, but for a ball whose name or nickname begins as a shot does: “Long Causeway 3g”, “high 3g”."""
    if not is_action(cursor, scene.today):
        return False
    if not shot.starts(cursor):
        return True
    words = named_words(cursor, scene.balls)
    following = cursor.low(1)
    goes_on = not following or following in shot.GOES_ON
    return words == 0 or (words == 1 and goes_on)


def _everyone(scene: Scene) -> list[Ball]:
    if scene.in_hand:
        return [scene.ball(ball_id) for ball_id in scene.in_hand.values()]
    strike = [b for b in scene.balls if not b.spare and scene.bowler_id in (None, b.owner_id)]
    if len({b.owner_id for b in strike}) > 1:
        raise NotFound("“all” needs to know which ball each bowler has in hand.",
                       next_step="Name the balls, or choose a bowler first.", word="all")  # fmt: skip
    return strike


def _one_subject(cursor: Cursor, scene: Scene) -> list[Ball]:
    """The ball or the bowler's ball in hand that stands here; empty where neither does."""
    before = cursor.at
    try:
        ball = read_ball(cursor, scene)
    except NotFound:
        cursor.at = before
        bowler = read_bowler(cursor, scene)
        if bowler is None or bowler.id not in scene.in_hand:
            cursor.at = before
            read_ball(cursor, scene)
            raise
        return [ball_of(bowler, scene)]
    if ball is not None:
        return [ball]
    bowler = read_bowler(cursor, scene)
    return [ball_of(bowler, scene)] if bowler else []


def _subjects(cursor: Cursor, scene: Scene) -> list[Ball]:
    if cursor.accept_any(_EVERYONE):
        cursor.accept_any(("balls", "bowlers"))
        return _everyone(scene)
    if scene.last_played and cursor.accept("played"):
        return [scene.ball(i) for i in scene.last_played]
    if scene.ball_id is not None and _acts(cursor, scene):
        return [scene.ball(scene.ball_id)]
    found: list[Ball] = []
    while not cursor.done and not (found and _acts(cursor, scene) and cursor.low() not in ("and", "&")):
        if found and cursor.accept_any(("and", "&")):
            continue
        named = cursor.tokens[cursor.at]
        if not (more := _one_subject(cursor, scene)):
            break
        found = _joined(found, more, named)
    if found or cursor.done:
        return found
    if scene.ball_id is not None:
        return [scene.ball(scene.ball_id)]
    token = cursor.peek()
    word = token.text if token else ""
    if is_action(cursor, scene.today):
        raise NotUnderstood(word, "Begin with the ball, as in rook 1000 h.")
    close = _close(word, [n for b in scene.balls for n in (b.nickname, b.name) if n])
    raise NotFound(f"No ball is called “{word}”.", word=word, choices=close,
                   next_step=_did_you_mean(close) or "Begin with its nickname.")  # fmt: skip


def _joined(found: list[Ball], more: list[Ball], token: Token) -> list[Ball]:
    """One more ball named; the second word of the same ball's name adds none, a stray letter names none."""
    if not found:
        return more
    again = [ball for ball in more if ball in found]
    exact = any(token.text.casefold() in (n.casefold() for n in ball_names(ball)) for ball in more)
    if (len(token.text) < 2 and not exact) or (again and again != found[-1:]):
        why = f"It would mean {' and '.join(b.name for b in more)}" + (" again. " if again else ". ")
        raise NotUnderstood(token.text, why + WOULD_DO)
    return found if again else found + more


def _close(word: str, known: Sequence[str]) -> tuple[str, ...]:
    by_fold = {k.casefold(): k for k in known}
    return tuple(by_fold[m] for m in difflib.get_close_matches(word.casefold(), by_fold, n=3, cutoff=0.7))


def _did_you_mean(close: Sequence[str]) -> str:
    return f"Did you mean {' or '.join(close)}?" if close else ""


def _except(cursor: Cursor, scene: Scene, subjects: list[Ball]) -> list[Ball]:
    left_out: list[int] = []
    while not cursor.done and not (left_out and is_action(cursor, scene.today) and cursor.low() not in ("and", "&")):
        if left_out and cursor.accept_any(("and", "&")):
            continue
        named = _one_subject(cursor, replace(scene, balls=subjects))
        if not named:
            break
        left_out += [b.id for b in named]
    if not left_out:
        token = cursor.peek()
        raise NotUnderstood(token.text if token else "except", "After except come the balls or bowlers to leave out.")
    kept = [b for b in subjects if b.id not in left_out]
    if not kept:
        raise NotUnderstood("except", "That leaves no ball.")
    return kept


def _body(cursor: Cursor, sheet: Sheet, subjects: list[Ball]) -> list[Ball]:
    while not cursor.done:
        if cursor.accept_any(("except", "but")):
            cursor.accept_any(("not",))
            subjects = _except(cursor, sheet.scene, subjects)
            continue
        if any(reader(cursor, sheet) for reader in READERS):
            continue
        token = cursor.tokens[cursor.at]
        close = _close(token.text, ACTIONS) if len(token.text) > 2 else ()
        raise NotUnderstood(token.text, _did_you_mean(close) or WOULD_DO, choices=close)
    return subjects


def _check_day(day: date, ball: Ball) -> None:
    if ball.bought_on is not None and day < ball.bought_on:
        bought = days.day_and_year(ball.bought_on)
        raise OutOfRange("The day", days.day_and_year(day), f"{bought} or later: {ball.name} was bought on that day")


def _drafts(sheet: Sheet, subjects: Sequence[Ball], typed: str) -> tuple[Draft, ...]:
    day = sheet.on or sheet.scene.today
    drafts = []
    for ball in subjects:
        _check_day(day, ball)
        for piece in sheet.pieces:
            payload, undoes = piece.for_ball(ball) if piece.for_ball else (piece.payload, piece.undoes)
            if isinstance(payload, Compared) and payload.other_ball_id == ball.id:
                raise NotUnderstood(ball.name, "A ball is compared with another one.")
            drafts.append(Draft(ball.id, piece.kind, day, payload, typed, undoes, late=day < sheet.scene.today))
    return tuple(drafts)


def read(
    text: str,
    *,
    balls: Sequence[Ball],
    today: date,
    pads: Sequence[Pad] = (),
    lanes: Sequence[Lane] = (),
    people: Sequence[Person] = (),
    entries: Sequence[Entry] = (),
    in_hand: Mapping[int, int] | None = None,
    last_played: Sequence[int] | None = None,
    ball_id: int | None = None,
    bowler_id: int | None = None,
    recipes: Sequence[Recipe] = (),
    thrower_id: int | None = None,
) -> LineRead:
    """Read one line.

    `in_hand` (ball by bowler) says what “all” and a bowler's name mean; `last_played` what “played” means; `ball_id`
    is the ball of a line that names none; balls of `bowler_id` are meant first; `recipes` may be named;
    `thrower_id` threw whatever shot names nobody.
    `entries` lets undo find the last one.
    Raises NotUnderstood (the word and what would do), OutOfRange (field, value, range), NotFound (the choices).
    """
    scene = Scene(
        balls, today, people, pads, lanes, entries, in_hand or {}, last_played or (), ball_id, bowler_id,
        recipes=recipes, thrower_id=thrower_id,
    )  # fmt: skip
    drafts, sheet = read_drafts(text, scene)
    return LineRead(drafts, line_words(drafts, scene), tuple(sheet.cautions), sheet.to_confirm)


def read_drafts(text: str, scene: Scene) -> tuple[tuple[Draft, ...], Sheet]:
    """The entries of a line without their words, and the sheet they were read onto. Raises as `read` does."""
    cursor = Cursor(text)
    if cursor.done:
        raise NotUnderstood(text.strip(), "Type a ball and what happened, as in rook 1000 h.")
    sheet = Sheet(scene, minute=shot.time_of(cursor.low()))
    cursor.at += sheet.minute is not None
    if scene.ball_id is None and not fits(cursor.low(), scene.balls, ball_names):
        _day(cursor, sheet)
    subjects = _subjects(cursor, scene)
    subjects = _body(cursor, sheet, subjects)
    if not sheet.pieces:
        last = cursor.tokens[-1].text
        raise NotUnderstood(last, f"Say what happened to {' and '.join(b.name for b in subjects[:3])}. {WOULD_DO}")
    sheet.settle()
    return _drafts(sheet, subjects, text.strip()), sheet

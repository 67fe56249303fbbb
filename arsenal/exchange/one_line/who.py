"""Which ball, bowler or lane a word means: a nickname, a name, or first letters; several fits are named, never guessed.

`#12` is the ball, lane or pad with that number and fits exactly one.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain, pairwise

from arsenal.exchange.one_line.names import (
    WORDS,
    N,
    Names,
    ball_names,
    exactly,
    fits,
    lane_names,
    person_names,
    with_id,
    words_of,
)
from arsenal.exchange.one_line.tokens import Cursor, Token, quote
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, Shot
from arsenal.trade.errors import NotFound
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person


@dataclass(frozen=True)
class Scene:
    """What a line may speak of."""

    balls: Sequence[Ball]
    today: date
    people: Sequence[Person] = ()
    pads: Sequence[Pad] = ()
    lanes: Sequence[Lane] = ()
    entries: Sequence[Entry] = ()
    """Kept entries of these balls: what undo takes back, and whether a cleaning was the same night."""
    in_hand: Mapping[int, int] = field(default_factory=dict)
    """Ball in hand by bowler: what “all threw 3 games” means when several bowlers are about."""
    last_played: Sequence[int] = ()
    ball_id: int | None = None
    """The ball a line without a ball speaks of."""
    bowler_id: int | None = None
    """Whose balls are meant first."""
    choose_pads: bool = True
    """Take the newest pad of a grain where the line names none; a table of old work must not."""
    recipes: Sequence[Recipe] = ()
    thrower_id: int | None = None
    """Who throws a shot that does not say it; None for the ball's owner."""

    def ball(self, ball_id: int) -> Ball:
        """The ball with this number. Raises NotFound."""
        found = with_id(ball_id, self.balls, ball_names)
        if found is not None:
            return found
        raise NotFound(f"There is no ball number {ball_id}.", word=f"#{ball_id}")

    def owner(self, ball: Ball) -> Person | None:
        """Who owns it, where that is known."""
        return with_id(ball.owner_id, self.people, person_names)

    def thrower(self, shot: Shot, ball_id: int | None) -> Person | None:
        """Who threw a shot: whom it names, else who throws here, else the ball's owner; None where nobody knows."""
        found = None if ball_id is None else with_id(ball_id, self.balls, ball_names)
        named = shot.bowler_id if shot.bowler_id is not None else self.thrower_id
        wanted = named if named is not None else found.owner_id if found else None
        return None if wanted is None else with_id(wanted, self.people, person_names)

    def full_name(self, ball: Ball) -> str:
        """The ball's name, with the owner's where another ball has the same."""
        twins = exactly(ball.name, self.balls, ball_names)
        owner = self.owner(ball)
        return f"{ball.name} of {owner.name}" if len(twins) > 1 and owner else ball.name


def numbered(token: Token, things: Sequence[N], kind: str) -> N | None:
    """The thing that “#12” names; None where the word is not of that form. Raises NotFound for a number nobody has."""
    if token.quoted or not re.fullmatch(r"#\d{1,18}", token.text, re.ASCII):
        return None
    number = int(token.text[1:])
    for thing in things:
        if thing.id == number:
            return thing
    raise NotFound(f"There is no {kind} number {number}.", word=token.text)


def _longest(cursor: Cursor, things: Sequence[N], names: Names) -> tuple[list[N], int]:
    """What the longest run of words from here fits, and how many words that took."""
    best: tuple[list[N], int] = ([], 0)
    phrase: list[str] = []
    for ahead in range(6):
        token = cursor.peek(ahead)
        if token is None:
            break
        phrase.append(token.text)
        found = fits(token.text, things, names) if ahead == 0 else exactly(" ".join(phrase), things, names)
        if found:
            best = (found, ahead + 1)
        if token.quoted:
            break
    return best


def named_words(cursor: Cursor, balls: Sequence[Ball]) -> int:
    """How many words from here are the whole name or nickname of a ball; 0 where they are of none."""
    phrase: list[str] = []
    best = 0
    for ahead in range(6):
        token = cursor.peek(ahead)
        if token is None or token.quoted:
            break
        phrase.append(token.text)
        if exactly(" ".join(phrase), balls, ball_names):
            best = ahead + 1
    return best


def _own_first(scene: Scene, found: list[Ball]) -> list[Ball]:
    own = [b for b in found if b.owner_id == scene.bowler_id]
    return own or found


def _only(found: list[Ball], word: str, scene: Scene) -> Ball:
    if len(found) == 1:
        return found[0]
    choices = tuple(_choice(ball, found, scene) for ball in found[:8])
    raise NotFound(
        f"“{word}” fits {len(found)} balls: {', '.join(choices)}{' …' if len(found) > 8 else ''}.",
        next_step="Type more of the name.",
        word=word,
        choices=choices,
    )


def _choice(ball: Ball, found: list[Ball], scene: Scene) -> str:
    owner = scene.owner(ball)
    same = sum(b in found for b in exactly(ball.name, scene.balls, ball_names)) > 1
    return f"{owner.name} {ball.name}" if same and owner else ball.name


def read_ball(cursor: Cursor, scene: Scene) -> Ball | None:
    """The one ball that stands here, a bowler's name before it narrowing the choice; None where no ball does.

    Raises NotFound where several balls fit.
    """
    token = cursor.peek()
    if token is None:
        return None
    if ball := numbered(token, scene.balls, "ball"):
        cursor.at += 1
        return ball
    found, count = _longest(cursor, scene.balls, ball_names)
    owner, owner_count = read_owner(cursor, scene)
    if owner is not None and owner_count:
        narrowed = [b for b in scene.balls if b.owner_id == owner.id]
        ahead = Cursor(cursor.line)
        ahead.at = cursor.at + owner_count
        theirs, more = _longest(ahead, narrowed, ball_names)
        if theirs and not (found and count > owner_count):
            cursor.at = ahead.at + more
            return _only(theirs, ahead.tokens[ahead.at].text, scene)
    if not found:
        return None
    found = _own_first(scene, found)
    cursor.at += count
    if len(found) > 1 and cursor.low() == "of":
        cursor.at += 1
        owners = {p.id for p in _longest(cursor, scene.people, person_names)[0]}
        cursor.at += _longest(cursor, scene.people, person_names)[1]
        found = [b for b in found if b.owner_id in owners] or found
    return _only(found, token.text, scene)


def read_owner(cursor: Cursor, scene: Scene) -> tuple[Person | None, int]:
    """The one bowler whose name stands here and how many words it took; (None, 0) where none or several fit."""
    token = cursor.peek()
    if token is None or token.quoted or token.text.startswith("#"):
        return None, 0
    bare = token.text.removesuffix("'s").removesuffix("’s")
    found, count = _longest(cursor, scene.people, person_names)
    if not found and bare != token.text:
        found, count = fits(bare, scene.people, person_names), 1
    return (found[0], count) if len(found) == 1 else (None, 0)


def read_bowler(cursor: Cursor, scene: Scene) -> Person | None:
    """The one bowler that stands here. Raises NotFound where several fit."""
    token = cursor.peek()
    if token is None or token.quoted:
        return None
    found, count = _longest(cursor, scene.people, person_names)
    if len(found) > 1:
        choices = tuple(p.name for p in found)
        raise NotFound(f"“{token.text}” fits {len(found)} bowlers: {', '.join(choices)}.",
                       next_step="Type more of the name.", word=token.text, choices=choices)  # fmt: skip
    cursor.at += count if found else 0
    return found[0] if found else None


def ball_of(bowler: Person, scene: Scene) -> Ball:
    """The ball a bowler's name stands for: the one in hand, or the only strike ball. Raises NotFound."""
    if bowler.id in scene.in_hand:
        return scene.ball(scene.in_hand[bowler.id])
    own = [b for b in scene.balls if b.owner_id == bowler.id and not b.spare]
    if len(own) == 1:
        return own[0]
    choices = tuple(b.name for b in own)
    raise NotFound(f"Which ball of {bowler.name}?", next_step="Name the ball.", word=bowler.name, choices=choices)


def read_lane(cursor: Cursor, scene: Scene) -> Lane:
    """The lane condition that stands here. Raises NotFound where none or several fit."""
    token = cursor.peek()
    every = tuple(lane.name for lane in scene.lanes)
    if token is None:
        raise NotFound("Which condition?", next_step="Name it after “on”.", choices=every)
    if lane := numbered(token, scene.lanes, "condition"):
        cursor.at += 1
        return lane
    found, count = _longest(cursor, scene.lanes, lane_names)
    count = max(count, 1)
    if not token.quoted:
        found, count = _narrowed(cursor, found, count)
    if len(found) != 1:
        choices = tuple(lane.name for lane in found) or every
        fit = f"fits {len(found)} conditions" if found else "is no condition in this file"
        raise NotFound(f"“{token.text}” {fit}: {', '.join(choices)}." if choices else f"“{token.text}” {fit}.",
                       next_step="Type more of its name.", word=token.text, choices=choices)  # fmt: skip
    cursor.at += count
    return found[0]


def _narrowed(cursor: Cursor, found: list[Lane], count: int) -> tuple[list[Lane], int]:
    """The conditions whose names go on as the line does, and how many words that took."""
    while (more := cursor.peek(count)) is not None and not more.quoted:
        last = cursor.low(count - 1)
        going_on = [lane for lane in found if _follows(words_of(lane.name), last, more.low)]
        fitting = going_on or ([lane for lane in found if more.low in words_of(lane.name)] if len(found) > 1 else [])
        if not fitting:
            break
        found, count = fitting, count + 1
    return found, count


def _follows(words: Sequence[str], last: str, word: str) -> bool:
    """True where a word of the name that begins with `last` is followed by one that is `word`."""
    return any(a.startswith(last) and b == word for a, b in pairwise(words))


def ball_reference(ball: Ball, scene: Scene) -> str:
    """The shortest word that means this ball and no other, read as the first word of a line."""
    for name in (ball.nickname, ball.name):
        if not name or any(ord(c) < 32 for c in name):
            continue
        named = (*map(ball_names, scene.balls), *map(person_names, scene.people))
        spoken = chain.from_iterable(named)
        longer = any(n.casefold().startswith(name.casefold() + " ") for n in spoken if n != ball.name)
        bowler = fits(name, scene.people, person_names)
        word = name if WORDS.fullmatch(name) and not longer and not bowler else quote(name)
        fitting = fits(name, scene.balls, ball_names)
        if [b.id for b in fitting] == [ball.id]:
            return word
        owner = scene.owner(ball)
        own = [b.id for b in fitting if owner and b.owner_id == owner.id]
        if owner and own == [ball.id] and fits(owner.name, scene.people, person_names) == [owner]:
            return f"{quote(name)} of {quote(owner.name)}"
    return f"#{ball.id}"

"""What entries mean before they are kept: words, what the ball would play after, cautions, what is unclear."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import Any

from arsenal.acts import rules_now, words
from arsenal.acts.rules_now import Inside
from arsenal.acts.shop import Shop
from arsenal.acts.views import Meaning
from arsenal.exchange import one_line
from arsenal.order.pad_life import HARDLY_CUTS
from arsenal.order.whatif_words import gentler_first, known_at, long_jump
from arsenal.surface import after_work, cuts
from arsenal.trade.entries import (
    Abrasive,
    Draft,
    Entry,
    OilDrawn,
    OilMethod,
    Played,
    SurfaceWork,
    Tool,
    effective,
    shots_in,
)
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import grain_words, label
from arsenal.trade.units import SHOTS_A_GAME

MANY_PEOPLE = 60
"""With more people than this nobody means all of them by “all”."""
CAREFUL_C = (130.0 - 32.0) / 1.8
_ASKS_THE_LOG = ("clean", "undo", "played")
DUST = "Dry sanding makes dust: a mask and eye protection; wet keeps it down. Local codes come first."
SPINNER = "Spinner: hair, sleeves, gloves and jewellery away; guards by the local rule."
BARRED = "Competition is running: a dry towel only, the rule book says; check yours."
DATED_INSIDE = (
    "That day lay inside the competition: kept and flagged. The rule book says a dry towel only; check yours."
)
DATED_MAYBE = "A day of the competition: add “in competition” if it was after the first scored ball and not allowed."
CRACKED = "A crack is open: no heat, and show it to a licensed or certified practitioner before any work."
PLUGGED = "This ball is plugged: ask a licensed or certified practitioner before heat."
HOT = "Over 130 °F (54 °C) heat can crack a ball and void its warranty; it is kept only when you confirm it."
OTHER_WAY = "Oil drawn in another way than bath or cabinet: no oven, microwave, heat gun or flame."
PART = "Not on the whole surface: kept and flagged. Rule book says the whole ball gets the same treatment; check yours."


def read(
    shop: Shop, text: str, *, bowler_id: int | None = None, ball_id: int | None = None,
    in_hand: Mapping[int, int] | None = None, only_ball: bool = False, thrower_id: int | None = None,
) -> Meaning:  # fmt: skip
    """The meaning of a line; never raises for what it says."""
    balls = [shop.ball(ball_id)] if only_ball and ball_id is not None else shop.balls()
    asked: dict[str, Any] = {
        "balls": balls, "today": shop.today(), "pads": shop.pads(), "lanes": tuple(shop.lanes().values()),
        "people": shop.people(), "in_hand": in_hand or {}, "ball_id": ball_id, "bowler_id": bowler_id,
        "recipes": shop.recipes(), "thrower_id": thrower_id,
    }  # fmt: skip
    asked |= _log_asked(shop, text, bowler_id, ball_id)
    try:
        found = one_line.read(text, **asked)
        return _meaning(shop, found.drafts, found.parts, found.cautions, found.needs_confirmation)
    except KnownError as error:
        said = " ".join(part for part in (error.sentence, error.next_step) if part)
        word, choices = getattr(error, "word", ""), getattr(error, "choices", ())
        return Meaning((), (), problem=said, word=word, choices=tuple(choices))


def meaning_of(shop: Shop, drafts: Sequence[Draft]) -> Meaning:
    """The meaning of entries a form made: words, what the ball would play after, cautions."""
    scene = one_line.Scene(shop.balls(), shop.today(), shop.people(), shop.pads(), tuple(shop.lanes().values()))
    by_ball: dict[int, list[Draft]] = defaultdict(list)
    for draft in drafts:
        by_ball[draft.ball_id].append(draft)
    alike: list[list[Draft]] = []
    for own in by_ball.values():
        same = next((group for group in alike if _same(group, own)), None)
        if same is None:
            alike.append(own)
        else:
            same += own
    said: list[tuple[str, bool]] = []
    for group in alike:
        said += [("; ", False)] if said else []
        said += one_line.spoken.line_words(group, scene)
    return _meaning(shop, tuple(drafts), said, (), False)


def _same(group: Sequence[Draft], own: Sequence[Draft]) -> bool:
    """True where the first ball of `group` and the one of `own` have the same said of them."""
    first = [(d.kind, d.on, d.payload) for d in group if d.ball_id == group[0].ball_id]
    return first == [(d.kind, d.on, d.payload) for d in own]


def cautions(shop: Shop, drafts: Sequence[Draft]) -> tuple[str, ...]:
    """What to mind before keeping these entries: dust, spinner, heat, cracks, part of the surface, competition."""
    said: list[str] = []
    for draft in drafts:
        payload = draft.payload
        if isinstance(payload, SurfaceWork):
            said += _work_cautions(shop, draft, payload)
        elif isinstance(payload, OilDrawn):
            said += _oil_cautions(shop, draft, payload)
    return tuple(dict.fromkeys(said))


def needs_confirmation(shop: Shop, drafts: Sequence[Draft]) -> bool:
    """True for heat over the usual limit, an unusual way of drawing oil, heat on a cracked or plugged ball."""
    return any(
        not d.payload.confirmed and bool(_oil_cautions(shop, d, d.payload))
        for d in drafts
        if isinstance(d.payload, OilDrawn)
    )


def _log_asked(shop: Shop, text: str, bowler_id: int | None, ball_id: int | None) -> dict[str, Any]:
    """The log entries a line may ask about; reading them all for each key press would be slow in a large shop."""
    if not any(word in text.casefold() for word in _ASKS_THE_LOG):
        return {}
    since = shop.today() - timedelta(days=400)
    balls = [shop.ball(ball_id)] if ball_id is not None else list(shop.balls(bowler_id))
    shop.read_ahead(balls)
    logs = {ball.id: shop.entries(ball.id) for ball in balls}
    days: dict[int, Any] = {}
    for own_id, log in logs.items():
        played = [e.on for e in effective(log) if shots_in(e.payload) and e.on >= since]
        if played:
            days[own_id] = max(played)
    last = max(days.values(), default=None)
    entries: list[Entry] = [entry for log in logs.values() for entry in log]
    return {"entries": entries, "last_played": [own_id for own_id, day in days.items() if day == last]}


def _meaning(
    shop: Shop, drafts: tuple[Draft, ...], parts: Sequence[tuple[str, bool]], said: Sequence[str], confirm: bool
) -> Meaning:
    own = cautions(shop, drafts)
    both = tuple(dict.fromkeys((*said, *(c for c in own if not _told(c, said)))))
    after = _after(shop, drafts)
    return Meaning(
        drafts, tuple(parts), after, cautions=both, needs_confirmation=confirm or needs_confirmation(shop, drafts)
    )


def _told(caution: str, said: Sequence[str]) -> bool:
    """The line reader has told of heat, unusual ways, cracks and part of a surface already."""
    return caution in (HOT, OTHER_WAY, PART) and bool(said)


def _after(shop: Shop, drafts: Sequence[Draft]) -> str:
    """“Would play about 1700 ± 300” after surface work, games on the finish after play; nothing for several balls."""
    if len({draft.ball_id for draft in drafts}) != 1:
        return ""
    ball = shop.ball(drafts[0].ball_id)
    work = [d.payload for d in drafts if isinstance(d.payload, SurfaceWork)]
    state = shop.state(ball.id)
    if work:
        for done in work:
            state = after_work(ball, state, done.steps, shop.priors, pads=shop.pads_by_id())
        return f"Would play about {words.grit_words(state)}"
    shots = sum(d.payload.shots for d in drafts if isinstance(d.payload, Played))
    if shots and state.finish_on is not None:
        games = state.games_on_finish.mean + shots / SHOTS_A_GAME
        return f"Then {words.count(round(games), 'game')} on this finish"
    return ""


def _work_cautions(shop: Shop, draft: Draft, payload: SurfaceWork) -> list[str]:
    said = _pad_cautions(shop, draft, payload)
    if draft.on == shop.today():
        said += _jump_cautions(shop, draft, payload)
    if not payload.whole:
        said.append(PART)
    if any(step.tool is Tool.SPINNER for step in payload.steps):
        said.append(SPINNER)
    if any(not step.wet and step.number is not None for step in payload.steps):
        said.append(DUST)
    dated = rules_now.dated_inside(shop, shop.ball(draft.ball_id).owner_id, draft.on)
    if dated is Inside.INSIDE:
        said.append(BARRED if draft.on == shop.today() else DATED_INSIDE)
    elif dated is Inside.MAYBE and not payload.in_competition:
        said.append(DATED_MAYBE)
    if shop.state(draft.ball_id).cracked:
        said.append(CRACKED)
    return said


def _jump_cautions(shop: Shop, draft: Draft, payload: SurfaceWork) -> list[str]:
    """A jump over more than one common grit toward coarser: the gentler step to try first."""
    plays = known_at(shop.state(draft.ball_id))
    first = gentler_first(payload.steps, plays)
    return [] if first is None else [long_jump(plays, first)]


def _pad_cautions(shop: Shop, draft: Draft, payload: SurfaceWork) -> list[str]:
    """A pad that no longer cuts; a grain that nobody has in stock, where a stock is kept at all."""
    said, stock = [], shop.pads_by_id()
    held = {(p.number, p.scale, p.abrasive) for p in shop.pads(shop.ball(draft.ball_id).owner_id) if not p.used_up}
    for step in payload.steps:
        pad = stock.get(step.pad_id) if step.pad_id is not None else None
        if pad is not None and pad.used_up:
            said.append(f"Pad #{pad.id}, {grain_words(pad)}, is marked used up.")
        elif pad is not None and cuts(pad, shop.priors) < HARDLY_CUTS:
            share = 100.0 * cuts(pad, shop.priors)
            said.append(f"Pad #{pad.id}, {grain_words(pad)}, hardly cuts any more: {share:.0f} % of what it did new.")
        grit = step.abrasive is Abrasive.GRIT and step.pad_id is None
        if grit and held and (step.number, step.scale, step.abrasive) not in held:
            said.append(f"No {label((step,))[:-2]} pad in stock: kept without one. Add “new pad” to put one there.")
    return said


def _oil_cautions(shop: Shop, draft: Draft, payload: OilDrawn) -> list[str]:
    said = []
    state = shop.state(draft.ball_id)
    if payload.temperature_c is not None and payload.temperature_c > CAREFUL_C + 1e-9:
        said.append(HOT)
    if payload.method is OilMethod.OTHER:
        said.append(OTHER_WAY)
    if state.cracked:
        said.append(CRACKED)
    elif state.plugged:
        said.append(PLUGGED)
    return said

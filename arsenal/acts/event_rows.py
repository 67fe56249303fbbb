"""The bag as rows: one a ball with a cell a stage, what covers each stage, what one more would buy."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import event_words, own_side
from arsenal.acts.event_offers import AS_IT_IS, Offer
from arsenal.acts.event_reckon import Progress, Reckoned, Shares, line_of, without
from arsenal.acts.event_views import (
    BallLine,
    Covered,
    FinishOffer,
    OneMore,
    Reach,
    RoomCell,
    StageCard,
    StageCardRow,
    StageHead,
)
from arsenal.acts.shop import Shop
from arsenal.order.compare import overlap
from arsenal.plan import bag as bags
from arsenal.plan.bag import Bag, Option
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.event import Chosen
from arsenal.trade.pads import label
from arsenal.trade.units import FOOT_M

GOOD_SHARE = 0.75
"""A stage is well covered with this share of the room that the best ball has on fresh oil (our own assumption)."""
TALLY_BOXES = 14
POINTS = 40


def lines_ahead(shop: Shop, made: Reckoned, progress: Progress | None) -> None:
    """The own lines that the rows show, each remembered and told of."""
    shown = [(_shown(made, ball_id), k) for ball_id in made.names for k in range(len(made.stages))]
    tell = Shares(progress)
    for done, (option, k) in enumerate(shown):
        tell.lines(done / len(shown))
        line_of(shop, made, made.offer(option.ball_id, option.finish), k)
    tell.lines(1.0)


def _shown(made: Reckoned, ball_id: int) -> Option:
    """The finish of a ball that its row shows."""
    taken = next((o for o in made.bag.taken if o.ball_id == ball_id), None)
    return taken or _as_asked(made, ball_id, next((c for c in made.entered.chosen if c.ball_id == ball_id), None))


def heads(shop: Shop, made: Reckoned) -> tuple[StageHead, ...]:
    """The columns."""
    found = []
    for k, stage in enumerate(made.stages):
        cover = made.bag.covers[k] if made.bag.covers else None
        line = ""
        if cover is not None:
            offer = made.offer(cover.ball_id, cover.finish)
            line = event_words.line(made.bowler, line_of(shop, made, offer, k))
        found.append(
            StageHead(
                stage.key, stage.title, event_words.shots(stage), line, event_words.told(stage), stage.variant,
                stage.from_shot, stage.to_shot, event_words.likely(stage, made.games),
            )
        )  # fmt: skip
    return tuple(found)


def rows(shop: Shop, made: Reckoned) -> tuple[BallLine, ...]:
    """Taken ones from strong to weak, then those that stay home, then spare balls."""
    taken = {o.ball_id for o in made.bag.taken}
    settled = {c.ball_id: c for c in made.entered.chosen}
    found = []
    for ball_id in made.names:
        option = _shown(made, ball_id)
        found.append((option.stands.boards, _row(shop, made, option, settled.get(ball_id), taken=ball_id in taken)))
    found.sort(key=lambda pair: (not pair[1].taken, -pair[0], pair[1].ball_id))
    return (*(row for _, row in found), *spare_rows(shop, made))


def _as_asked(made: Reckoned, ball_id: int, chosen: Chosen | None) -> Option:
    own = {o.finish: o for o in made.options if o.ball_id == ball_id}
    return own.get(chosen.finish or AS_IT_IS, own[AS_IT_IS]) if chosen else own[AS_IT_IS]


def _row(shop: Shop, made: Reckoned, option: Option, chosen: Chosen | None, *, taken: bool) -> BallLine:
    offer = made.offer(option.ball_id, option.finish)
    cells = tuple(_cell(shop, made, option, offer, k) for k in range(len(made.stages)))
    path_ft, path_boards = _path(shop, made, offer)
    return BallLine(
        option.ball_id, offer.ball.name, taken, chosen.take if chosen else None, offer.label, option.finish,
        chosen is not None and chosen.finish is not None, _note(made, option, offer, taken=taken), cells,
        _finishes(made, option.ball_id), path_ft, path_boards, _given_up(made, offer.ball) if taken else "",
        set_grit=offer.state.finish_set_grit, grit=offer.state.grit,
    )  # fmt: skip


def spare_rows(shop: Shop, made: Reckoned) -> tuple[BallLine, ...]:
    """Spare balls go along and cover nothing."""
    held = [(b, s) for b, s in shop.held(made.bowler.id) if b.spare]
    return tuple(
        BallLine(b.id, b.name, True, None, label(s.finish), AS_IT_IS, False, "spare ball", (), (), spare=True)
        for b, s in held
    )


def _cell(shop: Shop, made: Reckoned, option: Option, offer: Offer, stage: int) -> RoomCell:
    own, room = line_of(shop, made, offer, stage), option.rooms[stage]
    cover = made.bag.covers[stage] if made.bag.covers else None
    reaches = own.line is not None
    return RoomCell(
        made.stages[stage].key, event_words.cell(own), own.in_boards if reaches else None,
        own.out_boards if reaches else None, room.mean, room.sd, event_words.line(made.bowler, own),
        cover is option and reaches, event_words.cell_hover(own, room),
    )  # fmt: skip


def _path(shop: Shop, made: Reckoned, offer: Offer) -> tuple[tuple[float, ...], tuple[float, ...]]:
    trace = line_of(shop, made, offer, 0).trace
    if trace is None:
        return (), ()
    thin = slice(None, None, max(trace.distance_m.size // POINTS, 1))
    boards = tuple(own_side.board(made.bowler, float(y)) for y in trace.lateral_m[thin])
    return tuple(float(x) / FOOT_M for x in trace.distance_m[thin]), boards


def _note(made: Reckoned, option: Option, offer: Offer, *, taken: bool) -> str:
    now = made.offer(option.ball_id, AS_IT_IS)
    if not taken:
        twin = next((o for o in made.bag.taken if overlap(o.stands, option.stands)), None)
        return f"same as {made.names[twin.ball_id]}" if twin else "nothing more to cover"
    said = [f"was {now.label}"] if offer.steps else ["as it is"]
    if option.ball_id == made.bowler.benchmark_ball_id:
        said.append("benchmark")
    return ", ".join(said)


def _finishes(made: Reckoned, ball_id: int) -> tuple[FinishOffer, ...]:
    found = []
    for offer in made.offers:
        if offer.ball.id != ball_id:
            continue
        note = AS_IT_IS if not offer.steps else f"{offer.minutes:.0f} min"
        possible = not offer.to_buy
        if offer.to_buy:
            note = "no such pad in stock"
        elif made.asked.minutes is not None and offer.minutes > made.asked.minutes:
            note, possible = f"no time: {offer.minutes:.0f} min of {made.asked.minutes:.0f}", False
        found.append(FinishOffer(offer.name, offer.label, note, offer.minutes, possible))
    return tuple(found)


def _given_up(made: Reckoned, ball: Ball) -> str:
    """What leaving this ball at home would cost, over every stage that would lose."""
    if made.asked.settled.get(ball.id):
        asked = {**made.asked.settled, ball.id: False}
        rest = bags.reach(made.reachable, replace(made.asked, settled=asked))
    else:
        rest = without(made, ball.id)
    lost = _lost(made, made.bag, rest)
    return f"Left at home: {lost}." if lost else "Left at home, no stage would lose."


def _lost(made: Reckoned, now: Bag, then: Bag) -> str:
    said = []
    for stage, a, b in zip(made.stages, now.covered, then.covered, strict=True):
        if a - b > 0.5 * bags.GRAIN:
            said.append(f"{stage.title.lower()} {shots_of(a)} → {shots_of(b)}")
    return "; ".join(said) + " of 100 shots in the pocket, doubt taken off" if said else ""


def shots_of(room: float) -> str:
    """A room as shots of a hundred."""
    return f"{100 * room:.0f}"


def good_room(made: Reckoned) -> float:
    """From which room a stage is well covered."""
    return GOOD_SHARE * max((o.counted(made.asked.doubt)[0] for o in made.reachable), default=0.0)


def at_least(made: Reckoned) -> str:
    """What counts as good, in words."""
    return f"at least {shots_of(good_room(made))} of 100 shots in the pocket"


def covered(made: Reckoned) -> tuple[Covered, ...]:
    """The foot of the columns."""
    good, found = good_room(made), []
    for k, stage in enumerate(made.stages):
        cover = made.bag.covers[k] if made.bag.covers else None
        if cover is None:
            found.append(Covered(stage.key, None, "nothing", "no ball reaches", Reach.NONE))
            continue
        room = made.bag.covered[k]
        others = sum(
            1 for o in made.bag.taken
            if o is not cover and o.counted(made.asked.doubt)[k] >= max(good, bags.GRAIN)
        )  # fmt: skip
        reach = Reach.GOOD if room >= good else Reach.BARELY
        more = f"and {others} more" if others else "alone"
        found.append(
            Covered(
                stage.key, cover.ball_id, made.names[cover.ball_id], more if reach is Reach.GOOD else "barely", reach
            )
        )
    return tuple(found)


def cards(shop: Shop, made: Reckoned) -> tuple[StageCard, ...]:
    """A bag card for each stage, the ball with the most room first."""
    found = []
    for k, stage in enumerate(made.stages):
        order = sorted(made.bag.taken, key=lambda o: (-o.counted(made.asked.doubt)[k], -o.stands.boards))
        listed = []
        for place, option in enumerate(order):
            offer = made.offer(option.ball_id, option.finish)
            there = line_of(shop, made, offer, k)
            listed.append(
                StageCardRow(
                    option.ball_id, offer.ball.name, offer.label, event_words.cell(there),
                    event_words.line(made.bowler, there), place == 0,
                )
            )  # fmt: skip
        found.append(
            StageCard(stage.key, stage.title, event_words.shots(stage), tuple(listed), _then(made, k), TALLY_BOXES)
        )
    return tuple(found)


def _then(made: Reckoned, k: int) -> str:
    stage = made.stages[k]
    after = next((j for j in range(k + 1, len(made.stages)) if not made.stages[j].variant), None)
    if stage.variant or stage.to_shot is None or after is None or made.bag.covers[after] is None:
        return ""
    cover = made.bag.covers[after]
    assert cover is not None  # noqa: S101 -- asked just above
    return f"after shot {stage.to_shot}: {made.stages[after].title.lower()}, {made.names[cover.ball_id]}"


def one_more(made: Reckoned) -> tuple[OneMore, ...]:
    """What one pad, one more of the balls owned, and a ball not owned would buy, each against this bag."""
    return tuple(found for found in (_one_pad(made), _one_ball(made), _not_owned(made)) if found is not None)


def _one_pad(made: Reckoned) -> OneMore | None:
    """The pad not in stock that would buy most."""
    best: tuple[float, Bag, str] | None = None
    for pad in dict.fromkeys(o.to_buy for o in made.offers if o.to_buy):
        may = tuple(
            option for offer, option in zip(made.offers, made.options, strict=False) if offer.to_buy in ("", pad)
        )
        found = bags.reach(may, made.asked)
        if best is None or _gain(made.bag, found) > best[0] + 1e-9:
            best = (_gain(made.bag, found), found, pad)
    if best is None:
        return None
    gain, found, pad = best
    if gain < 0.5 * bags.GRAIN:
        return OneMore("A pad", pad, "nothing better at any stage", "not in stock")
    used = next((o for o in found.taken if made.offer(o.ball_id, o.finish).to_buy), found.taken[0])
    name = made.names[used.ball_id]
    return OneMore("A pad", f"{pad} on {name}", _effect(made, found), f"{used.minutes:.0f} min, not in stock")


def _one_ball(made: Reckoned) -> OneMore | None:
    """One more place in the bag, where balls stay home."""
    at_home = [b for b in made.names if all(o.ball_id != b for o in made.bag.taken)]
    if not at_home:
        return None
    found = bags.reach(made.reachable, replace(made.asked, most=made.asked.most + 1))
    added = next((o for o in found.taken if o.ball_id in at_home), None)
    if added is None or _gain(made.bag, found) < 0.5 * bags.GRAIN:
        nearest = max(at_home, key=lambda b: max(sum(o.counted(1.0)) for o in made.reachable if o.ball_id == b))
        return OneMore("A ball you have", made.names[nearest], "nothing better at any stage", "1 place")
    what = f"{made.names[added.ball_id]}, {made.offer(added.ball_id, added.finish).label}"
    return OneMore("A ball you have", what, _effect(made, found), "1 place")


def _not_owned(made: Reckoned) -> OneMore | None:
    """A kind of ball not owned, in the place of another where the bag is full."""
    best: tuple[float, Bag, Option] | None = None
    for option in made.options[len(made.offers) :]:
        found = bags.reach((*made.reachable, option), made.asked)
        if best is None or _gain(made.bag, found) > best[0] + 1e-9:
            best = (_gain(made.bag, found), found, option)
    if best is None:
        return None
    gain, found, option = best
    before = f"before {days.weekday(made.event.first_on)}"
    if gain < 0.5 * bags.GRAIN:
        return OneMore("A ball you do not own", option.finish, "nothing better at any stage", before)
    return OneMore("A ball you do not own", option.finish, _effect(made, found), before)


def _gain(now: Bag, then: Bag) -> float:
    """What counts first counts first: the worst stage, then the sum."""
    return 100.0 * max(then.worst - now.worst, 0.0) + (then.total - now.total)


def _effect(made: Reckoned, then: Bag) -> str:
    """The stage that gains most: “burnt fronts 24 → 32 ± 4 of 100 in the pocket”."""
    gains = [b - a for a, b in zip(made.bag.covered, then.covered, strict=True)]
    k = max(range(len(gains)), key=lambda i: (gains[i], -i))
    after = then.covers[k]
    doubt = max(100 * after.rooms[k].sd, 1.0) if after else 1.0
    shots = f"{shots_of(made.bag.covered[k])} → {shots_of(then.covered[k])} ± {doubt:.0f}"
    return f"{made.stages[k].title.lower()} {shots} of 100 in the pocket"

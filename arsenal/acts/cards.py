"""The bag card: an order on paper for the ball return, stored as printed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from arsenal.acts import card_moves, own_side, rules_now, words
from arsenal.acts.shop import Shop
from arsenal.acts.views import BagCard, CardRow, LaneSide
from arsenal.ledger import CodecError, from_plain, to_plain
from arsenal.motion import at_arrows
from arsenal.order.records import OrderRow
from arsenal.trade.entries import Draft, Kind, SurfaceWork, shots_in
from arsenal.trade.errors import NotFound
from arsenal.trade.pads import label
from arsenal.trade.person import Person

KIND = "bag card"
TALLY_BOXES = 14
LOOK_BACK = 400
_FLAGS = ("leaves lane", "rolls out", "wipe", "refresh", "same as above")


def bag_card(shop: Shop, side: LaneSide, *, in_hand: int | None = None, store: bool = True) -> BagCard:
    """Everything the card shows, from the order in `side`. `in_hand` is the ball the “if …” rows speak of (the
    benchmark when None). With `store` the card is kept, so that the next one can say what changed since.
    """
    rows = side.order.rows
    chosen = next((r for r in rows if r.ball.id == in_hand), None)
    chosen = chosen or next((r for r in rows if r.benchmark), rows[0] if rows else None)
    now = shop.now()
    card = BagCard(
        0, side.bowler.id, side.bowler.name, hand_words(side.bowler), side.lane.id, _lane(side), _line(side),
        tuple(_row(rows, at, chosen) for at in range(len(rows))),
        tuple((row.ball.name, label(row.state.finish)) for row in side.order.spares),
        chosen.ball.name if chosen else "",
        card_moves.card_moves(shop, side, chosen) if chosen else (),
        TALLY_BOXES, _rule_line(shop, side), side.rule.hover, now.isoformat(), (), side.order.stamp,
    )  # fmt: skip
    card = replace(card, changes=_changes(shop, side, card))
    if not store:
        return card
    kept: dict[str, Any] = {"card": to_plain(card), "head_seq": shop.ledger.head_seq, **_inputs(side)}
    return replace(card, id=shop.ledger.keep_result(KIND, kept))


def stored(shop: Shop, card_id: int) -> BagCard:
    """A card as it was printed. Raises NotFound."""
    for result in shop.ledger.results(KIND, LOOK_BACK):
        if result.id == card_id:
            return _card_of(result.id, result.data)
    raise NotFound("There is no such card in this file.")


def printed(shop: Shop, bowler_id: int, most: int = 12) -> tuple[BagCard, ...]:
    """The cards printed for a bowler, newest first; those of another version that cannot be read are left out."""
    found: list[BagCard] = []
    for result in shop.ledger.results(KIND, LOOK_BACK):
        try:
            card = _card_of(result.id, result.data)
        except (CodecError, KeyError, TypeError):  # printed by another version
            continue
        if card.bowler_id == bowler_id and len(found) < most:
            found.append(card)
    return tuple(found)


def last_card(shop: Shop, bowler_id: int, lane_id: int) -> BagCard | None:
    """The card printed last for a bowler on a condition."""
    found = _last(shop, bowler_id, lane_id)
    return found[0] if found else None


def hand_words(person: Person) -> str:
    """“right-handed”, “two-handed, left”."""
    side = f"two-handed, {person.hand.value}" if person.two_handed else f"{person.hand.value}-handed"
    return f"{side}, back-up" if person.back_up else side


def _line(side: LaneSide) -> str:
    line = side.order.line
    arrows = own_side.board(side.bowler, at_arrows(line)[1])
    return f"{own_side.board(side.bowler, line.lateral_m):.0f}, over {arrows:.0f}"


def _row(rows: tuple[OrderRow, ...], at: int, chosen: OrderRow | None) -> CardRow:
    row = rows[at]
    flag = next((f for f in _FLAGS if f in row.flags), "")
    flag = "benchmark" if row.benchmark else flag
    return CardRow(
        row.ball.id, row.place, row.ball.name, label(row.state.finish), words.two_figures(row.state.grit), flag,
        row.benchmark, row.read_word, row.shape_word, row.boards, row.boards_sd,
        chosen is not None and row.ball.id == chosen.ball.id,
    )  # fmt: skip


def _rule_line(shop: Shop, side: LaneSide) -> str:
    held = rules_now.competition(shop, side.bowler.id)
    now = shop.now()
    if held is not None and now < held.starts_at:
        return f"Dry towel only from the first scored ball, {rules_now.when_words(held.starts_at, now)}"
    if not side.rule.pads_allowed:
        return side.rule.sentence[:1].upper() + side.rule.sentence[1:]
    return "Dry towel only from the first scored ball"


def _lane(side: LaneSide) -> str:
    return f"{side.lane.name}, after {words.count(side.game, 'game')}" if side.game else side.lane.name


def _inputs(side: LaneSide) -> dict[str, Any]:
    return {
        "bowler": to_plain(side.bowler),
        "lane": to_plain(side.lane),
        "traffic": side.traffic_words,
        "line": to_plain(side.order.line),
        "balls": [to_plain(row.ball) for row in (*side.order.rows, *side.order.spares)],
    }


def _card_of(card_id: int, data: dict[str, Any]) -> BagCard:
    card: BagCard = from_plain(BagCard, data["card"])
    return replace(card, id=card_id)


def _last(shop: Shop, bowler_id: int, lane_id: int) -> tuple[BagCard, dict[str, Any]] | None:
    for result in shop.ledger.results(KIND, LOOK_BACK):
        try:
            card = _card_of(result.id, result.data)
        except (CodecError, KeyError, TypeError):  # printed by another version
            continue
        if (card.bowler_id, card.lane_id) == (bowler_id, lane_id):
            return card, result.data
    return None


def _changes(shop: Shop, side: LaneSide, card: BagCard) -> tuple[str, ...]:
    """What moved by a board or more since the last card of this bowler on this condition, and because of what."""
    found = _last(shop, side.bowler.id, side.lane.id)
    if found is None:
        return ()
    before, data = found
    old = {row.ball_id: row for row in before.rows}
    new = {row.ball_id: row for row in card.rows}
    common = _common_reason(side, before, data)
    said = []
    for ball_id, row in new.items():
        if ball_id not in old:
            said.append(f"{row.name} is new in the order")
        elif round(row.boards) != round(old[ball_id].boards):
            moved = round(row.boards) - round(old[ball_id].boards)
            because = _done_since(shop, ball_id, int(data["head_seq"])) or common or _benchmark_reason(shop, card, data)
            said.append(f"{row.name} {words.signed(moved)}" + (f", {because}" if because else ""))
    said += [f"{row.name} is no longer in the order" for ball_id, row in old.items() if ball_id not in new]
    return tuple(said)


def _done_since(shop: Shop, ball_id: int, head_seq: int) -> str:
    """The surface work since, else the play, else another entry; nothing where the log holds none."""
    fresh = [e for e in shop.entries(ball_id) if e.seq > head_seq and e.kind != Kind.UNDO]
    worked = [e for e in fresh if isinstance(e.payload, SurfaceWork)]
    if worked:
        last = worked[-1]
        verb = "polished" if last.kind == Kind.POLISHED else "sanded"
        return f"{verb} {label(last.payload.steps)}" if isinstance(last.payload, SurfaceWork) else verb
    shots = sum(shots_in(e.payload) for e in fresh)
    if shots:
        return f"played {words.count(round(shots), 'shot')}"
    if fresh:
        return words.short(Draft(ball_id, fresh[-1].kind, fresh[-1].on, fresh[-1].payload))
    undone = any(e.seq > head_seq for e in shop.entries(ball_id))
    return "an entry was taken back" if undone else ""


def _common_reason(side: LaneSide, before: BagCard, data: dict[str, Any]) -> str:
    """What moves every ball: how the bowler throws, the line, the condition, the model."""
    stamp, was = side.order.stamp, before.stamp
    if (stamp.model_version, stamp.priors_version) != (was.model_version, was.priors_version):
        return "the program reckons differently"
    if data.get("lane") != to_plain(side.lane):
        return "the condition was changed"
    if data.get("traffic", "") != side.traffic_words:
        return "other games on the lane" if side.game else "the lane is fresh"
    bowler: Any = to_plain(side.bowler)
    if data.get("bowler", {}).get("style") != bowler["style"]:
        return "the throw was changed"
    if data.get("line") != to_plain(side.order.line):
        return "another line"
    return ""


def _benchmark_reason(shop: Shop, card: BagCard, data: dict[str, Any]) -> str:
    benchmark = next((row for row in card.rows if row.benchmark), None)
    was = {row["ball_id"] for row in data["card"]["rows"] if row["benchmark"]}
    if benchmark is None:
        return ""
    if benchmark.ball_id not in was:
        return "another benchmark"
    done = _done_since(shop, benchmark.ball_id, int(data["head_seq"]))
    return f"the benchmark was {done}" if done.startswith(("sanded", "polished", "played")) else ""

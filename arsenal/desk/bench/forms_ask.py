"""What the entry forms ask of the shop, on the worker's thread."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from arsenal.desk.bench.forms_fields import Around
from arsenal.trade.entries import Draft, Kind

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Meaning


def around(ball_id: int, system: str) -> Callable[[Shop], Around]:
    """What a form of that ball may name: the owner's own balls and pads and the shop's, everybody, every condition."""

    def run(shop: Shop) -> Around:
        from arsenal.acts import rules_now  # noqa: PLC0415 - heavy

        ball, state = shop.ball(ball_id), shop.state(ball_id)
        rule = rules_now.rule_state(shop, ball.owner_id)
        return Around(
            ball, shop.balls(ball.owner_id), shop.people(), tuple(shop.lanes().values()), shop.pads(ball.owner_id),
            shop.today(), system, state.cracked, state.plugged, "" if rule.pads_allowed else _sentence(rule.sentence),
        )  # fmt: skip

    return run


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def look_at(draft: Draft) -> Callable[[Shop], Meaning]:
    """The meaning of an entry. Raises OutOfRange where the shop would refuse it, before anything is kept."""

    def run(shop: Shop) -> Meaning:
        from arsenal.acts import checks, logging  # noqa: PLC0415 - heavy

        ball = shop.ball(draft.ball_id)
        came_on = ball.bought_on if draft.kind == Kind.NEW else shop.came_on(ball.id)
        checks.draft(draft, came_on, shop.today())
        return logging.meaning_of(shop, (draft,))

    return run


def keep(drafts: Sequence[Draft], *, confirmed: bool) -> Callable[[Shop], Changes]:
    """Keep entries in one act."""

    def run(shop: Shop) -> Changes:
        from arsenal.acts import logging  # noqa: PLC0415 - heavy

        return logging.keep(shop, drafts, confirmed=confirmed)

    return run

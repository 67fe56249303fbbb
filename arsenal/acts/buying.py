"""What pads to buy before the next event: what upkeep will use until then against what is in stock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from arsenal.acts import intervals, jobs, rules_now, words
from arsenal.acts.shop import Shop
from arsenal.order.pad_life import HARDLY_CUTS
from arsenal.plan import pad_stock
from arsenal.plan.intervals import Intervals, finish_class
from arsenal.plan.pace import weekly
from arsenal.plan.pad_stock import Need, Use
from arsenal.plan.records import Job
from arsenal.trade import days
from arsenal.trade.errors import OutOfRange
from arsenal.trade.pads import Pad, grain_words
from arsenal.trade.person import Person

WEEKS = 4
MOST_WEEKS = 52


@dataclass(frozen=True, slots=True)
class Shopping:
    """What to buy by a day, the surest first, each with a sentence; `event` True where that day is a competition's."""

    until: date
    event: bool
    needs: tuple[Need, ...]
    sentences: tuple[str, ...]
    names: tuple[str, ...]
    """“1000 foam”, “P3000 film”: names alone."""


def shopping(
    shop: Shop, bowler_id: int | None = None, *, until: date | None = None, share: float = HARDLY_CUTS,
    known: Mapping[int, Sequence[Job]] | None = None,
) -> Shopping:  # fmt: skip
    """Pads to buy for one bowler or everybody: by `until`, else by the next competition known, else for four weeks.
    For everybody all pads count together, whoever owns them.
    `share` of its first cut is what a pad must keep; `known` are the jobs by bowler where they are there already.
    Raises NotFound, OutOfRange.
    """
    today = shop.today()
    whom = (shop.person(bowler_id),) if bowler_id is not None else shop.people()
    if not 0.0 < share < 1.0:
        raise OutOfRange("share of the first cut", f"{share:g}", "between 0 and 1")
    if until is not None and not today <= until <= today + timedelta(weeks=MOST_WEEKS):
        raise OutOfRange("date", days.in_full(until), f"today or within {MOST_WEEKS} weeks")
    event = min((day for person in whom if (day := _event(shop, person))), default=None)
    end = until or event or today + timedelta(weeks=WEEKS)
    uses = [use for person in whom for use in _uses(shop, person, end, (known or {}).get(person.id))]
    pads = {pad.id: pad for person in whom for pad in shop.pads(person.id)}
    found = pad_stock.needs(sorted(uses, key=lambda use: use.on), tuple(pads.values()), shop.priors, share=share)
    names = tuple(dict.fromkeys(_name(need) for need in found))
    return Shopping(end, event == end, found, tuple(_sentence(need, today, end) for need in found), names)


def _event(shop: Shop, person: Person) -> date | None:
    held = rules_now.competition(shop, person.id)
    day = held.starts_at.date() if held else None
    return day if day is not None and day >= shop.today() else None


def _uses(shop: Shop, person: Person, end: date, known: Sequence[Job] | None) -> tuple[Use, ...]:
    table, today = intervals.of_shop(shop), shop.today()
    had = shop.held(person.id)
    balls = [ball for ball, _ in had]
    pace = weekly(balls, person.games_a_week, today, {ball.id: shop.entries(ball.id) for ball in balls})
    found = jobs.of_bowler(shop, person) if known is None else known
    return pad_stock.planned(found, today, end, lambda job: _every_days(shop, job, table, pace))


def _every_days(shop: Shop, job: Job, table: Intervals, pace: dict[int, float]) -> float | None:
    """Days between two refreshes of a ball, by the interval of its finish and its pace."""
    state, rate = shop.state(job.ball_id), pace.get(job.ball_id, 0.0)
    row = table.by_cover[state.cover].refresh[finish_class(state)]
    return 7.0 * row.due / rate if row is not None and rate > 0.0 else None


def _name(need: Need) -> str:
    number, scale, abrasive = need.grain
    if need.pad is not None and number is not None:
        return f"{grain_words(need.pad)} {need.pad.kind}"
    return grain_words(need.pad or Pad(0, number, scale, abrasive))


def _sentence(need: Need, today: date, end: date) -> str:
    name, uses = _name(need), words.count(need.uses, "planned use")
    before = days.weekday_near(end, today)
    if need.pad is None:
        return f"{name}: none in stock, and {uses} until {before}."
    if need.by is None and need.cuts_then <= need.cuts_now and need.sure and need.uses == 0:
        return f"{name}: none left that cuts."
    now = f"cuts {100 * need.cuts_now:.0f} % of what it did new"
    if need.pad.used_up or need.cuts_then == need.cuts_now:
        return f"{name}: none left that cuts, and {uses} until {before}."
    then = f"about {100 * need.cuts_then:.0f} % after {uses} until {before}"
    return f"{name}: {now}, {then}." if need.sure else f"{name} may run out: {now}, {then}."

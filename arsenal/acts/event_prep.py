"""The prep sheet: everything to do before, during and after an event, in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

from arsenal.acts import event_checks, event_facts, event_words, events, words
from arsenal.acts.event_offers import Offer
from arsenal.acts.event_ticks import CLEAN_ALL, Going, cleaned_since, logged, used_on, worked_lately
from arsenal.acts.event_views import Mark, PrepLine, PrepPart, PrepSheet
from arsenal.acts.shop import Shop
from arsenal.plan.prep import CLEAN_MIN, INSPECT_MIN, Mount, SurfaceJob, finished_in, practice_shots, rounds
from arsenal.surface import minutes
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.event import Event, Reoiled
from arsenal.trade.pads import label

EVENING = 21
"""Work by hand is done by nine the evening before (our own assumption)."""
WARM_BEFORE = timedelta(minutes=45)
"""A ball out of a cold car comes to room temperature first (common practice, no source)."""
CLEAN_AFTER = timedelta(minutes=30)
SHOTS_A_MINUTE = 0.7
"""Practice shots a bowler gets on a pair (our own assumption)."""
MOST_PRACTICE = 20
REGISTERED_MIN = 0.5

OIL = {Reoiled.EACH: "fresh oil", Reoiled.FIRST: "not re-oiled", Reoiled.UNKNOWN: "re-oiled? ask"}


@dataclass(frozen=True, slots=True)
class _Day:
    """The times of the event, None where nobody said."""

    work_by: datetime | None
    first: datetime | None
    ban: datetime | None
    practice: datetime | None
    last_over: datetime | None


def prep_sheet(shop: Shop, going: Going) -> PrepSheet:
    """The whole sheet."""
    day = _day(shop, going)
    jobs = [SurfaceJob(o.ball.id, o.steps) for o in going.offers if o.steps]
    mounts = rounds(jobs)
    parts = [_work_part(shop, going, day, jobs, mounts)]
    if day.first is not None:
        parts += _day_parts(shop, going, day)
    else:
        parts.append(PrepPart(days.weekday_and_day(going.event.first_on), _without_times(shop, going)))
    parts = [p for p in parts if p.lines]
    ticks = [line for part in parts for line in part.lines if line.can_tick]
    done = sum(1 for line in ticks if line.mark is Mark.DONE)
    work = sum(job.minutes for job in jobs) + CLEAN_MIN * len(going.offers) + INSPECT_MIN * len(going.offers)
    said, below = f"{done} of {len(ticks)} done", event_facts.facts(shop, going, mounts)
    return PrepSheet(tuple(parts), said, work, len(mounts), event_facts.cautions(shop, going), below)


def _day(shop: Shop, going: Going) -> _Day:
    event, entered = going.event, going.entered
    blocks = event_checks.blocks_of(event, entered.squad)
    first = blocks[0].starts_at if blocks else None
    ban = events.ban_at(event, entered)
    practice = first - timedelta(minutes=event.practice_min) if first and event.practice_min else None
    limits = [at for at in (event.registration_by, event.bags_locked_at, ban, practice) if at is not None]
    work_by = min(limits, default=None)
    if work_by is not None:
        evening = (work_by - timedelta(days=1)).replace(hour=EVENING, minute=0, second=0, microsecond=0)
        work_by = evening if evening > shop.now() else work_by
    return _Day(work_by, first, ban, practice, event_checks.over_at(blocks[-1]) if blocks else None)


# ---- before the day


def _work_part(
    shop: Shop, going: Going, day: _Day, jobs: Sequence[SurfaceJob], mounts: Sequence[Mount]
) -> PrepPart:  # fmt: skip
    offers = {o.ball.id: o for o in going.offers}
    lines = [_work_line(shop, offers[job.ball_id]) for job in finished_in(jobs, mounts)]
    had = (_worked_line(shop, going, o.ball) for o in going.offers if not o.steps)
    lines = [*(line for line in had if line), *lines]
    for offer in going.offers:
        if not offer.steps:
            lines.append(_care_line(shop, going, offer.ball, "clean"))
        lines.append(_care_line(shop, going, offer.ball, "inspect"))
    many = len(going.offers) + len(going.spares)
    who = "Both" if many == 2 else "All" if many else ""
    lines.append(
        _line(
            going, "serials", who, "serials and weights on the registration sheet", f"{REGISTERED_MIN * many:.0f} min"
        )
    )
    title = f"By {event_words.day_clock(day.work_by)}" if day.work_by else "Before the event"
    return PrepPart(title, tuple(lines))


def _work_line(shop: Shop, offer: Offer) -> PrepLine:
    settle = shop.priors.surface.settle_games
    what = f"{offer.label}, from {label(shop.state(offer.ball.id).finish)}"
    hover = f"Right after {words.count(settle, 'game')}: throw them before the event, or expect it stronger at first."
    return PrepLine(
        f"work:{offer.ball.id}:{offer.label}", Mark.OPEN, "", offer.ball.name, what, f"{offer.minutes:.0f} min", True,
        True, hover, ball_id=offer.ball.id,
    )  # fmt: skip


def _worked_line(shop: Shop, going: Going, ball: Ball) -> PrepLine | None:
    """Work of the last days, done; None where there was none."""
    done = worked_lately(shop, going, ball.id)
    if done is None:
        return None
    said, takes = label(done.steps), f"{minutes(done.steps):.0f} min"
    return PrepLine(
        f"work:{ball.id}:{said}", Mark.DONE, "", ball.name, said, takes, True, True, ball_id=ball.id
    )  # fmt: skip


def _care_line(shop: Shop, going: Going, ball: Ball, what: str) -> PrepLine:
    key = f"{what}:{ball.id}"
    done = logged(shop, going, ball.id, key) is not None
    said = {"clean": f"clean, leave {label(shop.state(ball.id).finish)}", "inspect": "inspect holes, bridge, track"}[
        what
    ]
    takes = CLEAN_MIN if what == "clean" else INSPECT_MIN
    return PrepLine(
        key, Mark.DONE if done else Mark.OPEN, "", ball.name, said, f"{takes:.0f} min", True, True,
        ball_id=ball.id,
    )  # fmt: skip


def _line(
    going: Going, key: str, who: str, what: str, takes: str = "", *, at: datetime | None = None,
    mark: Mark = Mark.OPEN, tick: bool = True, hover: str = "", warn: bool = False,
) -> PrepLine:  # fmt: skip
    done = key in going.entered.ticked
    clock = event_words.clock(at) if at else ""
    return PrepLine(
        key, Mark.DONE if done else mark, clock, who, what, takes, tick, False, hover, warn, when=at
    )  # fmt: skip


# ---- the day


def _day_parts(shop: Shop, going: Going, day: _Day) -> list[PrepPart]:
    lines = sorted(_times(shop, going, day), key=_earliest)
    by_day: dict[date, list[PrepLine]] = {}
    for line in lines:
        assert line.when is not None  # noqa: S101 -- every one of these has a time
        by_day.setdefault(line.when.date(), []).append(line)
    return [PrepPart(days.weekday_and_day(on), tuple(own)) for on, own in by_day.items()]


def _earliest(line: PrepLine) -> tuple[float, bool]:
    """By the clock; the ban before whatever begins with it."""
    return (line.when.timestamp() if line.when else 0.0, line.mark is not Mark.BAN)


def _times(shop: Shop, going: Going, day: _Day) -> list[PrepLine]:
    event, first = going.event, day.first
    assert first is not None  # noqa: S101 -- asked only where there is one
    begins = min(at for at in (event.registration_by, day.practice, first) if at is not None)
    lines = [_line(going, "warm", "", "out of the car: room temperature first", at=begins - WARM_BEFORE)]
    if event.registration_by is not None:
        lines.append(_line(going, "register", "", _registers(event), at=event.registration_by, mark=Mark.SOON))
    if event.bags_locked_at is not None and event.bags_locked_at != event.registration_by:
        lines.append(_line(going, "locked", "", "bags locked", at=event.bags_locked_at, mark=Mark.SOON))
    if day.practice is not None:
        lines.append(_line(going, "practice", "", _practice(going, event), at=day.practice))
    assert day.ban is not None  # noqa: S101 -- comes with the first ball
    said = "last pad: dry towel only from now"
    lines.append(_line(going, "ban", "", said, at=day.ban, mark=Mark.BAN, tick=False, warn=True, hover=event.rule_note))
    lines.append(_line(going, "first", "", "first scored ball", at=first, tick=False))
    lines += _between(going, event)
    assert day.last_over is not None  # noqa: S101 -- comes with the first ball
    lines.append(_clean_line(shop, going, day.last_over + CLEAN_AFTER))
    return lines


def _registers(event: Event) -> str:
    locked = event.bags_locked_at
    if locked is None:
        return "registration closes"
    same = locked == event.registration_by
    return (
        "registration closes, bags locked" if same else f"registration closes, bags locked {event_words.clock(locked)}"
    )


def _practice(going: Going, event: Event) -> str:
    shots = min(round((event.practice_min or 0.0) * SHOTS_A_MINUTE), MOST_PRACTICE)
    order = sorted(going.offers, key=lambda o: -going.early.get(o.ball.id, 0.0))
    dealt = practice_shots([going.early.get(o.ball.id, 0.0) + 0.01 for o in order], shots)
    each = [f"{o.ball.name} {n}" for o, n in zip(order, dealt, strict=True) if n]
    return f"practice, {words.count(shots, 'shot')}: {', '.join(each)}" if each else "practice"


def _between(going: Going, event: Event) -> list[PrepLine]:
    blocks = event_checks.blocks_of(event, going.entered.squad)
    lines = []
    for number, (before, block) in enumerate(pairwise(blocks), 2):
        oil = {Reoiled.EACH: "fresh oil", Reoiled.FIRST: "not re-oiled", Reoiled.UNKNOWN: "re-oiled? ask"}[
            event.reoiled
        ]
        may = "pads allowed until the first ball" if event.between_allowed else "dry towel only"
        over = event_checks.over_at(before)
        lines.append(_line(going, f"between:{number - 1}", "", f"block {number - 1} over: {may}", at=over, tick=False))
        said = f"block {number}, {words.count(block.games, 'game')}, {oil}"
        lines.append(_line(going, f"block:{number}", "", said, at=block.starts_at, tick=False))
    return lines


def _clean_line(shop: Shop, going: Going, at: datetime | None) -> PrepLine:
    used = used_on(shop, going)
    todo = [ball for ball in used if not cleaned_since(shop, going, ball)]
    done = bool(used) and not todo
    clock = event_words.clock(at) if at else ""
    names = event_words.listed([ball.name for ball in todo])
    said = f"clean all used, same night: {names}" if names else "clean all used, same night"
    return PrepLine(
        CLEAN_ALL, Mark.DONE if done else Mark.OPEN, clock, "", said, f"{CLEAN_MIN * max(len(used), 1):.0f} min",
        bool(used) or done, True, "The same night takes out several times what the next day does.", when=at,
    )  # fmt: skip


def _without_times(shop: Shop, going: Going) -> tuple[PrepLine, ...]:
    return (
        _line(going, "times", "", "ask when registration closes and when pads are barred"),
        _clean_line(shop, going, None),
    )

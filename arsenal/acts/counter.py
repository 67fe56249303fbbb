"""The counter's screen: counts on top, the bench next, a ball's card, a customer's, a ticket as it stands."""

from __future__ import annotations

import math
from collections import Counter as Tally
from dataclasses import replace

from arsenal.acts import bench_queue, codes, convergence, counter_lines, hazards, jobs, services, tickets, words
from arsenal.acts.counter_views import (
    BallCard,
    CounterView,
    Counts,
    HistoryLine,
    Parts,
    PersonCard,
    PromisedHour,
    TicketRow,
    TicketView,
)
from arsenal.acts.shop import Shop
from arsenal.exchange import lengths
from arsenal.exchange.history import sentence
from arsenal.plan.records import Due, Job
from arsenal.surface.state import Holder, SurfaceState
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.code import Names
from arsenal.trade.entries import Entry, Played, Shot, SurfaceWork, effective
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import label, label_in_words
from arsenal.trade.ticket import OPEN, Standing, TakenIn, Ticket
from arsenal.trade.units import FOOT_M, POUND_KG

SHOTS_A_GAME = 11.0
MOST_DUE = 4
HABIT = 2
"""A finish that was put on so often among the last three is what the owner wants."""


def counter(shop: Shop) -> CounterView:
    """What the room shows while nothing is searched."""
    return shop.remembered(
        ("counter", shop.revision, shop.now().replace(second=0, microsecond=0)),
        lambda: CounterView(counts(shop), bench_queue.queue(shop)),
    )


def counts(shop: Shop) -> Counts:
    """How many tickets are where, and what is promised today by the hour."""
    now = shop.now()
    every = tickets.not_closed(shop)
    rows = {t.id: row(shop, t) for t in every}

    def those(*standing: Standing) -> tuple[TicketRow, ...]:
        return tuple(rows[t.id] for t in every if t.standing in standing)

    waiting = those(Standing.IN, Standing.BENCH)
    promised = Tally(
        t.promised_at
        for t in every
        if t.standing in OPEN and t.promised_at and t.promised_at.astimezone(now.tzinfo).date() == now.date()
    )
    hours = tuple(PromisedHour(at, promised[at]) for at in sorted(at for at in promised if at is not None))
    return Counts(
        those(Standing.IN), those(Standing.BENCH), those(Standing.READY), tuple(r for r in waiting if r.late),
        those(Standing.PARKED), hours, bench_queue.load(shop),
    )  # fmt: skip


def row(shop: Shop, found: Ticket) -> TicketRow:
    """One line of a list of tickets."""
    balls = ", ".join(tickets.ball_words(shop, taken) for taken in found.balls)
    return TicketRow(
        found.id, tickets.who(shop, found), balls, found.standing.value, found.promised_at, found.late(shop.now()),
        _waits_for(shop, found),
    )  # fmt: skip


def _waits_for(shop: Shop, found: Ticket) -> str:
    if found.standing is not Standing.PARKED:
        return ""
    if not found.balls:
        return "waiting for a ball"
    if found.person_id is None and not found.name:
        return f"phone only, {found.phone}" if found.phone else "waiting for a name"
    if any(serial(shop, taken) == "" and not taken.serial_missing for taken in found.balls):
        return "waiting for the serial"
    return "waiting for the promise" if found.promised_at is None else "half written, kept"


def serial(shop: Shop, taken: TakenIn) -> str:
    """The serial written on the ticket, else the file's."""
    return taken.serial or (shop.ball(taken.ball_id).serial if taken.ball_id is not None else "")


def ball_card(shop: Shop, ball_id: int, *, whole: bool = True) -> BallCard:
    """A ball's card. Without `whole`, what has to be reckoned from the owner's throw and the other balls (due, lost)
    is left open, so that the card is there at once. Raises NotFound.
    """
    ball = shop.ball(ball_id)
    owner, state, log = shop.person(ball.owner_id), shop.state(ball_id), effective(shop.entries(ball_id))
    due, lost = reckoned(shop, ball_id) if whole else ((), "")
    step = 10.0 ** (math.floor(math.log10(state.grit)) - 1)
    doubt = max(round(words.grit_sd(state.grit_low, state.grit_high) / step), 1) * step
    on = tickets.open_with(shop, ball_id)
    return BallCard(
        ball, owner, _last(shop, log), _spec(shop, ball, state), state, f"{words.two_figures(state.grit):.0f}",
        f"± {doubt:.0f}", lost, due, hazards.known(log), history(shop, ball_id),
        on[0].id if on else None,
    )  # fmt: skip


def reckoned(shop: Shop, ball_id: int) -> tuple[tuple[Job, ...], str]:
    """What is due on a ball, soonest first, and what it has lost since it settled in, in words. Raises NotFound."""
    ball = shop.ball(ball_id)
    due = [job for job in jobs.of_bowler(shop, shop.person(ball.owner_id)) if job.ball_id == ball_id]
    shown = [job for job in due if job.due is not Due.FINE] or due
    return tuple(sorted(shown, key=lambda job: -job.share)[:MOST_DUE]), _lost(shop, ball)


def _last(shop: Shop, log: list[Entry]) -> Parts:
    """“last: 500/2000 machine, 14 Mar, 23 games ago; wants the same”."""
    works = [e for e in log if isinstance(e.payload, SurfaceWork)]
    if not works:
        return (("no surface work on record", False),)
    said = [label_in_words(e.payload.steps) for e in works if isinstance(e.payload, SurfaceWork)]
    games = sum(games_of(e) for e in log if (e.on, e.seq) > (works[-1].on, works[-1].seq))
    ago = f"{words.count(round(games), 'game')} ago" if round(games) else "no game since"
    day = days.day_near(works[-1].on, shop.today())
    habit, times = Tally(said[-3:]).most_common(1)[0]
    wants = "wants the same" if habit == said[-1] and times >= HABIT else ""
    if not wants and len(said) > 1:
        wants = f"before that {said[-2]}"
    parts = [("last: ", False), (said[-1], True), (f", {day}, ", False), (ago, True)]
    return tuple([*parts, (f"; {wants}", False)] if wants else parts)


def games_of(entry: Entry) -> float:
    """Games an entry is worth on a ball; a practice shot is its share of one."""
    payload = entry.payload
    if isinstance(payload, Shot):
        return 1.0 / SHOTS_A_GAME
    return payload.shots / SHOTS_A_GAME if isinstance(payload, Played) else 0.0


def _spec(shop: Shop, ball: Ball, state: SurfaceState) -> str:
    """Where it is, when it is not in the bag; then what it is."""
    metric = shop.settings.units == "metric"
    to = f" to {state.holder_name}" if state.holder_name else ""
    parts = [] if state.holder is Holder.OWNED else [f"{state.holder}{to}"]
    weight = f"{ball.mass_kg:.2f} kg" if metric else f"{ball.mass_kg / POUND_KG:.1f}".removesuffix(".0") + " lb"
    parts += [ball.cover.value, weight]
    if ball.colour:
        parts.append(ball.colour)
    if state.pin_to_axis_m is not None:
        parts.append(f"pin to axis {lengths.with_unit(state.pin_to_axis_m, metric=metric)}")
    return ", ".join(parts)


def _lost(shop: Shop, ball: Ball) -> str:
    """“1 ± 1 board, 1 ft of read”; empty where the owner's throw or condition is not known."""
    try:
        lost = convergence.lost(shop, ball.owner_id).get(ball.id)
    except KnownError:
        return ""
    if lost is None:
        return ""
    boards = round(lost.boards.mean)
    feet = round(lost.first_read_m.mean / FOOT_M)
    told = f"{words.signed(-boards) if boards < 0 else boards} {words.doubt(lost.boards.sd)} boards"
    return f"{told}, {feet} ft of read" if feet > 0 else told


def history(shop: Shop, ball_id: int) -> tuple[HistoryLine, ...]:
    """A ball's life, newest first, with the games on it by then."""
    games, lines = 0.0, []
    ball, people = (shop.ball(ball_id),), shop.people()
    for entry in effective(shop.entries(ball_id)):
        games += games_of(entry)
        said = sentence(entry, ball, tuple(shop.lanes().values()), people, shop.pads())
        lines.append(HistoryLine(entry.on, said, games, entry.seq))
    return tuple(reversed(lines))


def person_card(shop: Shop, person_id: int) -> PersonCard:
    """A customer's card. Raises NotFound."""
    person = shop.person(person_id)
    theirs = [t for t in reversed(shop.every(Ticket)) if t.person_id == person_id]
    return PersonCard(person, shop.balls(person_id), tuple(row(shop, t) for t in theirs))


def with_ball(shop: Shop, draft: Ticket, ball_id: int) -> Ticket:
    """The ticket with one more ball of the file, its serial and finish as found filled in; its owner becomes the
    customer where none is named. Raises KnownError where it is on the ticket already.
    """
    taken = _of_file(shop, draft, ball_id)
    return replace(draft, balls=(*draft.balls, taken), person_id=draft.person_id or shop.ball(ball_id).owner_id)


def known_as(shop: Shop, draft: Ticket, at: int, ball_id: int) -> Ticket:
    """The ticket on which the ball at a place, taken in by words alone, is one of the file: its log will have what was
    done to it. What was written of it stays. Raises KnownError where that ball is on the ticket already.
    """
    told, known = draft.balls[at], _of_file(shop, draft, ball_id)
    made = replace(
        told, ball_id=ball_id, serial=told.serial or known.serial, found=told.found or known.found,
        hazards=tuple(dict.fromkeys((*told.hazards, *known.hazards))),
    )  # fmt: skip
    return counter_lines.with_taken(draft, at, made)


def _of_file(shop: Shop, draft: Ticket, ball_id: int) -> TakenIn:
    ball, log = shop.ball(ball_id), effective(shop.entries(ball_id))
    if any(taken.ball_id == ball_id for taken in draft.balls):
        raise KnownError(f"{ball.name} is on this ticket already.")
    works = [entry.payload for entry in log if isinstance(entry.payload, SurfaceWork)]
    found = label(works[-1].steps) if works else ""
    return TakenIn(ball_id, serial=ball.serial, found=found, hazards=hazards.known(log))


def view(shop: Shop, draft: Ticket) -> TicketView:
    """A ticket as it is shown and printed, half written or kept."""
    minutes = sum(job.minutes for taken in draft.balls for job in taken.jobs)
    away = max((job.away_min for taken in draft.balls for job in taken.jobs), default=0.0)
    kept = draft.standing in OPEN
    load = bench_queue.load(shop, 0.0 if kept else minutes, away, waits=draft.while_you_wait)
    promise = draft.promised_at or load.next_promise
    person = shop.person(draft.person_id) if draft.person_id is not None else None
    return TicketView(
        draft, tickets.who(shop, draft), draft.phone or (person.phone if person else ""),
        tuple(tickets.ball_words(shop, taken) for taken in draft.balls),
        tuple(serial(shop, taken) or taken.serial_missing for taken in draft.balls),
        counter_lines.lines(shop, draft), minutes, services.money(draft.price_cents),
        services.money(draft.owed_cents), promise, codes.code(shop, Names.TICKET, draft.id) if draft.id else "",
    )  # fmt: skip

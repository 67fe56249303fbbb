"""A ticket as the Counter shows it, made by hand: nobody and nothing in it exists."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

from arsenal.acts.counter_views import TicketLine, TicketView
from arsenal.acts.services import money
from arsenal.trade.code import Code, Names
from arsenal.trade.ticket import Job, Standing, TakenIn, Ticket, Work

ZONE = timezone(timedelta(hours=1))
NOW = datetime(2026, 11, 24, 17, 12, tzinfo=ZONE)
PROMISED = datetime(2026, 11, 26, 12, 0, tzinfo=ZONE)
HOSTILE = "<b>Ilse</b> & <img src=x> =1+1 \u202eagraV"
CODE = Code(Names.TICKET, "7K2M", 1243).text


def taken(number: int = 0) -> TakenIn:
    """A ball to be sanded, cleaned and bathed, with a crack seen."""
    jobs = (
        Job("500/2000 m, as last time", Work.SURFACE, 2400, 14.0), Job("Clean", Work.CLEAN, 300, 4.0),
        Job("Hot-water bath", Work.BATH, 2500, 20.0, 240.0),
    )  # fmt: skip
    return TakenIn(
        number or None, "" if number else "blue one, crack by thumb", "7K20977" if number else "",
        "" if number else "worn, not readable", "500/2000 m", "Ra 15 ± 2 μin", jobs, ("Crack near the thumb, 14 mm",),
        inserts_out=True, photo_ids=(1, 2), note="wants it dull",
    )  # fmt: skip


def view(
    balls: tuple[TakenIn, ...] | None = None, who: str = "Ilse Varga", names: tuple[str, ...] | None = None,
    *, number: int = 1243, note: str = "call before the bath", phone: str = "555 0117",
) -> TicketView:  # fmt: skip
    """A ticket of two balls unless others are given."""
    on = (taken(1), taken()) if balls is None else balls
    ticket = Ticket(
        number, Standing.IN, NOW, 1, phone=phone, balls=on, taken_in_at=NOW, promised_at=PROMISED, while_you_wait=False,
        deposit_cents=1000, initials="KR", note=note,
    )  # fmt: skip
    lines = tuple(
        TicketLine(at, n, None, job.name, job.minutes, money(job.price_cents), True)
        for at, ball in enumerate(on)
        for n, job in enumerate(ball.jobs)
    )
    called = names or tuple("Paper Moth" if ball.ball_id else ball.words for ball in on)
    return TicketView(
        ticket, who, phone, called, tuple(ball.serial or ball.serial_missing for ball in on), lines,
        sum(line.minutes for line in lines), money(ticket.price_cents), money(ticket.owed_cents), PROMISED,
        CODE if number else "",
    )  # fmt: skip

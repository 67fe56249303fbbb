"""Tickets at the counter: written, parked, taken in, worked on, ready, handed over. The log is written only when the
balls go back, through the same checks as the Bench.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from arsenal.acts import checks, hazards, logging, ticket_finish, ticket_log, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.acts.words import count
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.person import apart
from arsenal.trade.ticket import OPEN, Job, Standing, TakenIn, Ticket

MOST_BALLS = 40
_TEXT = 400


def blank(shop: Shop, person_id: int | None = None) -> Ticket:
    """A ticket nobody has written on yet; it has no number before it is parked or taken in."""
    return Ticket(0, Standing.PARKED, shop.now(), person_id)


def ticket(shop: Shop, number: int) -> Ticket:
    """Raises NotFound."""
    found = shop.by_id(Ticket).get(number)
    if found is None:
        raise NotFound(f"There is no ticket {number}.")
    return found


def not_closed(shop: Shop) -> tuple[Ticket, ...]:
    """Tickets that are parked or in the shop, by number."""
    kept = (Standing.PARKED, *OPEN)
    every = shop.every(Ticket)
    return shop.latest("not closed", shop.revision, lambda: tuple(t for t in every if t.standing in kept))


def park(shop: Shop, draft: Ticket, initiator: str = "desk") -> Changes:
    """Keep a half-written ticket as it is; it takes its number now. Raises KnownError where nothing is on it."""
    kept = _tidy(replace(draft, standing=Standing.PARKED))
    if kept.person_id is None and not (kept.name or kept.phone or kept.balls or kept.note):
        raise KnownError("Nothing is written on this ticket yet.")
    return _put(shop, kept, f"Parked the ticket of {who(shop, kept)}", initiator)


def take_in(shop: Shop, draft: Ticket, initiator: str = "desk") -> Changes:
    """The balls are in the shop. A name (or a customer, or a phone) and a ball or words for one are enough; a ball of
    the file without a serial needs a reason. Raises KnownError, which names what is missing.
    """
    now = draft.taken_in_at or shop.now()
    kept = _tidy(replace(draft, standing=Standing.IN, taken_in_at=now))
    if kept.person_id is None and not (kept.name or kept.phone):
        raise KnownError("Whose balls are these?", next_step="Say a name, a phone number, or choose a customer.")
    if not kept.balls:
        raise KnownError("No ball is on this ticket yet.", next_step="Name a ball, or say what it looks like.")
    _check_balls(shop, kept)
    if kept.promised_at is not None and kept.promised_at < now:
        raise KnownError("It is promised for a time that has passed.", next_step="Choose a later one.")
    ticket_log.check_readings(shop, kept)
    said = f"Took in {count(len(kept.balls), 'ball')} of {who(shop, kept)}"
    return _put(shop, kept, said, initiator)


def _check_balls(shop: Shop, kept: Ticket) -> None:
    if len(kept.balls) > MOST_BALLS:
        raise KnownError(f"More than {MOST_BALLS} balls on one ticket.", next_step="Write a second one.")
    seen: set[int] = set()
    for taken in kept.balls:
        if taken.ball_id is None:
            if not taken.words:
                raise KnownError("A ball on this ticket has neither a name nor words.")
            continue
        ball = shop.ball(taken.ball_id)
        if ball.id in seen:
            raise KnownError(f"{ball.name} is on this ticket twice.")
        seen.add(ball.id)
        for other in open_with(shop, ball.id):
            if other.id != kept.id:
                raise KnownError(f"{ball.name} is on ticket {other.id} already.", next_step="Open that one.")
        if not (taken.serial or ball.serial or taken.serial_missing):
            raise KnownError(
                f"{ball.name} has no serial.", next_step="Write it down, or say why not (“unreadable”, “later”)."
            )


def open_with(shop: Shop, ball_id: int) -> tuple[Ticket, ...]:
    """Open tickets a ball is on."""
    return tuple(t for t in not_closed(shop) if t.standing in OPEN and any(b.ball_id == ball_id for b in t.balls))


def begin(shop: Shop, number: int, ball: int, job: int, initiator: str = "desk") -> Changes:
    """Work on one job begins: the ticket is on the bench. Before heat or a bath, inserts out and plugs and cracks
    checked must be ticked; with a crack seen there is no heat. Raises KnownError.
    """
    old = _standing(shop, number, Standing.IN, Standing.BENCH)
    taken, line = _line(old, ball, job)
    if line.work.warm:
        _fit_for_heat(shop, taken)
    made = _with_job(old, ball, replace(line, begun_at=shop.now(), done_at=None), job)
    return _put(shop, replace(made, standing=Standing.BENCH), f"Began {line.name}, ticket {number}", initiator)


def _fit_for_heat(shop: Shop, taken: TakenIn) -> None:
    name = ball_words(shop, taken)
    if crack := next((hazard for hazard in hazards.of(taken) if hazards.is_crack(hazard)), ""):
        raise KnownError(f"{name} has “{crack}”: no heat.", next_step="Show the owner before any work.")
    if not taken.inserts_out:
        raise KnownError(f"Are inserts and slugs out of {name}?", next_step="Take them out first, then tick it.")
    if not taken.cracks_checked:
        raise KnownError(f"Were plugs and cracks of {name} checked?", next_step="Look first, then tick it.")


def done(
    shop: Shop, number: int, ball: int, job: int, finish: str = "", initiator: str = "desk"
) -> Changes:  # fmt: skip
    """One job is done now; `finish` is what was put on, as typed, where nobody had said it. Raises KnownError."""
    old = ticket_finish.said(_standing(shop, number, Standing.IN, Standing.BENCH), {(ball, job): finish})
    _, line = _line(old, ball, job)
    if line.work.warm and line.begun_at is None:
        _fit_for_heat(shop, old.balls[ball])
    made = _with_job(old, ball, replace(line, done_at=shop.now()), job)
    return _put(shop, replace(made, standing=Standing.BENCH), f"{line.name} done, ticket {number}", initiator)


def ready(
    shop: Shop, number: int, readings: Sequence[str] = (), initiator: str = "desk", *,
    finishes: Mapping[tuple[int, int], str] | None = None,
) -> Changes:  # fmt: skip
    """Everything on the ticket is done; `readings` are what was read afterwards, by ball, `finishes` what was put on
    where nobody had said it, by ball and job. Jobs nobody ticked count as done now. Raises KnownError where heat was
    neither begun nor checked for, or a finish is still not said.
    """
    old = ticket_finish.said(_standing(shop, number, Standing.IN, Standing.BENCH), finishes or {})
    ticket_finish.check_said(shop, old)
    now, balls = shop.now(), []
    for at, taken in enumerate(old.balls):
        if any(job.work.warm and job.done_at is None for job in taken.jobs):
            _fit_for_heat(shop, taken)
        jobs = tuple(replace(job, done_at=job.done_at or now) for job in taken.jobs)
        after = readings[at].strip()[:_TEXT] if at < len(readings) else taken.reading_after
        balls.append(replace(taken, jobs=jobs, reading_after=after))
    made = replace(old, balls=tuple(balls), standing=Standing.READY, ready_at=now)
    ticket_log.check_readings(shop, made)
    return _put(shop, made, f"Ticket {number} of {who(shop, old)} is ready", initiator)


def hand_over(
    shop: Shop, number: int, *, to: str = "", paid_cents: int | None = None, initials: str = "",
    confirmed: bool = False, initiator: str = "desk",
) -> Changes:  # fmt: skip
    """The balls go back: the ticket is closed and what was done goes into the balls' logs, in one act. Balls that are
    only described have no log. Raises KnownError where the ticket is not ready, or a log refuses an entry.
    """
    old = _standing(shop, number, Standing.READY)
    made = replace(
        old, standing=Standing.OUT, out_at=shop.now(), handed_to=to.strip()[:_TEXT],
        paid_cents=old.paid_cents if paid_cents is None else paid_cents, initials=initials.strip() or old.initials,
    )  # fmt: skip
    said = f"Handed over No {number}, {who(shop, old)}"
    drafts = ticket_log.drafts(shop, old)
    if not drafts:
        return _put(shop, made, said, initiator)
    return logging.keep(shop, drafts, initiator, said, confirmed=confirmed, also=(made,))


def call_off(shop: Shop, number: int, why: str, initiator: str = "desk") -> Changes:
    """The balls go back as they came, or a parked ticket is given up. Its number is never used again. Raises
    KnownError.
    """
    old = _standing(shop, number, Standing.PARKED, *OPEN)
    note = " ".join(part for part in (old.note, why.strip()[:_TEXT]) if part)
    made = replace(old, standing=Standing.CALLED_OFF, out_at=shop.now(), note=note)
    return _put(shop, made, f"Called off ticket {number}", initiator)


def change(shop: Shop, number: int, how: Callable[[Ticket], Ticket], said: str, initiator: str = "desk") -> Changes:
    """Change an open or parked ticket: services, promise, deposit, ticks. Raises KnownError."""
    old = _standing(shop, number, Standing.PARKED, *OPEN)
    made = _tidy(replace(how(old), id=old.id, standing=old.standing))
    _check_balls(shop, made)
    return _put(shop, made, said, initiator)


def text_to_send(shop: Shop, found: Ticket) -> str:
    """“ready” as a message, of a minor's ball to the guardian; nothing is sent by the program."""
    to, whose = addressed(shop, found)[0], who(shop, found)
    name, of = to.split(), "" if to == whose else whose
    balls = [ball_words(shop, taken) for taken in found.balls]
    listed = balls[0] if len(balls) == 1 else f"{', '.join(balls[:-1])} and {balls[-1]}"
    listed += f" of {of}" if of else ""
    owed = found.owed_cents
    pay = f" To pay: {owed // 100}.{owed % 100:02d}." if owed > 0 else ""
    verb = "is" if len(balls) == 1 else "are"
    return f"Hello {name[0] if name else 'there'}, {listed} {verb} ready to pick up. Ticket {found.id}.{pay}"


def who(shop: Shop, found: Ticket) -> str:
    """The customer as the ticket names them."""
    if found.person_id is not None:
        return shop.person(found.person_id).name
    return found.name or found.phone or "a customer"


def addressed(shop: Shop, found: Ticket) -> tuple[str, str]:
    """(whom to write to, how to reach them): of a minor the guardian, where one is named."""
    person = shop.person(found.person_id) if found.person_id is not None else None
    if person is not None and person.minor and person.guardian:
        name, to = apart(person.guardian)
        return name, to
    return who(shop, found), found.phone or (person.phone or person.email if person is not None else "")


def ball_words(shop: Shop, taken: TakenIn) -> str:
    """A ball's name, or what was said of it."""
    return shop.ball(taken.ball_id).name if taken.ball_id is not None else taken.words


def _standing(shop: Shop, number: int, *allowed: Standing) -> Ticket:
    found = ticket(shop, number)
    if found.standing not in allowed:
        names = [standing.value for standing in allowed]
        wanted = " or ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
        raise KnownError(f"Ticket {number} is {found.standing.value}.", next_step=f"This needs it {wanted}.")
    return found


def _line(found: Ticket, ball: int, job: int) -> tuple[TakenIn, Job]:
    try:
        return found.balls[ball], found.balls[ball].jobs[job]
    except IndexError:
        raise NotFound(f"Ticket {found.id} has no such job.") from None


def _with_job(found: Ticket, ball: int, line: Job, job: int) -> Ticket:
    taken = found.balls[ball]
    jobs = (*taken.jobs[:job], line, *taken.jobs[job + 1 :])
    return replace(found, balls=(*found.balls[:ball], replace(taken, jobs=jobs), *found.balls[ball + 1 :]))


def _tidy(found: Ticket) -> Ticket:
    """Spaces off; every text as long as a note may be."""

    def line(text: str) -> str:
        return " ".join(checks.note(text).replace("\x00", "").split())

    balls = tuple(
        replace(
            taken, words=line(taken.words), serial=line(taken.serial), serial_missing=line(taken.serial_missing),
            found=line(taken.found), reading=line(taken.reading),
            hazards=tuple(word for hazard in taken.hazards if (word := line(hazard))), note=line(taken.note),
        )
        for taken in found.balls
    )  # fmt: skip
    if found.deposit_cents < 0 or found.paid_cents < 0:
        raise KnownError("Money taken cannot be less than nothing.")
    return replace(
        found, name=line(found.name), phone=line(found.phone), initials=line(found.initials), note=line(found.note),
        balls=balls,
    )  # fmt: skip


def _put(shop: Shop, made: Ticket, said: str, initiator: str) -> Changes:
    if made.person_id is not None:
        shop.person(made.person_id)
    return writing.put(shop, made, said, initiator)

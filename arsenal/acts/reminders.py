"""What is to be told now of work that is due, and which customers of a shop may be written to, with the text."""

from __future__ import annotations

from arsenal.acts import calendar_plan, jobs, moved, words
from arsenal.acts.calendar_views import CustomerReminder, NotReminded, Reminder, WorkItem
from arsenal.acts.shop import Shop
from arsenal.plan.records import Due, Job, Work
from arsenal.trade import days
from arsenal.trade.calendar import League, Slot
from arsenal.trade.person import Person, apart

FEW = 8
"""In a file with so few people, all of them are taken to plan their own work."""
WRITTEN_OF = (Work.REFRESH, Work.RESURFACE, Work.DEEP_OIL)
"""Work that a shop does for its customers."""
PRESSING = {"over": 0, "due": 1, "soon": 2, "fine": 3}


def due(shop: Shop, bowler_id: int | None = None) -> tuple[Reminder, ...]:
    """Work planned for today, or due without a place, the most pressing first: of one bowler, or of everybody who
    plans his own work in this file. What was done on an earlier day, moved or left out is not in it. Raises NotFound.
    """
    whom = (shop.person(bowler_id),) if bowler_id is not None else _who_plan(shop)
    found: list[WorkItem] = []
    for person in whom:
        plan = calendar_plan.plan_upkeep(shop, person.id, keep=False)
        items = dict.fromkeys((*plan.items, *plan.unplaced))
        found += [item for item in items if item.job is not None and _now(shop, item)]
    found.sort(key=lambda item: (PRESSING[item.mark], item.ball.casefold(), item.work))
    return tuple(_reminder(shop, item, named=len(whom) > 1) for item in found)


def _who_plan(shop: Shop) -> tuple[Person, ...]:
    """Whoever has time for work or play of his own in the calendar; in a small file, everybody."""
    people = shop.people()
    if len(people) <= FEW:
        return people
    own = {slot.bowler_id for slot in shop.every(Slot)} | {league.bowler_id for league in shop.every(League)}
    return tuple(person for person in people if person.id in own)


def _now(shop: Shop, item: WorkItem) -> bool:
    if item.on is not None:
        return item.on == shop.today()
    return item.mark in ("due", "over")


def _reminder(shop: Shop, item: WorkItem, *, named: bool) -> Reminder:
    whose = f" ({item.owner})" if named else ""
    today = shop.today()
    lines = [f"{item.due_words[:1].upper()}{item.due_words[1:]}: {item.why}.", f"{item.minutes_words}."]
    if item.remark:
        lines.append(f"{item.remark[:1].upper()}{item.remark[1:]}.")
    return Reminder(
        item.key, f"{item.ball}{whose}: {item.work} {item.how}", " ".join(lines), item.ball_id, item.owner_id,
        min(item.likely or today, today), item.job,
    )  # fmt: skip


# ---- a shop's customers ------------------------------------------------------------------------------------------


def customers(shop: Shop) -> tuple[tuple[CustomerReminder, ...], tuple[NotReminded, ...]]:
    """(customers who agreed to be reminded and have work due, with the text to send; those with work due who are not
    to be written to, and why). Nothing is sent from here. Of a minor only the guardian is written to.
    """
    texts: list[CustomerReminder] = []
    left: list[NotReminded] = []
    jobs.read_ahead(shop, shop.people())
    for person in shop.people():
        found, _ = moved.split(shop, jobs.of_bowler(shop, person))
        work = [job for job in found if job.work in WRITTEN_OF and job.due in (Due.DUE, Due.OVER) and not job.damage]
        if not work:
            continue
        why = why_not(shop, person)
        if why:
            left.append(NotReminded(person.id, person.name, why))
        else:
            texts.append(_customer(shop, person, work))
    return tuple(texts), tuple(left)


def why_not(shop: Shop, person: Person) -> str:
    """Why somebody is not to be written to; empty where he may be."""
    if person.reminders_consented_on is None:
        return "no consent recorded"
    if person.reminders_consented_on > shop.today():
        return f"agreed only from {days.weekday_near(person.reminders_consented_on, shop.today())}"
    if person.minor:
        return "" if _guardian(person)[1] else "a minor with no guardian's contact"
    return "" if person.phone.strip() or person.email.strip() else "no phone or e-mail"


def _guardian(person: Person) -> tuple[str, str]:
    name, to = apart(person.guardian)
    return name or "guardian", to


def _customer(shop: Shop, person: Person, work: list[Job]) -> CustomerReminder:
    name, to = _guardian(person) if person.minor else (person.name, person.phone.strip() or person.email.strip())
    by_ball: dict[int, list[Job]] = {}
    for job in work:
        by_ball.setdefault(job.ball_id, []).append(job)
    lines = [_line(shop, ball_id, own) for ball_id, own in by_ball.items()]
    whose = f"a ball of {person.name}" if person.minor else "your ball"
    whose = whose if len(by_ball) == 1 else whose.replace("a ball", "balls").replace("your ball", "your balls")
    text = "\n".join([
        f"Hello {name},", f"this is about {whose}:", *lines,
        "Bring it in when it suits you, or tell us when you need it back." if len(by_ball) == 1
        else "Bring them in when it suits you, or tell us when you need them back.",
        "If you want no more of these reminders, tell us and we stop.",
    ])  # fmt: skip
    consent = person.reminders_consented_on or shop.today()
    balls = tuple(shop.ball(ball_id).name for ball_id in by_ball)
    return CustomerReminder(person.id, person.name, to, name, text, balls, consent)


def _line(shop: Shop, ball_id: int, work: list[Job]) -> str:
    """“Rook Hollow: a refresh, one pad, is due (3 ± 1 boards lost).”"""
    said = {
        Work.REFRESH: "a refresh, one pad,", Work.RESURFACE: "a resurfacing, the full sequence,",
        Work.DEEP_OIL: "drawing oil out",
    }  # fmt: skip
    # a resurfacing takes the refresh along
    wanted = [job for job in work if job.work is not Work.REFRESH or all(j.work is not Work.RESURFACE for j in work)]
    each = [f"{said[job.work]} is due ({_since(shop, job)})" for job in wanted]
    return f"{shop.ball(ball_id).name}: {', and '.join(each)}."


def _since(shop: Shop, job: Job) -> str:
    """Boards lost where those came first, else what was played since."""
    if job.by_state:
        return job.why
    state = shop.state(job.ball_id)
    games, on = {
        Work.REFRESH: (state.games_on_finish, state.finish_on),
        Work.RESURFACE: (state.games_since_resurface, state.resurfaced_on),
    }.get(job.work, (state.games_since_deep_oil, state.deep_oil_on))
    played = words.count(round(games.mean), "game")
    return f"{played} since {days.weekday_near(on, shop.today())}" if on is not None else f"{played} since it came"

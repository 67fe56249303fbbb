"""Bowlers and balls out of rows: new ones, those that are known, and those somebody has to be asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from arsenal.exchange.tables.columns import BALLS, BOWLERS
from arsenal.exchange.tables.likeness import (
    Answer,
    Candidate,
    Question,
    addition_for,
    bare,
    differences,
    ends_in_phone,
    filled,
    person_words,
    serial_of,
)
from arsenal.exchange.tables.problems import Bad, Problem
from arsenal.exchange.tables.reading import ASIDE, Place, Reading, once
from arsenal.exchange.tables.records import ball_of, person_of
from arsenal.exchange.tables.rows import Row
from arsenal.trade.ball import Ball
from arsenal.trade.person import Person


def keep_person(reading: Reading, number: int, place: Place, row: Row) -> None:
    """A bowler or customer; one whose name is there already is asked about. Raises Bad."""
    person, file = person_of(row, number, reading.today), place.file
    alike = _alike_people(reading, person)
    if not alike:
        _new_person(reading, person, person.name, (file, row.number))
        return
    taken = reading.same[BOWLERS.name].values()
    agreeing = [p for p in alike if p.id > ASIDE and p.id not in taken and differences(p, person, row) == ((), ())]
    if agreeing:
        _is_person(reading, number, person.name, agreeing[0])
        return
    question = _about_person(reading, file, row, person, alike)
    answer = reading.given.answers.to(question)
    if answer is None:
        reading.questions.append(question)
        reading.people.hold(person.name, f"Say first who the {person.name} of row {row.number} in {file} is.")
    elif answer.same is not None:
        other = alike[_chosen(question.candidates, answer, row.header("bowler"))]
        fills, others = differences(other, person, row)
        reading.people.put(filled(other, person, fills))
        _remark(reading, file, row, other.name, others)
        _is_person(reading, number, person.name, other)
    else:
        _another_person(reading, person, answer.addition or question.addition, file, row)


def _alike_people(reading: Reading, person: Person) -> list[Person]:
    """Those of that name. The full name with its addition, or a nickname, tells them apart where it is given."""
    alike = [reading.people.by_id[i] for i in reading.by_name.get(bare(person.name), ())]
    exact = [p for p in alike if p.name.casefold() == person.name.casefold()]
    if bare(person.name) != person.name.casefold():
        return exact or [p for p in alike if person.phone and ends_in_phone(person.name, p.phone)]
    nick = person.nickname.casefold()
    if nick and (same := [p for p in alike if p.nickname.casefold() == nick]):
        return same
    return [p for p in alike if not nick or not p.nickname]


def _new_person(reading: Reading, person: Person, called: str, at: tuple[str, int]) -> None:
    reading.people.add(person, person.name, person.nickname)
    reading.people.means(called, person.id)
    reading.by_name.setdefault(bare(person.name), []).append(person.id)
    reading.came_at["bowler", person.id] = at


def _is_person(reading: Reading, number: int, called: str, other: Person) -> None:
    reading.again(BOWLERS, number, other.id)
    reading.people.means(called, other.id)


def _another_person(reading: Reading, person: Person, addition: str, file: str, row: Row) -> None:
    name = f"{person.name} ({addition.strip(' ()')})" if addition.strip(" ()") else person.name
    if reading.people.exact(name):
        raise Bad(row.header("bowler"), f"There is a {name} already; another addition is needed.")
    _new_person(reading, replace(person, name=name), person.name, (file, row.number))


def _about_person(reading: Reading, file: str, row: Row, person: Person, alike: Sequence[Person]) -> Question:
    found = [Candidate(_key(reading, "bowler", p.id), person_words(p)) for p in alike]
    above = [reading.came_at[key] for p in alike if (key := ("bowler", p.id)) in reading.came_at]
    above_in, above_at = above[0] if above and alike[0].id < ASIDE else ("", 0)
    where = f"in row {above_at}{'' if above_in == file else f' of {above_in}'}" if above_at else "here"
    more = person_words(alike[0], named=False)
    one = f"{person.name} is {where} already{f' ({more})' if more else ''}. The same person?"
    sentence = one if len(alike) == 1 else f"{len(alike)} called {person.name} are here already. One of them?"
    addition = addition_for(person.name, person.phone, lambda name: bool(reading.people.exact(name)))
    return Question(file, row.number, "bowler", sentence, tuple(found), addition)


def _key(reading: Reading, kind: str, number: int) -> str:
    """What an answer calls it: the same while the files and the shop are."""
    if number > ASIDE:
        return f"known {number - ASIDE}"
    return "{}, row {}".format(*reading.came_at[kind, number])


def _chosen(candidates: Sequence[Candidate], answer: Answer, header: str) -> int:
    for place, candidate in enumerate(candidates):
        if candidate.key == answer.same:
            return place
    raise Bad(header, "The answer names nobody who is there now; answer again.")


def _remark(reading: Reading, file: str, row: Row, name: str, others: Sequence[str]) -> None:
    """What the file says otherwise than the shop, which stays as it is."""
    for column in others:
        header = row.header(column)
        theirs = reading.theirs.get(file, {}).get(header, header)
        reason = f"{name} stays as the shop has it; the file says otherwise here."
        reading.remarks.append(Problem(file, row.number, theirs, reason, row.value_of(header)))


def keep_ball(reading: Reading, number: int, place: Place, row: Row) -> None:
    """A ball; one whose serial number is there already is asked about. Raises Bad."""
    text, header = row.text("bowler"), row.header("bowler")
    if not text and len(reading.people.all) != 1:
        raise Bad(header, "Name the bowler: there is not just one.")
    owner = reading.people.one(text, header) if text else reading.people.all[0]
    ball = ball_of(row, number, owner.id, reading.today)
    key = ("ball", ball.owner_id, ball.name.casefold(), ball.nickname.casefold(), ball.serial.casefold())
    once(reading.seen, key, row.header("ball"), f"There is a {ball.name} of this bowler above already.")
    mine = (ball.owner_id, ball.nickname, ball.serial)
    known = [b for b in reading.balls.exact(ball.name) if b.id > ASIDE and (b.owner_id, b.nickname, b.serial) == mine]
    if known:
        reading.again(BALLS, number, known[0].id)
        return
    serial, file = serial_of(ball.serial), place.file
    alike = [reading.balls.by_id[i] for i in reading.by_serial.get(serial, ())] if serial else []
    question = _about_serial(reading, file, row, ball, alike) if alike else None
    answer = reading.given.answers.to(question) if question else Answer()
    if question is not None and answer is None:
        reading.questions.append(question)
        reading.balls.hold(ball.name, f"Say first which ball the {ball.name} of row {row.number} in {file} is.")
    elif question is not None and answer is not None and answer.same is not None:
        other = alike[_chosen(question.candidates, answer, row.header("serial"))]
        fills, others = differences(other, ball, row)
        reading.balls.put(filled(other, ball, fills))
        _remark(reading, file, row, other.name, others)
        reading.again(BALLS, number, other.id)
        reading.balls.means(ball.name, other.id)
    else:
        _new_ball(reading, ball, serial, (file, row.number))


def _new_ball(reading: Reading, ball: Ball, serial: str, at: tuple[str, int]) -> None:
    reading.balls.add(ball, ball.name, ball.nickname, ball.serial)
    reading.came_at["ball", ball.id] = at
    if serial:
        reading.by_serial.setdefault(serial, []).append(ball.id)


def _about_serial(reading: Reading, file: str, row: Row, ball: Ball, alike: Sequence[Ball]) -> Question:
    found = []
    for other in alike:
        owner = reading.people.by_id.get(other.owner_id)
        found.append(Candidate(_key(reading, "ball", other.id), f"{other.name}{f' of {owner.name}' if owner else ''}"))
    sentence = f"Serial {ball.serial} is on {found[0].words} already. Is {ball.name} the same ball?"
    return Question(file, row.number, "ball", sentence, tuple(found))

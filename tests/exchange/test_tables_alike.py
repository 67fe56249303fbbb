"""Two customers of one name, one serial on two balls: asked about by row, answered by row, never guessed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from arsenal.exchange.tables import Answer, Answers, Given, Known, Loaded, Rest, dump, load
from arsenal.trade import Ball, Cover, Person
from arsenal.trade.entries import Kind

TODAY = date(2026, 11, 24)
ILSE = Person(7, "Ilse Varga", phone="555 0101")
LANTERN = Ball(3, "Slow Lantern", "lantern", 7, Cover.HYBRID, serial="7K-20418")
KNOWN = Known((ILSE,), (LANTERN,))


def loaded(folder: Path, answers: Answers | None = None, known: Known = KNOWN, **tables: str) -> Loaded:
    paths = []
    for name, text in tables.items():
        paths.append(folder / f"{name}.csv")
        paths[-1].write_bytes(text.encode())
    return load(paths, today=TODAY, known=known, given=Given(answers=answers or Answers()))


def said(row: int, answer: Answer, file: str = "bowlers.csv") -> Answers:
    return Answers({(file, row): answer})


@pytest.mark.parametrize("row", ["Ilse Varga,555 0199", "ilse varga,555-0102", "Ilse Varga,555 0101 ext 4"])
def test_a_customer_of_a_known_name_who_says_anything_else_is_asked_about(tmp_path: Path, row: str) -> None:
    found = loaded(tmp_path, bowlers=f"bowler,phone\n{row}\n")
    (question,) = found.questions
    assert (question.file, question.row, question.kind) == ("bowlers.csv", 2, "bowler")
    assert "already" in question.sentence
    assert "same person?" in question.sentence
    assert [c.key for c in question.candidates] == ["known 7"]
    assert "555 0101" in question.candidates[0].words
    assert not found.people
    assert not found.changed


@pytest.mark.parametrize("row", ["Ilse Varga,555-01-01", "ILSE VARGA,(555) 0101", "Ilse Varga,"])
def test_a_row_that_says_what_is_known_is_passed_over_without_a_question(tmp_path: Path, row: str) -> None:
    found = loaded(tmp_path, bowlers=f"bowler,phone\n{row}\n")
    assert (found.questions, found.people, found.changed, found.skipped) == ((), (), (), 1)


def test_the_same_person_gets_what_was_missing_and_keeps_what_the_shop_has(tmp_path: Path) -> None:
    text = "bowler,phone,email\nIlse Varga,555 0199,ilse@example.org\n"
    found = loaded(tmp_path, said(2, Answer("known 7")), bowlers=text)
    assert found.changed == (replace(ILSE, email="ilse@example.org"),)
    assert not found.people
    (remark,) = found.remarks
    assert (remark.field, remark.value) == ("phone", "555 0199")


def test_another_one_is_kept_under_a_name_of_her_own_and_her_balls_are_hers(tmp_path: Path) -> None:
    tables = {"bowlers": "bowler,phone\nIlse Varga,555 0199\n", "balls": "ball,cover,bowler\nBlue,solid,Ilse Varga\n"}
    found = loaded(tmp_path, said(2, Answer(None, "Elm Street")), **tables)
    (other,), (blue,) = found.people, found.balls
    assert other.name == "Ilse Varga (Elm Street)"
    assert blue.owner_id == other.id != ILSE.id
    assert not found.problems


def test_the_addition_offered_is_the_end_of_the_phone_number(tmp_path: Path) -> None:
    (question,) = loaded(tmp_path, bowlers="bowler,phone\nIlse Varga,555 0199\n").questions
    assert question.addition == "0199"
    found = loaded(tmp_path, Answers(rest=Rest.ANOTHER), bowlers="bowler,phone\nIlse Varga,555 0199\n")
    assert [p.name for p in found.people] == ["Ilse Varga (0199)"]


def test_until_it_is_answered_nothing_of_hers_goes_to_anybody(tmp_path: Path) -> None:
    """Else her ball would silently be the other one's."""
    tables = {"bowlers": "bowler,phone\nIlse Varga,555 0199\n", "balls": "ball,cover,bowler\nBlue,solid,Ilse Varga\n"}
    found = loaded(tmp_path, **tables)
    assert not found.balls
    (problem,) = found.problems
    assert "row 2 in bowlers.csv" in problem.reason


def test_two_of_one_name_in_one_file_are_asked_about_too(tmp_path: Path) -> None:
    text = "bowler,phone\nOda Penn,555 1\nOda Penn,555 2\n"
    (question,) = loaded(tmp_path, bowlers=text).questions
    assert (question.row, question.candidates[0].key) == (3, "bowlers.csv, row 2")
    same = loaded(tmp_path, said(3, Answer("bowlers.csv, row 2")), bowlers=text)
    assert [p.phone for p in same.people] == ["555 1"]
    both = loaded(tmp_path, said(3, Answer(None, "junior")), bowlers=text)
    assert [p.name for p in both.people] == ["Oda Penn", "Oda Penn (junior)"]
    balls = loaded(
        tmp_path, said(3, Answer(None, "junior")), bowlers=text, balls="ball,cover,bowler\nB,solid,Oda Penn\n"
    )
    assert "means 2 bowlers" in balls.problems[0].reason


def test_two_of_one_name_with_nicknames_of_their_own_need_no_question(tmp_path: Path) -> None:
    text = "bowler,nickname\nOda Penn,oda\nOda Penn,penny\n"
    assert [p.nickname for p in loaded(tmp_path, bowlers=text).people] == ["oda", "penny"]


def test_loading_the_file_again_asks_no_more_about_the_one_who_was_kept_apart(tmp_path: Path) -> None:
    text = "bowler,phone\nOda Penn,555 1\nOda Penn,555 2\n"
    first = loaded(tmp_path, said(3, Answer(None, "junior")), known=Known(), bowlers=text)
    again = loaded(tmp_path, known=Known(first.people), bowlers=text)
    assert (again.questions, again.people, again.skipped) == ((), (), 2)


@pytest.mark.parametrize("serial", ["7K-20418", "7k20418", " 7K 20418 "])
def test_a_serial_that_is_on_a_ball_already_is_asked_about(tmp_path: Path, serial: str) -> None:
    (question,) = loaded(tmp_path, balls=f"ball,cover,serial\nBlue,solid,{serial}\n").questions
    assert question.kind == "ball"
    assert "Slow Lantern of Ilse Varga" in question.sentence
    assert question.candidates[0].key == "known 3"


@pytest.mark.parametrize("serial", ["", "unreadable", "n/a", "-", "worn"])
def test_no_serial_is_no_doubled_serial(tmp_path: Path, serial: str) -> None:
    text = f"ball,cover,serial\nBlue,solid,{serial}\nGreen,solid,{serial}\n"
    found = loaded(tmp_path, balls=text)
    assert (len(found.balls), found.questions, found.problems) == (2, (), ())


def test_a_ball_known_by_its_serial_takes_the_log_written_under_its_other_name(tmp_path: Path) -> None:
    tables = {"balls": "ball,cover,serial,colour\nBlue,solid,7K20418,blue\n",
              "log": "ball,date,entry\nBlue,2026-11-02,1000 h\n"}  # fmt: skip
    found = loaded(tmp_path, said(2, Answer("known 3"), "balls.csv"), **tables)
    assert not found.balls
    assert found.changed_balls == (replace(LANTERN, colour="blue"),)
    assert [(d.ball_id, d.kind) for d in found.drafts] == [(3, Kind.SANDED)]
    assert {r.field for r in found.remarks} == {"ball", "cover"}


def test_another_ball_with_the_same_serial_is_kept_as_it_is_written(tmp_path: Path) -> None:
    found = loaded(tmp_path, Answers(rest=Rest.ANOTHER), balls="ball,cover,serial\nBlue,solid,7K20418\n")
    assert [(b.name, b.serial) for b in found.balls] == [("Blue", "7K20418")]


def test_an_answer_that_names_nobody_is_told_and_nothing_is_taken_for_granted(tmp_path: Path) -> None:
    found = loaded(tmp_path, said(2, Answer("known 99")), bowlers="bowler,phone\nIlse Varga,555 0199\n")
    assert "names nobody" in found.problems[0].reason
    assert not found.people


TWINS = (
    Person(1, "Lene Kjer", phone="555 2345 521"), Person(2, "Lene Kjer", phone="555 3310 557"),
    Person(3, "Oren Vik"), Person(4, "Oren Vik"),
    Person(5, "Ane Bo", "a1"), Person(6, "Ane Bo", "a2"),
)  # fmt: skip


def test_a_dump_says_which_of_two_customers_of_one_name_a_ball_belongs_to(tmp_path: Path) -> None:
    balls = tuple(Ball(p.id, "Blue one", "", p.id, Cover.POLYESTER, colour=str(p.id)) for p in TWINS)
    dump(tmp_path, TWINS, balls, (), (), ())
    found = load([tmp_path], today=TODAY)
    assert not found.problems
    assert not found.questions
    assert [p.name for p in found.people] == [
        "Lene Kjer", "Lene Kjer (0557)", "Oren Vik", "Oren Vik (2)", "Ane Bo", "Ane Bo",
    ]  # fmt: skip
    assert {ball.colour: ball.owner_id for ball in found.balls} == {str(p.id): p.id for p in TWINS}


def test_such_a_dump_says_nothing_new_to_the_shop_it_came_from(tmp_path: Path) -> None:
    twins = TWINS[:2]
    balls = tuple(Ball(p.id, "Blue one", "", p.id, Cover.POLYESTER) for p in twins)
    dump(tmp_path, twins, balls, (), (), ())
    found = load([tmp_path], today=TODAY, known=Known(twins, balls))
    assert not found.problems
    assert not found.questions
    assert (found.people, found.balls, found.changed, found.skipped) == ((), (), (), 4)

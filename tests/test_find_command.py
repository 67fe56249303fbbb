"""`padbook find`, as somebody at a terminal meets it: best first, while the desk holds the file, whatever is typed."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from arsenal import commands
from arsenal.acts import balls, codes, people, tickets
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.ledger import NO_BACKUPS
from arsenal.trade import Ball, Cover, Person
from arsenal.trade.code import Names
from arsenal.trade.ticket import TakenIn


def opened(path: Path) -> Shop:
    return Shop.open(path, settings=Settings(path=path.with_name("settings.json")), backups=NO_BACKUPS)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "shop.padbook"
    with opened(path) as shop:
        people.add_bowler(shop, Person(0, "Ilse Varga", phone="555 0117"))
        people.add_bowler(shop, Person(0, "Tamsin Ode", phone="555 0142"))
        balls.add_ball(shop, Ball(0, "Quarry Song", "quarry", 1, Cover.SOLID, serial="5T30266"))
        balls.add_ball(shop, Ball(0, "Salt Veil", "salt", 2, Cover.PEARL))
        tickets.take_in(shop, replace(tickets.blank(shop), person_id=1, balls=(TakenIn(1, serial="5T30266"),)))
    return path


def said(capsys: pytest.CaptureFixture[str], *arguments: object, code: int = 0) -> str:
    assert commands.main([str(a) for a in arguments]) == code
    found = capsys.readouterr()
    return found.out if code == 0 else found.err


def rows(capsys: pytest.CaptureFixture[str], file: Path, *typed: str) -> list[tuple[str, int, str]]:
    found = json.loads(said(capsys, "find", "--data", file, "--json", "--", *typed))
    assert all(set(row) == {"kind", "id", "label", "detail"} for row in found)
    return [(row["kind"], row["id"], row["label"]) for row in found]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("varga", ("person", 1, "Ilse Varga")),
        ("5550117", ("person", 1, "Ilse Varga")), ("quarry", ("ball", 1, "Quarry Song")),
        ("5T30266", ("ball", 1, "Quarry Song")), ("1", ("ticket", 1, "No 1")), ("salt v", ("ball", 2, "Salt Veil")),
    ],
)  # fmt: skip
def test_the_best_find_comes_first(
    file: Path, capsys: pytest.CaptureFixture[str], typed: str, first: tuple[str, int, str]
) -> None:
    assert rows(capsys, file, typed)[0] == first


def test_one_wrong_letter_is_forgiven(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert rows(capsys, file, "tamsim", "ode")[0] == ("person", 2, "Tamsin Ode")


def test_a_label_code_is_found_and_a_changed_one_refused(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with opened(file) as shop:
        text = codes.code(shop, Names.BALL, 2)
    assert rows(capsys, file, text) == [("ball", 2, "Salt Veil")]
    wrong = text[:7] + "3" + text[8:]
    assert "misread or changed" in said(capsys, "find", wrong, "--data", file, code=2)


def test_it_works_while_the_desk_holds_the_file(file: Path) -> None:
    with opened(file) as held:
        held.people()
        told = subprocess.run(  # noqa: S603 - our own words
            [sys.executable, "-m", "arsenal", "find", "quarry", "--data", str(file), "--json"],
            capture_output=True, check=True, cwd=Path(__file__).parents[1],
        )  # fmt: skip
        assert json.loads(told.stdout)[0]["label"] == "Quarry Song"
        people.add_bowler(held, Person(0, "Yrsa Tarn"))


def test_printed_plain_best_first_and_said_where_nothing_fits(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = said(capsys, "find", "quarry", "--data", file).splitlines()
    assert lines[0].split() == ["kind", "id", "label", "detail"]
    assert lines[1].startswith("ball")
    assert "Quarry Song" in lines[1]
    assert "Ilse Varga" in lines[1]
    assert "Nothing in this file fits" in said(capsys, "find", "zzzz", "--data", file)
    assert len(json.loads(said(capsys, "find", "quarry", "--most", "1", "--data", file, "--json"))) == 1


HOSTILE = (
    '"', "NEAR(a b)", "*", "=1+1", "<b>x</b>", "\u202evarga", "a" * 10_000, "'; DROP TABLE balls; --", "&", "\x00",
    "  ",
)  # fmt: skip


@pytest.mark.parametrize("typed", HOSTILE, ids=range(len(HOSTILE)))
def test_any_text_is_safe(file: Path, capsys: pytest.CaptureFixture[str], typed: str) -> None:
    said(capsys, "find", "--data", file, "--", typed)


def test_a_name_cannot_move_the_cursor_of_the_terminal(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """ECMA-48: sequences that move or colour begin with ESC, 0x1B."""
    with opened(file) as shop:
        balls.add_ball(shop, Ball(0, "Bramble \u202e Vow <b>", "bramble", 1, Cover.SOLID, serial="\x1b[2Jx"))
    told = said(capsys, "find", "bramble", "--data", file)
    assert "\x1b" not in told
    assert "\u202e" not in told
    assert "<b>" in told


def test_it_stands_in_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        commands.main(["--help"])
    assert "find a ball, person or ticket" in " ".join(capsys.readouterr().out.split())

"""The file handed over, rebuilt, read while another process writes, from the command line."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from arsenal import commands
from arsenal.ledger import verify_file

BALLS = "bowler,ball,nickname,cover\nOrla Venn,Amber Kite,kite,hybrid\nOrla Venn,Quiet Plum,plum,solid\n"
BOWLERS = "bowler,speed_mph,revs_rpm,usual_lane\nOrla Venn,16,280,41 ft house\n"
LANES = "condition,length_ft,volume_ml,ratio\n41 ft house,41,25,8\n"
LOG = "ball,date,entry\nkite,2026-03-02,1000 h\n"
HOLDER = """
import sys
from pathlib import Path
from arsenal.acts import logging
from arsenal.acts.shop import Shop
with Shop.open(Path(sys.argv[1])) as shop:
    logging.thrown(shop, 1, 14)
    print("open", flush=True)
    sys.stdin.readline()
"""


def said(capsys: pytest.CaptureFixture[str], *arguments: object, code: int = 0) -> str:
    assert commands.main([str(a) for a in arguments]) == code
    told = capsys.readouterr()
    return told.err if code else told.out


@pytest.fixture
def shop(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    tables = {"bowlers": BOWLERS, "balls": BALLS, "lanes": LANES, "log": LOG}
    for name, text in tables.items():
        (tmp_path / f"{name}.csv").write_text(text)
    path = tmp_path / "shop.padbook"
    said(capsys, "--data", path, "load", *(tmp_path / f"{name}.csv" for name in tables))
    return path


@pytest.fixture
def held(shop: Path) -> Iterator[Path]:
    """The file while another process has it open for writing, something of it still in the write-ahead log."""
    other = subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", HOLDER, str(shop)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert other.stdout is not None
    assert other.stdin is not None
    assert other.stdout.readline() == "open\n"
    yield shop
    other.stdin.close()
    assert other.wait(60) == 0
    other.stdout.close()


@pytest.mark.parametrize(
    "command",
    [
        ("list", "balls"),
        ("list", "bowlers"),
        ("order",),
        ("upkeep",),
        ("whatif", "--ball", "kite"),
        ("verify",),
        ("find", "kite"),
        ("find", "kote"),
    ],
)
def test_another_process_reads_while_the_desk_has_the_file_open(
    held: Path, capsys: pytest.CaptureFixture[str], command: tuple[str, ...]
) -> None:
    assert said(capsys, "--data", held, *command).strip()


def test_what_was_just_written_is_read_by_the_other_process(held: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert json.loads(said(capsys, "--data", held, "verify", "--json"))["entries"] == 2


def test_a_second_writer_is_refused_in_words(held: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = said(capsys, "--data", held, "log", "kite 14s", code=commands.KNOWN)
    assert "already open in another window" in told
    assert "already open" in said(capsys, "--data", held, "handover", held.with_name("c.padbook"), code=commands.KNOWN)


def test_a_backup_and_a_dump_are_made_while_the_desk_has_the_file_open(
    held: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said(capsys, "--data", held, "backup", tmp_path / "copy.padbook")
    assert verify_file(tmp_path / "copy.padbook").entries == 2
    said(capsys, "--data", held, "dump", tmp_path / "out", "--xlsx")
    assert "log" in CalamineWorkbook.from_path(tmp_path / "out" / "shop.xlsx").sheet_names


def test_a_file_is_handed_over_taken_over_and_taken_back_from_the_command_line(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy, there = tmp_path / "stick" / "shop.padbook", tmp_path / "there.padbook"
    assert "Handed over" in said(capsys, "--data", shop, "handover", copy, "--who", "Orla")
    told = said(capsys, "--data", shop, "log", "kite 14s", code=commands.KNOWN)
    assert "was handed over on" in told
    assert "by Orla on" in told
    assert "Amber Kite" in said(capsys, "--data", shop, "list", "balls")
    assert "in charge now" in said(capsys, "--data", there, "takeover", copy)
    said(capsys, "--data", there, "log", "kite 14s")
    assert "taken over already" in said(capsys, "--data", shop, "takeover", copy, code=commands.KNOWN)
    assert "must not be taken over" in said(capsys, "--data", shop, "takeback")
    said(capsys, "--data", shop, "log", "plum 14s")


def test_a_file_is_made_again_from_its_lines_from_the_command_line(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said(capsys, "--data", shop, "dump", tmp_path / "out")
    again = tmp_path / "again.padbook"
    assert "Rebuilt" in said(capsys, "rebuild", tmp_path / "out" / "shop.jsonl", again)
    assert verify_file(again).ok
    assert "there already" in said(capsys, "rebuild", tmp_path / "out" / "shop.jsonl", again, code=commands.KNOWN)


def test_rows_that_are_asked_about_are_answered_all_alike_and_the_rest_written_down(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    more, errors = tmp_path / "more.csv", tmp_path / "errors.csv"
    more.write_text("bowler,phone\nOrla Venn,555 0101\n")
    told = said(capsys, "--data", shop, "load", more, "--errors", errors, code=commands.KNOWN)
    assert told == ""
    assert "same person?" in errors.read_text("utf-8-sig")
    said(capsys, "--data", shop, "load", more, "--alike", "another")
    assert "Orla Venn (0101)" in said(capsys, "--data", shop, "list", "bowlers")


def test_a_file_in_a_network_folder_is_read_and_never_written(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from arsenal.ledger import files  # noqa: PLC0415

    monkeypatch.setattr(files, "on_network", lambda _folder: True)
    told = said(capsys, "--data", shop, "log", "kite 14s", code=commands.KNOWN)
    assert "lies in a network folder, where two machines could write at once" in told
    assert "Keep the file on this machine" in told
    assert "Amber Kite" in said(capsys, "--data", shop, "list", "balls")


def test_foreign_headers_are_shown_said_and_remembered(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    theirs = tmp_path / "customers.csv"
    theirs.write_text("Client,Cell,Shoe\nIlse Varga,555 0101,42\n")
    assert commands.main(["--data", str(shop), "load", str(theirs)]) == commands.KNOWN
    assert "load --columns" in capsys.readouterr().out
    shown = said(capsys, "--data", shop, "load", theirs, "--columns")
    assert "a guess: say --as to load it so" in shown
    assert [line.split()[:2] for line in shown.splitlines()[1:4]] == [
        ["Client", "bowler"], ["Cell", "phone"], ["Shoe", "left"],
    ]  # fmt: skip
    told = said(capsys, "--data", shop, "load", theirs, "--as", "bowlers", "--column", "Shoe=note")
    assert "Loaded 1 bowler." in told
    theirs.write_text("Client,Cell,Shoe\nOda Penn,555 0102,39\n")
    assert "Loaded 1 bowler." in said(capsys, "--data", shop, "load", theirs)
    shown = json.loads(said(capsys, "--data", shop, "load", theirs, "--columns", "--json"))
    assert [column["holds"] for column in shown[0]["columns"]] == ["bowler", "phone", "note"]


def test_headers_are_shown_without_making_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    theirs = tmp_path / "customers.csv"
    theirs.write_text("Client,Cell\nIlse Varga,555 0101\n")
    assert "bowler" in said(capsys, "--data", tmp_path / "new.padbook", "load", theirs, "--columns")
    assert not (tmp_path / "new.padbook").exists()


def test_the_views_for_other_programs_are_filled_at_a_word(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with closing(sqlite3.connect(shop)) as conn:
        conn.execute("DELETE FROM now_balls")
        conn.commit()
    assert "2 balls, 2 of them written anew" in said(capsys, "--data", shop, "views")
    with closing(sqlite3.connect(shop)) as conn:
        assert conn.execute("SELECT count(*) FROM balls_now").fetchone() == (2,)
    assert "0 of them written anew" in said(capsys, "--data", shop, "views")


def test_a_backup_is_put_back_and_what_was_there_is_kept(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy, bad = tmp_path / "copy.padbook", tmp_path / "bad.padbook"
    said(capsys, "--data", shop, "backup", copy)
    said(capsys, "--data", shop, "log", "kite 14s")
    told = said(capsys, "--data", shop, "restore", copy)
    assert "kept as shop.padbook.replaced-" in told
    assert verify_file(shop).entries == 1
    (kept,) = [path for path in tmp_path.glob("shop.padbook.replaced-*") if not path.name.endswith(("-wal", "-shm"))]
    assert verify_file(kept).entries == 2
    bad.write_bytes(copy.read_bytes()[:9000])
    assert "cut short" in said(capsys, "--data", shop, "restore", bad, code=commands.KNOWN)
    assert "no file" in said(capsys, "--data", shop, "restore", tmp_path / "none", code=commands.KNOWN)
    assert verify_file(shop).entries == 1


def test_nothing_is_put_back_over_a_file_that_is_open(
    held: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said(capsys, "--data", held, "backup", tmp_path / "copy.padbook")
    assert "already open" in said(capsys, "--data", held, "restore", tmp_path / "copy.padbook", code=commands.KNOWN)

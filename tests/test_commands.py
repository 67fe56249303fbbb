"""The command line as somebody at a terminal or a script meets it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from arsenal import commands
from arsenal.acts import files, mistakes
from arsenal.ledger import Ledger

ORDER_FIELDS = [
    "ball", "place", "boards", "boards_low", "boards_high", "strength", "first_read_ft", "breakpoint_ft",
    "breakpoint_board", "rolls_ft", "shape", "shape_ft", "hook_boards", "room", "finish_grit", "finish_grit_low",
    "finish_grit_high", "ra_um", "oil_g", "games_since_surface", "tied_with", "flags", "findings",
]  # fmt: skip
BALLS = """bowler,ball,nickname,cover
Orla Venn,Amber Kite,kite,hybrid
Orla Venn,Quiet Plum,plum,solid
"""


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sample") / "sample.padbook"
    files.write_sample(path)
    return path


@pytest.fixture
def shop(sample: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(sample, tmp_path / "shop.padbook"))


@pytest.fixture(autouse=True)
def _no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)


def said(capsys: pytest.CaptureFixture[str], *arguments: object, code: int = 0) -> str:
    assert commands.main([str(a) for a in arguments]) == code
    found = capsys.readouterr()
    return found.out if code == 0 else found.err


def rows(capsys: pytest.CaptureFixture[str], *arguments: object) -> Any:
    return json.loads(said(capsys, *arguments, "--json"))


def kept(path: Path) -> int:
    """How many entries the file's log holds."""
    with Ledger.open(path, read_only=True) as ledger:
        return ledger.head_seq


def test_an_order_has_exactly_the_named_fields_strongest_first(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = rows(capsys, "order", "--bowler", "mirel", "--lane", "41 ft house, 25", "--data", shop)
    assert [list(row) for row in found] == [ORDER_FIELDS] * 7
    boards = [row["boards"] for row in found]
    assert boards == sorted(boards, reverse=True)
    assert [row["place"] for row in found] == sorted(row["place"] for row in found)
    names = {row["ball"] for row in found}
    assert "Plain Gate" not in names  # the spare ball is apart
    for row in found:
        assert row["boards_low"] <= row["boards"] <= row["boards_high"]
        assert row["finish_grit_low"] <= row["finish_grit"] <= row["finish_grit_high"]
        assert set(row["tied_with"]) <= names
        assert row["shape"] in ("sharp", "medium", "smooth", None)
        assert row["first_read_ft"] is None or 15 < row["first_read_ft"] <= 60
        assert row["breakpoint_board"] is None or 1 <= row["breakpoint_board"] <= 39


def test_a_left_handers_boards_count_from_the_left_gutter(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = rows(capsys, "order", "--bowler", "anneke", "--lane", "41 ft house, 25", "--data", shop)
    assert all(row["breakpoint_board"] < 20 for row in found if row["breakpoint_board"] is not None)


def test_the_usual_condition_is_taken_where_none_is_named(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "on 41 ft house, 25 mL, fresh" in said(capsys, "order", "--bowler", "mirel", "--data", shop)


def test_later_in_a_set_the_order_says_who_bowled_on_the_lane(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ("order", "--bowler", "mirel", "--data", shop, "--game", "3")
    text = " ".join(said(capsys, *asked, "--with", "anneke", "--with", "bo").split())
    assert "after 3 games by Mirel Oster, Anneke Roos and Bo Tillander, from" in text
    assert "after 3 games by Mirel Oster and three more who throw alike," in " ".join(said(capsys, *asked).split())
    assert "games is 99" in said(capsys, *asked[:-1], "99", code=2)
    assert "There is no bowler “nobody”" in said(capsys, *asked, "--with", "nobody", code=2)


def test_several_bowlers_and_none_named_lists_the_choices(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    error = said(capsys, "order", "--data", shop, code=2)
    assert "Which bowler?" in error
    assert "Mirel Oster" in error
    assert "--bowler" in error


def test_a_condition_nobody_has_lists_the_choices(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    error = said(capsys, "order", "--bowler", "mirel", "--lane", "moon", "--data", shop, code=2)
    assert "There is no lane condition “moon”" in error
    assert error.count("\n") == 1  # one sentence, no traceback


def test_the_order_reads_well_in_a_hundred_columns(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "order", "--bowler", "mirel", "--data", shop)
    assert max(map(len, text.splitlines())) <= 100
    assert "1000 h, ~" in text
    assert "Plain Gate" in text  # the spare, below the order
    assert "Rule: pads allowed until the first scored ball." in text


def test_what_if_tells_of_every_pad_in_stock(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ("whatif", "--bowler", "mirel", "--ball", "quarry", "--lane", "41 ft house, 25 mL, fresh", "--data", shop)
    found = rows(capsys, *asked)
    assert {
        "recipe", "boards_change", "first_read_change_ft", "rolls_change_ft", "place", "minutes", "warnings",
        "boards_change_sd", "room_before", "room", "uses_left", "reversible", "shape",
    } <= set(found[0])  # fmt: skip
    assert {pad for row in found for pad in row["pads"]} == set(range(1, 15))  # hers and the shop's, nobody else's
    coarse = next(row for row in found if row["recipe"] == "360 s")
    fine = next(row for row in found if row["recipe"] == "polish")
    assert coarse["boards_change"] > fine["boards_change"]
    assert coarse["first_read_change_ft"] < 0.0 < fine["first_read_change_ft"]
    assert all(isinstance(row["warnings"], list) and row["minutes"] > 0.0 for row in found)
    text = said(capsys, *asked)
    assert max(map(len, text.splitlines())) <= 100
    assert "no longer cuts" in text
    assert "? the doubt is as large as the change" in text


def test_what_is_wanted_of_a_ball_is_answered_or_said_not_to_be_in_stock(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ("whatif", "--bowler", "mirel", "--ball", "quarry", "--data", shop, "--want")
    assert "does it, the gentlest of those in stock" in " ".join(said(capsys, *asked, "2 ft earlier").split())
    none = rows(capsys, *asked, "25 ft earlier")
    assert none["does"] is None
    assert none["nearest"]["recipe"] in none["sentence"]
    assert "is not understood" in said(capsys, *asked, "much earlier", code=2)
    assert "There is no ball “moon”" in said(capsys, "whatif", "--bowler", "mirel", "--ball", "moon", "--data", shop,
                                             code=2)  # fmt: skip


def test_upkeep_says_what_is_due_and_why(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = rows(capsys, "upkeep", "--data", shop)
    assert {"bowler", "ball", "work", "due", "how", "why", "by", "minutes", "boards_lost", "games_left"} <= set(
        found[0]
    )
    due = [row for row in found if row["due"] in ("due", "over")]
    assert len(due) < len(found) / 2  # a normal week does not turn everything red
    text = said(capsys, "upkeep", "--bowler", "mirel", "--data", shop)
    assert text.startswith("Upkeep for Mirel Oster until ")
    everything = said(capsys, "upkeep", "--bowler", "mirel", "--all", "--data", shop)
    assert len(everything.splitlines()) > len(text.splitlines())


def test_pads_and_recipes_are_listed(shop: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    found = rows(capsys, "list", "pads", "--data", shop)
    assert len(found) == 16
    assert {"name", "pad", "cuts", "left_hand", "left_spinner", "used_up"} <= set(found[0])
    assert [r["name"] for r in rows(capsys, "list", "recipes", "--data", shop)] == [
        "House solid", "Rough urethane", "Late pearl",
    ]  # fmt: skip
    (tmp_path / "recipes.csv").write_text("recipe,steps,owner\nearly Monday,500/1000/p s,Mirel Oster\n")
    assert "Loaded 1 recipe." in said(capsys, "load", tmp_path / "recipes.csv", "--data", shop)
    one = rows(capsys, "list", "recipes", "--data", shop)[-1]
    assert (one["name"], one["steps"], one["owner"]) == ("early Monday", "500/1000/polish s", "Mirel Oster")
    last = rows(capsys, "whatif", "--bowler", "mirel", "--ball", "quarry", "--data", shop)[-1]
    assert (last["recipe"], last["kept"]) == ("early Monday", True)


@pytest.mark.parametrize("what", ["bowlers", "balls", "lanes"])
def test_lists_have_names(shop: Path, capsys: pytest.CaptureFixture[str], what: str) -> None:
    found = rows(capsys, "list", what, "--data", shop)
    assert len(found) >= 6
    assert all(row["name"] for row in found)
    assert all(row["name"] in said(capsys, "list", what, "--data", shop) for row in found[:2])


def test_several_lines_are_logged_in_one_go(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "log", "rook 1000 h", "quarry 3g wiped clean", "--data", shop)
    assert "Rook Hollow sanded today with 1000 by hand" in text
    assert "Quarry Song played 3 games today, wiped each shot" in text
    assert text.splitlines()[-1].startswith("Kept. ")


def test_one_unclear_line_keeps_none_of_them(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = kept(shop)
    error = said(capsys, "log", "rook 3g", "rook frobnicate", "--data", shop, code=2)
    assert "“frobnicate” is not understood" in error
    assert kept(shop) == before


def test_a_dry_run_shows_the_meaning_and_keeps_nothing(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = kept(shop)
    assert "dry run" in said(capsys, "log", "rook 3g", "--dry-run", "--data", shop)
    assert rows(capsys, "log", "rook 3g", "--dry-run", "--data", shop)[0]["kept"] is False
    assert kept(shop) == before


def test_heat_over_the_limit_needs_yes(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "confirm" in said(capsys, "log", "quarry heat 140F", "--data", shop, code=2)
    said(capsys, "log", "quarry heat 140F", "--yes", "--data", shop)


@pytest.mark.parametrize("line", ["rook 9999g", "rook ra -5", "rook 3g 2999-01-01", "", "\x00", "🎳" * 50])
def test_absurd_lines_get_a_sentence_and_keep_nothing(
    shop: Path, capsys: pytest.CaptureFixture[str], line: str
) -> None:
    before = kept(shop)
    assert "Traceback" not in said(capsys, "log", line, "--data", shop, code=2)
    assert kept(shop) == before


def test_tables_are_loaded_into_a_new_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table, path = tmp_path / "balls.csv", tmp_path / "new.padbook"
    bowlers = tmp_path / "bowlers.csv"
    table.write_text(BALLS)
    bowlers.write_text("bowler,hand\nOrla Venn,left\n")
    assert "Loaded 1 bowler, 2 balls." in said(capsys, "load", table, bowlers, "--data", path)
    assert rows(capsys, "load", table, "--data", path)["kept"] is False  # known already
    assert len(rows(capsys, "list", "balls", "--data", path)) == 2


def test_bad_rows_are_listed_and_stop_the_load_unless_the_good_are_to_be_kept(
    tmp_path: Path, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table = tmp_path / "log.csv"
    today = date.today().isoformat()  # noqa: DTZ011
    table.write_text(f"ball,date,entry\nRook Hollow,{today},3g\nRook Hollow,{today},3 bananas\n")
    before = kept(shop)
    assert commands.main(["load", str(table), "--data", str(shop)]) == 2
    text = capsys.readouterr().out
    assert "log.csv, row 3, entry" in text
    assert kept(shop) == before
    assert rows(capsys, "load", table, "--keep-good", "--data", shop)["kept"] is True
    assert kept(shop) == before + 1


def test_what_is_dumped_is_what_load_reads(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "dump", tmp_path / "out", "--data", shop)
    said(capsys, "load", tmp_path / "out", "--data", tmp_path / "twin.padbook")
    ours = rows(capsys, "order", "--bowler", "mirel", "--data", shop)
    twins = rows(capsys, "order", "--bowler", "mirel", "--data", tmp_path / "twin.padbook")
    assert [row["ball"] for row in twins] == [row["ball"] for row in ours]
    said(capsys, "load", tmp_path / "out" / "shop.jsonl", "--data", tmp_path / "rebuilt.padbook")
    assert kept(tmp_path / "rebuilt.padbook") == kept(shop)
    assert "there already" in said(
        capsys, "load", tmp_path / "out" / "shop.jsonl", "--data", tmp_path / "rebuilt.padbook", code=2
    )
    assert [row["boards"] for row in twins] == pytest.approx([row["boards"] for row in ours], abs=0.01)


def test_a_backup_is_checked_and_opens(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "backup", tmp_path / "copy.padbook", "--data", shop)
    assert rows(capsys, "verify", "--data", tmp_path / "copy.padbook")["ok"] is True


def test_a_file_cut_short_is_refused_with_the_reason(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop.write_bytes(shop.read_bytes()[:5000])
    error = said(capsys, "verify", "--data", shop, code=2)
    assert "shop.padbook" in error
    assert "Traceback" not in error


def test_another_programs_file_is_refused_and_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear Orla, …")
    for command in (["list", "balls"], ["log", "rook 3g"], ["load", str(letter)]):
        said(capsys, *command, "--data", letter, code=2)
    assert letter.read_text() == "Dear Orla, …"


def test_a_missing_file_is_not_made_by_asking_for_an_order(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "There is no file" in said(capsys, "order", "--data", tmp_path / "none.padbook", code=2)
    said(capsys, "log", "rook 3g", "--data", tmp_path / "none.padbook", code=2)
    assert not (tmp_path / "none.padbook").exists()


def test_a_load_that_fails_makes_no_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "odd.csv").write_text("shoe size\n42\n")
    assert commands.main(["load", str(tmp_path / "odd.csv"), "--data", str(tmp_path / "new.padbook")]) == 2
    assert not (tmp_path / "new.padbook").exists()
    assert "shoe size" in capsys.readouterr().out


def test_a_backup_takes_an_earlier_ones_place_but_never_another_files(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said(capsys, "backup", tmp_path / "copy.padbook", "--data", shop)
    said(capsys, "backup", tmp_path / "copy.padbook", "--data", shop)
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear Orla, …")
    assert "is no backup" in said(capsys, "backup", letter, "--data", shop, code=2)
    assert letter.read_text() == "Dear Orla, …"


def test_the_sample_is_written_once(sample: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "there already" in said(capsys, "sample", sample, code=2)


def test_without_a_display_the_order_and_the_upkeep_are_printed(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "--data", shop)
    assert "throws" in text
    assert "Upkeep for everybody" in text
    assert "opens the desk" in text


def test_an_empty_shop_without_a_display_is_no_mistake(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Ledger.open(tmp_path / "empty.padbook").close()
    assert "Nothing is due." in said(capsys, "--data", tmp_path / "empty.padbook")
    assert "no bowler in this file yet" in said(capsys, "order", "--data", tmp_path / "empty.padbook", code=2)


def test_data_may_stand_before_or_after_the_command(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert rows(capsys, "--data", shop, "list", "balls") == rows(capsys, "list", "balls", "--data", shop)


def test_a_mistake_of_the_program_is_logged_told_and_ends_with_one(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(mistakes, "log_file", lambda: tmp_path / "logs" / "mistakes.log")

    def breaks(_: object) -> None:
        raise ZeroDivisionError("a mistake")

    monkeypatch.setattr(files, "verify", breaks)
    error = said(capsys, "verify", "--data", shop, code=1)
    assert "ZeroDivisionError: a mistake" in error
    assert "Everything kept before stands" in error
    assert "a mistake" in (tmp_path / "logs" / "mistakes.log").read_text()


@pytest.mark.parametrize("command", [["--help"], ["list", "balls"], ["order", "--help"]])
def test_light_commands_load_nothing_heavy(shop: Path, command: list[str]) -> None:
    program = (
        "import sys; from arsenal.commands import main\n"
        "try: main(sys.argv[1:])\n"
        "except SystemExit: pass\n"
        "print([m for m in ('PySide6', 'pyqtgraph', 'scipy', 'pandas') if m in sys.modules], file=sys.stderr)"
    )
    data = ["--data", str(shop)] if "--help" not in command else []
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", program, *command, *data], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])},
    )  # fmt: skip
    assert done.stderr.strip() == "[]"


def test_python_dash_m_is_the_same_program() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "arsenal", "--version"], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])},
    )  # fmt: skip
    assert done.stdout.startswith("Padbook ")


def test_with_a_display_and_no_command_the_desk_opens_on_the_named_file(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DISPLAY", ":7")
    opened: list[list[str]] = []
    assert commands.main(["--data", str(shop)], lambda argv: opened.append(list(argv)) or 0) == 0
    assert opened == [["--data", str(shop)]]

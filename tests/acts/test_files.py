"""Tables in and out, backups, restore, the sample shop: all or nothing, and one undo."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from made_shop import TODAY, Clock, opened

from arsenal.acts import files, lane_side, logging, pasted, reading, undo
from arsenal.acts.shop import Shop
from arsenal.ledger import Refused, verify_file
from arsenal.surface.state import Holder
from arsenal.trade.entries import Played, Shot
from arsenal.trade.errors import KnownError

BALLS = """bowler,ball,nickname,cover,weight (lb),RG (in),differential (in)
Orla Venn,Amber Sluice,sluice,hybrid,15,2.5,0.047
Orla Venn,Quiet Anvil,anvil,solid,15,2.48,0.05
"""
BOWLERS = """bowler,hand,speed (mph),revs (rpm),benchmark
Orla Venn,left,15.5,250,sluice
"""
LOG = """ball,date,entry
sluice,2026-11-02,1000 h
sluice,2026-11-10,3g wiped
anvil,2026-11-10,4g
"""


def written(folder: Path, **tables: str) -> list[Path]:
    paths = []
    for name, text in tables.items():
        paths.append(folder / f"{name}.csv")
        paths[-1].write_text(text, encoding="utf-8")
    return paths


def test_a_bowlers_spreadsheet_comes_in_whole_and_goes_in_one_step(shop: Shop, tmp_path: Path) -> None:
    before = (len(shop.people()), len(shop.balls()), len(shop.ledger.entries()))
    report = files.load(shop, written(tmp_path, bowlers=BOWLERS, balls=BALLS, log=LOG))
    assert report.kept
    assert (report.people, report.balls, report.entries) == (1, 2, 3)
    assert report.changes.sentence == "Loaded 1 bowler, 2 balls, 3 entries"
    orla = reading.bowler_named(shop, "orla")
    sluice = reading.ball_named(shop, "sluice")
    assert orla.benchmark_ball_id == sluice.id
    assert {b.owner_id for b in shop.balls(orla.id)} == {orla.id}
    assert shop.state(sluice.id).games_on_finish.mean == pytest.approx(3)
    undo.undo(shop)
    standing = [p.name for p in shop.people()]
    assert "Orla Venn" not in standing
    assert (len(shop.people()), len(shop.balls())) == before[:2]


def test_loading_the_same_file_again_adds_nothing(shop: Shop, tmp_path: Path) -> None:
    paths = written(tmp_path, bowlers=BOWLERS, balls=BALLS, log=LOG)
    files.load(shop, paths)
    before = shop.revision
    again = files.load(shop, paths)
    assert not again.kept
    assert again.rows == 0
    assert shop.revision == before
    assert "known already" in files.said(again)


def test_a_bad_row_stops_all_of_it_and_is_told_by_file_row_and_field(shop: Shop, tmp_path: Path) -> None:
    before = shop.revision
    bad = BALLS + "Orla Venn,Odd,odd,solid,15,4.5,0.05\n"
    report = files.load(shop, written(tmp_path, bowlers=BOWLERS, balls=bad, log=LOG))
    assert not report.kept
    assert shop.revision == before
    assert [(b.file, b.row) for b in report.bad_rows] == [("balls.csv", 4)]
    assert "rg" in report.bad_rows[0].field.casefold()
    assert "Nothing was loaded: 1 bad row." in files.said(report)


def test_the_good_rows_are_kept_when_asked(shop: Shop, tmp_path: Path) -> None:
    bad = LOG + "sluice,2026-11-31,3g\nnobody,2026-11-10,3g\n"
    report = files.load(shop, written(tmp_path, bowlers=BOWLERS, balls=BALLS, log=bad), keep_good=True)
    assert report.kept
    assert report.entries == 3
    assert [b.row for b in report.bad_rows] == [5, 6]
    assert "Left out: 2 bad rows." in files.said(report)


def test_a_preview_changes_nothing(shop: Shop, tmp_path: Path) -> None:
    before = shop.revision
    report = files.preview(shop, written(tmp_path, bowlers=BOWLERS, balls=BALLS, log=LOG))
    assert report.rows == 6
    assert not report.kept
    assert shop.revision == before


def test_over_a_fifth_of_the_rows_the_file_is_backed_up_first(shop: Shop, tmp_path: Path) -> None:
    alone = BOWLERS.replace(",benchmark", "").replace(",sluice", "")
    assert not files.load(shop, written(tmp_path, bowlers=alone)).backup  # one row of many
    report = files.load(shop, written(tmp_path, balls=BALLS, log=LOG + LOG.split("\n", 1)[1] * 3))
    assert report.backup
    assert verify_file(Path(report.backup)).ok
    with opened(Path(report.backup), Clock()) as before:
        assert len(before.balls()) == 5
    small = files.load(shop, written(tmp_path, log=LOG + "anvil,2026-11-20,2g\n"))
    assert small.kept
    assert not small.backup


@pytest.mark.parametrize(
    "content",
    [
        b"", b"\xff\xfe\x00garbage", b'ball,cover\n"unfinished', b"SQLite format 3\x00" + b"\x00" * 200,
        b"colour of the moon,shoe size\nred,42\n", b"\x00" * 100, b"ball\n" * 3,
    ],
)  # fmt: skip
def test_a_file_that_is_no_table_is_told_and_nothing_changes(shop: Shop, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "odd.csv"
    path.write_bytes(content)
    before = shop.revision
    report = files.load(shop, [path], keep_good=True)
    assert not report.kept
    assert report.bad_rows
    assert shop.revision == before


def test_a_file_that_is_not_there_is_told(shop: Shop, tmp_path: Path) -> None:
    assert files.load(shop, [tmp_path / "none.csv"]).bad_rows


SHOTS = (
    "rook shot high 19 arrows 14 read 41 bp 43@9 left 10", "hung unwiped at 18:42", "missed right 2 light by Tave",
    "lantern flush sensor 16.4 mph 281 rpm", "missed left 1 2 high wiped", "shot 45",
)  # fmt: skip


def seen(shop: Shop, ball_id: int) -> list[Shot]:
    return [e.payload for e in shop.entries(ball_id) if isinstance(e.payload, Shot)]


def test_what_is_dumped_loads_into_an_empty_file_as_the_same_shop(shop: Shop, empty: Shop, tmp_path: Path) -> None:
    logging.keep(shop, logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts)
    pasted.keep(shop, pasted.read(shop, SHOTS, bowler_id=1, lane_id=2))
    files.dump(shop, tmp_path / "out")
    assert files.load(empty, [tmp_path / "out"]).kept
    for ball in shop.balls():
        twin = reading.ball_named(empty, ball.name)
        assert empty.state(twin.id).grit == pytest.approx(shop.state(ball.id).grit, rel=1e-6)
        assert seen(empty, twin.id) == seen(shop, ball.id)
    before, after = lane_side.lane_side(shop, 1), lane_side.lane_side(empty, reading.bowler_named(empty, "mirel").id)
    assert {r.ball.name: r.boards for r in after.order.rows} == pytest.approx(
        {r.ball.name: r.boards for r in before.order.rows}
    )


def test_a_file_rebuilt_from_its_json_lines_is_the_same_shop_taken_back_entries_and_all(
    shop: Shop, tmp_path: Path, clock: Clock
) -> None:
    logging.keep(shop, logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts)
    undo.undo(shop)
    logging.thrown(shop, 1, 14)
    pasted.keep(shop, pasted.read(shop, SHOTS, bowler_id=1, lane_id=2, outing="pair 7"))
    files.dump(shop, tmp_path / "out")
    report = files.rebuild(tmp_path / "out" / files.LINES, tmp_path / "again.padbook", clock=clock)
    assert report.entries == shop.ledger.head_seq
    with opened(tmp_path / "again.padbook", clock) as again:
        assert files.verify(again).ok
        assert (again.people(), again.balls(), again.lanes(), again.pads()) == (
            shop.people(), shop.balls(), shop.lanes(), shop.pads(),
        )  # fmt: skip
        assert [replace(e, act_id=None) for e in again.ledger.entries()] == [
            replace(e, act_id=None) for e in shop.ledger.entries()
        ]
        assert again.states(again.balls()) == shop.states(shop.balls())


def test_half_of_the_json_lines_is_refused_and_makes_no_file(shop: Shop, tmp_path: Path, clock: Clock) -> None:
    files.dump(shop, tmp_path / "out")
    lines = tmp_path / "out" / files.LINES
    lines.write_bytes(lines.read_bytes()[:-200])
    with pytest.raises(KnownError):
        files.rebuild(lines, tmp_path / "again.padbook", clock=clock)
    assert not (tmp_path / "again.padbook").exists()


def test_a_backup_is_checked_and_comes_back_in_place_of_the_file(shop: Shop, tmp_path: Path) -> None:
    copy = files.backup(shop, tmp_path / "copies" / "copy.padbook")
    assert verify_file(copy).ok
    logging.thrown(shop, 1, 14)
    path = shop.path
    shop.close()
    kept = files.restore(copy, path)
    assert kept is not None
    assert kept.exists()
    with opened(path, Clock()) as again:
        assert sum(isinstance(e.payload, Played) for e in again.entries(1)) == 2


def test_a_damaged_backup_never_takes_the_files_place(shop: Shop, tmp_path: Path) -> None:
    path = shop.path
    shop.close()
    before = path.read_bytes()
    bad = tmp_path / "bad.padbook"
    bad.write_bytes(before[: len(before) // 2])
    with pytest.raises(KnownError):
        files.restore(bad, path)
    assert path.read_bytes() == before


def test_a_sound_file_verifies(shop: Shop) -> None:
    found = files.verify(shop)
    assert found.ok
    assert found.entries == len(shop.ledger.entries())


@pytest.mark.parametrize("content", [b"", b"hello, I am a letter\n" * 50])
def test_a_file_of_another_kind_is_refused_and_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "letter.padbook"
    path.write_bytes(content)
    with pytest.raises(KnownError):
        opened(path, Clock())
    assert path.read_bytes() == content


def test_a_database_of_another_program_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE recipes (soup TEXT)")
    other.close()
    before = path.read_bytes()
    with pytest.raises(Refused):
        opened(path, Clock())
    assert path.read_bytes() == before


def test_the_sample_shop_is_a_whole_shop_up_to_now(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        assert files.verify(shop).ok
        assert len(shop.balls()) >= 18
        assert {b.cover.value for b in shop.balls()} == {"solid", "hybrid", "pearl", "urethane", "polyester"}
        assert {p.hand.value for p in shop.people()} == {"left", "right"}
        assert any(p.two_handed for p in shop.people())
        days = [e.on for e in shop.ledger.entries()]
        assert TODAY - timedelta(days=7) < max(days) <= TODAY
        assert (max(days) - min(days)).days > 250  # nine months


def test_every_bowler_of_the_sample_shop_has_an_order_on_every_condition(
    sample: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lane_side, "DRAWS", 20)
    with opened(sample, Clock()) as shop:
        for person in shop.people():
            strikes = [b for b, s in shop.held(person.id) if not b.spare and s.holder is Holder.OWNED]
            for lane_id in shop.lanes():
                side = lane_side.lane_side(shop, person.id, lane_id, rooms=False)
                assert len(side.order.rows) == len(strikes)


def test_the_sample_is_never_written_over_a_file(sample: Path) -> None:
    before = sample.read_bytes()
    with pytest.raises(KnownError, match="there already"):
        files.write_sample(sample)
    assert sample.read_bytes() == before


def test_a_sample_that_fails_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "sample_dir", lambda: tmp_path / "nowhere")
    with pytest.raises(KnownError):
        files.write_sample(tmp_path / "sample.padbook", clock=Clock())
    assert list(tmp_path.iterdir()) == []


def test_the_sample_keeps_its_weekdays_in_another_year(tmp_path: Path) -> None:
    clock = Clock()
    clock.at = clock.at.replace(year=2031, month=3, day=14)
    path = tmp_path / "later.padbook"
    files.write_sample(path, clock=clock)
    with opened(path, clock) as later:
        last = max(e.on for e in later.ledger.entries())
        assert date(2031, 3, 7) < last <= date(2031, 3, 14)


def test_one_undo_too_many_does_not_empty_the_sample_shop(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        assert undo.can_undo(shop) is None
        assert undo.undo(shop).act_id is None
        assert shop.balls()

"""Three practices of November, shot by shot, as they were typed; invented.

The places are what the program's own paths gave for balls a little off their sheets, with the scatter of a hand and an
eye, rounded as people round. Between the orders 19 and 31 of each day its pad lies.
"""

from __future__ import annotations

from datetime import date

SHOTS = (
    (5, 11, "Harrow Tern", "2 light at 17:02"),
    (5, 12, "Harrow Tern", "light left 7 at 17:07"),
    (5, 13, "Harrow Tern", "1.5 light read 39 left 7 at 17:11"),
    (5, 14, "Harrow Tern", "shot 12.5 bp 38@5 left 3-9 at 17:15"),
    (5, 16, "Cinder Weir", "light read 39 at 17:20"),
    (5, 17, "Cinder Weir", "3.5 light left 3-9 at 17:23"),
    (5, 18, "Cinder Weir", "1 light read 42 at 17:25"),
    (5, 19, "Cinder Weir", "3 light read 37 bp 45@6 at 17:28"),
    (5, 31, "Cinder Weir", "light read 43 arrows 12.5 bp 45@8 at 17:41"),
    (5, 32, "Cinder Weir", "light left 7 at 17:44"),
    (5, 33, "Cinder Weir", "shot 17 read 37 at 17:46"),
    (5, 34, "Cinder Weir", "0.5 high bp 41@9 at 17:49"),
    (5, 35, "Cinder Weir", "shot 16 read 37 at 17:52"),
    (5, 37, "Harrow Tern", "2.5 light read 45 bp 43@8 at 17:55"),
    (5, 38, "Harrow Tern", "2 light arrows 12.5 at 17:57"),
    (5, 39, "Harrow Tern", "2 light arrows 12.5 at 18:02"),
    (7, 11, "Slow Lantern", "long arrows 12 at 9:04"),
    (7, 12, "Slow Lantern", "shot 14 read 45 arrows 14 at 9:07"),
    (7, 13, "Slow Lantern", "shot 13.5 read 36 left 2-8 at 9:09"),
    (7, 14, "Slow Lantern", "long read 33 left 2-8 at 9:14"),
    (7, 16, "Quarry Song", "flush read 32 at 9:19"),
    (7, 17, "Quarry Song", "shot 14.5 read 38 bp 39@7 left 10 at 9:22"),
    (7, 18, "Quarry Song", "flush arrows 12 at 9:24"),
    (7, 19, "Quarry Song", "0.5 light at 9:27"),
    (7, 31, "Quarry Song", "light left 10 at 9:38"),
    (7, 32, "Quarry Song", "shot 17 read 33 arrows 12.5 at 9:41"),
    (7, 33, "Quarry Song", "light read 32 left 10 at 9:43"),
    (7, 34, "Quarry Song", "shot 19.5 at 9:46"),
    (7, 35, "Quarry Song", "shot 17.5 at 9:51"),
    (7, 37, "Slow Lantern", "shot 12.5 arrows 12 left 2-8 at 9:54"),
    (7, 38, "Slow Lantern", "4 light arrows 12.5 at 9:57"),
    (7, 39, "Slow Lantern", "shot 15.5 at 10:00"),
    (10, 11, "Quiet Anvil", "shot 14.5 read 41 bp 46@6 at 16:48"),
    (10, 12, "Quiet Anvil", "shot 13 arrows 17.5 at 16:52"),
    (10, 13, "Quiet Anvil", "shot 15.5 read 46 at 16:56"),
    (10, 14, "Quiet Anvil", "long arrows 16 left 2-8 at 17:01"),
    (10, 16, "Rust Heron", "shot 15 read 39 at 17:04"),
    (10, 17, "Rust Heron", "4 light read 41 at 17:06"),
    (10, 18, "Rust Heron", "shot 14.5 read 37 at 17:09"),
    (10, 19, "Rust Heron", "shot 17.5 at 17:12"),
    (10, 31, "Rust Heron", "2 light bp 44@7 at 17:24"),
    (10, 32, "Rust Heron", "shot 16 bp 40@2 at 17:26"),
    (10, 33, "Rust Heron", "shot 17.5 at 17:29"),
    (10, 34, "Rust Heron", "shot 16 at 17:32"),
    (10, 35, "Rust Heron", "shot 15 read 41 left 10 at 17:35"),
    (10, 37, "Quiet Anvil", "long read 37 bp 48@6 at 17:40"),
    (10, 38, "Quiet Anvil", "shot 14 bp 44@3 left 2-8 at 17:43"),
    (10, 39, "Quiet Anvil", "shot 13 left 2-8 at 17:48"),
)
"""Day of November, order within it, ball, what was typed."""


def days() -> tuple[tuple[date, int, str, str], ...]:
    """The same with whole dates."""
    return tuple((date(2026, 11, day), order, ball, entry) for day, order, ball, entry in SHOTS)

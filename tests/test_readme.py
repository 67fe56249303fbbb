"""What README and DEVELOPERS.md promise: the headers, the example lines, the commands and the files they name."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from arsenal.commands import main
from arsenal.exchange import one_line, tables
from arsenal.exchange.resources import sample_dir
from arsenal.exchange.tables import headers_markdown, needed_markdown


def text_of(repository: Path, name: str) -> str:
    return (repository / name).read_text("utf-8")


def example_lines(readme: str) -> list[str]:
    table = readme.partition("| line | meaning |")[2].partition("\n\n")[0]
    return re.findall(r"^\| `([^`]+)` \|", table, re.MULTILINE)


def test_the_headers_in_readme_are_those_the_tables_read(repository: Path) -> None:
    assert needed_markdown() in text_of(repository, "README.md")
    assert headers_markdown() in text_of(repository, "resources/tables.md")


def test_every_example_line_reads_with_the_balls_of_the_sample_shop(repository: Path) -> None:
    loaded = tables.load(sorted(sample_dir().glob("*.csv")), today=date(2999, 12, 31))
    lines = example_lines(text_of(repository, "README.md"))
    assert len(lines) >= 6
    for line in lines:
        read = one_line.read(line, balls=loaded.balls, today=date(2026, 3, 12), pads=loaded.pads, lanes=loaded.lanes)
        assert read.drafts, line


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_every_command_the_page_names_exists(repository: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = text_of(repository, name)
    named = set(
        re.findall(r"(?:padbook|run\.py) ([a-z]+)\b", "\n".join(re.findall(r"```sh\n(.*?)```", text, re.DOTALL)))
    )
    assert named
    for command in sorted(named):
        with pytest.raises(SystemExit) as ended:
            main([command, "--help"])
        assert ended.value.code == 0, command
        assert capsys.readouterr().out


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_every_script_and_picture_the_page_names_is_there(repository: Path, name: str) -> None:
    text = text_of(repository, name)
    paths = set(re.findall(r"scripts/\w+\.py", text)) | set(re.findall(r"\((resources/[\w./-]+)\)", text))
    assert paths
    missing = [path for path in sorted(paths) if not (repository / path).exists()]
    assert not missing

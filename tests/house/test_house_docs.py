"""The words for people keep up with the program: commands, links, rooms."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
COMMANDS = ("new", "check", "survey", "sweep", "route", "sheets", "sum", "schema", "demo", "export", "make", "open")


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_every_link_leads_somewhere(page):
    text = page.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#]+)[^)]*\)", text):
        assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_every_command_is_written_about_and_no_other():
    from trialfit.cli.app import app

    known = {name for name in app if not name.startswith("-")}
    assert known == set(COMMANDS)
    told = "\n".join(p.read_text(encoding="utf-8") for p in PAGES)
    for command in COMMANDS:
        assert re.search(rf"(trialfit|start\.py|`){command}\b|(trialfit|start\.py) {command}\b", told), command


def test_every_room_is_on_the_map():
    map_ = (ROOT / "docs" / "architecture.md").read_text(encoding="utf-8")
    rooms = [p.name for p in (ROOT / "src" / "trialfit").iterdir() if (p / "__init__.py").is_file()]
    assert len(rooms) > 10
    for room in rooms:
        assert f"`{room}`" in map_, room


def test_the_readme_begins_with_the_job_and_the_two_commands():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert text.index("start.py demo") < 1500
    assert text.index("start.py test") < 1500

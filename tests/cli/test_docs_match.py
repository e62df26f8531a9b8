"""The docs say what the program does: every command, option, exit code, fact and key."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import typer
from ashdraft import errors
from ashdraft.cli import app
from ashdraft.cli.failures import BUG
from ashdraft.cli.signals import INTERRUPTED, TERMINATED
from ashdraft.export import schema
from ashdraft.facts import NOTES_FACTS, TYPED_ONLY

DOCS = Path(__file__).parents[2] / "docs"
ROOT = typer.main.get_command(app)
COMMANDS = dict(ROOT.commands)  # type: ignore[attr-defined]


def part(document: str, heading: str) -> str:
    """Return the text from a second-level heading to the next one."""
    text = (DOCS / document).read_text("utf-8")
    match = re.search(rf"^## {re.escape(heading)}.*?(?=^## |\Z)", text, re.M | re.S)
    assert match, heading
    return match.group()


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_is_documented_with_its_command(name: str) -> None:
    section = part("commands.md", f"`ashdraft {name}")
    documented = set(re.findall(r"(?<=`)--[a-z][a-z-]*", section)) - {"--help"}
    command = COMMANDS[name]
    options = {
        opt
        for part_of in (command, *getattr(command, "commands", {}).values())
        for param in part_of.params
        for opt in param.opts
        if opt.startswith("--") and opt != "--help"
    }
    assert documented == options


def test_every_command_is_documented_and_no_other() -> None:
    text = (DOCS / "commands.md").read_text("utf-8")
    assert set(re.findall(r"^## `ashdraft ([a-z]+)", text, re.M)) == set(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_examples(name: str) -> None:
    assert f"Examples:\n  ashdraft {name}" in COMMANDS[name].help
    for within, command in getattr(COMMANDS[name], "commands", {}).items():
        assert f"Examples:\n  ashdraft {name} {within}" in command.help


def test_every_exit_code_is_documented_with_its_class() -> None:
    rows = re.findall(
        r"^\| (\d+) \| (?:`(\w+)`)? *\|", (DOCS / "errors.md").read_text("utf-8"), re.M
    )
    classes = {
        str(c.exit_code): c.__name__
        for c in vars(errors).values()
        if isinstance(c, type) and issubclass(c, errors.AshdraftError)
    }
    assert dict(rows) == {"0": "", str(INTERRUPTED): "", str(TERMINATED): ""} | classes
    assert errors.AshdraftError.exit_code == BUG


def test_every_fact_is_documented() -> None:
    section = part("commands.md", "`ashdraft write")
    in_file = re.findall(r"^\| `--[a-z-]+` \| (`[^|]+`) \|", section, re.M)
    keys = re.findall(r"`(\w+)`", " ".join(in_file))
    assert sorted(keys) == sorted([*NOTES_FACTS, *TYPED_ONLY])


def test_every_key_of_the_notes_is_documented() -> None:
    text = (DOCS / "notes-format.md").read_text("utf-8")

    def keys(node: object) -> set[str]:
        if not isinstance(node, dict):
            return set()
        found = set(node.get("properties", {}))
        return found.union(*(keys(v) for v in node.values()))

    def words(node: object) -> set[str]:
        if isinstance(node, list):
            return set().union(*(words(n) for n in node))
        if not isinstance(node, dict):
            return set()
        found = {w for w in node.get("enum", []) if isinstance(w, str)}
        return found.union(*(words(v) for v in node.values()))

    documented = set(re.findall(r"`([\w-]+)`", text))
    assert keys(schema()) <= documented
    assert words(schema()) <= documented

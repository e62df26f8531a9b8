"""The facts file: TOML or YAML, checked, with the line of every mistake."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.errors import DataDamaged, InputMissing, UsageError
from ashdraft.intake import read_facts_file

TOML = """# what I typed
name = "Lantern No. 3"
length_in = 5.625
ring_gauge = 46
obtained = "sample"
currency = "usd"
"""
YAML = """# what I typed
name: Lantern No. 3
length_in: 5.625
ring_gauge: 46
obtained: sample
currency: usd
"""
FACTS = {
    "name": "Lantern No. 3",
    "length_in": 5.625,
    "ring_gauge": 46,
    "obtained": "sample",
    "currency": "USD",
}


def written(tmp_path: Path, name: str, text: str) -> Path:
    path = tmp_path / name
    path.write_bytes(text.encode())
    return path


@pytest.mark.parametrize(("name", "text"), [("f.toml", TOML), ("f.yaml", YAML), ("F.YML", YAML)])
def test_facts_file_is_read(name: str, text: str, tmp_path: Path) -> None:
    assert read_facts_file(written(tmp_path, name, text)) == FACTS
    assert read_facts_file(written(tmp_path, name, text.replace("\n", "\r\n"))) == FACTS


@pytest.mark.parametrize("name", ["f.toml", "f.yaml"])
def test_facts_file_may_be_empty(name: str, tmp_path: Path) -> None:
    assert read_facts_file(written(tmp_path, name, "")) == {}
    assert read_facts_file(written(tmp_path, name, "# nothing yet\n")) == {}


@pytest.mark.parametrize(
    ("name", "text", "line", "what"),
    [
        ("f.toml", 'name = "a"\nring = 46\n', 2, "did you mean ring_gauge"),
        ("f.toml", 'name = "a"\nzzz = 46\n', 2, "there is no fact 'zzz'"),
        ("f.yaml", "name: a\nring_gauge: big\n", 2, "must be a number"),
        ("f.yaml", "name: a\nrh_percent: 690\n", 2, "must be 0 to 100"),
        ("f.yaml", "name: a\nobtained: stolen\n", 2, "bought, gifted, sample"),
        ("f.toml", 'name = "a"\nprice = \n', 2, "this is not TOML"),
        ("f.yaml", "name: a\n  price: [1\n", 2, "this is not YAML"),
        ("f.yaml", "- name\n", 1, "lines of the form"),
        ("f.yaml", "name: !!python/object:os.system x\n", 1, "this is not YAML"),
        ("f.yaml", "name: [a, b]\n", 1, "must be text"),
    ],
)
def test_facts_file_mistakes_have_a_line(
    name: str, text: str, line: int, what: str, tmp_path: Path
) -> None:
    with pytest.raises(DataDamaged) as caught:
        read_facts_file(written(tmp_path, name, text))
    assert f"{name}, line {line}: " in caught.value.message
    assert what in str(caught.value)


def test_facts_file_of_another_kind_or_missing(tmp_path: Path) -> None:
    with pytest.raises(UsageError):
        read_facts_file(written(tmp_path, "facts.txt", "name: a"))
    with pytest.raises(InputMissing):
        read_facts_file(tmp_path / "gone.toml")
    path = tmp_path / "f.toml"
    path.write_bytes(b'name = "caf\xe9"\n')
    with pytest.raises(DataDamaged, match="line 1: this is not UTF-8"):
        read_facts_file(path)

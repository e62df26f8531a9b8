"""`pooled.json` keeps to its schema, and docs/pool.md tells of every key."""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path
from typing import Any

import pytest
from ashdraft.pool import pool, read_sticks
from ashdraft.pool.document import pooled_json, schema
from jsonschema import Draft202012Validator, ValidationError

DOCS = Path(__file__).parents[2] / "docs" / "pool.md"


@pytest.fixture(scope="module")
def document(folders: tuple[Path, ...]) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(pooled_json(pool(read_sticks([*map(str, folders)]))))
    return loaded


def test_the_schema_is_a_valid_one() -> None:
    Draft202012Validator.check_schema(dict(schema()))


def test_figures_name_their_sticks(document: dict[str, Any]) -> None:
    (group,) = document["groups"]
    assert group["sticks"] == [1, 2, 3]
    assert group["size_assumed"] == [3]
    rate = group["measures"]["relit"]
    # Wilson, 1 of 2: scipy 1.17 .0945 to .9055
    assert rate["wilson_95"] == pytest.approx([0.0945, 0.9055], abs=5e-5)
    assert (rate["k"], rate["n"], rate["sticks"], rate["not_mentioned"]) == (1, 2, [1], [3])
    assert group["measures"]["minutes"]["values"] == {"1": 76, "2": 65, "3": 70}
    cedar = next(n for n in group["notes"] if n["term"] == "cedar")
    assert cedar["by_third"] == [[1, 2], [2, 3], [2]]
    assert {spot["stick"] for spot in cedar["spots"]} == set(cedar["sticks"])


def test_missing_is_null(document: dict[str, Any]) -> None:
    third = document["groups"][0]["measures"]["sticks"][2]
    assert third["relights"] is None
    assert third["price"] is None
    assert third["pace_mm_per_min"] is None


@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: d.pop("groups"),
        lambda d: d["groups"][0].update(extra=1),
        lambda d: d["groups"][0]["measures"]["relit"].update(wilson_95=[0.1]),
        lambda d: d["groups"][0]["notes"][0].update(sticks=[]),
        lambda d: [d["sticks"].pop() for _ in range(2)],
    ],
)
def test_the_schema_refuses_what_is_not_pooled_json(document: dict[str, Any], spoil: Any) -> None:
    validator = Draft202012Validator(dict(schema()))
    changed = copy.deepcopy(document)
    spoil(changed)
    with pytest.raises(ValidationError):
        validator.validate(changed)


def test_every_key_is_documented() -> None:
    documented = set(re.findall(r"`([a-z_0-9]+)`", DOCS.read_text("utf-8")))
    keys: set[str] = set()

    def gather(node: Any) -> None:
        if isinstance(node, dict):
            keys.update(node.get("properties", {}))
            for value in node.values():
                gather(value)
        elif isinstance(node, list):
            for value in node:
                gather(value)

    gather(dict(schema()))
    assert keys - documented == set()

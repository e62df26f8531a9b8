"""Sections and thirds: the sequence decision keeps its laws whatever the words."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from ashdraft.model import Said
from ashdraft.rules.nlp import analyse
from ashdraft.rules.place import chain, explain, place, recorded_as
from ashdraft.rules.place.states import STATES
from hypothesis import given, settings
from hypothesis import strategies as st


def _said(*texts: str, step: float = 4.0) -> tuple[Said, ...]:
    return tuple(
        Said(i, i * step, i * step + 3.0, text, text, text) for i, text in enumerate(texts)
    )


def _random_scores(steps: int, seed: int) -> chain.Potentials:
    rng = np.random.default_rng(seed)
    size = len(STATES)
    return chain.Potentials(
        rng.normal(size=(steps, size)),
        rng.normal(size=(size, size)),
        rng.normal(size=(steps, len(chain.MOVES))),
    )


def _value(scores: chain.Potentials, path: tuple[int, ...]) -> float:
    total = sum(scores.unary[t, s] for t, s in enumerate(path))
    return float(
        total + sum(scores.step(t + 1)[a, b] for t, (a, b) in enumerate(itertools.pairwise(path)))
    )


@pytest.mark.parametrize("seed", range(4))
def test_forward_backward_equals_enumeration(seed: int) -> None:
    # Lafferty, McCallum, Pereira 2001: the partition function is the sum over all paths.
    scores = _random_scores(2, seed)
    values = np.array(
        [[_value(scores, (a, b)) for b in range(len(STATES))] for a in range(len(STATES))]
    )
    found = chain.marginals(scores)
    weights = np.exp(values - values.max())
    assert found.total == pytest.approx(np.log(weights.sum()) + values.max())
    assert np.allclose(found.single[0], weights.sum(axis=1) / weights.sum())
    assert np.allclose(found.pairs, weights / weights.sum())
    assert found.moves[1].sum() == pytest.approx(1.0)


@pytest.mark.parametrize("seed", range(4))
def test_best_path_equals_enumeration(seed: int) -> None:
    scores = _random_scores(2, seed)
    every = itertools.product(range(len(STATES)), repeat=2)
    assert tuple(chain.best_path(scores)) == max(every, key=lambda path: _value(scores, path))


def test_place_of_nothing_is_nothing() -> None:
    assert place((), "live") == ()


def test_place_follows_plain_announcements() -> None:
    lines = analyse(
        _said(
            "It's a toro, six by fifty-two, made in Nicaragua.",
            "I paid nine dollars for it, and it rested for two months at sixty-five percent.",
            "The wrapper is dark brown and oily, with two veins.",
            "The seams are tight and the cap is neat.",
            "The foot smells of hay, and the cold draw gives me cocoa.",
            "In the first third I get cedar and black pepper.",
            "In the second third the pepper is gone, and there's leather.",
            "In the final third it's dark chocolate, and coffee on the finish.",
            "The burn line was straight and the ash held for an inch.",
            "The band is gold and red, and it's worth the money.",
            "I drank a stout with it.",
            "I'd buy it again, it's for anyone who likes a slow smoke.",
        )
    )
    placed = place(lines, "narration")
    assert [p.section for p in placed] == [
        "setup", "setup", "appearance", "appearance", "pre-light", "palate", "palate", "palate",
        "burn", "presentation", "pairing", "verdict",
    ]  # fmt: skip
    assert [p.third for p in placed[5:8]] == [1, 2, 3]
    assert [p.basis for p in placed[5:8]] == ["said", "said", "said"]


def test_place_without_an_announcement_is_timed_or_carried() -> None:
    texts = ["There, it's lit.", *["I get cedar."] * 30, "Putting it down."]
    lines = analyse(_said(*texts, step=150.0))
    assert recorded_as(lines) == "live"
    placed = place(lines, "live")
    assert {p.basis for p in placed if p.third in (2, 3)} <= {"timed"}


@settings(max_examples=25, deadline=None)
@given(st.lists(st.text(max_size=60), min_size=1, max_size=12), st.sampled_from(chain.KINDS))
def test_place_keeps_its_laws_for_any_text(texts: list[str], kind: str) -> None:
    lines = analyse(_said(*texts))
    placed = place(lines, "live" if kind == "live" else "narration")
    assert len(placed) == len(lines)
    for p in placed:
        assert 0.0 <= p.confidence <= 1.0
        assert p.third is None or p.section in ("palate", "burn")
        assert (p.basis is None) == (p.third is None)
    if kind == "live":
        currents = [p.current for p in placed]
        assert currents == sorted(currents)


def test_explain_names_the_words_that_weighed_most() -> None:
    lines = analyse(_said("The ash is holding on, and the burn line is straight."))
    reasons = explain(lines, "narration", 0)
    assert reasons
    assert all(reason.split()[-1].startswith("+") for reason in reasons)


def test_recorded_as_tells_sparse_notes_from_a_narration() -> None:
    sentence = "The cedar is still there, and a little leather behind it."
    assert recorded_as(analyse(_said(*[sentence] * 30, step=90.0))) == "live"
    assert recorded_as(analyse(_said(*[sentence] * 30, step=5.0))) == "narration"

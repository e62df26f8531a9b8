"""Sums that hold a relight: it is taken off the touch-ups."""

from __future__ import annotations

from ..ground import Ground
from ..phrases import any_of, pattern
from .model import Claim


def relights_within(ground: Ground, claims: list[Claim]) -> list[Claim]:
    """`three, counting the relight`, `two, well, one of those is a relight`: taken off the sum."""
    row = ground.row
    nouns = any_of("counts.relight-noun", "counts.relight-nouns")
    within = pattern(
        r"(?:(?:well|but|though|and|if you|that 's|that is|in all|altogether|so far) )*"
        r"(?:(?:counting|count|including|includes|that includes|which includes|with)(?: the| a| "
        r"my)?"
        rf"(?P<n> one| two| three)? {nouns}(?: in| as well)?|(?:the |a ){nouns} included|"
        r"(?P<m>one|two|three) of (?:them|those|these|which|that)(?: (?:being|was|were|is|are|"
        r"really|"
        rf"actually|in fact|a|the|only))* {nouns})"
    )
    values = {"one": 1, "two": 2, "three": 3}
    found: list[Claim] = []
    for n, claim in enumerate(claims):
        if claim.kind != "touch-up" or claim.value < 1:
            continue
        stop = claims[n + 1].first if n + 1 < len(claims) else len(row.words)
        for first, end, match in row.find(within, claim.end, min(claim.end + 16, len(row.words))):
            fewer = values[(match["n"] or match["m"] or "one").strip()]
            if first > claim.end or first > stop or fewer > claim.value:
                break
            between = ground.numbers_in(claim.end, first)
            if any(number.value == claim.value + fewer for number in between):
                break  # "two touch-ups, I wrote three, but one of those was the relight"
            found.append(
                Claim("touch-up", claim.value - fewer, row.words[end - 1].line, end - 1, end)
            )
            found.append(Claim("relight", fewer, row.words[first].line, first, end))
            break
    return found

"""Totals of none: `no relights`, `never needed one`, `it stayed lit throughout`."""

from __future__ import annotations

from ..ground import Ground
from ..phrases import any_of, pattern
from .model import Claim, Tally
from .places import place_in


def denied(ground: Ground) -> list[Claim]:
    """`no relights`, `never needed one`, `it never went out`, `of relights there were none`."""
    row = ground.row
    touch = any_of("counts.noun", "counts.nouns")
    relight = any_of("counts.relight-noun", "counts.relight-nouns")
    flame = any_of("counts.flame")
    never = (
        r"(?:never|did not|has not|have not|had not|not once did it|does not)"
        r"(?: once| ever| even| actually| really)*"
    )
    gone = (
        r"(?:went|gone|go|goes|died|die|quit|dies|give up|gave up|went cold|go cold|needed to be)"
    )
    texts: tuple[tuple[Tally, str], ...] = (
        ("touch-up", rf"(?:no|zero|nil|not (?:a|one|a single)|without (?:a|any|one)|nor|neither|"
                     rf"never (?:needed |wanted |had |asked for |required )?(?:a|any|one|a single))"
                     rf" (?:single |real |more than )*{touch}(?! (?:yet|this time|so far|"
                     rf"needed yet))"),
        ("touch-up", rf"(?:of )?{touch}(?: there (?:were|was|are|is))? (?:none|nil|zero|not one)"
                     r"(?! (?:otherwise|else|besides|relights?|touch|in|at|before|after|until|"
                     r"till)\b)"),
        ("touch-up", rf"{never} (?:need|needed|want|wanted|ask for|asked for|require|required) "
                     rf"(?:a|any|one|the|me to)? ?(?:single )?(?:{touch}|touching(?: up)?|"
                     rf"correcting|"
                     rf"{flame}|help|thing|hand|attention|minding|looking after)(?: not once| "
                     rf"at all)?"),
        ("touch-up", r"(?:i |we )?(?:did not|never)(?: once| ever| have to| need to| had to)* "
                     r"(?:correct|corrected|touch|touched|fix|fixed|torch|torched) "
                     r"(?:it|her|him|the burn|this one|anything)(?: up)?"
                     r"(?: not (?:one|a single) time| not once| once| at all| even once)"),
        ("touch-up", r"(?:so |and )?i never (?:had to |once )?(?:touched|touch|corrected|correct|"
                     r"torched|torch) (?:it|her|him)(?: up)?(?: once| at all)?"),
        ("relight", rf"(?:no|zero|nil|not (?:a|one|a single)|without (?:a|any|one)|nor|neither|"
                    rf"never (?:needed |wanted |had )?(?:a|any|one))(?: single)? {relight}"),
        ("relight", rf"(?:of )?{relight}(?: there (?:were|was|are|is))? (?:none|nil|zero|not one)"
                    rf"(?! (?:relights?|touch|in|at|before|after|until|till)\b)"),
        ("relight", rf"(?:it |she |he |this one |and )?{never} {gone}(?: out| dead| cold| on me)+"),
        ("relight", r"(?:it |she |he )?(?:stayed|kept|remained) (?:lit|alight|going)"
                    r"(?: all the way| throughout| to the end| the whole| from start|"
                    r" from first| right through| right to)+"),
        ("relight", r"not (?:one|a single) time (?:did it go|out)|did not need relighting|"
                    r"never needed relighting|no need to relight(?: it)?"),
    )  # fmt: skip
    claims = []
    for kind, text in texts:
        for first, end, _ in row.find(pattern(text)):
            place = place_in(row.said(end, min(end + 4, len(row.words))))
            local = place and row.said(end, end + 1) in ("in", "at", "during", "for", "near")
            line = row.words[first].line
            claims.append(Claim(kind, 0, line, first, end, "part" if local else "plain"))
    return claims

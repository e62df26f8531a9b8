"""What may be typed into the column *Mark*: a mark, a dash, nothing; a comment behind either.

Anything that could be meant in two ways is refused, and the refusal says what to type.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from ..sheet.definition import Scale, figure

DASHES = "-‐‑‒–—―−﹣－⁃"
"""Signs that mean "not judged" when they stand alone."""
MINUS = "-−﹣－"
"""Those of them that may stand for minus."""
_UNSEEN = dict.fromkeys(map(ord, "\u200b\u200c\u200d\u2060\ufeff\u00ad"))
_NUMBER = re.compile(r"([0-9]{1,9})(?:\.([0-9]{1,9}))?")
_LONG = re.compile(r"[0-9]{10}|\.[0-9]{10}")
_COMMA = re.compile(r"([0-9]{1,9}),([0-9]{1,2})(?![0-9])")
_WORDS = "one|two|three|four|five|six|seven|eight|nine|ten|half"
_PART = re.compile(
    r"[(\[]?(?:(?:out )?of|or|to|till|point|and|plus|minus)?[\s.,:;]*[0-9½¼¾]"
    rf"|(?:(?:out )?of|or|to|till|point) (?:a |an )?(?:{_WORDS})\b|(?:plus|minus)\b",
    re.IGNORECASE,
)
"""What could belong to the mark before it: `7 of 9`, `7 (8`, `7 or eight`, `7 plus`."""
_SIGNS = re.compile(r"[/+±×*%=<>~≈½¼¾^°]|(?:and )?a half\b|half\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Typed:
    """A cell that was read: a mark, or a dash (`dashed`), or neither; and the words behind it."""

    mark: Fraction | None = None
    dashed: bool = False
    comment: str = ""


class Unread(ValueError):
    """A cell that is refused; `what` is wrong with it, `say` is what to type."""

    def __init__(self, what: str, say: str) -> None:
        super().__init__(what)
        self.what = what
        self.say = say


def read_mark(cell: str, scale: Scale) -> Typed:
    """Return what a cell holds. `cell` is its text as it would be shown, without Markdown.

    Raises `Unread` for a mark outside the scale or between its steps, and for anything else.
    """
    text = " ".join(_ascii(cell).split())
    if not text:
        return Typed()
    sign, rest = 1, text
    if text[0] in DASHES:
        after = text.lstrip(DASHES)
        if after[:1].isdigit() and len(text) - len(after) == 1 and text[0] in MINUS:
            sign, rest = -1, after
        else:
            return Typed(dashed=True, comment=_comment(after, scale, "a dash"))
    if comma := _COMMA.match(rest):
        whole = f"{'-' * (sign < 0)}{comma[1]}"
        raise Unread("a comma stands in the number", f"Type {whole}.{comma[2]}, with a point.")
    number = _NUMBER.match(rest)
    if not number or _LONG.match(rest):
        raise Unread("this does not begin with a mark", _choice(scale))
    mark = sign * Fraction(number[0])
    behind = rest[number.end() :]
    if behind[:1] == "½" and number[2] is None:
        mark, behind = mark + sign * Fraction(1, 2), behind[1:]
    if behind[:1] not in ("", " ", ",", ";", ":", ".", "("):
        raise Unread("the mark runs into what stands behind it", _choice(scale))
    if not scale.holds(mark):
        low, high, step = map(figure, (scale.lowest, scale.highest, scale.step))
        off = "is off the scale" if not scale.lowest <= mark <= scale.highest else "is no step"
        steps = f" in steps of {step}" if step != "1" else ", whole numbers only"
        if not float(scale.lowest).is_integer() and step == "1":
            steps = f" in steps of 1 from {low}"
        raise Unread(
            f"{figure(float(mark))} {off}",
            f"Type a mark from {low} to {high}{steps}, or - for not judged.",
        )
    return Typed(mark, comment=_comment(behind, scale, "the mark"))


def _comment(behind: str, scale: Scale, after: str) -> str:
    text = behind.lstrip(" ,;:.")
    first = text.lstrip(DASHES + " ")
    if _PART.match(first) or _SIGNS.match(first):
        say = f"{_choice(scale)} They begin with no figure and no sign."
        raise Unread(f"what stands behind {after} could be part of it", say)
    return text


def _choice(scale: Scale) -> str:
    marks = f"{figure(scale.lowest)} to {figure(scale.highest)}"
    return f"Type a mark alone ({marks}), or - for not judged; words may follow after a blank."


def _ascii(cell: str) -> str:
    """Digits of any script and full-width points as plain ones; unseen signs taken out."""
    plain = cell.translate(_UNSEEN).replace("．", ".").replace("，", ",")
    return "".join(
        str(unicodedata.decimal(c)) if unicodedata.category(c) == "Nd" else c for c in plain
    )

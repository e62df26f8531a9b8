"""Wrapper, binder, filler and country of manufacture, close to the words said."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..ground import Ground
from ..phrases import pattern
from ..stream import COMMA, STOP
from .country import behind_leaf, made_in, where_made
from .found import Found, Sections, corrects

SLOTS = ("wrapper", "binder", "filler")
REST = ("binder", "filler")
"""The slots that "the rest" means beside a wrapper."""
_ORIGIN_LINK = frozenset(("from", "of", "in", "out", "grown", "down", "by", "over", "raised"))
_LIST_LINK = frozenset(
    "and with plus some little bit a the both of touch also dash as well then share small "
    "pinch part "
    "most mostly mainly for splash hint too".split()
)
_LINK = _ORIGIN_LINK | _LIST_LINK | frozenset("it 's an is are leaf tobacco tobaccos mixed".split())


_SAME_LEAF = ("that 's", "that is", "which is", "this is", "so that 's", "it 's")
"""Behind a slot's name these tell more of its leaf: `a San Andrés wrapper, that's Mexican`."""

_NOUNS = frozenset(("wrapper", "binder", "filler", "fillers"))


@dataclass(frozen=True, slots=True)
class _Key:
    """A word that names a slot ("wrapper"), words `first` to `end`."""

    slot: str
    first: int
    end: int


@dataclass(slots=True)
class _Leaf:
    """Leaf words in a row: `atoms` are (first, end, origin?) of each variety or origin."""

    first: int
    end: int
    atoms: list[tuple[int, int, bool]]
    links: list[str]
    key: _Key | None = None


def read_leaf(ground: Ground, sections: Sections) -> list[Found]:
    """`wrapper`, `binder`, `filler`."""
    keys = _keys(ground)
    behind = {name[0] for name in behind_leaf(ground, sections)}
    leaves = [
        leaf for leaf in _leaves(ground, keys)
        if leaf.first not in behind and sections.of(leaf.first) in ("setup", "appearance")
        and not ground.scope.other[leaf.first]
    ]  # fmt: skip
    filled: dict[str, list[_Leaf]] = {}
    for n, leaf in enumerate(leaves):
        key = leaf.key = _slot(ground, leaf, keys, leaves[:n])
        if key is None:
            continue
        slots = _shared(ground, key, keys, leaf, leaves[:n])
        for slot in slots:
            held = filled.get(slot)
            if held and _replaces(ground, held[-1], leaf):
                filled[slot] = [leaf]
            elif not held or leaf.first - held[-1].end <= 4:
                filled.setdefault(slot, []).append(leaf)
    for slot in REST if "rest" in filled else ():
        filled.setdefault(slot, filled["rest"])
    filled.pop("rest", None)
    found = _puro(ground, sections, filled)
    for slot, held in filled.items():
        text = _told(ground, held, slot)
        if text:
            found.append(Found(slot, text, tuple((leaf.first, leaf.end) for leaf in held)))
    return found


def _keys(ground: Ground) -> list[_Key]:
    keys = [
        _Key(slot, first, end)
        for slot in (*SLOTS, "rest")
        for first, end, _ in ground.row.find(pattern(f"{{facts.leaf.{slot}}}"))
    ]
    keys.sort(key=lambda k: (k.first, -k.end))
    kept: list[_Key] = []
    for key in keys:
        if not kept or key.first >= kept[-1].end:
            kept.append(key)
    return kept


def _leaves(ground: Ground, keys: list[_Key]) -> list[_Leaf]:
    """Leaf words in rows, joined by `from`, `and`, `with some`, or by standing side by side."""
    row = ground.row
    hits = [(a, b, True) for a, b, _ in row.find(pattern("{facts.leaf.origin}"))]
    hits += [(a, b, False) for a, b, _ in row.find(pattern("{facts.leaf.variety}"))]
    made = {a for a, b, _ in hits if any(x == b for x, _, _ in row.find(where_made(), b, b + 12))}
    rolled = made | {n for _, end in made_in(ground) for n in (end, end + 1)
              if n == end or row.said(end, n) in ("the", "a")}  # fmt: skip
    hits = sorted((h for h in hits if h[0] not in rolled), key=lambda h: (h[0], -h[1], h[2]))
    word = pattern("{facts.leaf.word}")
    inside = {n for key in keys for n in range(key.first, key.end)}
    leaves: list[_Leaf] = []
    taken = -1
    for first, end, origin in hits:
        if first < taken:
            continue
        more = next((b for a, b, _ in row.find(word, end, end + 3) if a == end), end)
        while more > end and end not in inside and not row.words[end].gap:
            end = more
            more = next((b for a, b, _ in row.find(word, end, end + 3) if a == end), end)
        taken = end
        last = leaves[-1] if leaves else None
        if last and _joined(ground, last, (first, end, origin), inside, keys):
            last.links.append(row.said(last.end, first))
            last.atoms.append((first, end, origin))
            last.end = end
        else:
            leaves.append(_Leaf(first, end, [(first, end, origin)], []))
    return leaves


def _joined(
    ground: Ground, last: _Leaf, atom: tuple[int, int, bool], inside: set[int], keys: list[_Key]
) -> bool:
    """True where a leaf word goes on with the row before it."""
    row = ground.row
    first = atom[0]
    if first == last.end and _next_slot(ground, last, atom, inside, keys):
        return False
    between = range(last.end, first)
    if len(between) > 10 or any(n in inside for n in between):
        return False
    if any(row.words[n].gap == STOP for n in range(last.end, first + 1)):
        return False
    words = [row.words[n].lower for n in between]
    if words[:2] in (["and", "it"], ["and", "the"]):
        return False
    after = next((b for b in _ends(ground, first, inside)), first)
    led = {"with", "over", "under", "around", "round", "above", "below"} & set(words)
    if set(words) & {"a", "an", "the"} and led and after in inside:
        return False  # "sun grown, with a Honduran | binder"
    if not words and last.links and any(w in _ORIGIN_LINK for w in last.links[-1].split()):
        nexts = first + 1
        while nexts < len(row.words) and nexts - first < 3 and nexts not in inside:
            nexts += 1
        return nexts not in inside  # "from Ecuador | Nicaraguan filler"
    return all(w in _LINK for w in words)


def _next_slot(
    ground: Ground, last: _Leaf, atom: tuple[int, int, bool], inside: set[int], keys: list[_Key]
) -> bool:
    """`Wrapper's Ecuadorian Habano, Nicaraguan binder`: each row has a slot of its own."""
    first, end, origin = atom
    led = any(
        k.end <= last.first
        and _small(ground.row.said(k.end, last.first))
        and k.first >= last.first - 8
        for k in keys
    )
    before = not inside.isdisjoint(range(max(last.first - 3, 0), last.first))
    own = end in inside and not ground.row.words[end].gap
    apart = ground.row.words[first].gap > 0 or (origin and any(a[2] for a in last.atoms))
    return own and apart and (led or before)


def _ends(ground: Ground, first: int, inside: set[int]) -> list[int]:
    """The first word of a slot's name within three words of a leaf word."""
    found = []
    for n in range(first + 1, min(first + 4, len(ground.row.words))):
        if ground.row.words[n].gap:
            break
        if n in inside:
            found.append(n)
    return found


def _slot(ground: Ground, leaf: _Leaf, keys: list[_Key], earlier: list[_Leaf]) -> _Key | None:
    """The key a row of leaf words belongs to."""
    row = ground.row
    before = next((k for k in reversed(keys) if k.end <= leaf.first), None)
    after = next((k for k in keys if k.first >= leaf.end), None)
    since = [e for e in earlier if before and e.first >= before.end]
    prefixed = [e for e in earlier if before and e.key is before]
    next_to = after and after.first == leaf.end and not row.words[after.first].gap
    if before and not since and _small(row.said(before.end, leaf.first)):
        link = row.said(before.end, leaf.first).split()
        if not prefixed or (link and (link[0] in _ORIGIN_LINK or " ".join(link) in _SAME_LEAF)):
            return before
        apart = before.end == leaf.first and row.words[leaf.first].gap <= COMMA
        led = any(e.end == before.first for e in prefixed)
        origin = any(atom[2] for atom in leaf.atoms) and not row.words[leaf.first].gap
        elsewhere = after and _postfix(
            row.said(leaf.end, after.first), row.said(after.first, after.end)
        )
        if apart and led and not (next_to or origin or elsewhere):  # "Habano wrapper, Ecuador."
            return before
    if after and next_to:
        return after
    if after and _postfix(row.said(leaf.end, after.first), row.said(after.first, after.end)):
        return after
    if before is None or leaf.first - before.end > 16:
        return None
    unknown = pattern(
        r"no idea|no clue|do not know|not sure|will not say|did not say|does not say|not say|"
        r"unknown|"
        r"not told|undisclosed|a secret|is anybody|anyone"
    )
    if any(True for _ in row.find(unknown, before.end, leaf.first)):
        return None
    stops = sum(row.words[n].gap == STOP for n in range(before.end, leaf.first + 1))
    if stops > 1 or (stops and (since or leaf.first - before.end > 4)):
        return None
    if since and not _replaces(ground, since[-1], leaf) and leaf.first - since[-1].end > 4:
        return None
    return None if prefixed and not since else before


def _small(between: str) -> bool:
    """True where nothing of weight stands between a slot's name and its leaf."""
    light = frozenset(
        "'s is was are a an the some it of from in out grown be being all also both mostly comes "
        "came you have got 've leaf this one i by that well like".split()
    )
    words = between.split()
    return len(words) <= 5 and all(w in light for w in words)


def _postfix(between: str, key: str) -> bool:
    """True for `Olor for the binder`, `Connecticut on the outside`."""
    if key.startswith("on the") or key == "outside":
        return not between
    return (
        re.fullmatch(
            r"(?:(?:leaf|leaves|tobacco|tobaccos) )?(?:all |right |mostly |both )*"
            r"(?:(?:for|as|in|on|through|throughout|inside|around|round)(?: (?:the|a|its|my|"
            r"their))?|"
            r"(?:that|which|it) (?:is|'s|was) the|being the|(?:makes|make) (?:up )?the|is the|are "
            r"the|"
            r"was the|'s the)",
            between,
        )
        is not None
    )


def _shared(
    ground: Ground, key: _Key, keys: list[_Key], leaf: _Leaf, earlier: list[_Leaf]
) -> list[str]:
    """The slots named together before one leaf: `binder and filler are from Nicaragua`."""
    slots = [key.slot]
    at = keys.index(key)
    behind = next((n for n, k in enumerate(keys) if k.first == leaf.end), None)
    if behind is not None and not ground.row.words[leaf.end].gap:  # "Nicaraguan binder and filler"
        while (
            behind + 1 < len(keys)
            and ground.row.said(keys[behind].end, keys[behind + 1].first) == "and"
            and not any(w.gap for w in ground.row.words[leaf.end : keys[behind + 1].end])
            and ground.row.said(keys[behind + 1].first, keys[behind + 1].end) in _NOUNS
        ):
            slots += [keys[behind].slot, keys[behind + 1].slot]
            behind += 1
    if key.first >= leaf.end:
        return slots
    while at > 0:
        between = ground.row.said(keys[at - 1].end, keys[at].first).split()
        light = {"and", "the", "what", "'s", "both", "also", "as", "well", "with", "is", "it"}
        if len(between) > 4 or not all(w in light for w in between):
            break
        listed = len(slots) > 1 and between in ([], ["the"])
        told = any(e.key is keys[at - 1] or e.end == keys[at - 1].first for e in earlier)
        if told or not ("and" in between or listed):
            break
        at -= 1
        slots.append(keys[at].slot)
    return slots


def _replaces(ground: Ground, old: _Leaf, new: _Leaf) -> bool:
    """True where the speaker corrects a leaf: `cameroon, no, sumatra`."""
    return new.first - old.end > 0 and corrects(ground, old.end, new.first, reach=10)


def _told(ground: Ground, leaves: list[_Leaf], slot: str) -> str:
    """The leaf in words: `Habano, Ecuador`, `Mexican maduro`, `Honduras and Nicaragua`."""
    names: list[tuple[str, str]] = []
    for leaf in leaves:
        links = ["", *leaf.links]
        if leaf is not leaves[0]:
            gap = ground.row.said(leaves[0].end, leaf.first)
            own = gap.endswith(_SAME_LEAF) or any(w in _ORIGIN_LINK for w in gap.split())
            links[0] = "from" if own else "and"
        for (first, end, _), link in zip(leaf.atoms, links, strict=True):
            names.append((link, _literal(ground, first, end)))
    return _listed(names, slot)


def _literal(ground: Ground, first: int, end: int) -> str:
    """The words as they stand in the text; proper names in capitals where all is lower case."""
    row = ground.row
    words = row.words[first:end]
    if words[0].line == words[-1].line:
        text = row.lines[words[0].line].text[words[0].start : words[-1].stop]
    else:
        text = " ".join(w.lower for w in words)
    text = " ".join(text.split())
    for article in ("the ", "The "):
        text = text.removeprefix(article)
    plain = {"seed", "shade", "grown", "broadleaf", "maduro", "oscuro", "claro", "rosado", "leaf",
             "natural", "ligero", "seco", "viso", "volado", "sun", "dark"}  # fmt: skip
    if text.islower():
        text = " ".join(w if w in plain else w[:1].upper() + w[1:] for w in text.split(" "))
    return text.removesuffix(" leaf")


def _listed(names: list[tuple[str, str]], slot: str) -> str:
    """Join names by what stood between them, each name once."""
    parts: list[str] = []
    for link, name in names:
        words = link.split()
        if any(name.lower() == p.lower() for p in parts):
            continue
        if parts and name.lower().endswith(parts[-1].lower()):
            parts[-1] = name  # "broadleaf, Connecticut broadleaf"
        elif parts and any(w in _ORIGIN_LINK for w in words):
            parts[-1] = f"{parts[-1]}, {name}"
        elif parts and not words and slot != "filler":
            joined = f"{parts[-1]} {name}"
            parts[-1] = joined
        else:
            parts.append(name)
    if len(parts) > 1:
        return ", ".join(parts[:-1]) + " and " + parts[-1]
    return parts[0] if parts else ""


def _puro(ground: Ground, sections: Sections, filled: dict[str, list[_Leaf]]) -> list[Found]:
    """`a Nicaraguan puro`: every slot not told otherwise is of that origin."""
    row = ground.row
    said = pattern("(?P<origin>{facts.leaf.origin}) puro")
    found: list[Found] = []
    for first, end, _ in row.find(said):
        if sections.of(first) != "setup" or ground.scope.elsewhere(first, end):
            continue
        value = _literal(ground, first, end - 1)
        found += [Found(s, value, ((first, end),)) for s in SLOTS if s not in filled]
        break
    return found

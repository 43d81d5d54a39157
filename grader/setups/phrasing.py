"""Phrasing a line written for regions in the words of a needle setup.

The leading stitches go to the first needle of a region, the trailing ones to its last, and the
stretch between is split; with one circular the regions lie between markers instead.
"""

from __future__ import annotations

from grader.models.instructions import Regions
from grader.notation.counting import Stretch, reflow, split
from grader.notation.tree import Item, Line, Mark, Part, Repeat, Round, Run
from grader.setups.hands import Hands

Pieces = list[list[tuple[Stretch, ...]]]  # for each needle, those of the regions on it
_PLAIN = (Line((Run("k"),)), Line((Run("p"),)))


def phrase(hands: Hands, lines: dict[str, Line], resolved: dict[str, tuple[Stretch, ...]], pieces: Pieces) -> Round:
    """The round in which each region is worked by its line, already `resolved` over its stitches.

    `pieces` is what each needle works of it, nothing where markers lie between the regions.
    """
    first = next(iter(lines.values()))
    if first in _PLAIN and all(line == first for line in lines.values()):
        return Round((Part(first),))
    if hands.setup.marker:
        return _between_markers(hands, resolved)
    return _on_needles(hands, pieces)


def _between_markers(hands: Hands, resolved: dict[str, tuple[Stretch, ...]]) -> Round:
    """One line with the regions between markers; the first such round places them, by counts."""
    ordered = [resolved[name] for name, _ in hands.spans()]
    if not hands.marked:
        items = []
        for place, stretches in enumerate(ordered):
            items += [stretch.item for stretch in stretches if stretch.takes or stretch.leaves]
            items.append(Mark("sm" if place == len(ordered) - 1 else "pm"))
        hands.marked = True
        return Round((Part(Line(tuple(items))),))
    worked = [(*reflow(stretches, "marker").items, Mark("sm")) for stretches in ordered]
    nested = any(isinstance(item, Repeat) for item in worked[0])  # a star within stars could mean either
    if len(worked) > 1 and not nested and all(each == worked[0] for each in worked):
        return Round((Part(Line((Repeat(worked[0], times=len(worked)),))),))
    return Round((Part(Line(tuple(item for each in worked for item in each))),))


def _on_needles(hands: Hands, pieces: Pieces) -> Round:
    lines = [_needle_line(needle, hands.marked) for needle in pieces]
    hands.marked = hands.marked or any(len(needle) > 1 for needle in pieces)
    owners = needle_regions(hands.needles, hands.spans())
    if len(lines) > 1 and all(line == lines[0] for line in lines):
        return Round((Part(lines[0], each=True),))
    return Round(tuple(_grouped(lines, owners)))


def _needle_line(regions: list[tuple[Stretch, ...]], marked: bool) -> Line:
    """The line of one needle; regions that share it lie between markers, which the first such round places."""
    items: list[Item] = []
    for place, stretches in enumerate(regions):
        is_last = place == len(regions) - 1
        if marked or len(regions) == 1:
            items += reflow(stretches, "end" if is_last else "marker").items
        else:
            items += [stretch.item for stretch in stretches if stretch.takes or stretch.leaves]
        if not is_last:
            items.append(Mark("sm" if marked else "pm"))
    return Line(tuple(items))


def _grouped(lines: list[Line], owners: list[tuple[str, bool]]) -> list[Part]:
    """Plain neighbours of one region in one part; alternating needles told in pairs."""
    distinct = list(dict.fromkeys(lines))
    if len(lines) == 4 and len(distinct) == 2 and lines[0] == lines[2] and lines[1] == lines[3]:
        return [Part(distinct[0], (1, 3)), Part(distinct[1], (2, 4))]
    parts: list[Part] = []
    for number, (line, (region, whole)) in enumerate(zip(lines, owners, strict=True), start=1):
        last = parts[-1] if parts else None
        if last and line in _PLAIN and last.line == line and last.region == region and last.region:
            parts[-1] = Part(line, (*last.needles, number), region=region)
        else:
            parts.append(Part(line, (number,), region=region if whole or line in _PLAIN else ""))
    return [Part(part.line, part.needles, region=part.region if _holds_all(part, owners) else "") for part in parts]


def _holds_all(part: Part, owners: list[tuple[str, bool]]) -> bool:
    """True if the needles of the part are all the needles of its region."""
    mine = {number for number, (region, _) in enumerate(owners, start=1) if region == part.region}
    return bool(part.region) and mine == set(part.needles)


def needle_regions(needles: tuple[int, ...], spans: Regions) -> list[tuple[str, bool]]:
    """For each needle the region it holds stitches of ("" if several), and whether it holds all of it."""
    owners: list[tuple[str, bool]] = []
    names_left = [name for name, _ in spans]
    counts_left = [count for _, count in spans]
    sizes: dict[str, int] = {}
    for name, count in spans:
        sizes[name] = sizes.get(name, 0) + count
    for held in needles:
        names: set[str] = set()
        left = held
        while left and names_left:
            step = min(left, counts_left[0])
            if step:
                names.add(names_left[0])
            counts_left[0] -= step
            left -= step
            if not counts_left[0]:
                names_left.pop(0)
                counts_left.pop(0)
        name = names.pop() if len(names) == 1 else ""
        owners.append((name, bool(name) and held == sizes[name]))
    return owners


def needle_pieces(hands: Hands, resolved: dict[str, tuple[Stretch, ...]]) -> Pieces:
    """What each needle works, as the pieces of the regions on it, in working order.

    Raises `SplitError` where a stitch would lie across two needles.
    """
    joins = [0]
    for count in hands.needles:
        joins.append(joins[-1] + count)
    pieces: Pieces = [[] for _ in hands.needles]
    at = 0
    for name, count in hands.spans():
        whole = hands.count_of(name)
        offset = 0 if at or count == whole else whole - count
        cuts = {offset + join - at for join in joins if at < join < at + count}
        ends = {each for each in (offset, offset + count) if 0 < each < whole}
        cut_at = tuple(sorted(cuts | ends))
        stretches = split(resolved[name], cut_at)
        starts = (0, *cut_at)
        for begin, piece in zip(starts, stretches, strict=True):
            if offset <= begin < offset + count or (count == 0 and begin == offset):
                place = at + begin - offset
                needle = max(index for index, join in enumerate(joins[:-1]) if join <= place)
                pieces[needle].append(piece)
        at += count
    return pieces


def leaves_by_piece(pieces: Pieces) -> tuple[int, ...]:
    """Stitches on each needle after the round."""
    return tuple(sum(stretch.leaves for piece in needle for stretch in piece) for needle in pieces)

"""The stripes of a pair in words: for the terminal, and as a plan in Markdown with every stripe in working order."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from grader.models.stripes import Laid, PartRounds, Stripe, StripedPair, StripedSock

_FEW = 5  # stripes that a table has columns for
_ROOM = 45  # letters that the heads of these columns have on a page
_TO_SPEAK_OF = Fraction(5, 100)  # metres; less is lost in the estimate
_FIGURES = re.compile(r"(?<=\d) (?=[^\W\d_]+$)")  # a unit stays with its number
Say = Callable[[str], str]


def _as_it_is(text: str) -> str:
    return text


def print_stripes(pair: StripedPair, size: str) -> str:
    """Rounds per stripe in each part, where sock two begins, and whether the yarn does, as lines of text."""
    head, *rows = _table(pair, _as_it_is)
    widths = [max(len(row[column]) for row in (head, *rows)) + 2 for column in range(len(head))]
    lines = [
        "".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in (head, *rows)
    ]
    said = [*_instep(pair), *_second(pair), *_ball(pair), *_estimate(pair)]
    return "\n".join([f"size {size}: rounds in each stripe", *lines, "", *said])


def write_stripes(
    pair: StripedPair,
    title: str,
    size: str,
    picture: tuple[str, str] = ("", ""),
    every: bool = True,
    say: Say | None = None,
) -> str:
    """The same as Markdown.

    Args:
        pair: the socks as laid out along the yarn.
        title: that of the pattern.
        size: the name of the size.
        picture: the file name of a drawing and its description; none where the name is empty.
        every: list every stripe of sock one, and of sock two where it differs; else as much as goes onto one page.
        say: how texts are told in another language, but for the title and the picture, which are told already.
    """
    say = say or _as_it_is
    parts = [f"# {say('Stripes')}, {say('size')} {_safe(size)}", _safe(title)]
    if picture[0]:
        parts.append(f"![{picture[1]}]({picture[0]})")
    parts += [f"## {say('Rounds in each stripe')}", _markdown(_table(pair, say, brief=not every))]

    def told(*texts: str) -> str:
        return " ".join(map(say, texts))

    if not every:
        said = told(*_instep(pair)[:1], *_second(pair), *_ball(pair), *_estimate(pair))
        return "\n\n".join([*parts, f"## {say('The second sock and the ball')}", said]) + "\n"
    parts += [f"## {say('The second sock')}", told(*_instep(pair), *_second(pair))]
    parts += [f"## {say('The ball')}", told(*_ball(pair), *_estimate(pair))]
    parts += [f"## {say('Every stripe')}", *_every(pair, say)]
    return "\n\n".join(parts) + "\n"


def _safe(text: str) -> str:
    """Words of a title or a colour without what Markdown would take for its own."""
    return "".join(f"\\{each}" if each in "\\`*_[]<>|#" else each for each in text)


def _metres(amount: Fraction) -> str:
    return f"{float(amount):.1f} m" if amount < 100 else f"{float(amount):.0f} m"


def _end(amount: Fraction) -> str:
    """The length of a tail, to the centimetre."""
    return f"{float(amount):.2f} m"


def _number(amount: Fraction) -> str:
    return f"{float(amount):.1f}"


def _of_length(stripe: Stripe, say: Say = _as_it_is) -> str:
    """A stripe by its colour and what the knitter knows of it, to the centimetre."""
    return f"{say(f'{float(stripe.metres):.2f}'.rstrip('0').rstrip('.') + ' m')} {stripe.colour}"


def _table(pair: StripedPair, say: Say, brief: bool = False) -> list[list[str]]:
    """Rounds of each stripe in each section: a row for each section, or where stripes are many one for each stripe.

    `brief` leaves many stripes out, since a page has no room for them; the yarn that a round takes says as much.
    """
    stripes = list(dict.fromkeys(pair.ask.repeat))
    named = [_of_length(each, say) for each in stripes]
    few = len(stripes) <= _FEW and not (brief and sum(map(len, named)) > _ROOM)
    table = [[*map(say, ("part", "worked", "stitches", "yarn in one")), *(named if few else ())]]
    for part in pair.parts:
        yarn = _range(part.fewest * pair.metres_per_stitch, part.most * pair.metres_per_stitch, ".2f")
        rounds = [say(_rounds_in(part, each, pair)) for each in stripes] if few else []
        texts = (part.section, _worked(part), _range(part.fewest, part.most, ""), f"{yarn} m")
        table.append([*map(say, texts), *rounds])
    if few or brief:
        return table
    head = [say("stripe"), *(f"{say(part.section)} ({say(_range(part.fewest, part.most, ''))})" for part in pair.parts)]
    rows = [[say(_rounds_in(part, each, pair)) for part in pair.parts] for each in stripes]
    return [head, *([name, *row] for name, row in zip(named, rows, strict=True))]


def _rounds_in(part: PartRounds, stripe: Stripe, pair: StripedPair) -> str:
    return _range(pair.rounds(stripe, part.most), pair.rounds(stripe, part.fewest))


def _worked(part: PartRounds) -> str:
    noun = "row" if part.rows else "round"
    return f"{part.count} {noun}{'' if part.count == 1 else 's'}"


def _range(low: Fraction, high: Fraction, ending: str = ".1f") -> str:
    """Two numbers with a dash between, or one where they print alike; whole stitches without a decimal."""
    first, last = (f"{float(each):{ending}}" if ending else f"{float(each):g}" for each in (low, high))
    return first if first == last else f"{first}–{last}"


def _markdown(table: Sequence[Sequence[str]]) -> str:
    head, *rows = [[_FIGURES.sub("\u00a0", _safe(cell)) for cell in row] for row in table]
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def _instep(pair: StripedPair) -> list[str]:
    gap = pair.first.instep_gap
    if gap is None:
        return []
    if not gap:
        return ["The heel takes none of the striping yarn: the stripes run on over the instep."]
    rest = gap % pair.ask.length
    if not rest:
        return [f"The heel takes {_metres(gap)}, which are whole repeats: the stripes run on over the instep."]
    return [
        f"The heel takes {_metres(gap)} of the striping yarn: the instep goes on {_metres(rest)} further in the repeat"
        " than the leg ended.",
        "With a heel in a yarn of its own (--contrast heel) the stripes would run on.",
    ]


def _second(pair: StripedPair) -> Iterator[str]:
    ask = pair.ask
    stripe, into = ask.at(pair.first.start)
    place = f"{_metres(into)} into the {stripe.colour}" if into else f"at the start of the {stripe.colour}"
    cast_on = pair.first.passes[0].loops > 0
    tail = f"a tail of {_end(pair.tail)} for the cast-on" if cast_on else f"an end of {_end(pair.tail)}"
    yield f"The first stitch of each sock lies {place}, with {tail} before it."
    end, further = ask.at(pair.first.start + pair.first.metres + pair.closing)
    yield f"Sock one with its ends leaves the yarn {_metres(further)} into the {end.colour}."
    if pair.wound_off >= _TO_SPEAK_OF:
        yield f"Wind off {_metres(pair.wound_off)}; the tail of sock two begins there."
    else:
        yield "There is nothing to wind off: the tail of sock two begins there."


def _ball(pair: StripedPair) -> list[str]:
    """What the pair takes of the ball, whether it does, and last how to wind it."""
    told = [
        f"The pair takes {_metres(pair.knitted)} with its tails, and matching it {_metres(pair.wound_off)} more:"
        f" {_metres(pair.needed)} in all, of {_metres(pair.ball)}."
    ]
    if pair.at_most <= pair.ball:
        told.append(
            f"That is enough, even if the start is found only after a whole repeat ({_metres(pair.ask.length)})."
        )
    elif pair.needed <= pair.ball:
        told.append(f"That is enough if the start lies within the first {_metres(pair.ball - pair.needed)}.")
    elif pair.knitted <= pair.ball:
        told.append(
            f"That is enough for a pair, but not for matching it: {_metres(pair.needed - pair.ball)} are missing."
            " Knit the socks as the yarn comes, or begin sock two from another ball at the same place."
        )
    else:
        told.append(f"That is not enough: {_metres(pair.needed - pair.ball)} are missing.")
    if pair.other:
        told.append(f"Besides, {_metres(pair.other)} of other yarn for both socks.")
    return [*told, "Wind every ball the same way round, or the colours come in the opposite order."]


def _estimate(pair: StripedPair) -> list[str]:
    return [
        f"A stitch is taken to hold {float(pair.metres_per_stitch) * 1000:.1f} mm of yarn, worked out from the gauge:"
        " an estimate.",
        "Knit a stripe, count its rounds and move the plan if they differ.",
    ]


def _every(pair: StripedPair, say: Say) -> list[str]:
    first, second = (_listed(sock, pair, say) for sock in (pair.first, pair.second))
    if first == second:
        return [say("Both socks alike, in working order."), _markdown(first)]
    told = [
        (say(f"Sock {name}, in working order."), _markdown(each)) for name, each in (("one", first), ("two", second))
    ]
    return [part for each in told for part in each]


def _listed(sock: StripedSock, pair: StripedPair, say: Say) -> list[list[str]]:
    """A row for each stripe: its colour, its yarn, where it begins, and its rounds in each part it lies in."""
    table = [[*map(say, ("stripe", "colour", "yarn", "begins", "rounds and rows"))]]
    for at, laid in enumerate(sock.stripes, 1):
        first = sock.passes[laid.shares[0].at]
        place = f"{first.kind.replace('_', ' ')} {first.number or ''}".strip()
        colour = pair.ask.repeat[laid.index].colour
        begins = f"{say(first.section)}, {say(place)}"
        table.append([str(at), colour, say(_metres(laid.metres)), begins, _rounds(laid, sock, say)])
    return table


def _rounds(laid: Laid, sock: StripedSock, say: Say) -> str:
    counts: dict[str, Fraction] = {}
    for share in laid.shares:
        section = sock.passes[share.at].section
        counts[section] = counts.get(section, Fraction(0)) + share.end - share.begin
    return ", ".join(f"{say(section)} {say(_number(count))}" for section, count in counts.items())

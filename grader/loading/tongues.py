"""Reading the catalogue of a language, and the translations of a designer's prose beside her patterns."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from importlib import resources
from pathlib import Path

from grader.loading.pictures import shown_in
from grader.loading.source import read_source
from grader.loading.tree import Node, read_tree
from grader.models.language import Language, Phrase
from grader.resources import folder
from grader.vocabulary.findings import Finding, Ledger

GROUPS = (
    "line",
    "how",
    "spread",
    "label",
    "region",
    "item",
    "stitch",
    "manner",
    "colour",
    "remark",
    "reach",
    "repeat",
    "group",
    "stated",
    "edge",
    "piece",
    "symbol",
    "worked",
)
_KEYS = (
    "name",
    "tag",
    "numbers",
    "plural",
    "units",
    "quotes",
    "joins",
    "phrases",
    "abbreviations",
    "further",
    "spoken",
    "messages",
)
_PLURALS = ("one", "up-to-one", "none", "slavic")
_BESIDE = ("phrases", "messages")
_SLOT = re.compile(r"\{([^{}]*)\}")
_SIDE_BY_SIDE = re.compile(r"\{\w{1,40}:[^{}]{0,80}\}\{\w{1,40}:")
_TAG = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*")


def shipped() -> tuple[str, ...]:
    """The languages that ship, by the names of their catalogues: de."""
    places = resources.files("grader").joinpath("data", "languages").iterdir()
    return tuple(sorted(each.name.removesuffix(".yaml") for each in places if each.name.endswith(".yaml")))


def read_language(named: str, beside: str = "") -> tuple[Language | None, list[Finding]]:
    """The language whose catalogue ships under that name, or stands in the file that is named.

    Its words come first from the file `mine.de.yaml` beside the pattern file `mine.yaml` (`beside`), then from
    `patterns/languages/de.yaml`, which holds the prose of what ships, then from the catalogue. None with findings where
    the catalogue can't be read or has a mistake.
    """
    own = named.endswith((".yaml", ".yml"))
    stem = Path(named).name.split(".")[0] if own else named
    if not own and named not in shipped():
        there = ", ".join(shipped())
        mend = f"there are {there}; or name a catalogue file of your own, such as {named}.yaml"
        return None, [Finding("language", f"there is no catalogue for the language {named!r}", mend=mend)]
    path = named if own else str(resources.files("grader").joinpath("data", "languages", f"{named}.yaml"))
    ledger = Ledger()
    root = _tree(path, ledger)
    if root is None:
        return None, ledger.entries
    _known(root, _KEYS, "a catalogue", ledger)
    language = _language(root, ledger)
    others = [Path(beside).with_suffix(f".{stem}.yaml")] if beside else []
    others.append(folder("patterns") / "languages" / f"{stem}.yaml")
    phrases, messages, pictures = dict(language.phrases), language.messages, shown_in(root, anywhere=True)
    for other in reversed([each for each in others if os.path.lexists(each)]):
        more = _tree(str(other), ledger)
        if more is not None:
            _known(more, _BESIDE, "a file of translations", ledger)
            for group, own_phrases in _groups(more.child("phrases"), ledger).items():
                phrases[group] = (*own_phrases, *phrases.get(group, ()))
            messages = (*_phrases(more.child("messages"), ledger), *messages)
            pictures += shown_in(more, anywhere=True)
    whole = replace(language, phrases=phrases, messages=messages, pictures=pictures)
    return (None if any(each.is_error for each in ledger.entries) else whole), ledger.entries


def _tree(path: str, ledger: Ledger) -> Node | None:
    source, findings = read_source(path)
    root, told = read_tree(source) if source else (None, [])
    ledger.entries += [*findings, *told]
    return root


def _known(root: Node, keys: tuple[str, ...], what: str, ledger: Ledger) -> None:
    for key, _ in root.entries:
        if key.text not in keys:
            ledger.add("unknown-key", f"{what} has no key {key.text!r}", key.span, mend=f"it has {', '.join(keys)}")


def _language(root: Node, ledger: Ledger) -> Language:
    numbers, joins = _texts(root.child("numbers"), ledger), _texts(root.child("joins"), ledger)
    quotes = _texts(root.child("quotes"), ledger)
    tag = _text(root, "tag", ledger)
    if tag and not _TAG.fullmatch(tag):
        node = root.child("tag")
        ledger.add("tag", f"{tag!r} is no language tag", node.span if node else None, mend="write one such as de-DE")
    plural = root.child("plural")
    if plural and plural.text not in _PLURALS:
        mend = f"there are {', '.join(_PLURALS)}"
        ledger.add("plural", f"there is no rule {plural.text!r} for the plural", plural.span, mend=mend)
    return Language(
        name=_text(root, "name", ledger),
        tag=tag,
        decimal=numbers.get("decimal", "."),
        between=numbers.get("brackets", ", "),
        none=numbers.get("none", "–"),
        plural=plural.text if plural else "one",
        quotes=(quotes.get("open", "“"), quotes.get("close", "”")),
        comma=joins.get("comma", ", "),
        word_and=joins.get("and", " and "),
        word_to=joins.get("to", " to "),
        word_or=joins.get("or", " or "),
        spaced=joins.get("before", ""),
        units=tuple(_texts(root.child("units"), ledger).items()),
        phrases=_groups(root.child("phrases"), ledger),
        messages=_phrases(root.child("messages"), ledger),
        abbreviations={
            key.text: tuple(_texts(value, ledger).items())
            for key, value in _entries(root.child("abbreviations"), ledger)
        },
        further=tuple(_texts(root.child("further"), ledger).items()),
        spoken=tuple(_texts(root.child("spoken"), ledger).items()),
    )


def _text(root: Node, key: str, ledger: Ledger) -> str:
    node = root.child(key)
    if node is None or node.kind != "text" or not node.text:
        ledger.add("missing", f"a catalogue says its {key}", node.span if node else root.span, mend=f"add {key}:")
        return ""
    return node.text


def _entries(node: Node | None, ledger: Ledger) -> tuple[tuple[Node, Node], ...]:
    if node is None or node.is_nothing:
        return ()
    if node.kind != "map":
        ledger.add("shape", "here stand English words, a colon, and the words for them", node.span, mend="K{n}: ...")
        return ()
    return node.entries


def _texts(node: Node | None, ledger: Ledger) -> dict[str, str]:
    found = {}
    for key, value in _entries(node, ledger):
        if value.kind != "text":
            ledger.add("shape", f"the words for {key.text!r} are a text", value.span, mend="put them into quotes")
        else:
            found[key.text] = value.text
    return found


def _groups(node: Node | None, ledger: Ledger) -> dict[str, tuple[Phrase, ...]]:
    found = {}
    for key, value in _entries(node, ledger):
        if key.text not in GROUPS:
            mend = f"there are {', '.join(GROUPS)}"
            ledger.add("unknown-key", f"there is no group of phrases {key.text!r}", key.span, mend=mend)
        found[key.text] = _phrases(value, ledger)
    return found


def _phrases(node: Node | None, ledger: Ledger) -> tuple[Phrase, ...]:
    found = []
    for key, value in _entries(node, ledger):
        if value.kind != "text":
            ledger.add("shape", "a translation is a text", value.span, mend="put it into quotes")
            continue
        if _SIDE_BY_SIDE.search(key.text):
            ledger.add("slot", "two texts stand side by side", key.span, mend="let a word or a sign stand between them")
        english, told = _slots(key.text), _slots(value.text)
        if value.text and told - english:
            odd = ", ".join(f"{{{each}}}" for each in sorted(told - english))
            mend = f"the English has {', '.join(f'{{{each}}}' for each in sorted(english)) or 'none'}"
            ledger.add("slot", f"{odd} stands in the translation only", value.span, mend=mend)
        if value.text and english - told:
            lost = ", ".join(f"{{{each}}}" for each in sorted(english - told))
            ledger.add("slot", f"{lost} is lost in the translation", value.span, mend="let it stand there too")
        found.append(Phrase(key.text, value.text, key.span))
    return tuple(found)


def _slots(text: str) -> set[str]:
    """The names of the slots, without their kinds and forms."""
    names = (found[1].split("|")[0] for found in _SLOT.finditer(text))
    return {name.split(":")[0].strip() if re.fullmatch(r"\w+:\w+", name) else name.strip() for name in names}

"""How fast pages are set: one document against a bare canvas, and against other typesetters with the same words.

    python -m tests.bench.pages                  one document, every way there is on this machine
    python -m tests.bench.pages --one-offs 1000  so many knitters' documents over all cores, and the memory it took

The floor draws the same words at the same places with nothing else: no layout, no structure. typst, WeasyPrint and
Chromium are used where they are installed; they are no part of the project.
"""

from __future__ import annotations

import argparse
import io
import json
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from grader.pipeline import Wanted, check, open_pattern
from grader.publishing import Draft, Edition, draft
from grader.write_up import write_up

_RUNS = 7
_CHROMIUM = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-pdf-header-footer",
]  # fmt: skip


def _document() -> tuple[str, Draft]:
    """The shipped pattern in all its sizes: its Markdown, and its drawings."""
    pattern, _ = open_pattern("patterns/ninepenny_bridge.yaml")
    assert pattern is not None
    edition = Edition()
    drafted = draft(check(pattern, Wanted((), ("UK",), "both")), edition, "sock", "sock")
    return write_up(drafted.document), drafted


def _words(markdown: str, drafted: Draft) -> list[list[tuple[str, float, float, float, str]]]:
    """Every word of every page with its font, size and place."""
    from grader.pages.pieces import Text
    from grader.pages.setting import lay_out

    laid_out = lay_out(markdown, drawing=drafted.main, drawings=drafted.drawings)
    sheet = laid_out.sheet
    return [
        [
            (mark.font, mark.size, sheet.left + mark.x, sheet.height - sheet.top - placed.y - mark.y, mark.text)
            for placed in page
            for mark in placed.marks
            if isinstance(mark, Text)
        ]
        for page in laid_out.pages
    ]


def _bare(pages: list[list[tuple[str, float, float, float, str]]]) -> bytes:
    from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

    from grader.pages.typefaces import BOLD, REGULAR, typeface

    for name in (REGULAR, BOLD):
        typeface(name)
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(595.276, 841.89), invariant=1, pageCompression=1)
    for page in pages:
        for font, size, x, y, text in page:
            canvas.setFont(font, size)
            canvas.drawString(x, y, text)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _tagged(markdown: str, drafted: Draft) -> bytes:
    from grader.pages import set_pages

    return set_pages(
        markdown, title="Socks", version="1.0", author="x", drawing=drafted.main, drawings=drafted.drawings
    )


def _best(work: Callable[[], object]) -> float:
    """The shortest of several runs in one process: what the work takes when everything is loaded."""
    took = []
    for _ in range(_RUNS):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return min(took)


def _process(command: list[str]) -> float | None:
    """The median of a whole process, start and all; None where there is no such program."""
    if not shutil.which(command[0]):
        return None
    took = []
    for _ in range(_RUNS):
        began = time.perf_counter()
        done = subprocess.run(command, capture_output=True, check=False)
        took.append(time.perf_counter() - began)
        if done.returncode:
            return None
    return statistics.median(took)


def _child(which: str, folder: str) -> None:
    """One whole process of ours: `bare` or `tagged`."""
    import pickle

    content = pickle.loads((Path(folder) / "content.pickle").read_bytes())
    if which == "bare":
        (Path(folder) / "bare.pdf").write_bytes(_bare(content["pages"]))
    else:
        from grader.pages import set_pages

        made = set_pages(content["markdown"], title="Socks", version="1.0", author="x", drawing=content["drawing"])
        (Path(folder) / "tagged.pdf").write_bytes(made)


def _typst_source(markdown: str) -> str:
    """The same words for typst: headings, lists, tables as it writes them."""
    import re

    lines = ['#set page(paper: "a4", numbering: "1")', '#set document(title: "Socks")', '#set text(lang: "en")']
    table: list[list[str]] = []

    def escaped(text: str) -> str:
        return re.sub(r"([\\#$*_`<>@\[\]~=/+-])", r"\\\1", text.replace("\\", ""))

    def flush() -> None:
        if table:
            cells = ", ".join(f"[{escaped(cell)}]" for row in table for cell in row)
            lines.append(f"#table(columns: {len(table[0])}, {cells})")
            table.clear()

    for line in markdown.splitlines():
        plain = line.replace("**", "")
        if line.startswith("|"):
            row = [cell.strip() for cell in plain.strip("|").split("|")]
            if not set("".join(row)) <= set(":- "):
                table.append(row)
            continue
        flush()
        if line.startswith("!["):
            continue
        heading = re.match(r"(#+) (.*)", plain)
        if heading:
            lines.append(f"{'=' * len(heading[1])} {escaped(heading[2])}")
        elif plain.startswith("- "):
            lines.append(f"- {escaped(plain[2:])}")
        elif plain.startswith("> "):
            lines.append(f"#quote[{escaped(plain[2:])}]")
        else:
            lines.append(escaped(plain) if plain != "---" else "")
    flush()
    return "\n".join(lines)


def _others(markdown: str, folder: Path) -> dict[str, float | None]:
    """Whole processes of other typesetters with the same words."""
    import markdown as reader

    body = reader.markdown(markdown, extensions=["tables"])
    head = '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Socks</title></head>'
    html = f"{head}<body>{body}</body></html>"
    (folder / "sock.html").write_text(html, encoding="utf-8")
    (folder / "sock.typ").write_text(_typst_source(markdown), encoding="utf-8")
    typst = "import sys, typst; typst.compile(sys.argv[1], output=sys.argv[2])"
    weasy = "import sys, weasyprint; weasyprint.HTML(sys.argv[1]).write_pdf(sys.argv[2], pdf_variant='pdf/ua-1')"
    python = sys.executable
    return {
        "typst": _process([python, "-c", typst, str(folder / "sock.typ"), str(folder / "typst.pdf")]),
        "WeasyPrint, tagged": _process([python, "-c", weasy, str(folder / "sock.html"), str(folder / "weasy.pdf")]),
        "Chromium, tagged": _process(
            [
                "chromium",
                *_CHROMIUM,
                f"--user-data-dir={folder / 'profile'}",
                f"--print-to-pdf={folder / 'chromium.pdf'}",
                str(folder / "sock.html"),
            ]
        ),
    }


def _one_document() -> None:
    import pickle

    markdown, drafted = _document()
    pages = _words(markdown, drafted)
    floor, ours = _best(lambda: _bare(pages)), _best(lambda: _tagged(markdown, drafted))
    print(f"{len(pages)} pages, in one process, best of {_RUNS}")
    print(f"  bare canvas, the floor   {floor * 1000:7.1f} ms     1")
    speed = f"{len(pages) / ours:.0f} pages a second"
    print(f"  tagged, from Markdown    {ours * 1000:7.1f} ms   {ours / floor:5.2f}   {speed}")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        content = {"pages": pages, "markdown": markdown, "drawing": drafted.main}
        (folder / "content.pickle").write_bytes(pickle.dumps(content))
        mine = [sys.executable, "-m", "tests.bench.pages", "--folder", place, "--child"]
        whole = {
            "bare canvas, the floor": _process([*mine, "bare"]),
            "tagged, from Markdown": _process([*mine, "tagged"]),
        }
        whole |= _others(markdown, folder)
    print(f"whole processes, median of {_RUNS}")
    base = whole["bare canvas, the floor"] or 1.0
    for name, took in whole.items():
        print(f"  {name:24} {took * 1000:7.1f} ms   {took / base:5.2f}" if took else f"  {name:24} not there")


def _one_offs(count: int) -> None:
    """Documents for so many knitters, each of another foot, over all cores."""
    import csv

    with tempfile.TemporaryDirectory() as place:
        people = Path(place) / "class.csv"
        with people.open("w", newline="") as out:
            rows = csv.writer(out)
            rows.writerow(["name", "foot", "length"])
            rows.writerows([f"N{n}", f"{20 + n % 60 / 10:.1f} cm", f"{22 + n % 60 / 10:.1f} cm"] for n in range(count))
        command = [
            sys.executable, "-m", "grader", "class", "ninepenny_bridge", str(people), "--gauge", "32x44",
            "--needles", "magic-loop", "--edition", "one-size", "--out", place, "--separate", "--quiet",
        ]  # fmt: skip
        began = time.perf_counter()
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        took = time.perf_counter() - began
        made = sorted(Path(place).glob("*.pdf"))
        if not made:
            raise SystemExit(done.stderr[-2000:])
        from pypdf import PdfReader

        number = sum(len(PdfReader(each).pages) for each in made)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    told = {"people": count, "pages": number, "seconds": round(took, 1), "pages a second": round(number / took, 1)}
    print(json.dumps(told | {"peak MiB of the largest process": round(peak)}))


def main() -> None:
    """Print the figures."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--one-offs", type=int, metavar="N")
    asked.add_argument("--child", choices=("bare", "tagged"))
    asked.add_argument("--folder")
    arguments = asked.parse_args()
    if arguments.child:
        _child(arguments.child, arguments.folder)
    elif arguments.one_offs:
        _one_offs(arguments.one_offs)
    else:
        _one_document()


if __name__ == "__main__":
    main()

"""A few pages as pictures, beside those that somebody has looked at (tests/golden/pages).

    pytest -n0 tests/pages/test_pictures.py --update-goldens

writes them anew. They are small and coarse: what shows is that something has moved, is missing or has come in. Where a
page differs, its old and new picture and their difference are put side by side into a file that the failure names.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image, ImageChops, ImageFilter

from grader.models.edition import EDITIONS
from grader.pipeline import Checked, Wanted, check, open_pattern
from grader.publishing import Edition, make_document

GOLDEN = Path(__file__).resolve().parents[1] / "golden" / "pages"
PATTERNS = Path(__file__).resolve().parents[2] / "patterns"
DPI = 50
GREYS = 16  # of a golden picture
FAR = 60  # of 255: so much lighter or darker is another picture, less is how edges are smoothed
SHARE = 0.002  # of the pixels of a page may be far off: less than a line of text
MOST_BYTES = 400_000  # of all golden pictures


@dataclass(frozen=True, slots=True)
class Shot:
    """One page of one document: that on which `shows` is first read from the page's own words."""

    pattern: str
    kind: str
    paper: str = "a4"
    shows: str = ""
    setups: int = 4


SHOTS = {
    "first-page": Shot("ninepenny_bridge", "pattern"),
    "setups": Shot("ninepenny_bridge", "pattern", shows="Gusset Short circular"),
    "chart": Shot("high_moor", "pattern", shows="Charts", setups=1),
    "handout": Shot("ninepenny_bridge", "handout", setups=1),
    "large-18": Shot("first_steps", "large-18", shows="Pick-up round", setups=1),
    "booklet-diagram": Shot("ninepenny_bridge", "booklet", "a5", shows="Its shape:", setups=1),
    "worksheet": Shot("ninepenny_bridge", "worksheet", setups=1),
}


@cache
def _checked(name: str, setups: int) -> Checked:
    from grader.setups import setup_names

    pattern, _ = open_pattern(str(PATTERNS / f"{name}.yaml"))
    assert pattern is not None
    some = replace(pattern, bodies=pattern.bodies[:6], samples=())
    return check(some, Wanted(setup_names()[:setups], units="both"))


@cache
def _page(shot: Shot) -> Image.Image:
    """The page in grey."""
    checked = _checked(shot.pattern, shot.setups)
    single = EDITIONS[shot.kind].single
    if single:
        checked = replace(checked, socks=checked.socks[:1])
    edition = Edition(kind=shot.kind, paper=shot.paper, one_size=single)
    document = pypdfium2.PdfDocument(make_document(checked, edition, "sock").files["sock.pdf"])
    for page in document:
        if shot.shows in " ".join(page.get_textpage().get_text_bounded().split()):
            return page.render(scale=DPI / 72, grayscale=True).to_pil().convert("L")
    raise AssertionError(f"no page shows {shot.shows!r}")


def _difference(old: Image.Image, new: Image.Image) -> tuple[float, Image.Image]:
    """The share of the pixels that are far off, and where they are."""
    blurred = [each.filter(ImageFilter.BoxBlur(1)) for each in (old, new)]
    apart = ImageChops.difference(*blurred).point(lambda grey: 255 if grey > FAR else 0)
    return apart.histogram()[255] / (old.width * old.height), apart


def _side_by_side(old: Image.Image, new: Image.Image, apart: Image.Image) -> Image.Image:
    sheet = Image.new("L", (3 * new.width + 20, new.height), 128)
    for place, each in enumerate((old, new, ImageChops.invert(apart))):
        sheet.paste(each, (place * (new.width + 10), 0))
    return sheet


@pytest.mark.parametrize("name", SHOTS)
def test_a_page_looks_as_it_did(name: str, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    new, file = _page(SHOTS[name]), GOLDEN / f"{name}.png"
    if request.config.getoption("--update-goldens"):
        GOLDEN.mkdir(exist_ok=True)
        new.quantize(GREYS).save(file, optimize=True)
        return
    assert file.is_file(), f"there is no golden picture {name}: run pytest --update-goldens and look at what it draws"
    old = Image.open(file).convert("L")
    assert old.size == new.size, f"{name} is {new.size}, no longer {old.size}"
    share, apart = _difference(old, new)
    if share > SHARE:
        beside = tmp_path / f"{name}.png"
        _side_by_side(old, new, apart).save(beside)
        pytest.fail(f"{share:.1%} of {name} differ; old, new and difference: {beside}")


def test_the_golden_pictures_are_small_and_none_is_left_over() -> None:
    files = sorted(GOLDEN.glob("*"))
    assert [file.name for file in files] == sorted(f"{name}.png" for name in SHOTS)
    assert sum(file.stat().st_size for file in files) < MOST_BYTES


def _moved(page: Image.Image) -> Image.Image:
    return ImageChops.offset(page, 0, 4)


def _without_a_line(page: Image.Image) -> Image.Image:
    top = page.height // 3
    return _painted(page, (0, top, page.width, top + 24))


def _painted(page: Image.Image, box: tuple[int, int, int, int]) -> Image.Image:
    changed = page.copy()
    changed.paste(255, box)
    return changed


@pytest.mark.parametrize("change", [_moved, _without_a_line])
def test_a_change_of_the_page_is_seen(change: Callable[[Image.Image], Image.Image]) -> None:
    page = _page(SHOTS["worksheet"])
    assert _difference(page, change(page))[0] > SHARE
    assert _difference(page, page.quantize(GREYS).convert("L"))[0] == 0

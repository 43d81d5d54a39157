"""A designer's own pictures and typefaces: none that is missing, broken, too large or elsewhere comes to print."""

from __future__ import annotations

import io
import os
import random
import re
import stat
import struct
from pathlib import Path

import pytest

from grader.cli import main
from grader.illustrating import beside_markdown
from grader.pages import UnusableFont, usable_typeface
from grader.pages.typefaces import MOST_BYTES
from grader.pictures import UnusablePicture, decoded, for_screens, picture_at, printed_at
from grader.vocabulary.budget import allowed

from .tiny import EPS, TINY, black_png, damaged, picture, write_tiny

END = len(TINY.splitlines())
FONTS = Path(__file__).resolve().parents[2] / "grader" / "pages" / "fonts"
# Under which key a picture stands -> what is written under the pattern.
PLACES = {
    "summary": 'summary: "![It](x.png)"\n',
    "notes": "notes:\n- The first one.\n- >\n  Look at\n  ![it](x.png), then.\n",
    "notions": "notions: ['![It](x.png)']\n",
    "copyright": 'copyright: "![It](x.png)"\n',
    "why": '  heel_rows: {nearest: cast_on / 2, label: rows, why: "For ![it](x.png)."}\n',
    "changelog": 'changelog:\n  - version: "1"\n    changes: ["Now with ![it](x.png)"]\n',
}


def place_in(text: str, name: str) -> str:
    """Line and column of the first mention of a name."""
    before = text[: text.index(name)]
    return f"{before.count(chr(10)) + 1}:{len(before.rpartition(chr(10))[2]) + 1}"


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """The exit code of a command, and all it said."""
    code = main(list(words))
    return code, "".join(capsys.readouterr())


@pytest.fixture
def there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of one's own to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("key", PLACES)
def test_a_missing_picture_is_found_at_the_place_of_its_name(
    key: str, there: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_tiny(there, PLACES[key])
    code, said = run(capsys, "check", "tiny.yaml")
    assert code == 1
    assert f"tiny.yaml:{place_in(TINY + PLACES[key], 'x.png')}: the picture x.png is not there" in said, said


def test_every_text_of_a_section_and_of_a_part_is_looked_at(there: Path, capsys: pytest.CaptureFixture[str]) -> None:
    parts = there / "parts"
    parts.mkdir()
    shipped = Path(__file__).resolve().parents[2] / "patterns" / "parts" / "toe-round.yaml"
    text = shipped.read_text(encoding="utf-8")
    own = '    say: "![1](s1.png)"\n    why: "![2](s2.png)"\n    check: "![3](s3.png)"\n    steps:'
    step = '      - say: "![4](s4.png)"\n        why: "![5](s5.png)"\n        check: "![6](s6.png) ![7](s7.png)"\n'
    step += '        setups: {short circular: "![8](s8.png)"}\n        round: "K"\n'
    name, _, rest = text.partition("    steps:\n")
    place = len(name.splitlines())
    (parts / "toe-round.yaml").write_text(f"{name}{own}\n{step}{rest}", encoding="utf-8")
    (there / "tiny.yaml").write_text(TINY.replace("toe-wedge", "toe-round"), encoding="utf-8")
    code, said = run(capsys, "check", "tiny.yaml")
    assert code == 1
    told = [line for line in said.splitlines() if "is not there" in line]
    lines = (1, 2, 3, 5, 6, 7, 7, 8)
    assert [int(each.split(":")[1]) - place for each in told] == list(lines), said
    assert all(f"s{number}.png" in each for number, each in enumerate(told, 1))
    assert all("parts/toe-round.yaml" in each for each in told)


LEAD_ELSEWHERE = {
    "up": "../x.png",
    "up within": "pics/../../x.png",
    "root": "{root}/x.png",
    "web": "https://example.org/x.png",
    "file": "file:///x.png",
    "data": "data:image/png;base64,aaaa",
    "drive": "C:x.png",
    "shares": r"\\\\host\\x.png",
    "link": "link.png",
    "folder that is a link": "away/x.png",
    "folder": "pics",
    "no name": "",
}


@pytest.mark.parametrize("kind", LEAD_ELSEWHERE)
def test_a_picture_lies_beside_the_pattern_and_nowhere_else(
    kind: str, there: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The picture is there and is sound: it is only in the wrong place."""
    (there / "x.png").write_bytes(picture())
    inner = there / "inner"
    (inner / "pics").mkdir(parents=True)
    (inner / "link.png").symlink_to(there / "x.png")
    (inner / "away").symlink_to(there)
    name = LEAD_ELSEWHERE[kind].format(root=there)
    write_tiny(inner, f'summary: "![It]({name})"\n')
    code, said = run(capsys, "publish", "inner/tiny.yaml", "--out", "out", "--edition", "web")
    assert code == 1
    assert f"tiny.yaml:{END + 1}:" in said, said
    assert ": the picture " in said
    assert not (there / "out").exists()


def _fifo(place: Path) -> None:
    os.mkfifo(place)


BROKEN = {
    "EPS": (EPS, "neither PNG nor JPEG"),
    "SVG": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "neither PNG nor JPEG"),
    "GIF": (picture("GIF", mode="P"), "neither PNG nor JPEG"),
    "TIFF": (picture("TIFF"), "neither PNG nor JPEG"),
    "nothing": (b"", "neither PNG nor JPEG"),
    "a beginning": (b"\x89PNG\r\n\x1a\n", "broken"),
    "PNG cut off": (picture()[:-30], "broken"),
    "PNG without its end": (picture()[:-12], "broken"),
    "PNG damaged": (picture()[:45] + b"\xff" + picture()[46:], "broken"),
    "JPEG cut off": (picture("JPEG", 300, 300)[:-200], "broken"),
    "200 megapixels": (black_png(20_000, 10_000), "200000000 pixels in one picture, and 36000000 are the most"),
    "a little too large": (black_png(6001, allowed("pixels") // 6000), "too large"),
    "a pipe": (None, "a pipe or a device"),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_what_is_no_picture_by_its_content_is_found_and_starts_nothing(
    kind: str, there: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program, which the library looks for by its name, would leave a file behind."""
    program = there / "bin" / "gs"
    program.parent.mkdir()
    program.write_text(f"#!/bin/sh\ntouch {there}/started\n", encoding="utf-8")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("PATH", f"{program.parent}:{os.environ['PATH']}")
    content, why = BROKEN[kind]
    if content is None:
        os.mkfifo(there / "x.png")
    else:
        (there / "x.png").write_bytes(content)
    write_tiny(there, 'summary: "![It](x.png)"\n')
    for command in (("check", "tiny.yaml"), ("publish", "tiny.yaml", "--out", "out")):
        code, said = run(capsys, *command)
        assert code == 1
        assert f"tiny.yaml:{END + 1}:17: the picture x.png " in said, said
        assert why in said
    assert not (there / "started").exists()
    assert not (there / "out").exists()


def test_a_picture_goes_into_every_kind_of_page(there: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Several in a line are all printed; where only the words for one are, that is remarked."""
    (there / "pics").mkdir()
    (there / "a.png").write_bytes(picture())
    (there / "pics" / "b.jpg").write_bytes(picture("JPEG", 50, 40))
    note = 'notes: ["Look at ![the heel](a.png) once more."]\n'
    write_tiny(there, f'summary: "![It](a.png) ![Again](pics/b.jpg)"\n{note}')
    code, said = run(capsys, "publish", "tiny.yaml", "--out", "out", "--edition", "pattern,web,epub")
    assert code == 0, said
    place = place_in(f"{TINY}\n{note}", "a.png")
    assert f"tiny.yaml:{place}: remark: of the picture a.png only the words are printed here" in said, said
    assert said.count("remark: of the picture") == 1
    html = (there / "out" / "tiny-web.html").read_text(encoding="utf-8")
    assert html.count('<figure class="photo">') == 2
    assert html.count("data:image/png") == html.count("data:image/jpeg") == 1
    from pypdf import PdfReader

    pages = PdfReader(there / "out" / "tiny.pdf").pages
    assert len(pages[0].images) == 2
    markdown = (there / "out" / "tiny.md").read_text(encoding="utf-8")
    for shown, source in re.findall(r"!\[(\w+)\]\((\S+)\)", markdown)[:2]:  # they lie beside it
        assert decoded(there / "out" / source).size == {"It": (60, 40), "Again": (50, 40)}[shown]


def test_a_picture_of_a_translation_is_looked_at_too(there: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (there / "x-1.5.png").write_bytes(picture())
    (there / "y.png").write_bytes(picture())
    write_tiny(there, 'summary: "![It](x-1.5.png)"\nnotes: ["Mind the heel."]\n')
    catalogue = there / "tiny.de.yaml"
    catalogue.write_text('messages:\n  "Mind the heel.": "Die Ferse ![hier](z.png)."\n', encoding="utf-8")
    publish = ("publish", "tiny.yaml", "--out", "out", "--edition", "web", "--language", "de")
    code, said = run(capsys, *publish)
    assert code == 2
    assert "tiny.de.yaml:2:40: the picture z.png is not there" in said, said
    catalogue.write_text('messages:\n  "![It](x-1.5.png)": "![Die Socke](y.png)"\n', encoding="utf-8")
    code, said = run(capsys, *publish)
    assert code == 0, said
    catalogue.unlink()
    code, said = run(capsys, *publish)  # left in English, under the name that it has
    assert code == 0, said


STYLES = {
    "logo missing": ("logo: x.png", 1, 7, "the file x.png is not there"),
    "logo elsewhere": ("logo: ../tiny.yaml", 1, 7, "the file ../tiny.yaml lies elsewhere"),
    "logo broken": ("larger: 1.1\nlogo: broken.png", 2, 7, "the picture broken.png is neither PNG nor JPEG"),
    "typeface missing": ("fonts: {regular: no.ttf, bold: Bold.ttf}", 1, 18, "the file no.ttf is not there"),
    "typeface cut off": ("fonts: {regular: cut.ttf, bold: Bold.ttf}", 1, 18, "the typeface cut.ttf can't be embedded"),
    "typeface cut short": (
        "fonts: {regular: end.ttf, bold: Bold.ttf}",
        1,
        18,
        "the typeface end.ttf can't be embedded",
    ),
    "typeface damaged": ("fonts: {regular: Bold.ttf, bold: odd.ttf}", 1, 34, "the typeface odd.ttf can't be embedded"),
    "no typeface": ("fonts: {regular: broken.png, bold: Bold.ttf}", 1, 18, "the typeface broken.png can't be embedded"),
    "words": ('words: {Notes: "![Notes](x.png)"}', 1, 26, "the picture x.png is not there"),
    "no style": ("", 1, 1, "this file is empty"),
}


@pytest.fixture
def templates(there: Path) -> Path:
    """A folder of templates with typefaces, whole and broken."""
    folder = there / "mine"
    folder.mkdir()
    bold = (FONTS / "SourceSans3-Bold.ttf").read_bytes()
    middle = len(bold) // 2
    (folder / "Bold.ttf").write_bytes(bold)
    (folder / "cut.ttf").write_bytes(bold[:middle])
    (folder / "end.ttf").write_bytes(bold[:-40])
    (folder / "odd.ttf").write_bytes(bold[:200] + b"\xff" * 20_000 + bold[20_200:])
    (folder / "broken.png").write_bytes(EPS)
    write_tiny(there)
    return folder


@pytest.mark.parametrize("kind", STYLES)
def test_a_style_with_a_broken_file_is_found_where_it_names_it(
    kind: str, templates: Path, there: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    style, line, column, why = STYLES[kind]
    (templates / "style.yaml").write_text(style, encoding="utf-8")
    for command in (("check", "tiny.yaml"), ("publish", "tiny.yaml", "--out", "out")):
        code, said = run(capsys, *command, "--templates", "mine")
        assert code == 1
        assert f"mine/style.yaml:{line}:{column}: {why}" in said, said
    assert not (there / "out").exists()


def test_a_template_with_a_missing_picture_is_found(
    templates: Path, there: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In a heading and in a cell too; a name that is put together while it is filled in is found before anything
    is written."""
    (templates / "pattern.md.j2").write_text("# ![a](1.png)\n\n| b |\n| - |\n| ![c](2.png) |\n", encoding="utf-8")
    for command in (("check", "tiny.yaml"), ("publish", "tiny.yaml", "--out", "out")):
        code, said = run(capsys, *command, "--templates", "mine")
        assert code == 1
        for place in ("1:8: the picture 1.png", "5:8: the picture 2.png"):
            assert f"mine/pattern.md.j2:{place} is not there" in said, said
    (templates / "pattern.md.j2").write_text('# T\n\n![a]({{ "3" ~ ".png" }})\n\n![b][r]\n\n[r]: 4.png\n', "utf-8")
    code, said = run(capsys, "publish", "tiny.yaml", "--out", "out", "--templates", "mine")
    assert code == 1
    assert "the picture 3.png is not there" in said
    (templates / "3.png").write_bytes(picture())
    code, said = run(capsys, "publish", "tiny.yaml", "--out", "out", "--templates", "mine")
    assert code == 1
    assert "the picture 4.png is not there" in said
    assert not (there / "out").exists()


def test_a_template_that_is_a_pipe_is_not_waited_for(
    templates: Path, there: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(templates / "pattern.md.j2")
    code, said = run(capsys, "publish", "tiny.yaml", "--out", "out", "--templates", "mine")
    assert code == 1
    assert "mine/pattern.md.j2:1:1: this is a pipe or a device, not a file" in said


def test_a_large_picture_is_printed_with_the_pixels_that_print_shows(tmp_path: Path) -> None:
    from PIL import Image

    place = tmp_path / "large.jpg"
    place.write_bytes(picture("JPEG", 4000, 2000))
    assert decoded(place).size == (2000, 1000)
    assert printed_at(place, 72, 36).size == (300, 150)
    kind, content = for_screens(place)
    with Image.open(io.BytesIO(content)) as small:
        assert (kind, small.size) == ("image/jpeg", (1600, 800))


def test_the_limit_of_pixels_is_one_of_the_budget(there: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (there / "x.png").write_bytes(black_png(6001, 6000))
    write_tiny(there, 'summary: "![It](x.png)"\n')
    code, said = run(capsys, "--limit", "pixels=37000000", "check", "tiny.yaml")
    assert code == 1
    assert "the picture x.png is broken" in said, "its rows are left out, which is seen once it is read"


def test_a_picture_stands_upright_and_tells_no_place(tmp_path: Path) -> None:
    """Cameras write which side is up, and where the picture was taken."""
    from PIL import Image

    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010E] = "at home"
    Image.new("RGB", (60, 40)).save(out, "JPEG", exif=exif)
    place = tmp_path / "turned.jpg"
    place.write_bytes(out.getvalue())
    assert b"at home" in out.getvalue()
    assert decoded(place).size == (40, 60)
    content = for_screens(place)[1]
    assert b"at home" not in content
    with Image.open(io.BytesIO(content)) as upright:
        assert upright.size == (40, 60)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_kind_of_png_can_be_printed(mode: str, tmp_path: Path) -> None:
    from PIL import Image

    place = tmp_path / "x.png"
    Image.new(mode, (3, 2)).save(place)
    image = decoded(place)
    assert (image.mode, image.size) == ("RGB", (3, 2))
    assert image.getpixel((0, 0)) == ((255,) * 3 if "A" in mode else (0,) * 3), "what one sees through is white"


def test_a_picture_that_goes_after_it_was_found_is_named(tmp_path: Path) -> None:
    place = tmp_path / "x.png"
    place.write_bytes(picture())
    assert picture_at("x.png", [tmp_path]) == place
    place.unlink()
    with pytest.raises(UnusablePicture, match=r"x\.png can't be read: there is no such file"):
        decoded(place)


def test_typefaces_have_a_limit(templates: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with (templates / "huge.ttf").open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    (templates / "style.yaml").write_text("fonts: {regular: huge.ttf, bold: Bold.ttf}", encoding="utf-8")
    code, said = run(capsys, "check", "tiny.yaml", "--templates", "mine")
    assert code == 1
    assert "mine/style.yaml:1:18: the typeface huge.ttf can't be embedded: it is larger than" in said


def test_a_damaged_picture_is_printed_or_refused_whatever_the_damage(tmp_path: Path) -> None:
    chance = random.Random(1)
    seeds = [picture(mode=mode) for mode in ("1", "LA", "P", "RGBA")] + [picture("JPEG", mode=m) for m in ("L", "CMYK")]
    place, refused = tmp_path / "x.png", 0
    for turn in range(600):
        place.write_bytes(damaged(chance.choice(seeds), chance))
        os.utime(place, ns=(turn, turn))  # saved anew
        try:
            assert decoded(place).mode == "RGB"
            for_screens(place)
        except UnusablePicture:
            refused += 1
    assert 100 < refused < 600


def test_a_damaged_typeface_is_set_or_refused_whatever_the_damage(tmp_path: Path) -> None:
    chance = random.Random(1)
    sound = (FONTS / "SourceSans3-Regular.ttf").read_bytes()
    place, refused = tmp_path / "x.ttf", 0
    for _ in range(60):
        place.write_bytes(damaged(sound, chance))
        try:
            usable_typeface(place)
        except UnusableFont:
            refused += 1
    assert 20 < refused < 60


def test_a_map_of_more_characters_than_there_are_is_refused(tmp_path: Path) -> None:
    sound = bytearray((FONTS / "SourceSans3-Regular.ttf").read_bytes())
    rows = {bytes(sound[at : at + 4]): at for at in range(12, 12 + 16 * struct.unpack_from(">H", sound, 4)[0], 16)}
    begin = struct.unpack_from(">I", sound, rows[b"cmap"] + 8)[0]
    groups = struct.pack(">HHIIIIII", 12, 0, 28, 0, 1, 0, 0xFFFFFFFF, 1)
    struct.pack_into(">HHHHI", sound, begin, 0, 1, 3, 10, 12)
    sound[begin + 12 : begin + 12 + len(groups)] = groups
    place = tmp_path / "x.ttf"
    place.write_bytes(sound)
    with pytest.raises(UnusableFont, match="its table of characters is broken"):
        usable_typeface(place)


def test_pictures_of_one_name_in_two_folders_stay_two(tmp_path: Path) -> None:
    shown = {}
    for folder, wide in (("a", 60), ("b", 50)):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "heel.png").write_bytes(picture(wide=wide))
        shown[f"{folder}/heel.png"] = tmp_path / folder / "heel.png"
    text, shelf = beside_markdown("![A](a/heel.png)\n\n![B](b/heel.png) and [r]", shown, "sock")
    names = re.findall(r"\]\((.*?)\)", text)
    assert list(shelf.copies) == list(shelf.files) == names
    assert len(set(names)) == 2
    assert [decoded(shelf.files[name]).width for name in names] == [60, 50]

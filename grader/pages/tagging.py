"""The structure of a document written into its PDF: marked content on the pages, and the tree that names it.

ISO 32000-1, 14.7 and 14.8, to the rules of PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2). What a screen reader
follows is the tree of `Element`s, whatever the order in which the marks were drawn.
"""

from __future__ import annotations

from array import array
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from grader.pages.filing import Reserved
from grader.pages.structure import ROLES, Element


class _Stretch(NamedTuple):
    """Marked content of an element: its number on a side of a sheet, that side, and the page of the document it is on.

    All are counted from 0, pages within their part; side and page differ where several pages stand on a sheet.
    """

    number: int
    page: int
    read: int


class _Hotspot(NamedTuple):
    """A link's active area: the name of its annotation in the file, and its page."""

    annotation: str
    page: int


@dataclass(slots=True)
class _Box:
    """Where a picture stands, for those who jump to it; as (left, bottom, right, top)."""

    corners: tuple[float, float, float, float]


class Tags:
    """Keeps which stretch of which page belongs to which element, and writes the tree of a part when it is drawn.

    A file has one part, or one after the other; what their trees have in common is the element of the document.
    """

    def __init__(self, canvas: Any, reserved: Reserved) -> None:
        self._document = canvas._doc
        self._reserved = reserved
        self._tree, self._whole = reserved.take(), reserved.take()
        self._children = array("L")  # of the element of the document
        self._before = 0  # sides of sheets that parts before this one took
        self._pages: list[list[Element]] = [[]]  # of this part
        self._links: list[Element] = []  # of this part
        self._told: list[str] = []  # page by page, the elements of its stretches
        self._linked = array("L")  # link by link, its element
        self.page = 0  # the page of the part in hand, by which stretches are read in order
        self._jumbled = False

    def begin(self, element: Element) -> str:
        """The operator that opens a stretch of the element on the page in hand."""
        here = self._pages[-1]
        side = len(self._pages) - 1
        self._jumbled = self._jumbled or self.page != side
        element.held.append(_Stretch(len(here), self._before + side, self.page))
        here.append(element)
        return f"/{element.kind} <</MCID {len(here) - 1}>> BDC"

    def link(self, element: Element, annotation: str) -> None:
        """Note the annotation of a link; its number in the table of parents is given once all pages are known."""
        element.held.append(_Hotspot(annotation, self._before + len(self._pages) - 1))
        self._links.append(element)

    def box(self, element: Element, corners: tuple[float, float, float, float]) -> None:
        """Note where a picture stands."""
        element.held.append(_Box(corners))

    def end_page(self) -> None:
        """The page in hand is drawn."""
        self._pages.append([])

    def end_part(self, root: Element) -> None:
        """All pages of a part are drawn: write what stands below its root, and forget it."""
        document, pages = self._document, self._pages[:-1]  # the last is the one that would have followed
        elements: list[Element] = []
        if _gather(root, elements) and self._jumbled:
            for element in elements:
                if any(isinstance(each, _Stretch) for each in element.held):
                    element.held.sort(key=_first_page)  # sheets of a booklet are drawn in another order
        inner = elements[1:]
        first = self._reserved.take(len(inner)) if inner else 0
        numbers = {id(element): first + place for place, element in enumerate(inner)}
        numbers[id(root)] = self._whole
        home = {number: document.idToObjectNumberAndVersion[f"Page{number + 1}"][0] for number in self._sides(pages)}
        if inner:
            told = (_element(each, numbers[id(each.parent)], numbers, home, document).encode("ascii") for each in inner)
            self._reserved.put(first, list(told))
        self._children.extend(numbers[id(each)] for each in root.held if isinstance(each, Element) and inner)
        for number, page in zip(self._sides(pages), pages, strict=True):
            shown = document.Pages.pages[number]
            shown.__NoDefault__ = [*shown.__NoDefault__, "StructParents", "Tabs"]
            shown.StructParents, shown.Tabs = number, "/S"
            self._told.append(f"{number} [{' '.join(f'{numbers[id(each)]} 0 R' for each in page)}]")
        self._linked.extend(numbers[id(each)] for each in self._links)
        for element in elements:
            element.parent = None  # so that what is no longer needed holds nothing else
            element.held = []
        self._before += len(pages)
        self._pages, self._links, self._jumbled = [[]], [], False

    def _sides(self, pages: Sequence[object]) -> range:
        return range(self._before, self._before + len(pages))

    def finish(self, links: Sequence[Any]) -> None:
        """Hang the tree into the file; `links` are the annotations in the order of `link`."""
        from reportlab.pdfbase.pdfdoc import PDFDictionary  # type: ignore[import-untyped]

        for place, annotation in enumerate(links):
            annotation["StructParent"] = self._before + place
        nums = [*self._told, *(f"{self._before + place} {number} 0 R" for place, number in enumerate(self._linked))]
        roles = " ".join(f"/{ours} /{standard}" for ours, standard in ROLES.items())
        told = (
            f"<< /Type /StructTreeRoot /K [{self._whole} 0 R] /RoleMap << {roles} >>"
            f" /ParentTree << /Nums [{' '.join(nums)}] >> /ParentTreeNextKey {len(nums)} >>"
        )
        self._reserved.put(self._tree, [told.encode("ascii")])
        kids = " ".join(f"{number} 0 R" for number in self._children)
        whole = f"<< /Type /StructElem /S /Document /P {self._tree} 0 R /K [{kids}] >>"
        self._reserved.put(self._whole, [whole.encode("ascii")])
        self._document.Catalog.StructTreeRoot = f"{self._tree} 0 R"
        self._document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


def _gather(element: Element, into: list[Element]) -> bool:
    """Put the element and all in it into the list, and take out what holds nothing; True if something is left.

    An empty cell still is one.
    """
    place = len(into)
    into.append(element)
    held = element.held
    if any(isinstance(each, Element) for each in held):
        element.held = held = [each for each in held if not isinstance(each, Element) or _gather(each, into)]
    if element.kind in ("TD", "TH") or any(not isinstance(each, _Box) for each in held):
        return True
    del into[place:]
    return False


def _first_page(held: object) -> int:
    """The page on which what an element holds is read first."""
    if isinstance(held, _Stretch):
        return held.read
    if isinstance(held, Element):
        inside = (each for each in held.held if isinstance(each, _Stretch | Element))
        return min(map(_first_page, inside), default=0)
    return 0


def _element(element: Element, parent: int, numbers: dict[int, int], pages: Mapping[int, int], document: Any) -> str:
    kids: list[str] = []
    attributes = ""
    home = next((each.page for each in element.held if isinstance(each, _Stretch)), None)
    for each in element.held:
        if isinstance(each, Element):
            kids.append(f"{numbers[id(each)]} 0 R")
        elif isinstance(each, _Stretch) and each.page == home:
            kids.append(str(each.number))
        elif isinstance(each, _Stretch):
            kids.append(f"<< /Type /MCR /Pg {pages[each.page]} 0 R /MCID {each.number} >>")
        elif isinstance(each, _Hotspot):
            annotation = document.idToObjectNumberAndVersion[document.annotationName(each.annotation)][0]
            kids.append(f"<< /Type /OBJR /Pg {pages[each.page]} 0 R /Obj {annotation} 0 R >>")
        elif isinstance(each, _Box):
            attributes = f" /A << /O /Layout /Placement /Block /BBox [{' '.join(f'{n:.2f}' for n in each.corners)}] >>"
    if element.scope:
        attributes = f" /A << /O /Table /Scope /{element.scope} >>"
    elif element.kind == "L":
        attributes = " /A << /O /List /ListNumbering /None >>"
    told = f" /Alt {_string(element.alt)}" if element.alt else ""
    page = f" /Pg {pages[home]} 0 R" if home is not None else ""
    return f"<< /Type /StructElem /S /{element.kind} /P {parent} 0 R{page}{told}{attributes} /K [{' '.join(kids)}] >>"


def _string(text: str) -> str:
    """A text string in any script."""
    return f"<FEFF{text.encode('utf-16-be').hex().upper()}>"

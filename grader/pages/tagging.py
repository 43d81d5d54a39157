"""The structure of a document written into its PDF: marked content on the pages, and the tree that names it.

ISO 32000-1, 14.7 and 14.8, to the rules of PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2). What a screen reader
follows is the tree of `Element`s, whatever the order in which the marks were drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from grader.pages.structure import ROLES, Element


class _Stretch(NamedTuple):
    """Marked content of an element: its number on a side of a sheet, that side, and the page of the document it is on.

    All are counted from 0; side and page differ where several pages stand on a sheet.
    """

    number: int
    page: int
    read: int


class _Hotspot(NamedTuple):
    """A link's active area: the name of its annotation in the file, its page, and its place among all of them."""

    annotation: str
    page: int
    place: int


@dataclass(slots=True)
class _Box:
    """Where a picture stands, for those who jump to it; as (left, bottom, right, top)."""

    corners: tuple[float, float, float, float]


class Tags:
    """Keeps which stretch of which page belongs to which element, and writes the tree when all pages are drawn."""

    def __init__(self, canvas: Any, root: Element) -> None:
        self._canvas = canvas
        self._root = root
        self._pages: list[list[Element]] = [[]]
        self._links: list[Element] = []
        self.page = 0  # the page of the document in hand, by which stretches are read in order
        self._jumbled = False

    def begin(self, element: Element) -> str:
        """The operator that opens a stretch of the element on the page in hand."""
        here = self._pages[-1]
        self._jumbled = self._jumbled or self.page != len(self._pages) - 1
        element.held.append(_Stretch(len(here), len(self._pages) - 1, self.page))
        here.append(element)
        return f"/{element.kind} <</MCID {len(here) - 1}>> BDC"

    def link(self, element: Element, annotation: str) -> int:
        """Note the annotation of a link; its number in the table of parents is given once all pages are known."""
        place = len(self._links)
        element.held.append(_Hotspot(annotation, len(self._pages) - 1, place))
        self._links.append(element)
        return place

    def box(self, element: Element, corners: tuple[float, float, float, float]) -> None:
        """Note where a picture stands."""
        element.held.append(_Box(corners))

    def end_page(self) -> None:
        """The page in hand is drawn."""
        self._pages.append([])

    def finish(self, links: list[Any]) -> None:
        """Hang the tree into the file; `links` are the annotations in the order of `link`."""
        from reportlab.pdfbase.pdfdoc import PDFDictionary  # type: ignore[import-untyped]

        document = self._canvas._doc
        pages = self._pages[:-1]  # the last is the one that would have followed
        for number, page in enumerate(document.Pages.pages):
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents, page.Tabs = number, "/S"
        for place, annotation in enumerate(links):
            annotation["StructParent"] = len(pages) + place
        elements: list[Element] = []
        if not _gather(self._root, elements):
            elements = [self._root]
        if self._jumbled:
            for element in elements:
                if any(isinstance(each, _Stretch) for each in element.held):
                    element.held.sort(key=_first_page)  # sheets of a booklet are drawn in another order
        make = _raw_class()
        tree = make()
        root = _number(document, tree)
        raw = [make() for _ in elements]
        numbers = {id(element): _number(document, each) for element, each in zip(elements, raw, strict=True)}
        page_numbers = [document.idToObjectNumberAndVersion[f"Page{n + 1}"][0] for n in range(len(pages))]
        for element, each in zip(elements, raw, strict=True):
            parent = numbers[id(element.parent)] if element.parent is not None else root
            each.written = _element(element, parent, numbers, page_numbers, document).encode("ascii")
        nums = [f"{n} [{' '.join(f'{numbers[id(each)]} 0 R' for each in page)}]" for n, page in enumerate(pages)]
        nums += [f"{len(pages) + n} {numbers[id(each)]} 0 R" for n, each in enumerate(self._links)]
        roles = " ".join(f"/{ours} /{standard}" for ours, standard in ROLES.items())
        told = (
            f"<< /Type /StructTreeRoot /K [{numbers[id(self._root)]} 0 R] /RoleMap << {roles} >>"
            f" /ParentTree << /Nums [{' '.join(nums)}] >> /ParentTreeNextKey {len(nums)} >>"
        )
        tree.written = told.encode("ascii")
        document.Catalog.StructTreeRoot = tree
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


@cache
def _raw_class() -> type:
    from reportlab.pdfbase.pdfdoc import PDFObject

    class Raw(PDFObject):  # type: ignore[misc]
        """An object that is `written` by hand: thousands of them in a document, so it matters how fast."""

        __RefOnly__ = 1
        written = b""

        def format(self, _document: Any) -> bytes:
            return self.written

    return Raw


def _number(document: Any, thing: Any) -> int:
    """The number of the object in the file, given now."""
    reference = document.Reference(thing)
    number: int = document.idToObjectNumberAndVersion[reference.name][0]
    return number


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


def _element(element: Element, parent: int, numbers: dict[int, int], pages: list[int], document: Any) -> str:
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

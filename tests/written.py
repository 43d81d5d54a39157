"""The Markdown of a document for tests that read no page of it: setting it in type takes most of the time."""

from __future__ import annotations

from unittest.mock import patch

from grader.models.edition import Edition
from grader.pipeline import Checked
from grader.publishing import make_document

_PLAIN = Edition()
_known: dict[tuple[int, Edition], tuple[Checked, str]] = {}


def markdown_of(checked: Checked, edition: Edition = _PLAIN) -> str:
    """What `make_document` writes as "sock.md", made once for all tests of a process that ask alike."""
    key = (id(checked), edition)
    if key not in _known:
        with patch("grader.pages.set_pages", lambda *_, **__: b""):
            files = make_document(checked, edition, "sock").files
        _known[key] = checked, files["sock.md"].decode()  # the value is kept too, so that its id stays its own
    return _known[key][1]

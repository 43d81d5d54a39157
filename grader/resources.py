"""Where the folders that ship beside the package are found: `templates` and `patterns`."""

from __future__ import annotations

from pathlib import Path

SHIPPED = ("templates", "patterns")


def folder(name: str) -> Path:
    """The shipped folder of that name, inside an installed package or beside it in a checkout.

    Raises:
        ValueError: the name isn't one of `SHIPPED`.
        FileNotFoundError: the installation is incomplete; the message says where it was looked for.
    """
    if name not in SHIPPED:
        raise ValueError(f"no such folder ships: {name!r}; there are {' and '.join(SHIPPED)}")
    package = Path(__file__).resolve().parent
    places = (package / name, package.parent / name)
    for place in places:
        if place.is_dir():
            return place
    raise FileNotFoundError(f"the {name} are missing: looked in {' and '.join(str(place) for place in places)}")

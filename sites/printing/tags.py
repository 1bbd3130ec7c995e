"""Mending the tags of a PDF just before it is written, where the layout library falls short.

Works on the library's own objects: a structure element is a dictionary with its kind (`S`), its
children (`K`) and its parent (`P`); references to objects are bytes, `b"12 0 R"`.
"""

from collections.abc import Iterator
from typing import Any

import pydyf
from weasyprint import Document

# Bit 3 of an annotation's flags (ISO 32000-1, table 165).
PRINT_FLAG = 4
NOTHING = b"null"


def mend(document: Document, pdf: pydyf.PDF) -> None:
    """Mend headers of tables, running lines and links. Called by the library as its finisher."""
    objects = {each.reference: each for each in pdf.objects}
    give_scopes(objects)
    set_running_lines_apart(pdf, objects)
    describe_links(document)


def give_scopes(objects: dict[bytes, Any]) -> None:
    """Say of each header cell whether it heads a column or a row (ISO 14289-1, 7.5)."""
    for cell in list(_elements(objects.values())):
        if cell["S"] == "/TH":
            group = objects[objects[cell["P"]]["P"]]
            cell["A"]["Scope"] = "/Column" if group["S"] == "/THead" else "/Row"


def set_running_lines_apart(pdf: pydyf.PDF, objects: dict[bytes, Any]) -> None:
    """Make running heads and feet pagination artifacts (ISO 14289-1, 7.8).

    The library marks their text as content and leaves their elements outside the tree.
    """
    root = objects[pdf.catalog["StructTreeRoot"]]
    in_tree = set(_below(root, objects))
    parents = objects[root["ParentTree"]]["Nums"]
    pages = (objects[b"%d 0 R" % number] for number in pdf.pages["Kids"][::3])
    for page, by_mark in zip(pages, parents[1::2], strict=False):
        outside = {mark for mark, element in enumerate(by_mark) if element not in in_tree}
        _make_artifacts(objects[page["Contents"]].stream, outside)
        for mark in outside:
            by_mark[mark] = NOTHING
    for reference, element in objects.items():
        if _is_element(element) and reference not in in_tree:
            # Emptied, not freed: the library's table of objects would count on as if it stood.
            element.clear()


def describe_links(document: Document) -> None:
    """Give each link a description in words instead of an anchor's name, and let it print."""
    for page in document.pages:
        for *_, box in page.links:
            annotation: Any = getattr(box, "link_annotation", None)
            if annotation is not None:
                annotation["F"] = PRINT_FLAG
                if title := box.element.get("title"):
                    annotation["Contents"] = pydyf.String(title)


def _make_artifacts(stream: list[Any], marks: set[int]) -> None:
    for place, part in enumerate(stream):
        if isinstance(part, pydyf.Dictionary) and part.get("MCID") in marks:
            stream[place - 1] = "/Artifact"
            stream[place] = pydyf.Dictionary({"Type": "/Pagination"})


def _below(element: Any, objects: dict[bytes, Any]) -> Iterator[bytes]:
    """The references of all elements below one, itself left out."""
    waiting = [element]
    while waiting:
        for child in waiting.pop().get("K", ()):
            if child in objects and _is_element(objects[child]):
                yield child
                waiting.append(objects[child])


def _elements(all_objects: Any) -> Iterator[Any]:
    return (each for each in all_objects if _is_element(each))


def _is_element(each: Any) -> bool:
    return isinstance(each, pydyf.Dictionary) and each.get("Type") == "/StructElem"

"""What is counted without a parser: as many elements as the parser finds, and nothing where a parser might find others."""

from __future__ import annotations

from collections import Counter
from xml.etree import ElementTree as ET

import pytest

from costing.workbook.read.plain_cells import cells_set_apart
from tests.hostile.sources import exported

HEAD = b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'
CELL = b'<row r="1"><c r="A1" t="str"><f>B1&amp;"x"</f><v>x</v></c></row>'


def sheet(cells: bytes, head: bytes = HEAD, behind: bytes = b"") -> bytes:
    """Return a sheet's part."""
    return head + b"<worksheet><cols/><sheetData>" + cells + b"</sheetData>" + behind + b"<tableParts/></worksheet>"


def elements(part: bytes) -> Counter[str]:
    """Count a part's elements, as expat finds them."""
    return Counter(element.tag.rpartition("}")[2] for element in ET.fromstring(part).iter())  # noqa: S314


def test_as_many_elements_are_counted_as_a_parser_finds() -> None:
    """In every sheet of an export, nearly all of them without the parser."""
    sheets = [data for name, data in exported(0).items() if name.startswith("xl/worksheets/sheet")]
    for data in sheets:
        plain, rest = cells_set_apart(data)
        assert Counter(plain) + elements(rest) == elements(data)
        assert sum(plain.values()) > 10, "its cells were not set apart"


@pytest.mark.parametrize("head", [b"", HEAD, b'<?xml version="1.0" encoding="utf-8"?>\r\n', b'<?xml version="1.0"?>'])
@pytest.mark.parametrize("cells", [CELL, CELL.replace(b"<f>", b'<f aca="false">')])
def test_cells_of_other_programs_are_plain(head: bytes, cells: bytes) -> None:
    """Whatever first line they write."""
    plain, rest = cells_set_apart(sheet(cells, head))
    assert plain == {"row": 1, "c": 1, "f": 1, "v": 1}
    assert rest == sheet(b"", head)


@pytest.mark.parametrize(
    "part",
    [
        pytest.param(sheet(CELL + b"<!-- <c> -->"), id="comment"),
        pytest.param(sheet(b"<c><v><![CDATA[<c>]]></v></c>"), id="text as it stands"),
        pytest.param(sheet(CELL + b"<?c <c?>"), id="instruction"),
        pytest.param(sheet(CELL, HEAD + b'<!DOCTYPE c [<!ENTITY e "<c/>">]>'), id="entity"),
        pytest.param(sheet(CELL, b'<?xml version="1.0" encoding="UTF-7"?>'), id="another encoding"),
        pytest.param(sheet(CELL, b'<?xml version="1.0" encoding="cp037"?>'), id="another alphabet"),
        pytest.param(sheet(CELL).replace(HEAD, b"").decode().encode("utf-16"), id="two bytes a letter"),
        pytest.param(b"\xef\xbb\xbf" + sheet(CELL), id="byte order mark"),
        pytest.param(sheet(b'<c><f t="shared" si="0"/></c>'), id="shared formula"),
        pytest.param(sheet(b'<c><f t="&#115;hared" si="0">A1</f></c>'), id="shared formula in disguise"),
        pytest.param(sheet(b'<c><f aca="false" t="shared">A1</f></c>'), id="shared formula behind another word"),
        pytest.param(sheet(b'<x:c xmlns:x="y"/>'), id="prefix"),
        pytest.param(sheet(CELL + b'<mergeCell ref="A1:XFD9"/>'), id="merged among the cells"),
        pytest.param(sheet(CELL, behind=b"<mergeCells/><sheetData></sheetData>"), id="cells twice"),
        pytest.param(sheet(b"<c><v>" + b"5" * 200_000 + b"</v></c>"), id="long text"),
        pytest.param(sheet(b"<c/>" * 1_500_001), id="many"),
        pytest.param(sheet(CELL)[:-60], id="broken off"),
    ],
)
def test_in_doubt_all_is_left_to_the_parser(part: bytes) -> None:
    """What might be read otherwise is not set apart."""
    assert cells_set_apart(part) == ({}, part)

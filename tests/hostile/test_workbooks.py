"""Workbooks made to do harm, or broken: refused with a message that says why, or read, fast and without much memory."""

from __future__ import annotations

import io
import os
import random
import socket
import struct
import sys
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import costing
from costing.cli import main
from costing.season.comparable import digests
from costing.workbook.read.safe_opening import MOST_CELLS, MOST_MARKS
from tests.hostile.measured import measured
from tests.hostile.sources import Parts, exported, packed

pytestmark = pytest.mark.slow

SECONDS, MEGABYTES = 5.0, 200.0  # what a maker waits for a refusal at most, on a slow and busy machine
SHEET = "xl/worksheets/sheet3.xml"  # Purchases
SHARED_FORMULA = b'<f t="shared" si="0"/>'

Change = Callable[[Parts], object]


def book(place: Path, change: Change = lambda _: None, name: str = "book.xlsx") -> Path:
    """Write an exported workbook with something changed in its parts."""
    parts = dict(exported(0))
    change(parts)
    path = place / name
    path.write_bytes(packed(parts))
    return path


def put(part: str, before: bytes, new: bytes) -> Change:
    """Return a change that puts something before some bytes of a part."""

    def change(parts: Parts) -> None:
        assert before in parts[part]
        parts[part] = parts[part].replace(before, new + before, 1)

    return change


def rows(inner: bytes) -> Change:
    """Return a change that puts rows behind the others of a sheet."""
    return put(SHEET, b"</sheetData>", inner)


def behind(inner: bytes) -> Change:
    """Return a change that puts something behind the cells of a sheet."""

    def change(parts: Parts) -> None:
        parts[SHEET] = parts[SHEET].replace(b"</sheetData>", b"</sheetData>" + inner, 1)

    return change


def part(name: str, data: bytes) -> Change:
    """Return a change that adds a part, or puts another in its place."""
    return lambda parts: parts.update({name: data})


def loosely(change: Change) -> Change:
    """Return the change with a part that hardly packs, so that the workbook as a whole does not unpack to too much."""
    return lambda parts: (change(parts), parts.update({"xl/media/photo.jpg": noise(400_000)}))


def noise(size: int) -> bytes:
    """Return bytes that cannot be packed, the same every time."""
    return random.Random(7).randbytes(size)  # noqa: S311  # the same every time is what tests want


def words(size: int) -> bytes:
    """Return letters that pack to a little less, as texts do."""
    return noise(size // 2).hex().encode()


def refusal(path: Path) -> str:
    with pytest.raises(costing.Refusal) as caught:
        costing.read_season(path)
    told = str(caught.value)
    assert told.startswith(f"{path}: ")
    return told.removeprefix(f"{path}: ")


# -- what would take all time and memory --

MANY_NAMES = b"".join(b'<definedName name="n%d">1</definedName>' % at for at in range(30_000))
MANY_STYLES = b'<xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>' * 50_000
SAME_SHEETS = b"".join(b'<sheet name="s%d" sheetId="%d" r:id="rId1"/>' % (at, at + 99) for at in range(2000))
SAME_PARTS = b"".join(
    b'<Relationship Id="x%d" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" '
    b'Target="/xl/worksheets/sheet3.xml"/>' % at
    for at in range(2000)
)
BLANK_ROWS = b"".join(b'<row r="%d"/>' % at for at in range(2000, 1_002_000))
CELLS = b"".join(b'<row r="%d">%s</row>' % (at, b"<c><v>1</v></c>" * 100) for at in range(2000, 7000))
LONG_FORMULA = b'<row r="3000"><c r="A3000"><f t="shared" ref="A3000:A9000" si="0">%s</f></c></row>' % (b"B1+" * 2500 + b"1")
SHARING = b"".join(b'<row r="%d"><c r="A%d"><f t="shared" si="0"/></c></row>' % (at, at) for at in range(3001, 9000))
FORMAT = b'<numFmt numFmtId="190" formatCode="%s"/>' % (b"[" * 20_000)
ROOM = "styles, rules and links, with the parts before it; it is not opened"
NESTED = b"<a>" * 300_000 + b"</a>" * 300_000
LAUGHS = b'<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;">]>'
MANY_MERGED = b"".join(b'<mergeCell ref="A%d:B%d"/>' % (at, at) for at in range(2000, 8000))
SHARED_STRINGS = b'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>%s</t></si></sst>'

BOMBS: dict[str, tuple[Change, str]] = {
    "50 MB of one letter": (part("xl/media/a.bin", b"a" * 50_000_000), "would unpack to {size} MB; it is not opened"),
    "70 MB in many parts": (
        lambda parts: parts.update({f"xl/media/{at}.bin": (words(600_000) + b"0" * 6_400_000) for at in range(10)}),
        "would unpack to {size} MB; it is not opened",
    ),
    "10,000 parts": (
        lambda parts: parts.update({f"xl/a{at}.xml": b"<a/>" for at in range(10_000)}),
        "holds more than 500 parts; it is not opened",
    ),
    "a million blank rows": (
        loosely(rows(BLANK_ROWS)), f"{SHEET} holds more than {MOST_CELLS} cells, with the parts before it; it is not opened",
    ),
    "500,000 cells": (
        loosely(rows(CELLS)), f"{SHEET} holds more than {MOST_CELLS} cells, with the parts before it; it is not opened",
    ),
    "50,000 styles": (
        loosely(put("xl/styles.xml", b"</cellXfs>", MANY_STYLES)), f"xl/styles.xml holds more than {MOST_MARKS} {ROOM}",
    ),
    "30,000 names": (
        put("xl/workbook.xml", b"</definedNames>", MANY_NAMES), f"xl/workbook.xml holds more than {MOST_MARKS} {ROOM}",
    ),
    "a value in the last cell there is": (
        rows(b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'),
        "sheet Purchases reaches to XFD1048576; delete what stands far below or right of the rest",
    ),
    "all cells merged": (
        behind(b'<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>'),
        f"{SHEET} holds cells merged, linked or noted as one over A1:XFD1048576; it is not opened",
    ),
    "all cells linked": (
        behind(b'<hyperlinks><hyperlink ref="$A$1:$XFD$1048576" location="A1"/></hyperlinks>'),
        f"{SHEET} holds cells merged, linked or noted as one over $A$1:$XFD$1048576; it is not opened",
    ),
    "6,000 merged cells": (
        behind(b"<mergeCells>%s</mergeCells>" % MANY_MERGED),
        f"{SHEET} holds more than 5000 merged cells, with the parts before it; it is not opened",
    ),
    "a text of 20 MB": (
        part("xl/sharedStrings.xml", SHARED_STRINGS % words(20_000_000)),
        "xl/sharedStrings.xml holds a text of more than 1 MB; it is not opened",
    ),
    "a tag of 20 MB": (
        part("xl/sharedStrings.xml", b'<sst a="%s"/>' % words(20_000_000)),
        "xl/sharedStrings.xml holds a text of more than 1 MB; it is not opened",
    ),
    "elements in elements, 300,000 deep": (
        loosely(behind(NESTED)), f"{SHEET} holds more than {MOST_MARKS} {ROOM}",
    ),
    "one sheet 2,000 times": (
        put("xl/workbook.xml", b"</sheets>", SAME_SHEETS), "xl/workbook.xml holds the same part twice; it is not opened",
    ),
    "one part under 2,000 names": (
        put("xl/_rels/workbook.xml.rels", b"</Relationships>", SAME_PARTS),
        f"xl/_rels/workbook.xml.rels holds the part /{SHEET} twice; it is not opened",
    ),
    "a long formula that 6,000 cells share": (
        loosely(rows(LONG_FORMULA + SHARING)), f"{SHEET} holds too long a formula for too many cells; it is not opened",
    ),
    "a number format of 20,000 letters": (
        put("xl/styles.xml", b"</numFmts>", FORMAT),
        "xl/styles.xml holds a number format of 20000 letters; it is not opened",
    ),
    "entities in entities": (
        put("xl/workbook.xml", b"<workbook", LAUGHS), "xl/workbook.xml holds declarations of entities; it is not opened",
    ),
}  # fmt: skip


@pytest.mark.skipif(sys.platform == "win32", reason="memory is told in another way there")
@pytest.mark.parametrize("bomb", BOMBS)
def test_a_bomb_is_refused_in_time_and_within_200_megabytes(bomb: str, tmp_path: Path) -> None:
    change, message = BOMBS[bomb]
    path = book(tmp_path, change)
    with zipfile.ZipFile(path) as file:
        size = sum(part.file_size for part in file.infolist()) / 1e6
    found = measured(path)
    assert found.told == f"{path}: {message.format(size=f'{size:.0f}')}"
    assert found.seconds < SECONDS
    assert found.megabytes < MEGABYTES


@pytest.mark.parametrize(
    ("summed", "message"),
    [
        (100, "is no readable .xlsx workbook (Bad CRC-32 for file 'xl/extra.xml'); save it again as .xlsx"),
        (101, "xl/extra.xml unpacks to more than it says; it is not opened"),
    ],
)
def test_a_part_that_unpacks_to_more_than_the_directory_says_is_refused(summed: int, message: str, tmp_path: Path) -> None:
    """It says 100 bytes and holds 30 MB. Its checksum is that of the bytes it says, or that of one more."""
    content = b"<a>" + b" " * 30_000_000 + b"</a>"
    path = book(tmp_path, part("xl/extra.xml", content))
    data = bytearray(path.read_bytes())
    entry = data.rindex(b"xl/extra.xml") - 46  # in the central directory
    assert data[entry : entry + 4] == b"PK\x01\x02"
    struct.pack_into("<I", data, entry + 16, zlib.crc32(content[:summed]))
    struct.pack_into("<I", data, entry + 24, 100)
    path.write_bytes(data)
    found = measured(path)
    assert found.told == f"{path}: {message}"
    assert found.seconds < SECONDS
    assert found.megabytes < MEGABYTES


# -- what would be let in --


@pytest.mark.parametrize("coding", ["utf-8", "utf-16", "utf-16-be"])
@pytest.mark.parametrize("name", ["xl/workbook.xml", SHEET, "xl/styles.xml", "xl/_rels/workbook.xml.rels", "xl/odd.dat"])
@pytest.mark.parametrize("distance", [0, 5_000, 70_000])
def test_declared_entities_are_refused_in_every_part_and_encoding_and_however_far_down(
    coding: str, name: str, distance: int, tmp_path: Path
) -> None:
    declared = f'<!--{"x" * distance}--><!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>'
    mark = "\ufeff" if coding == "utf-16-be" else ""
    path = book(tmp_path, part(name, (mark + declared).encode(coding)))
    assert refusal(path) == f"{name} holds declarations of entities; it is not opened"


def test_a_drawing_in_a_workbook_may_begin_as_drawings_do_but_declares_nothing(tmp_path: Path) -> None:
    svg = b'<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/x.dtd"><svg/>'
    costing.read_season(book(tmp_path, part("xl/media/logo.svg", svg)))
    assert "entities" in refusal(book(tmp_path, part("xl/media/logo.svg", LAUGHS + b"<svg/>")))


def test_links_to_other_workbooks_are_not_followed_and_macros_are_neither_run_nor_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def reached(*_: Any, **__: Any) -> Any:
        raise AssertionError("the network was asked")

    monkeypatch.setattr(socket, "socket", reached)
    plain = book(tmp_path)
    linked = book(tmp_path, _with_link_and_macros, "linked.xlsm")
    assert digests(costing.read_season(linked)) == digests(costing.read_season(plain))
    assert {file.name for file in tmp_path.iterdir()} == {"book.xlsx", "linked.xlsm"}


def _with_link_and_macros(parts: Parts) -> None:
    kinds = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    parts["xl/vbaProject.bin"] = b"\xd0\xcf\x11\xe0" + noise(2000)
    parts["xl/externalLinks/externalLink1.xml"] = (
        b'<externalLink xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><externalBook '
        b'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships" r:id="rId1"/></externalLink>'
    )
    parts["xl/externalLinks/_rels/externalLink1.xml.rels"] = (
        b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" '
        b'Type="%s/externalLinkPath" Target="http://localhost:1/x.xlsx" TargetMode="External"/></Relationships>'
        % kinds.encode()
    )
    put("[Content_Types].xml", b"</Types>", (
        b'<Override PartName="/xl/externalLinks/externalLink1.xml" ContentType="application/vnd.openxmlformats-'
        b'officedocument.spreadsheetml.externalLink+xml"/>'
        b'<Default Extension="bin" ContentType="application/vnd.ms-office.vbaProject"/>'
    ))(parts)  # fmt: skip
    put("xl/_rels/workbook.xml.rels", b"</Relationships>", (
        f'<Relationship Id="x1" Type="{kinds}/externalLink" Target="externalLinks/externalLink1.xml"/>'
        f'<Relationship Id="x2" Type="http://schemas.microsoft.com/office/2006/relationships/vbaProject" '
        f'Target="vbaProject.bin"/>'
    ).encode())(parts)  # fmt: skip
    put("xl/workbook.xml", b"<definedNames>", b'<externalReferences><externalReference r:id="x1"/></externalReferences>')(
        parts
    )


@pytest.mark.parametrize(
    "name", ["../evil.xml", "xl/../../evil.xml", "/etc/evil.xml", "\\evil.xml", "C:/evil.xml", "C:evil", "xl/\x1b[31m.xml"]
)
def test_names_of_parts_that_lead_out_of_the_workbook_or_cannot_be_shown_are_refused(name: str, tmp_path: Path) -> None:
    assert refusal(book(tmp_path, part(name, b"<a/>"))) == f"holds a part named {name!r}; it is not opened"


# -- what is no workbook --

NO_ZIP = "is no readable .xlsx workbook (File is not a zip file); save it again as .xlsx"
NOT_WORKBOOKS: dict[str, tuple[bytes, str]] = {
    "an empty file": (b"", NO_ZIP),
    "a text": (b"key,value\nname,My season\n", NO_ZIP),
    "noise": (noise(9999), NO_ZIP),
    "a page": (b"<html><body>Sign in to download</body></html>", NO_ZIP),
    "the first half of a workbook": (packed(exported(0))[:50_000], NO_ZIP),
    "an old or encrypted workbook": (
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(9999),
        "is an older .xls workbook, or one with a password; save it as .xlsx without one",
    ),
    "another zip file": (packed({"letter.txt": b"Dear"}), "is a zip file but no workbook; save it as .xlsx"),
    "a text document": (
        packed({"[Content_Types].xml": b"<Types/>", "word/document.xml": b"<document/>"}),
        "is a zip file but no workbook; save it as .xlsx",
    ),
}


@pytest.mark.parametrize("kind", NOT_WORKBOOKS)
def test_what_is_no_workbook_is_refused_with_what_to_do(kind: str, tmp_path: Path) -> None:
    data, message = NOT_WORKBOOKS[kind]
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)
    assert refusal(path) == message
    result = CliRunner().invoke(main, ["check", str(path)])
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", f"{path}: {message}\n")


def test_a_part_twice_is_refused(tmp_path: Path) -> None:
    path = book(tmp_path)
    with zipfile.ZipFile(path, "a") as archive, pytest.warns(UserWarning, match="Duplicate name"):
        archive.writestr(SHEET, b"<worksheet/>")
    assert refusal(path) == f"holds the part {SHEET} twice; it is not opened"


def test_packing_that_no_spreadsheet_program_uses_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_LZMA) as archive:
        for name, data in exported(0).items():
            archive.writestr(name, data)
    assert refusal(path) == "docProps/app.xml is packed as no spreadsheet does; save it again as .xlsx"


def test_a_part_that_is_damaged_is_told(tmp_path: Path) -> None:
    path = book(tmp_path)
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        at = archive.getinfo(SHEET).header_offset + 30 + len(SHEET)
    data[at + 100 : at + 200] = noise(100)
    path.write_bytes(data)
    told = refusal(path)
    assert told.startswith("is no readable .xlsx workbook (")
    assert told.endswith("); save it again as .xlsx")


def test_a_folder_named_like_a_workbook_is_read_as_a_folder(tmp_path: Path) -> None:
    folder = tmp_path / "book.xlsx"
    folder.mkdir()
    result = CliRunner().invoke(main, ["check", str(folder)])
    assert (result.exit_code, result.stdout) == (2, "")
    assert "holds no table of a season; name a season's folder, or make one with: costing start" in result.stderr
    (folder / "season.csv").write_text("key,value\ncurrency,EUR\n", encoding="utf-8")
    result = CliRunner().invoke(main, ["check", str(folder)])
    assert (result.exit_code, result.stdout) == (1, "")
    assert "season.csv" in result.stderr


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no such files")
def test_what_is_no_file_is_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    os.mkfifo(path)
    assert refusal(path) == "is no file; name a workbook"


def test_a_workbook_larger_than_any_season_is_not_even_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "book.xlsx"
    with path.open("wb") as file:
        file.truncate(60_000_001)
    monkeypatch.setattr(Path, "read_bytes", None)
    assert refusal(path) == "is larger than 60 MB; it is not opened"


def test_a_workbook_that_may_not_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def denied(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    path = book(tmp_path)
    monkeypatch.setattr(Path, "read_bytes", denied)
    assert refusal(path) == "cannot be read (Permission denied)"


def test_what_openpyxl_cannot_read_is_told_with_its_reason(tmp_path: Path) -> None:
    change = rows(b'<row r="2000"><c r="A2000" t="n"><v>twelve</v></c></row>')
    assert refusal(book(tmp_path, change)) == (
        "cannot be read as a workbook (ValueError: could not convert string to float: 'twelve'); save it again as .xlsx"
    )


# -- what is let through --


@pytest.mark.skipif(sys.platform == "win32", reason="memory is told in another way there")
def test_the_sample_s_own_workbook_is_read_within_the_same_limits(sample_book: Path) -> None:
    found = measured(sample_book)
    assert found.told == ""
    assert found.seconds < SECONDS
    assert found.megabytes < MEGABYTES


def test_blank_rows_far_down_and_styled_columns_do_no_harm(tmp_path: Path) -> None:
    blank = b"".join(b'<row r="%d" ht="15" customHeight="1"/>' % at for at in range(1_048_500, 1_048_577))
    assert digests(costing.read_season(book(tmp_path, rows(blank)))) == digests(costing.read_season(book(tmp_path)))

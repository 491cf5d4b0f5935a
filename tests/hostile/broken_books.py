"""What can go wrong with the parts of a workbook: missing, damaged, swapped, and cells that lie about themselves."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from random import Random

from tests.hostile.broken_files import cut, flip_bytes, mixed_encodings, odd_bytes, other_encoding, repeat
from tests.hostile.odd import ODD_DAYS, ODD_NUMBERS, ODD_TEXTS
from tests.hostile.sources import Parts


def _part(random: Random, parts: Parts, pattern: str = "") -> str:
    return random.choice([name for name in sorted(parts) if re.search(pattern, name)] or sorted(parts) or ["x"])


def _drop_part(random: Random, parts: Parts) -> str:
    name = _part(random, parts)
    parts.pop(name, None)
    return f"{name} dropped"


def _damage_part(random: Random, parts: Parts) -> str:
    name = _part(random, parts)
    change = random.choice((flip_bytes, flip_bytes, cut, repeat, odd_bytes, other_encoding, mixed_encodings))
    parts[name] = change(random, parts.get(name, b""))
    return f"{name}: {change.__name__}"


def _swap_parts(random: Random, parts: Parts) -> str:
    kind = random.choice(("sheet", r"\.rels$", ""))
    one, two = _part(random, parts, kind), _part(random, parts, kind)
    parts[one], parts[two] = parts.get(two, b""), parts.get(one, b"")
    return f"{one} and {two} swapped"


def _rename_part(random: Random, parts: Parts) -> str:
    name = _part(random, parts)
    to = random.choice(
        (name.upper(), f"../{name}", name.replace("/", "\\"), f"{name}.bak", "xl/vbaProject.bin", f"x/{name}")
    )
    parts[to] = parts.pop(name, b"")
    return f"{name} renamed {to}"


def _drop_styles(random: Random, parts: Parts) -> str:
    parts["xl/styles.xml"] = random.choice((b"", b"<styleSheet/>", b'<?xml version="1.0"?><a/>'))
    return "styles emptied"


def _drop_element(random: Random, parts: Parts) -> str:
    """Take an element out, with or without what is in it."""
    name = _part(random, parts, r"\.(xml|rels)$")
    data = parts.get(name, b"")
    found = list(re.finditer(rb"<([\w:]+)[^>]*?(/>|>)", data))
    if not found:
        return f"{name} has no element"
    tag = random.choice(found)
    end = data.find(b"</" + tag[1] + b">", tag.end())
    end = end + len(tag[1]) + 3 if tag[2] == b">" and end > 0 and random.random() < 0.7 else tag.end()
    parts[name] = data[: tag.start()] + data[end:]
    return f"{name}: {tag[0][:40]!r} dropped"


def _odd_attribute(random: Random, parts: Parts) -> str:
    name = _part(random, parts, r"\.(xml|rels)$")
    data = parts.get(name, b"")
    found = list(re.finditer(rb' ([\w:]+)="([^"]*)"', data))
    if not found:
        return f"{name} has no attribute"
    spot = random.choice(found)
    odd = random.choice(
        (
            b"",
            b"-1",
            b"0",
            b"99999999",
            b"A1:XFD1048576",
            b"XFD1048576",
            b"A0",
            b"true",
            b"rId99",
            b"\xff",
            b"&lt;",
            b"a" * 5000,
            b"1e999",
        )
    )
    put = random.choice((b"", b' %s="%s"' % (spot[1], odd), b' %s="%s"' % (spot[1], odd)))
    parts[name] = data[: spot.start()] + put + data[spot.end() :]
    return f"{name}: {spot[0][:40]!r} = {put[:40]!r}"


_CELL = re.compile(rb"<c( [^>]*?)?(/>|>.*?</c>)", re.DOTALL)


def _odd_sheet_cell(random: Random, parts: Parts) -> str:
    """Lie about a cell: its type, its place, its style, or what is in it."""
    name = _part(random, parts, r"worksheets/sheet\d+\.xml$")
    data = parts.get(name, b"")
    cells = list(_CELL.finditer(data))
    if not cells:
        return f"{name} has no cell"
    spot = random.choice(cells)
    cell = random.choice((_other_type, _other_value, _other_value, _other_place, _formula_cell))(random, spot[0])
    parts[name] = data[: spot.start()] + cell + data[spot.end() :]
    return f"{name}: {spot[0][:60]!r} → {cell[:60]!r}"


def _other_type(random: Random, cell: bytes) -> bytes:
    kind = random.choice((b"b", b"e", b"d", b"n", b"s", b"str", b"inlineStr", b"x", b""))
    return re.sub(rb"^<c( t=\"\w+\")?", b'<c t="%s"' % kind, re.sub(rb' t="\w+"', b"", cell, count=1))


def _other_value(random: Random, cell: bytes) -> bytes:
    odd = random.choice((*ODD_NUMBERS, *ODD_TEXTS, *ODD_DAYS)).encode("utf-8", "surrogatepass")
    odd = re.sub(rb"[<&]", b"", odd) if random.random() < 0.8 else odd
    put = random.choice((b"<v>%s</v>", b"<is><t>%s</t></is>", b"<f>%s</f>", b"<f>1</f><v>%s</v>", b"")).replace(b"%s", odd)
    attributes = re.match(rb"<c([^>]*?)/?>", cell)
    return b"<c" + (attributes[1] if attributes else b"") + b">" + put + b"</c>"


def _other_place(random: Random, cell: bytes) -> bytes:
    place = random.choice((b"A1", b"A5", b"B6", b"XFD1048576", b"ZZZZ1", b"A0", b"", b"1", b"a6", b"$A$6", b"C99999999"))
    return (
        re.sub(rb'r="[^"]*"', b'r="%s"' % place, cell, count=1)
        if random.random() < 0.8
        else re.sub(rb' r="[^"]*"', b"", cell)
    )


def _formula_cell(random: Random, cell: bytes) -> bytes:
    put = random.choice((
        b"<f/>", b"<f></f>", b'<f t="shared" si="0"/>', b'<f t="array" ref="A1:B2">1</f><v>2</v>',
        b"<f>1/0</f><v>#DIV/0!</v>", b'<f t="dataTable" ref="A1" dt2D="1" r1="A1"/>', b"<f>A1</f>",
        b"<f>SUM(</f><v>3</v>", b"<v>1</v><v>2</v>",
    ))  # fmt: skip
    return re.sub(rb"(/>|>.*</c>)$", b">" + put + b"</c>", cell, count=1, flags=re.DOTALL)


def _swap_sheet_cells(random: Random, parts: Parts) -> str:
    name = _part(random, parts, r"worksheets/sheet\d+\.xml$")
    data = parts.get(name, b"")
    inner = list(re.finditer(rb"(<c [^>]*>)(.*?)(</c>)", data, re.DOTALL))
    if len(inner) < 2:
        return f"{name} has no cells"
    one, two = sorted(random.sample(inner, 2), key=lambda spot: spot.start())
    parts[name] = data[: one.start(2)] + two[2] + data[one.end(2) : two.start(2)] + one[2] + data[two.end(2) :]
    return f"{name}: {one[0][:50]!r} and {two[0][:50]!r} swapped"


def _change_rows(random: Random, parts: Parts) -> str:
    name = _part(random, parts, r"worksheets/sheet\d+\.xml$")
    data = parts.get(name, b"")
    rows = list(re.finditer(rb"<row\b.*?</row>", data, re.DOTALL))
    if not rows:
        return f"{name} has no rows"
    spot = random.choice(rows)
    put = random.choice(
        (b"", spot[0] * 2, re.sub(rb' r="[A-Z]*\d+"', b"", spot[0]), b"<row/>", b'<row r="0"/>', b'<row r="9999999"/>')
    )
    parts[name] = data[: spot.start()] + put + data[spot.end() :]
    return f"{name}: {spot[0][:30]!r} → {put[:30]!r}"


def _put_in(random: Random, parts: Parts) -> str:
    """Put something in that does harm, or nothing, behind the cells of a sheet or before the root of any part."""
    name = _part(random, parts, r"worksheets/sheet\d+\.xml$")
    harm = random.choice((
        b'<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>', b'<mergeCells><mergeCell ref="A1:D9"/></mergeCells>',
        b'<hyperlinks><hyperlink ref="A1:B3" r:id="rId77"/></hyperlinks>',
        b'<tableParts><tablePart r:id="rId1"/></tableParts>',
        b'<dataValidations><dataValidation sqref="A1:XFD1048576 x"/></dataValidations>', b"<a>" * 300 + b"</a>" * 300,
        b'<conditionalFormatting sqref="?"><cfRule type="x"/></conditionalFormatting>', b"<x:y/>", b"&unknown;", b"&#0;",
    ))  # fmt: skip
    parts[name] = parts.get(name, b"").replace(b"</sheetData>", b"</sheetData>" + harm, 1)
    if random.random() < 0.3:
        name = _part(random, parts)
        head = random.choice((b'<!DOCTYPE a [<!ENTITY b "c">]>', b'<?xml version="1.0" encoding="cp037"?>', b"<!-- x -->"))
        parts[name] = head + re.sub(rb"^<\?xml.*?\?>", b"", parts.get(name, b""))
    return f"{name}: {harm[:40]!r}"


def _change_sheets(random: Random, parts: Parts) -> str:
    """Take a sheet out of the list, rename it, name it twice or hide it."""
    data = parts.get("xl/workbook.xml", b"")
    sheets = list(re.finditer(rb"<sheet [^>]*/>", data))
    if not sheets:
        return "no sheets"
    spot, other = random.choice(sheets), random.choice(sheets)
    renamed = re.sub(
        rb'name="[^"]*"', b'name="%s"' % random.choice((b"Items", b"season", b"", b"Prices2", b"x" * 400)), spot[0]
    )
    put = random.choice((b"", renamed, renamed, spot[0] * 2, other[0], spot[0].replace(b"/>", b' state="veryHidden"/>')))
    parts["xl/workbook.xml"] = data[: spot.start()] + put + data[spot.end() :]
    return f"sheets: {spot[0][:60]!r} → {put[:60]!r}"


PART_CHANGES: Sequence[Callable[[Random, Parts], str]] = (
    _drop_part, _damage_part, _damage_part, _damage_part, _swap_parts, _rename_part, _drop_styles, _drop_element,
    _drop_element, _odd_attribute, _odd_attribute, _odd_sheet_cell, _odd_sheet_cell, _odd_sheet_cell, _odd_sheet_cell,
    _swap_sheet_cells, _swap_sheet_cells, _change_rows, _put_in, _change_sheets,
)  # fmt: skip

"""CSV files as other programs write them: every way of writing the same cells reads as the same cells."""

from __future__ import annotations

import codecs
import csv
import io
import time
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.errors import FileTrouble
from costing.fields.numerals import read_number
from costing.folder.csv_text import CsvText, described, read_csv
from costing.folder.reading import table_files

SAMPLE = Path(__file__).parents[1] / "sample"


def cells(data: bytes | str) -> list[tuple[str, ...]]:
    return [row for _, row in read(data).rows]


def read(data: bytes | str) -> CsvText:
    return read_csv(data.encode() if isinstance(data, str) else data, "purchases.csv")


def the_fault(data: bytes | str) -> str:
    (fault,) = read(data).faults
    return str(fault)


@pytest.mark.parametrize("file", sorted(SAMPLE.glob("*.csv")), ids=lambda file: file.name)
def test_the_samples_read_as_the_csv_module_reads_them(file: Path) -> None:
    text = read_csv(file.read_bytes(), file.name)
    with file.open(encoding="utf-8-sig", newline="") as lines:
        assert [row for _, row in text.rows] == [tuple(row) for row in csv.reader(lines) if row]
    assert (text.delimiter, text.decimal_comma, text.faults) == (",", False, ())


@pytest.mark.parametrize(
    ("data", "encoding"),
    [
        ("item;note\nShea;Karité €\n".encode(), "UTF-8"),
        (codecs.BOM_UTF8 + "item;note\nShea;Karité €\n".encode(), "UTF-8 with BOM"),
        (codecs.BOM_UTF16_LE + "item;note\nShea;Karité €\n".encode("utf-16-le"), "UTF-16 LE with BOM"),
        (codecs.BOM_UTF16_BE + "item;note\nShea;Karité €\n".encode("utf-16-be"), "UTF-16 BE with BOM"),
        ("item;note\nShea;Karité €\n".encode("utf-16-le"), "UTF-16 LE"),
        ("item;note\nShea;Karité €\n".encode("utf-16-be"), "UTF-16 BE"),
        ("item;note\nShea;Karité €\n".encode("cp1252"), "Windows-1252"),
    ],
)
def test_encodings(data: bytes, encoding: str) -> None:
    assert cells(data) == [("item", "note"), ("Shea", "Karité €")]
    assert str(read(data).encoding) == encoding
    assert not read(data).faults


def test_german_closing_quotes_stay_windows_1252_though_two_bytes_look_like_utf_8() -> None:
    assert cells("item,note\nSeife,„Spaß“\n".encode("cp1252"))[1] == ("Seife", "„Spaß“")


def test_a_replacement_character_in_utf_8_is_a_character() -> None:
    assert cells("item,note\nSeife,37\ufffd\n")[1] == ("Seife", "37\ufffd")


@pytest.mark.parametrize(
    ("end", "name"), [("\r\n", "CRLF"), ("\n", "LF"), ("\r", "CR")], ids=lambda value: value.strip() or repr(value)
)
def test_line_ends(end: str, name: str) -> None:
    text = read(end.join(["item,note", '"Shea","one\ntwo\r\nthree"', "Olive,"]) + end)
    assert [row for _, row in text.rows] == [("item", "note"), ("Shea", "one\ntwo\r\nthree"), ("Olive", "")]
    assert text.line_ends == name


def test_line_ends_of_both_kinds_are_told() -> None:
    assert read("a,b\r\n1,2\n3,4").line_ends == "mixed line ends"


def test_rows_are_numbered_as_a_spreadsheet_shows_them() -> None:
    text = read('item,note\r\nShea,"first\r\nsecond"\r\n\r\nOlive,x\r\n\r\n')
    assert text.rows == ((1, ("item", "note")), (2, ("Shea", "first\r\nsecond")), (4, ("Olive", "x")))


@pytest.mark.parametrize("first", ["sep=;", "SEP=;", '"sep=;"'])
def test_a_line_that_names_the_separator_is_row_1_and_is_obeyed(first: str) -> None:
    text = read(f"{first}\r\nprice, EUR, net;qty\r\n1,5;2\r\n")
    assert text.rows == ((2, ("price, EUR, net", "qty")), (3, ("1,5", "2")))
    assert text.decimal_comma


def test_a_separator_that_is_not_read_here_is_a_fault() -> None:
    assert the_fault("sep=|\na|b\n") == (
        'purchases.csv, row 1: names "|" as the separator; save it with commas or semicolons'
    )


def test_quotes_follow_rfc_4180() -> None:
    assert cells('"a ""b"" c", "d",e"f" , g \r\n""""," ",""\r\n') == [
        ('a "b" c', ' "d"', 'e"f" ', " g "),
        ('"', " ", ""),
    ]


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("item,qty,unit\nOlive,1,kg\n", ","),
        ("item;qty;unit\nOlive;1;kg\n", ";"),
        ("item\tqty\tunit\nOlive\t1\tkg\n", "\t"),
        ('"a;b";"c;d",price\n1,2\n', ","),
        ("Price, net, EUR, each;qty\n12,50;1\n9,80;2\n", ";"),
        ('item,"price; net; EUR; each"\n"one\n;;;",2\n', ","),
        ("item;note, if any\n", ","),
        ("\r\n\r\nitem;qty;note, if any\r\n", ";"),
        ("note\nwith; marks; here\n", ","),
        ('"note"\n"x"\n1;2\n', ","),
        ("", ","),
        ("\n\n", ","),
    ],
)
def test_the_separator_is_that_of_the_heading(text: str, delimiter: str) -> None:
    assert read(text).delimiter == delimiter


@pytest.mark.parametrize(
    ("prices", "decimal_comma"),
    [
        (["12,50"], True),
        (["1.234,50 €", "1,234", "1.234"], True),
        (["-0,125"], True),
        (["1234,567"], True),
        (["1,234"], False),
        (["1,234", "1,234,567"], False),
        (["12,50", "12.50"], False),
        (["12,50", "1,234.50"], False),
        (["12,50", "31.12.2025", "1.234", "see 12.50"], True),
        (["12.50"], False),
        (["12"], False),
        (["12,50 €", "3,5 kg", "9,80 zł", "1,5 %", "12.50"], True),
        (["12,50", "3,5", "9,80", "12.50"], False),
    ],
)
@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_decimal_commas_are_those_of_the_whole_file(prices: list[str], delimiter: str, *, decimal_comma: bool) -> None:
    lines = [f"item{delimiter}price", *(f"Olive{delimiter}{price}" for price in prices)]
    assert read("\n".join(lines)).decimal_comma is decimal_comma


def test_a_note_is_no_witness_of_decimal_marks() -> None:
    """Only columns of numbers say how a file writes them; a column is passed over by its heading."""
    text = "item;price;note\nOlive;1.234;2,5\n"
    assert read(text).decimal_comma
    assert not read_csv(text.encode(), "purchases.csv", {"item", "note"}).decimal_comma


def test_a_file_with_commas_between_cells_has_no_decimal_commas() -> None:
    assert not read('item,price\nOlive,"12,50"\n').decimal_comma


@given(number=st.decimals(0, 10**9, places=4), grouped=st.booleans())
@settings(derandomize=True, deadline=None)
def test_a_number_taken_for_a_decimal_comma_is_read_as_one(number: Decimal, *, grouped: bool) -> None:
    shown = f"{number:,.4f}" if grouped else f"{number:.4f}"
    text = read("item;price\nOlive;" + shown.translate(str.maketrans(",.", ".,")) + "\n")
    assert text.decimal_comma
    assert read_number(text.rows[1][1][1], decimal_comma=True) == number


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"PK\x03\x04\x14\0", "purchases.csv: is a workbook, not CSV; open it in a spreadsheet and save its sheet"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "purchases.csv: is a workbook, not CSV; "),
        (b"item,qty\nOlive,\0\n", "purchases.csv: is no text, so it is no CSV; "),
        (codecs.BOM_UTF16_LE + b"\0\0a\0", "purchases.csv: is no text, so it is no CSV; "),
        (b"item,note\nShea,\xe9\n\nOlive,\x81\n", "line 4: has a byte (0x81) that is no character in Windows-1252; "),
        (
            "item,é,ü\r\nShea,é\r\n".encode() + b"Olive,\xe9\r\n",
            "line 3: has a byte (0xE9) that is no character in UTF-8",
        ),
        (codecs.BOM_UTF8 + b"item\r\xe9\r", "line 2: has a byte (0xE9) that is no character in UTF-8; save"),
        (codecs.BOM_UTF16_BE + b"\0a\0", "line 1: has a byte (0x00) that is no character in UTF-16 BE; "),
        (b"a" * 5_000_001, "purchases.csv: is larger than 5 MB; "),
    ],
)
def test_what_is_no_csv_is_refused(data: bytes, told: str) -> None:
    assert told in the_fault(data)
    assert read(data).rows == ()
    assert described(read(data)) == "not read as text"


def test_an_unclosed_quote_is_told_where_it_opens() -> None:
    text = read('item,note\n"one\ntwo",x\nOlive,"bought\nin May\n')
    assert [str(fault) for fault in text.faults] == [
        "purchases.csv, row 3: has a quotation mark that is never closed; add the closing one, or delete the opening one"
    ]
    assert [row for row, _ in text.rows] == [1, 2]


def test_text_after_a_closing_quote_is_told_in_every_row() -> None:
    text = read('item,note\n"Olive" oil,x\nShea,y\nPalm,"12" tub"\n')
    told = "has text after a closing quotation mark; put the whole cell in quotation marks, and write each one inside it"
    assert [str(fault) for fault in text.faults] == [f"purchases.csv, row {row}: {told} twice" for row in (2, 4)]
    assert [row for row, _ in text.rows] == [1, 3]


def test_a_quote_that_swallows_rows_is_told_where_it_opens_and_nothing_after_it_is_guessed() -> None:
    text = read('item,note\nOlive,"bought\nShea,y\nPalm,"12 l"\nCoconut,"x" y\n')
    assert [fault.where for fault in text.faults] == ["purchases.csv, row 2"]
    assert text.faults[0].what == "has text after a closing quotation mark, 2 lines further down"
    assert ", 1 line further down;" in the_fault('item,note\nOlive,"bought\nShea,"y"\n')


def test_a_cell_beyond_the_limit_of_the_csv_module_is_a_fault() -> None:
    told = "purchases.csv, row 2: has a cell of more than 131072 characters; check whether a quotation mark is missing"
    assert the_fault("item,note\nOlive," + "x" * 140_000 + "\nShea,y\n").startswith(told)
    assert the_fault('item,note\nOlive,"' + "x\n" * 70_000 + '"\n').startswith(told)


def test_too_many_cells_are_a_fault_of_their_row() -> None:
    text = read("item,note\n" + "," * 200 + "\nShea,y\n")
    assert the_fault("a\n" + "," * 200) == (
        "purchases.csv, row 2: has 201 cells, more than any table here; delete the columns that are not needed"
    )
    assert [row for row, _ in text.rows] == [1, 3]
    assert not read("a\n" + "," * 199).faults


def test_no_more_than_twenty_faults_are_told() -> None:
    assert len(read('item\n"a"b\n' * 1000).faults) == 20


@pytest.mark.parametrize(
    ("data", "line"),
    [
        (codecs.BOM_UTF8 + b"item;price\r\nOlive;12,50\r\n", "UTF-8 with BOM, semicolons, decimal commas, CRLF"),
        (b"item,price\nOlive,12.50\n", "UTF-8, commas, LF"),
        (b"item\tprice", "UTF-8, tabs"),
    ],
)
def test_how_a_file_is_written_is_told_in_one_line(data: bytes, line: str) -> None:
    assert described(read(data)) == line


ASCII = st.text(st.characters(min_codepoint=1, max_codepoint=126), max_size=12)
LATIN = st.text(st.characters(min_codepoint=32, max_codepoint=126) | st.sampled_from("éüñä\r\n"), max_size=12)
ANY = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
WRITTEN = {
    ("utf-8", b""): ANY,
    ("utf-8-sig", b""): ANY,
    ("utf-16-le", codecs.BOM_UTF16_LE): ANY,
    ("utf-16-be", codecs.BOM_UTF16_BE): ANY,
    ("utf-16-le", b""): ASCII,
    ("utf-16-be", b""): ASCII,
    ("cp1252", b""): LATIN,
}


@given(st.data(), st.sampled_from(",;\t"), st.sampled_from(["\r\n", "\n", "\r"]), st.integers(2, 5))
@settings(derandomize=True, deadline=None, max_examples=400)
def test_what_the_csv_module_writes_reads_back_equal(data: st.DataObject, delimiter: str, end: str, width: int) -> None:
    codec, mark = data.draw(st.sampled_from(sorted(WRITTEN)))
    row = st.lists(WRITTEN[codec, mark], min_size=width, max_size=width)
    rows = [["größe" if codec == "cp1252" else "name", *"abcd"[: width - 1]], *data.draw(st.lists(row, max_size=6))]
    written = io.StringIO(newline="")
    if end == "\r\n" and data.draw(st.booleans()):
        csv.writer(written, delimiter=delimiter).writerows(rows)
    else:
        csv.writer(written, delimiter=delimiter, lineterminator=end, quoting=csv.QUOTE_ALL).writerows(rows)
    text = read(mark + written.getvalue().encode(codec))
    assert [list(cells) for _, cells in text.rows] == rows
    assert [number for number, _ in text.rows] == list(range(1, len(rows) + 1))
    assert (text.delimiter, text.faults) == (delimiter, ())


@given(st.binary(max_size=60) | st.text('a1,;\t"\r\n=sep\ufeff', max_size=60).map(str.encode))
@settings(derandomize=True, deadline=None, max_examples=1000)
def test_whatever_the_bytes_are_nothing_is_raised_and_each_fault_names_the_file(data: bytes) -> None:
    text = read(data)
    assert all(str(fault).startswith("purchases.csv") and fault.what and fault.do for fault in text.faults)
    numbers = [number for number, _ in text.rows]
    assert numbers == sorted(set(numbers))
    assert described(text)


@pytest.mark.parametrize("piece", ['"', ',"', '""', '"a"b\n', '"\n', ",", ";1,5", "\r", "1.234,", '"a""b', "é\udce9"])
def test_long_files_of_one_broken_piece_are_read_in_little_time(piece: str) -> None:
    data = (piece * 2_000_000)[:2_000_000].encode("utf-8", "surrogateescape")
    begun = time.process_time()
    read(b"item;price\n" + data)
    read(data)
    assert time.process_time() - begun < 20, "a time that grows with the square of the length would be minutes"


def test_a_table_that_may_not_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its file is named, and the reason that the system gives."""
    (tmp_path / "purchases.csv").write_text("item\n", encoding="utf-8")

    def refuse(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    with pytest.raises(FileTrouble, match=r"purchases\.csv: cannot be read \(Permission denied\)"):
        table_files(tmp_path)

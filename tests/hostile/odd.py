"""Numbers, texts, days and typed values that nobody expects."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Any

ODD_NUMBERS = (
    "-1", "0", "-0", "0.0", "1e12", "999999999999", "999999999999.99", "1e-99", "1e99", "1e400", "-1e11", "1e-7",
    "nan", "NaN", "inf", "-Infinity", "1e308", "5e-324", "0." + "0" * 400 + "1", "9" * 400, "0" * 1990 + "1", "1,234",
    "1.234,50", "1 234", "1'5", "½", "١٢", "１２", "²", "0x10", "1_000", "12 kg", "40 %", "140%", "--5", "+5", ".", ",",
    "-", "1/2", "=1+1", "#REF!", "1.5.2",
)  # fmt: skip
ODD_TEXTS = (
    "", " ", "\u00a0", "\u200b", "\ufeff", "a" * 2001, "ä" * 1990, "x" * 40_000, "\x00", "\x1b[31m", "\x07", "\x85",
    "\u2028", "\ud800", "\U0001f9fc", "e\u0301", "\u202eabc", "a\tb", "a\nb", "a\r\nb", '"', '""', "'", ",", ";",
    "=cmd|' /C calc'!A0", "@x", "+1", "*", "?", "~", "/", "a/b", "a/b/c", "../..", "TRUE", "true", "None", "null",
    "nan", "delivery", "discount", "Delivery", "{what}", "{0}", "%s", "<b>", "&amp;", "<![CDATA[", "yes", "no", "set",
    "sales", "weight", "nothing", "quote", "units", "minutes", "piece", "mL", "XXX", "yield", "formula", "line",
)  # fmt: skip
ODD_DAYS = (
    "0001-01-01", "9999-12-31", "1969-12-31", "2200-01-01", "2026-02-30", "01/02/2026", "13/13/2026", "2026-W10-1",
    "20261101", "2026-11-01T00:00", "46327", "1e5", "2026-1-1", "31.12.2026",
)  # fmt: skip
ODD_VALUES: Sequence[Any] = (
    True, False, 0, -1, 0.4, 40, 1e12, 1e300, 1e-300, 10**30, date(1900, 1, 1), date(9999, 12, 31),
    datetime(2026, 11, 1, 12), time(12, 30), "=1/0", "=12*3", "#N/A", "#DIV/0!", "=A1", "{=1}", "x" * 32_000,
)  # fmt: skip

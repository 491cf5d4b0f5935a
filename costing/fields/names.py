"""Names: which texts may be one, how one is spelled, and when two are the same."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from functools import cache, lru_cache

from costing.fields.catalogue import currencies
from costing.fields.words import money_signs, plain_word, words

LONGEST_NAME = 60  # letters: formulas may hold a name with its output, and a text in a formula no more than 255
MARKS = "- & ' ’ . , ( ) + % : # №"
_MARKS = set(MARKS)
_JOINERS = "\u200c\u200d"  # which some scripts need inside words
_HYPHENS = str.maketrans({"\u2010": "-", "\u2011": "-", "\u00ad": ""})
_SHEET_ERROR = re.compile(r"#n(?:v|/[a-z])", re.IGNORECASE)
_EXPONENT = re.compile(r"\d*[.,]?\d+e[+-]?\d+", re.IGNORECASE)
_TIME = re.compile(r"\d{1,2}(?:[:.]\d{2})*\s*[ap]\.?m?\.?", re.IGNORECASE)
_CHINESE_OR_JAPANESE_DATE = re.compile(r"(?:\d+年)?(?:\d+月)?(?:\d+日)?")


def spelled(text: str) -> str:
    """Return a name in its plain spelling: one blank between words, one Unicode form, no invisible letters.

    >>> spelled("  Shea   butter ")
    'Shea butter'
    """
    composed = unicodedata.normalize("NFC", text).translate(_HYPHENS)
    seen = "".join(letter for letter in composed if letter in _JOINERS or unicodedata.category(letter) != "Cf")
    return " ".join(seen.split())


@lru_cache(10_000)
def sign(text: str) -> str:
    """Return what two spellings of one name have in common: they differ in case, Unicode form and blanks only.

    A blank between two digits counts, since 1 10 is not 110. Capitals go first, since sheets compare by them.

    >>> sign("Óleo  de Coco") == sign("óleo de coco "), sign("Jar 200 mL") == sign("jar 200ml"), sign("1 10") == sign("110")
    (True, True, False)
    """
    folded = unicodedata.normalize("NFKC", spelled(text)).upper().casefold()
    folded = " ".join(unicodedata.normalize("NFKC", folded).split())
    for joiner in _JOINERS:
        folded = folded.replace(joiner, "")
    return re.sub(r"(?<!\d) | (?!\d)", "", folded)


def forbidden(text: str, also: str = "") -> list[str]:
    """Return the letters that no name may hold, each once."""
    return list(dict.fromkeys(letter for letter in text if not (_may_stand(letter) or letter in also)))


def without_forbidden(text: str) -> str:
    """Return a name as it could be written: what may not stand in it, left out.

    >>> without_forbidden("Bar <small>!"), without_forbidden("salt_bar")
    ('Bar small', 'salt bar')
    """
    return " ".join("".join(letter if _may_stand(letter) else " " for letter in text).split())


def _may_stand(letter: str) -> bool:
    return (
        letter == " "
        or letter in _MARKS
        or letter in _JOINERS
        or unicodedata.category(letter)[0] in "LM"
        or letter.isdecimal()
    )


def taken_for(text: str) -> str:
    """Return what spreadsheets would take a name for, in one language or another; nothing where it stays a text.

    >>> taken_for("2e-1"), taken_for("Mar 5"), taken_for("Shea butter"), taken_for("5 kr"), taken_for("Vero")
    ('a number', 'a date', '', 'an amount of money', 'TRUE or FALSE')
    """
    plain = unicodedata.normalize("NFKC", text).replace("№", "#")
    return next((taken for taken, is_so in _TAKEN if is_so(plain)), "")


def _names_a_day(text: str) -> bool:
    """Whether a text is a month's name and numbers, with a weekday or nothing else beside them."""
    parts = re.findall(r"\d+|[^\W\d]+", text)
    numbers = [part for part in parts if part.isdecimal()]
    named = [part for part in parts if not part.isdecimal() and plain_word(part) not in ("de", "of")]
    return 1 <= len(numbers) <= 2 and len(named) == 1 and plain_word(named[0]) in words("month")


def _is_money(text: str) -> bool:
    return any(re.fullmatch(pattern, text, re.IGNORECASE) for pattern in _money_patterns())


@cache
def _money_patterns() -> tuple[str, ...]:
    of_money = "|".join(re.escape(each) for each in [*money_signs(), *currencies()])
    number = r"[+-]?\d[\d.,' ’]*"
    return rf"(?:{of_money})\s*{number}", rf"{number}\s*(?:{of_money})"


_TAKEN: tuple[tuple[str, Callable[[str], object]], ...] = (
    ("a number or a date", lambda text: not any(letter.isalpha() or letter == "#" for letter in text)),
    ("a number", _EXPONENT.fullmatch),
    ("TRUE or FALSE", lambda text: plain_word(text) in words("truth")),
    ("an error", _SHEET_ERROR.fullmatch),
    ("a time of day", _TIME.fullmatch),
    ("a date", lambda text: _CHINESE_OR_JAPANESE_DATE.fullmatch(text) or _names_a_day(text)),
    ("an amount of money", _is_money),
)

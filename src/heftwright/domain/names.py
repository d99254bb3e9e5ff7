"""Names as people write them, and the plain forms by which they are found again."""

from __future__ import annotations

import re
import unicodedata

# Latin letters that Unicode does not take apart into a letter and a mark (NFKD leaves them whole).
_WHOLE_LETTERS = str.maketrans(
    {"ł": "l", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h",
     "ŋ": "ng", "ŧ": "t"}
)  # fmt: skip


def plain_letters(name: str) -> str:
    """A name in small letters without accents, single spaces: ``Zoë  Łoś`` is ``zoe los``.

    Letters of other scripts stay as they are (Unicode Standard Annex 15, form NFKD).
    """
    apart = unicodedata.normalize("NFKD", name.casefold().translate(_WHOLE_LETTERS))
    bare = "".join(ch for ch in apart if not unicodedata.combining(ch))
    return " ".join(bare.casefold().split())


def short_name(name: str) -> str:
    """A key for addresses out of a name: ``Łódź Barbell`` is ``lodz-barbell``.

    Empty when the name has no letter a–z and no digit 0–9 to make one from.
    """
    return re.sub(r"[^a-z0-9]+", "-", plain_letters(name)).strip("-")


def first_free(wanted: str, taken: frozenset[str]) -> str:
    """The key itself, or with the next number behind it that nobody has."""
    number, key = 1, wanted
    while key in taken:
        number += 1
        key = f"{wanted}-{number}"
    return key


def holds_words(name: str, words: str) -> bool:
    """Whether every word stands in the name, accents and case aside: ``mau tar``, Maud Tarrow."""
    plain = plain_letters(name)
    return bool(words.strip()) and all(word in plain for word in plain_letters(words).split())

"""Texts of unknown origin, made safe to show: on a terminal, a web page, in a table cell, as a file name."""

from __future__ import annotations

import html
import re
import unicodedata

LONGEST = 300
"""the most characters of such a text that are shown."""

_RESERVED = {"con", "prn", "aux", "nul"} | {f"{p}{n}" for p in ("com", "lpt") for n in range(1, 10)}


def one_line(text: object, longest: int = LONGEST) -> str:
    """Return one line without control characters, marks that turn the reading direction, or surrogates.

    >>> one_line("a\\x1b[31m b\\u202ec\\n d")
    'a [31m b c d'
    """
    shown = "".join(
        " " if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp") else c
        for c in str(text)[: longest * 4]
    )
    shown = " ".join(shown.split())
    return shown if len(shown) <= longest else shown[: longest - 1] + "…"


def for_html(text: object, longest: int = LONGEST) -> str:
    """Return text to stand between tags or in a quoted attribute.

    >>> for_html("<script>alert('x')</script>")
    '&lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt;'
    """
    return html.escape(one_line(text, longest), quote=True)


def for_cell(text: object, longest: int = 1000) -> str:
    """Return text for a CSV cell that no spreadsheet takes for a formula: an apostrophe goes before it.

    The signs are those of the OWASP page on CSV injection; numbers with a sign stay numbers.

    >>> for_cell("=1+1"), for_cell(" @SUM(A1)"), for_cell("-3.5"), for_cell("Ada")
    ("'=1+1", "'@SUM(A1)", '-3.5', 'Ada')
    """
    shown = one_line(text, longest)
    if re.fullmatch(r"[+-]?\d+(\.\d+)?", shown):
        return shown
    return "'" + shown if shown[:1] in ("=", "+", "-", "@", "|", "%", "＝", "＋", "－", "＠") else shown


def from_cell(text: str) -> str:
    """Return what an instructor wrote, without the apostrophe that `for_cell` put before it.

    >>> from_cell(for_cell("=late")), from_cell("'tis")
    ('=late', "'tis")
    """
    return text[1:] if text[:1] == "'" and for_cell(text[1:], len(text)) == text else text


def folded(name: object) -> str:
    """Return a name as it is compared: letters and digits only, no accents, small.

    >>> folded("Ada Lóvelace_07")
    'ada lovelace 07'
    """
    flat = unicodedata.normalize("NFKD", one_line(name))
    flat = "".join(c for c in flat if not unicodedata.combining(c)).casefold()
    return " ".join(re.findall(r"[^\W_]+", flat))


def file_stem(name: object) -> str:
    """Return a name that every file system takes, without paths, dots first, or reserved words.

    >>> file_stem("../../etc/passwd"), file_stem("CON"), file_stem("")
    ('etc-passwd', 'con-', 'student')
    """
    stem = folded(name).encode("ascii", "ignore").decode().strip().replace(" ", "-")[:60].strip("-")
    if stem in _RESERVED:
        stem += "-"
    return stem or "student"

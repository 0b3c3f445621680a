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


DEEPEST = 200
"""Lists and tables inside one another in a JSON text; a notebook has some ten."""
_BRACKET = re.compile(rb'"(?:[^"\\]+|\\.)*"?|[\[{]|[\]}]', re.DOTALL)


def too_deep(data: bytes, most: int = DEEPEST) -> bool:
    """Whether a JSON text has more than `most` lists and tables inside one another.

    It is counted here, since how deep a reader of JSON can go differs from one process to the next.

    >>> too_deep(b"[" * 200 + b"]" * 200), too_deep(b"[" * 201), too_deep(b'"' + b"[" * 300 + b'"')
    (False, True, False)
    """
    if data.count(b"[") + data.count(b"{") <= most:
        return False
    depth = 0
    for found in _BRACKET.finditer(data):
        sign = found[0]
        if sign in (b"[", b"{"):
            depth += 1
            if depth > most:
                return True
        elif sign in (b"]", b"}"):
            depth -= 1
    return False


def for_html(text: object, longest: int = LONGEST) -> str:
    """Return text to stand between tags or in a quoted attribute.

    >>> for_html("<script>alert('x')</script>")
    '&lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt;'
    """
    return html.escape(one_line(text, longest), quote=True)


_SIGNS = "=+\\-@|%＝＋－＠"
_BEGINS = re.compile(rf"(^|[;,|\t]\s*)(?=[{_SIGNS}])")
_SPOILT = re.compile(r"0\d+|\d{12,}|\d+[eE]\d+|\d{1,4}[-/]\d{1,2}([-/]\d{1,4})?|\d+\.\d+\.\d+")
"""What a spreadsheet changes when it saves: leading zeros, long numbers, powers of ten, dates."""


def for_cell(text: object, longest: int = 1000) -> str:
    """Return text for a CSV cell that no spreadsheet computes or changes: an apostrophe goes before it.

    The signs are those of the OWASP page on CSV injection, also where a `;` or `,` within the text would
    begin a cell of its own; numbers with a sign stay numbers, an id such as 007 stays as it is.

    >>> for_cell("=1+1"), for_cell(" @SUM(A1)"), for_cell("-3.5"), for_cell("Ada"), for_cell("007")
    ("'=1+1", "'@SUM(A1)", '-3.5', 'Ada', "'007")
    >>> for_cell("late; =1+1")
    "late; '=1+1"
    """
    shown = one_line(text, longest)
    if re.fullmatch(r"[+-]?(0|[1-9]\d{0,10})([.,]\d+)?", shown):
        return shown
    return "'" + shown if _SPOILT.fullmatch(shown) else _BEGINS.sub(r"\1'", shown)


def from_cell(text: str) -> str:
    """Return what an instructor wrote, without the apostrophes that `for_cell` put there.

    >>> from_cell(for_cell("=late; =ill")), from_cell("'tis"), from_cell("'007")
    ('=late; =ill', "'tis", '007')
    """
    bare = re.sub(rf"(^|[;,|\t]\s*)'(?=[{_SIGNS}])", r"\1", text)
    if text[:1] == "'" and _SPOILT.fullmatch(text[1:]):
        bare = text[1:]
    return bare if bare != text and for_cell(bare, 2 * len(text)) == text else text


def folded(name: object) -> str:
    """Return a name as it is compared: letters, their signs and digits only, small, no European accents.

    Signs that make another letter or syllable in other scripts stay.

    >>> folded("Ada Lóvelace_07")
    'ada lovelace 07'
    >>> folded("कि") == folded("कु")
    False
    """
    flat = unicodedata.normalize("NFKD", one_line(name))
    flat = "".join(c for c in flat if not "\u0300" <= c <= "\u036f").casefold()
    kept = (c if unicodedata.category(c)[0] in "LNM" else " " for c in flat)
    return unicodedata.normalize("NFC", " ".join("".join(kept).split()))


def file_stem(name: object) -> str:
    """Return a name that every file system takes, without paths, dots first, or reserved words.

    >>> file_stem("../../etc/passwd"), file_stem("CON"), file_stem("")
    ('etc-passwd', 'con-', 'student')
    """
    stem = folded(name).strip().replace(" ", "-").encode()[:90].decode(errors="ignore").strip("-")
    if stem in _RESERVED:
        stem += "-"
    return stem or "student"

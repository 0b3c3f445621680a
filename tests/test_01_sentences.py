"""Sentences that people meet have no words of code: refusals, findings, remarks, notices of boards and pages.

Read are texts of several words in Python, outside docstrings and outside code that is run elsewhere, and the
texts of the page's own code. The list is the project's own rule (DEVELOPERS.md, "Words").
"""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "patternlib"
WORDS = (
    r"None(?! of)", "NaN", "null", "undefined", "dict", "tuple", "float", "str", "int", "bool", "boolean",
    r"kernel(?!\.)", "JSON", "exception", "callback", "array", "traceback", "stdout", "stderr", "hash",
    "attribute", "iterable", "parser", "parse", "parsed", "runtime", "timeout", "API",
)  # fmt: skip
CODE = re.compile(rf"\b(?:{'|'.join(WORDS)})\b|(?<![\w.])[a-z]+_[a-z_]+\b(?!\s*=)|\b\w+\(\)|\w\(s\)")
"""Words of code; a name with `=` behind it is what the reader types on the command line or in her file."""
TYPED = {
    "Give a list of bodies, or use make().",
    "Read text with read_length first.",
    "Take the numbers from exercise.own_numbers(student), or name the student.",
    "Take the numbers from exercise.own_numbers(…).",
    "compare_with_rule: this is no sheet and no board. Write compare_with_rule(sheet), as in the cell above.",
    "module … has no attribute …",
    "…: '…' cannot be joined; see page_code.py for the forms it takes",
}
"""Sentences for who writes code herself, an answer or a script: she is told what to type."""
MADE = re.compile(
    r"^\s*(?:import|from|def|class|await|display|__import__|below, above)\b|[;{}]\s*$|^\s*<|<style>|-src "
    r"|%\(|\\w|\n\s+\w+ = |\(\[\^",
    re.M,
)
"""Texts that are code themselves: run elsewhere, styles, patterns; and what marks a place in an answer."""


def texts_of_python(source: str) -> list[str]:
    tree = ast.parse(source)
    passed = set()
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        for told in body if isinstance(body, list) else ():
            if isinstance(told, ast.Expr) and isinstance(told.value, ast.Constant):
                passed.add(id(told.value))  # a docstring
        if isinstance(node, ast.JoinedStr):
            passed |= {id(part) for part in node.values}
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = (p.value if isinstance(p, ast.Constant) else "…" for p in node.values)
            found.append("".join(map(str, parts)))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in passed:
            found.append(node.value)
    return found


def texts_of_page(source: str) -> list[str]:
    bare = re.sub(r"/\*.*?\*/|(?m:^\s*//[^\n]*$)", "", source, flags=re.DOTALL)
    texts = re.findall(r'"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`', bare)
    return [re.sub(r"\$\{[^}]*\}", "…", one or other) for one, other in texts]


def hits(texts: list[str]) -> list[str]:
    """Words of code in the sentences among some texts."""
    said = [t for t in texts if len(re.findall(r"[A-Za-z]{2,}", t)) >= 4 and " " in t and not MADE.search(t)]
    return [f"'{found[0]}' in: {text}" for text in said if text not in TYPED for found in CODE.finditer(text)]


@pytest.mark.parametrize(
    "path", [*ROOT.rglob("*.py"), *ROOT.rglob("*.js")], ids=lambda path: path.relative_to(ROOT).as_posix()
)
def test_sentences_have_no_words_of_code(path):
    read = texts_of_python if path.suffix == ".py" else texts_of_page
    assert not hits(read(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    ("read", "source", "seen"),
    [
        (texts_of_python, 'x = f"Take {a} cm of yoke_depth, not {b}."', 1),
        (texts_of_python, 'x = "a dict is not a length here"\n"""Read the JSON of it, a str."""', 1),
        (texts_of_python, 'x = "values such as yoke_depth=7.5 are given"', 0),
        (texts_of_page, '// the kernel of it all\nsay("The kernel is busy just now.");', 1),
        (texts_of_page, "say(`${n} file(s) were brought back.`);", 1),
    ],
)
def test_words_of_code_are_found(read, source, seen):
    assert len(hits(read(source))) == seen

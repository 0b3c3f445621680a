"""The steps of a table as lines of code, for those who like to write; they are read and never run.

>>> from patternlib.assess.tasks.record import StepTaken
>>> hem = StepTaken("centre back hem", "go", ("waist at centre back",), "skirt length", way="down")
>>> print(as_code([hem]))
step("centre back hem", "go", "waist at centre back", measure="skirt length", way="down")
>>> from_code(as_code([hem])) == (hem,)
True
"""

from __future__ import annotations

import ast
import json
from collections.abc import Iterable

import msgspec

from ...errors import PatternError, unknown
from ..tasks.record import StepTaken
from .verbs import VERBS

MOST_LETTERS = 60_000
_FIELDS = tuple(name for name in StepTaken.__struct_fields__ if name not in ("name", "verb", "of", "value"))
_KEYS = {verb.word: key for key, verb in VERBS.items()}
_MODEL = 'step("side hip", "go", "centre back hip", way="right", measure="hip girth / 4")'


def as_code(steps: Iterable[StepTaken]) -> str:
    """A line for each step: its name, its verb, what it is done with, then what else is filled in."""
    return "\n".join(map(_line, steps))


def _line(step: StepTaken) -> str:
    verb = VERBS[step.verb].word if step.verb in VERBS else step.verb
    parts = [_quoted(text) for text in (step.name, verb, *step.of)]
    plain = msgspec.to_builtins(step)
    parts += [f"{field}={_quoted(plain[field])}" for field in _FIELDS if field in plain]
    return f"step({', '.join(parts)})"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def from_code(text: str) -> tuple[StepTaken, ...]:
    """The steps that are written in lines of code. Raises PatternError, which names the line.

    >>> from_code("sheet.mark('A')")
    Traceback (most recent call last):
        ...
    patternlib.errors.PatternError: line 1 is no step. Write it as step("side hip", "go", "centre back hip", \
way="right", measure="hip girth / 4").
    """
    if len(text) > MOST_LETTERS:
        raise PatternError(f"this is longer than {MOST_LETTERS} letters. Write fewer steps.")
    try:
        lines = ast.parse(text).body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as fault:
        at = getattr(fault, "lineno", None) or 1
        raise PatternError(
            f"line {at} cannot be read: look for a quotation mark, a comma or a bracket that is missing."
        ) from None
    return tuple(_step(line) for line in lines)


def _step(line: ast.stmt) -> StepTaken:
    call = line.value if isinstance(line, ast.Expr) else None
    if not (isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "step"):
        raise PatternError(f"line {line.lineno} is no step. Write it as {_MODEL}.")
    given = [_text(arg, line) for arg in call.args]
    if len(given) < 2:
        raise PatternError(f"line {line.lineno}: a step has a name and a verb. Write it as {_MODEL}.")
    more = {}
    for word in call.keywords:
        if word.arg not in _FIELDS:
            raise unknown(f"part of a step in line {line.lineno}", word.arg or "**", _FIELDS)
        more[word.arg] = _text(word.value, line)
    name, verb, *of = given
    if verb not in _KEYS and verb not in VERBS:
        raise unknown(f"verb in line {line.lineno}", verb, _KEYS)
    plain = {"name": name, "verb": _KEYS.get(verb, verb), "of": of, **more}
    try:
        return msgspec.convert(plain, StepTaken)
    except msgspec.ValidationError as fault:
        raise PatternError(f"line {line.lineno} cannot be kept: {fault}.") from None


def _text(value: ast.expr, line: ast.stmt) -> str:
    if isinstance(value, ast.Constant) and isinstance(value.value, str):
        return value.value
    raise PatternError(f"line {line.lineno}: put each part into quotation marks, as in {_MODEL}.")

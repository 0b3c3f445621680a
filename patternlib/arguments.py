"""The parser of every command: one sentence says what is wrong."""

import argparse
import re
from pathlib import Path

PLAIN = (
    (r"argument ([^:]+): expected (?:one|at least one) argument", r"\1: nothing stands behind it."),
    (r"argument ([^:]+): invalid int value: (.*)", r"\1: \2 is not a whole number, such as 10."),
    (r"argument ([^:]+): invalid float value: (.*)", r"\1: \2 is not a number, such as 5."),
    (r"argument ([^:]+): invalid choice: (.*) \(choose from (.*)\)", r"\1: \2 is not known. There are: \3."),
    (r"argument ([^:]+): (.*?)\.?", r"\1: \2."),
    (r"the following arguments are required: (.*)", r"also needed: \1. See --help."),
    (r"unrecognized arguments: (.*)", r"not known here: \1. See --help."),
)
"""How Python's parser says what is wrong (argparse, 3.11 to 3.14), and how it is said to people."""


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence and ends with status 2; there are no shortened options."""

    def __init__(self, **how):
        super().__init__(allow_abbrev=False, **how)

    def error(self, message: str):
        self.exit(2, f"{self.prog}: {plainly(message)}\n")


def plainly(message: str) -> str:
    """A message of Python's parser in plain words, on one line.

    >>> plainly("argument --count: invalid int value: '1.5'")
    "--count: '1.5' is not a whole number, such as 10."
    """
    message = " ".join(message.split())
    for pattern, words in PLAIN:
        if found := re.fullmatch(pattern, message):
            return found.expand(words)
    return message


def named_file(text: str) -> str:
    """The name of a file or folder; an empty one is refused, as it would mean the folder one stands in."""
    if not text.strip():
        raise argparse.ArgumentTypeError("this is empty; name a file or a folder.")
    return text


def named_path(text: str) -> Path:
    """The same as a path."""
    return Path(named_file(text))


def student_id(text: str) -> str:
    """The id of a student: not empty, on one line."""
    if not text.strip() or not text.isprintable():
        raise argparse.ArgumentTypeError(
            "an id has letters or digits and stands on one line; write it as the class list has it."
        )
    return text

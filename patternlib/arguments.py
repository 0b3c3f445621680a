"""The parser of every command: one line says what is wrong."""

import argparse


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one line and ends with status 2; there are no shortened options."""

    def __init__(self, **how):
        super().__init__(allow_abbrev=False, **how)

    def error(self, message: str):
        self.exit(2, f"{self.prog}: {message}\n")

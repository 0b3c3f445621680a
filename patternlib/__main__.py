"""The command line: make a garment's files, mark a class, a student's own numbers, worksheets, portfolio."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from .arguments import Parser, named_file, student_id
from .errors import PatternError


def _parser() -> Parser:
    parser = Parser(prog="python -m patternlib", description="Draft, check and print sewing patterns.")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND", parser_class=Parser)
    _make_options(commands.add_parser("make", help="draft a garment and write its files"))
    commands.add_parser("assess", help="judge a class's notebooks (see assess --help)", add_help=False)

    own = commands.add_parser("numbers", help="show a student's own numbers: body and style")
    own.add_argument("student", type=student_id, help="the student's id")
    _key(own)
    own.set_defaults(run=_numbers)

    _printed_commands(commands)
    _other_commands(commands)
    return parser


def _printed_commands(commands: Any) -> None:
    """What is printed for a class: worksheets, hand-outs, drafts with a slip."""
    sheet = commands.add_parser("worksheet", help="make a worksheet of an exercise, to draw on paper")
    sheet.add_argument(
        "--student",
        type=student_id,
        required=True,
        metavar="ID",
        help="the id of the student whose numbers are used",
    )
    _key(sheet)
    _sheets(sheet)
    sheet.set_defaults(run=_worksheet)

    out = commands.add_parser("handouts", help="print the worksheets of all learners of a class in one PDF")
    out.add_argument(
        "--register", type=named_file, required=True, metavar="FILE.csv", help="the table of the class"
    )
    out.add_argument("--group", default="", help="this group only")
    _key(out, "for learners without a key in the table")
    _sheets(out)
    out.set_defaults(run=_handouts)

    slips = commands.add_parser(
        "slips", help="print drafts with a slip in each, to be found, and their answers"
    )
    slips.add_argument("lesson", help="a lesson with exercises, such as 02")
    slips.add_argument("--count", type=int, default=10, metavar="N", help="how many drafts (10)")
    slips.add_argument("--seed", default="", metavar="WORD", help="another word gives other drafts")
    _paper_and_file(slips)
    slips.set_defaults(run=_slips)


def _other_commands(commands: Any) -> None:
    """An exercise of one's own, a portfolio, the course as a page, running again."""
    own_work = commands.add_parser("exercise", help="make an exercise of your own, and try it")
    own_work.add_argument("id", help="its lesson and a letter from p to z, such as 02p")
    own_work.set_defaults(run=_exercise)

    folio = commands.add_parser("portfolio", help="put a learner's accepted drafts on one page")
    folio.add_argument(
        "folder",
        type=named_file,
        help="a folder, or a .zip, of the learner's notebooks; they are only read",
    )
    folio.add_argument(
        "--student",
        default="",
        metavar="ID",
        help="the student's id, if the notebooks are of several students",
    )
    _key(folio)
    folio.add_argument("--out", type=named_file, required=True, metavar="FILE.html", help="the file to write")
    folio.set_defaults(run=_portfolio)

    page = commands.add_parser("course-page", help="build the course as a page for any web server")
    page.add_argument(
        "--out",
        type=named_file,
        required=True,
        metavar="DIR",
        help="a new folder, or that of an earlier page",
    )
    page.set_defaults(run=_course_page)

    rerun = commands.add_parser(
        "prepare-rerun", help="fetch what assess --rerun needs where there is no bubblewrap (once, online)"
    )
    rerun.set_defaults(run=_prepare_rerun)


def _make_options(make: argparse.ArgumentParser) -> None:
    from .garments import garment_names

    make.add_argument("garment", help="one of: " + ", ".join(garment_names()))
    make.add_argument("--chart", default="course", help="size chart (default: course)")
    make.add_argument("--size", help="a size of the chart, such as 12")
    make.add_argument(
        "--body", type=named_file, metavar="FILE.toml", help="a file of your own measures instead of a size"
    )
    make.add_argument(
        "--changes",
        type=named_file,
        metavar="FILE.toml",
        help="the sheet of changes that was written at the fitting",
    )
    make.add_argument(
        "--set", nargs="+", action="extend", default=[], metavar="NAME=VALUE",
        help="style values, such as yoke_depth=7.5 or bib_height='9 1/2 in'",
    )  # fmt: skip
    make.add_argument(
        "--paper", nargs="+", default=["a4"], metavar="PAPER",
        help="for the PDF: a4, letter, a3, a0, or a roll such as roll=90 (cm); each paper gets its own file",
    )  # fmt: skip
    make.add_argument("--pieces", nargs="+", metavar="PIECE", help="print only these pieces (all)")
    make.add_argument("--layers", nargs="+", metavar="LAYER", help="print only these layers (all)")
    make.add_argument("--sizes", nargs="+", default=[], metavar="SIZE", help="draw a nest of these sizes too")
    make.add_argument("--cloth", default="150", metavar="WIDTH", help="width of the cloth, cm (150)")
    make.add_argument("--folded", action="store_true", help="lay the pieces on cloth folded lengthwise")
    make.add_argument(
        "--one-way", action="store_true", help="lay all heads one way, for nap or one-way prints"
    )
    make.add_argument(
        "--lay-seconds", type=float, default=0.0, metavar="S",
        help="seconds to look for a shorter lay (0: quick)",
    )  # fmt: skip
    make.add_argument(
        "--out", type=named_file, required=True, metavar="DIR",
        help="a folder for the files; it is made if it does not exist",
    )  # fmt: skip
    make.set_defaults(run=_make)


def _key(command: argparse.ArgumentParser, what: str = "the class's key") -> None:
    command.add_argument("--key", default="", metavar="CLASSKEY", help=what)


def _paper_and_file(command: argparse.ArgumentParser) -> None:
    command.add_argument("--paper", default="a4", help="a4, letter or a3 (a4)")
    command.add_argument(
        "--out", type=named_file, required=True, metavar="FILE.pdf", help="the file to write"
    )


def _sheets(command: argparse.ArgumentParser) -> None:
    """What can be said of worksheets, for one learner or for a class."""
    command.add_argument("exercise", help="an exercise, such as 02a, or a lesson with exercises, such as 02")
    command.add_argument("--scale", default="half", help="full, half, quarter or fifth (half)")
    _paper_and_file(command)
    command.add_argument(
        "--strips", action="store_true",
        help="strips for a draft on paper of one's own, to be photographed, in place of the grid",
    )  # fmt: skip
    command.add_argument(
        "--flags", action="store_true", help="also flags to lay on the points of a draft to be photographed"
    )


def _course_page(args: argparse.Namespace) -> int:
    from .course_page import build_page

    without = build_page(Path(args.out))
    if without:
        names = ", ".join(without)
        print(
            f"NOT IN THIS PAGE: {names}. They lie at the distribution of the browser's Python, out of reach "
            "from here. Checks and drawings that need them will say so. To have them, build the page "
            "on a computer that is online.",
            file=sys.stderr,
        )
    print(f"Put the folder {args.out} on a web server, as it is.")
    print(f"To try it on this computer: python -m http.server -b 127.0.0.1 -d {args.out}")
    return 0


def _prepare_rerun(args: argparse.Namespace) -> int:
    from .course_page.rerun_files import prepare_rerun

    without = prepare_rerun().without
    if without:
        print(
            f"It has no {', '.join(without)}, which could not be fetched from here. Notebooks whose code "
            "needs these cannot be run again; the column evidence says which.",
            file=sys.stderr,
        )
    print("Ready: assess --rerun now runs notebooks in the browser's Python where there is no bubblewrap.")
    return 0


def _numbers(args: argparse.Namespace) -> int:
    from .assess import numbers_for
    from .garments import style_values
    from .survey import measures

    numbers = numbers_for(args.student, args.key).numbers()
    labels = {value.name: value.label for value in style_values("pinafore")}
    print(f"{args.student}, in cm:")
    for name, value in numbers.items():
        what = "style" if name in labels else "body" if name in measures() else ""
        print(f"  {what:6} {name:22} {value:6.1f}" + (f"   {labels[name]}" if name in labels else ""))
    return 0


def _options(args: argparse.Namespace) -> dict[str, Any]:
    """What `_sheets` asks for."""
    return {name: getattr(args, name) for name in ("scale", "paper", "strips", "flags")}


def _printed(args: argparse.Namespace, what: str) -> str:
    """What is said of sheets that were made."""
    from .assess.project.levels import PROJECT

    if args.exercise == PROJECT:
        return f"{what}: the form of the project, and its criteria. Open {args.out}."
    test = "line" if args.strips else "square"
    return f"{what}. Print at 100 % and measure the test {test} first. Open {args.out}."


def _many(count: int, what: str) -> str:
    """'1 page', '2 pages'."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _worksheet(args: argparse.Namespace) -> int:
    from .assess.project.handouts import save_sheets

    pages = save_sheets(args.exercise, args.out, students=[(args.student, args.key)], **_options(args))
    print(_printed(args, _many(pages, "page")))
    return 0


def _handouts(args: argparse.Namespace) -> int:
    from .assess.project.handouts import save_handouts

    whose = {"register": args.register, "group": args.group, "key": args.key}
    learners, pages = save_handouts(args.exercise, args.out, **whose, **_options(args))
    print(_printed(args, f"{_many(pages, 'page')} for {_many(learners, 'learner')}"))
    return 0


def _slips(args: argparse.Namespace) -> int:
    from .assess.practice.printed import save_slips

    drafts, pages = save_slips(args.lesson, args.out, count=args.count, seed=args.seed, paper=args.paper)
    print(f"{_many(drafts, 'draft')} on {_many(pages, 'page')}; the answers come last. Open {args.out}.")
    return 0


def _exercise(args: argparse.Namespace) -> int:
    from .assess.own.command import exercise_command

    said, ready = exercise_command(args.id)
    print("\n".join(said))
    return 0 if ready else 1


def _portfolio(args: argparse.Namespace) -> int:
    from .assess.marking.portfolio import save_portfolio

    print(f"{save_portfolio(args.folder, args.out, student=args.student, key=args.key)} Open {args.out}.")
    return 0


def _progress(text: str) -> None:
    print(text, file=sys.stderr, flush=True)


def _silent(text: str) -> None:
    """Without a screen: a script reads what is printed at the end."""


def _make(args: argparse.Namespace) -> int:
    from .output.files import Wanted, write_files
    from .units import read_length

    wanted = Wanted(
        papers=args.paper,
        pieces=args.pieces,
        layers=args.layers,
        cloth_width=read_length(args.cloth, name="--cloth"),
        folded=args.folded,
        one_way=args.one_way,
        seconds=args.lay_seconds,
        sizes=args.sizes,
        chart_name=args.chart,
    )
    lines = write_files(
        args.garment,
        chart_name=args.chart,
        size=args.size,
        body_file=args.body,
        settings=args.set,
        changes_file=args.changes,
        out=args.out,
        wanted=wanted,
        say=_progress if sys.stderr.isatty() else _silent,
    )
    print("\n".join(lines))
    return 0


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line; gives the exit status: 0 done, 2 refused with a sentence.

    Where the reader of what is printed stops reading, as `head` does, the rest goes nowhere and all is well.
    """
    for stream in (sys.stdout, sys.stderr):  # Windows writes into a file what its old alphabets have
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        try:
            return _run(list(sys.argv[1:] if argv is None else argv))
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # or Python complains when it ends
        return 0


def _run(words: list[str]) -> int:
    if words[:1] == ["assess"]:
        from .assess.marking.command import assess_command

        return assess_command(words[1:])
    args = _parser().parse_args(words)
    try:
        return args.run(args)
    except PatternError as error:
        print(f"python -m patternlib {args.command}: {' '.join(str(error).split())}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())

"""The command line: make a garment's files, mark a class, a student's own numbers, worksheets, portfolio."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from .arguments import Parser
from .errors import PatternError


def _parser() -> Parser:
    from .garments import garment_names

    parser = Parser(prog="python -m patternlib", description="Draft, check and print sewing patterns.")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND", parser_class=Parser)
    make = commands.add_parser("make", help="draft a garment and write its files")
    make.add_argument("garment", help="one of: " + ", ".join(garment_names()))
    make.add_argument("--chart", default="course", help="size chart (default: course)")
    make.add_argument("--size", help="a size of the chart, such as 12")
    make.add_argument("--body", metavar="FILE.toml", help="a file of your own measures instead of a size")
    make.add_argument(
        "--changes", metavar="FILE.toml", help="the sheet of changes that was written at the fitting"
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
        "--lay-seconds",
        type=float,
        default=0.0,
        metavar="S",
        help="seconds to look for a shorter lay (0: quick)",
    )
    make.add_argument(
        "--out", required=True, metavar="DIR", help="a folder for the files; it is made if it does not exist"
    )
    make.set_defaults(run=_make)
    commands.add_parser("assess", help="judge a class's notebooks (see assess --help)", add_help=False)
    own = commands.add_parser("numbers", help="show a student's own numbers: body and style")
    own.add_argument("student", help="the student's id")
    own.add_argument("--key", default="", metavar="CLASSKEY", help="the class's key")
    own.set_defaults(run=_numbers)
    sheet = commands.add_parser("worksheet", help="make a worksheet of an exercise, to draw on paper")
    sheet.add_argument("exercise", help="an exercise, such as 02a, or a lesson with exercises, such as 02")
    sheet.add_argument(
        "--student", required=True, metavar="ID", help="the id of the student whose numbers are used"
    )
    sheet.add_argument("--key", default="", metavar="CLASSKEY", help="the class's key")
    sheet.add_argument("--scale", default="half", help="full, half, quarter or fifth (half)")
    sheet.add_argument("--paper", default="a4", help="a4, letter or a3 (a4)")
    sheet.add_argument("--out", required=True, metavar="FILE.pdf", help="the file to write")
    _for_photographs(sheet)
    sheet.set_defaults(run=_worksheet)
    out = commands.add_parser("handouts", help="print the worksheets of all learners of a class in one PDF")
    out.add_argument("exercise", help="an exercise, such as 02a, or a lesson with exercises, such as 02")
    out.add_argument("--register", required=True, metavar="FILE.csv", help="the table of the class")
    out.add_argument("--group", default="", help="this group only")
    out.add_argument("--key", default="", metavar="CLASSKEY", help="for learners without a key in the table")
    out.add_argument("--scale", default="half", help="full, half, quarter or fifth (half)")
    out.add_argument("--paper", default="a4", help="a4, letter or a3 (a4)")
    out.add_argument("--out", required=True, metavar="FILE.pdf", help="the file to write")
    _for_photographs(out)
    out.set_defaults(run=_handouts)
    slips = commands.add_parser(
        "slips", help="print drafts with a slip in each, to be found, and their answers"
    )
    slips.add_argument("lesson", help="a lesson with exercises, such as 02")
    slips.add_argument("--count", type=int, default=10, metavar="N", help="how many drafts (10)")
    slips.add_argument("--seed", default="", metavar="WORD", help="another word gives other drafts")
    slips.add_argument("--paper", default="a4", help="a4, letter or a3 (a4)")
    slips.add_argument("--out", required=True, metavar="FILE.pdf", help="the file to write")
    slips.set_defaults(run=_slips)
    own_work = commands.add_parser("exercise", help="make an exercise of your own, and try it")
    own_work.add_argument("id", help="its lesson and a letter from p to z, such as 02p")
    own_work.set_defaults(run=_exercise)
    folio = commands.add_parser("portfolio", help="put a learner's accepted drafts on one page")
    folio.add_argument("folder", help="a folder, or a .zip, of the learner's notebooks; they are only read")
    folio.add_argument(
        "--student",
        default="",
        metavar="ID",
        help="the student's id, if the notebooks are of several students",
    )
    folio.add_argument("--key", default="", metavar="CLASSKEY", help="the class's key")
    folio.add_argument("--out", required=True, metavar="FILE.html", help="the file to write")
    folio.set_defaults(run=_portfolio)
    page = commands.add_parser("course-page", help="build the course as a page for any web server")
    page.add_argument("--out", required=True, metavar="DIR", help="a new folder, or that of an earlier page")
    page.set_defaults(run=_course_page)
    return parser


def _for_photographs(sheet: argparse.ArgumentParser) -> None:
    sheet.add_argument(
        "--strips", action="store_true",
        help="strips for a draft on paper of one's own, to be photographed, in place of the grid",
    )  # fmt: skip
    sheet.add_argument(
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


def _worksheet(args: argparse.Namespace) -> int:
    from .assess.answers.strips_and_flags import nothing_to_photograph
    from .assess.answers.worksheet import save_worksheet
    from .assess.project.levels import PROJECT
    from .assess.project.printed import save_project_forms

    if args.exercise == PROJECT and (args.strips or args.flags):
        raise nothing_to_photograph(f"lesson {PROJECT}")
    if args.exercise == PROJECT:
        pages = save_project_forms(args.out, students=[args.student], paper=args.paper)
        print(f"{pages} pages: the form of the project, and its criteria. Open {args.out}.")
        return 0
    pages = save_worksheet(
        args.exercise,
        args.out,
        student=args.student,
        key=args.key,
        scale=args.scale,
        paper=args.paper,
        strips=args.strips,
        flags=args.flags,
    )
    test = "line" if args.strips else "square"
    print(f"{pages} pages. Print at 100 % and measure the test {test} first. Open {args.out}.")
    return 0


def _handouts(args: argparse.Namespace) -> int:
    from .assess.project.handouts import save_handouts

    learners, pages = save_handouts(
        args.exercise, args.out, register=args.register, group=args.group, key=args.key, scale=args.scale,
        paper=args.paper, strips=args.strips, flags=args.flags,
    )  # fmt: skip
    print(
        f"{pages} pages for {learners} learners. Print at 100 % and measure a test square. Open {args.out}."
    )
    return 0


def _slips(args: argparse.Namespace) -> int:
    from .assess.practice.printed import save_slips

    drafts, pages = save_slips(args.lesson, args.out, count=args.count, seed=args.seed, paper=args.paper)
    print(f"{drafts} drafts on {pages} pages; the answers come last. Open {args.out}.")
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

"""What `sheet` and `pack` both let a teacher choose."""

from __future__ import annotations

from reedwright.cli.parser import Parser

PAPERS, TABS = ("a4", "letter"), ("signs", "arrows", "letters")


def add_choices(parser: Parser) -> None:
    """Add paper and kind of tab to a command."""
    paper = parser.add_argument("--paper", choices=PAPERS, default="a4", help="paper size (a4)")
    tab = parser.add_argument("--tab", choices=TABS, default="signs", help="-4, ↓4 or 4d (signs)")
    parser.complete(paper, PAPERS)
    parser.complete(tab, TABS)

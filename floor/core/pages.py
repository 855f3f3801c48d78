"""A page to hand over: a title, parts with short tables, cautions; as plain text, as Markdown, as one HTML page."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from textwrap import wrap

WIDTH = 80
"""Letters in a line of the text."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a page: a heading, rows of cells (all as long as `head`, or none), then lines."""

    heading: str
    head: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Page:
    """The whole page. `about` stands under the title, `cautions` at the end."""

    title: str
    about: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    cautions: tuple[str, ...] = ()


# --- as text


def as_text(page: Page) -> str:
    """The page as plain text, WIDTH letters wide."""
    out = [*_wrapped(page.title), *(line for about in page.about for line in _wrapped(about))]
    for part in page.parts:
        out += ["", "-" * WIDTH, *_wrapped(part.heading)]
        wide = [max(len(row[n]) for row in part.rows) for n in range(len(part.head))] if part.rows else []
        for row in part.rows:
            cells = [cell.ljust(width) for cell, width in zip(row, wide, strict=True)]
            out += _wrapped("  ".join(["", *cells]), "      ")
        out += [line for words in part.lines for line in _wrapped(words, "    ", "  ")]
    if page.cautions:
        out += ["", "-" * WIDTH, *(line for words in page.cautions for line in _wrapped(f"! {words}", "  "))]
    return "\n".join(line.rstrip() for line in out) + "\n"


def _wrapped(words: str, after: str = "", before: str = "") -> list[str]:
    """Lines of at most WIDTH; leading blanks of `words` are kept on the first."""
    lead = " " * (len(words) - len(words.lstrip()))
    lines = wrap(words.lstrip(), WIDTH, initial_indent=before + lead, subsequent_indent=after, drop_whitespace=True)
    return lines or [""]


# --- as Markdown

_MARKS = re.compile(r"([\\`*_{}\[\]<>#|~])")


def plain(words: str) -> str:
    """Words that Markdown will not take for its own marks, on one line."""
    return _MARKS.sub(r"\\\1", " ".join(words.split()))


def as_markdown(page: Page) -> str:
    """The page as Markdown: headings, tables, lists."""
    out = [f"# {plain(page.title)}", ""]
    out += [f"{plain(about)}  " for about in page.about]
    for part in page.parts:
        out += ["", f"## {plain(part.heading)}", ""]
        if part.rows:
            out += [_cells(part.head), _cells(["---"] * len(part.head))]
            out += [*(_cells([plain(cell) for cell in row]) for row in part.rows), ""]
        out += [f"- {plain(line)}" for line in part.lines]
    if page.cautions:
        out += ["", "## Cautions", "", *(f"- {plain(caution)}" for caution in page.cautions)]
    return "\n".join(out).rstrip() + "\n"


def _cells(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


# --- as one HTML page

STYLE = (
    "@page{size:A4;margin:1.2cm}"
    "body{font:12pt/1.4 sans-serif;margin:1.2cm auto;max-width:18cm;color:#000;background:#fff}"
    "h1{font-size:18pt;margin:0 0 .2em}h2{font-size:13pt;margin:1em 0 .2em;border-top:2px solid #000;padding-top:.3em}"
    "section{break-inside:avoid-page}p{margin:.2em 0}ul{margin:.3em 0;padding-left:1.2em}"
    "table{border-collapse:collapse;width:100%}td,th{border-bottom:1px solid #999;padding:.2em .5em;text-align:left}"
    "td:nth-child(2){font-weight:bold;white-space:nowrap}"
    ".care{border:2px solid #000;padding:.3em .8em;margin-top:1.2em}"
    "@media print{body{margin:0;font-size:10pt;line-height:1.25}h1{font-size:15pt}h2{font-size:11pt;margin-top:.6em}"
    "td,th{padding:.1em .5em}.care{font-size:9pt;margin-top:.8em}.care ul{columns:2}}"
)


def as_html(page: Page) -> str:
    """The page as one HTML document that needs nothing else: no script, no network."""
    out = [
        '<!doctype html><html lang="en"><head><meta charset="utf-8">',
        f"<title>{escape(page.title)}</title><style>{STYLE}</style></head><body>",
        f"<h1>{escape(page.title)}</h1>",
        *(f"<p>{escape(about)}</p>" for about in page.about),
    ]
    for part in page.parts:
        out.append(f"<section><h2>{escape(part.heading)}</h2>")
        if part.rows:
            head = "".join(f"<th>{escape(cell)}</th>" for cell in part.head)
            rows = ["".join(f"<td>{escape(cell)}</td>" for cell in row) for row in part.rows]
            out.append(f"<table><tr>{head}</tr>{''.join(f'<tr>{row}</tr>' for row in rows)}</table>")
        out += [f"<p>{escape(line)}</p>" for line in part.lines]
        out.append("</section>")
    if page.cautions:
        items = "".join(f"<li>{escape(caution)}</li>" for caution in page.cautions)
        out.append(f'<section class="care"><b>Cautions</b><ul>{items}</ul></section>')
    out.append("</body></html>")
    return "\n".join(out) + "\n"

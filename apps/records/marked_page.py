"""Puts what is made from the code between two marks of a page that is written by hand."""

from __future__ import annotations


def renewed(page: str, name: str, text: str, *, what: str) -> str:
    """Give the page with one part made anew.

    Parameters
    ----------
    page : str
        Text with a `<!-- begin NAME -->` and an `<!-- end NAME -->` line.
    name : str
        Name of the part.
    text : str
        What is to stand between the two lines, with a blank line on either side.
    what : str
        What the part holds, for the sentence of the error.

    Raises
    ------
    ValueError
        The page has no such marks.
    """
    begin, end = f"<!-- begin {name} -->\n", f"<!-- end {name} -->"
    before, begin_mark, rest = page.partition(begin)
    _, end_mark, after = rest.partition(end)
    if not (begin_mark and end_mark):
        raise ValueError(f"The page has no marks for the {what}; add them.")
    return f"{before}{begin}\n{text}\n{end}{after}"

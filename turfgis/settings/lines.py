"""Where a key stands in a TOML file, so that a message can name the line."""

import re

_TABLE = re.compile(r"^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(r"""^\s*("[^"]*"|'[^']*'|[A-Za-z0-9_-]+(?:\s*\.\s*[A-Za-z0-9_-]+)*)\s*=""")


def key_lines(text: str) -> dict[tuple, int]:
    """
    Line of every table and every key that starts a line.

    Parameters
    ----------
    text
        A TOML file.

    Returns
    -------
    Path of keys, with the place of an entry in a list of tables -> line, counted from 1.

    Examples
    --------
    >>> key_lines(chr(10).join(["name = 'A'", "[[job]]", "work = 'mow'"]))
    {('name',): 1, ('job', 0): 2, ('job', 0, 'work'): 3}
    """
    lines: dict[tuple, int] = {}
    count: dict[tuple, int] = {}
    table: tuple = ()
    for number, line in enumerate(text.splitlines(), start=1):
        found = _TABLE.match(line)
        if found:
            table = _parts(found.group(2))
            if found.group(1) == "[[":
                place = count.get(table, 0)
                count[table] = place + 1
                table = (*table, place)
            lines.setdefault(table, number)
            continue
        found = _KEY.match(line)
        if found:
            lines.setdefault((*table, *_parts(found.group(1))), number)
    return lines


def line_of(lines: dict[tuple, int], path: tuple) -> int | None:
    """The line of a key, or of the first thing in it, or the same for the nearest table around it."""
    for length in range(len(path), 0, -1):
        within = [line for key, line in lines.items() if key[:length] == path[:length]]
        if within:
            return lines.get(path[:length], min(within))
    return None


def _parts(name: str) -> tuple[str, ...]:
    return tuple(part.strip().strip("\"'") for part in re.findall(r""""[^"]*"|'[^']*'|[^.]+""", name))

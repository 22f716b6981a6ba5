"""A sentence in lines of a width, by cells and not by characters."""

from rich.cells import cell_len, set_cell_size


def wrap(text: str, width: int, most: int | None = None) -> list[str]:
    """Lines no wider than `width` cells; past `most` lines the rest is cut and marked with `…`."""
    if width < 1 or not text:
        return []
    lines = [""]
    for word in text.split(" "):
        lines.extend(_placed(lines.pop(), word, width))
    if most is None or len(lines) <= most:
        return lines
    last = set_cell_size(f"{lines[most - 1]} ", min(width - 1, cell_len(lines[most - 1])))
    return [*lines[: most - 1], f"{last}…"]


def _placed(line: str, word: str, width: int) -> list[str]:
    """The word put after the line, in as many lines as that takes."""
    together = f"{line} {word}" if line else word
    if cell_len(together) <= width:
        return [together]
    done = [line] if line else []
    while cell_len(word) > width:
        taken = len(word)
        while taken > 1 and cell_len(word[:taken]) > width:
            taken -= 1
        done.append(word[:taken])
        word = word[taken:]
    return [*done, word]

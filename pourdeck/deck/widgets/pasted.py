"""What becomes of pasted text: trimmed, without its control bytes and said so, or refused whole."""

import re

from attrs import frozen

from pourdeck.plan.numbers import LENGTH_LETTERS, refuse_characters

_PASTE_MARKS = re.compile(r"\x1b?\[20[01]~")
_LINE_BREAKS = re.compile(r"\r\n|[\r\n\v\f\x85\u2028\u2029]")


@frozen
class Pasted:
    """`text` to put in, None: nothing. `notice` for the person, empty: nothing to say."""

    text: str | None
    notice: str


def into_number(raw: str, letters: str = LENGTH_LETTERS) -> Pasted:
    """One value of figures and of the letters that its units are made of, or a refusal."""
    clean, left_out = _without_controls(raw)
    lines = [line for line in _LINE_BREAKS.split(clean) if line.strip()]
    if len(lines) > 1:
        return Pasted(None, f"{len(lines)} lines pasted; this takes one value. Nothing was put in.")
    if "\t" in clean:
        return Pasted(None, "Several columns pasted; this takes one value. Nothing was put in.")
    if not clean:
        return Pasted(None, "Nothing to put in was pasted." + _said(left_out))
    if fault := refuse_characters(clean, letters=letters):
        return Pasted(None, f"{fault.title}. Nothing was put in.{_said(left_out)}")
    return Pasted(clean, _said(left_out).strip())


def into_text(raw: str) -> Pasted:
    """One line of text: line breaks and tabs as spaces, what does not print left out."""
    clean, left_out = _without_controls(raw)
    one_line = _LINE_BREAKS.sub(" ", clean).replace("\t", " ")
    spaced = "".join(" " if c.isspace() else c for c in one_line)
    text = "".join(c for c in spaced if c.isprintable())
    left_out += len(one_line) - len(text)
    notice = _said(left_out)
    if _LINE_BREAKS.search(clean):
        notice = f"Line breaks were put in as spaces.{notice}"
    if not text:
        return Pasted(None, f"Nothing to put in was pasted.{notice}")
    return Pasted(text, notice.strip())


def _without_controls(raw: str) -> tuple[str, int]:
    unmarked, marks = _PASTE_MARKS.subn("", raw)
    kept = "".join(c for c in unmarked if c in "\t\r\n\v\f\x85" or not _is_control(c))
    return kept.strip(" \t\r\n"), marks + len(unmarked) - len(kept)


def _is_control(character: str) -> bool:
    return ord(character) < 0x20 or 0x7F <= ord(character) < 0xA0


def _said(left_out: int) -> str:
    if not left_out:
        return ""
    return f" {left_out} control character{'s were' if left_out > 1 else ' was'} left out."

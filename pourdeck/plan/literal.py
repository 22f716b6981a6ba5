"""Text that people typed, made harmless: for any terminal or table, and for a file name."""

import re

_PLAIN_SPACES = "Zs"
_NAME_LENGTH = 80
_HASH_LENGTH = 10
_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")
_LOOKS_HASHED = re.compile(rf"-[0-9a-f]{{{_HASH_LENGTH}}}\Z")
_DEVICES = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?\Z", re.IGNORECASE)


def literal(text: str) -> str:
    r"""The text with all that does not print shown as an escape such as `\x1b` or `\u202e`.

    That is control, bidirectional and zero-width characters, line breaks, unpaired surrogates, and
    code points without an agreed look. The rest stays as typed, markup too: it is for the screen to
    show the result as it stands.
    """
    if text.isprintable():
        return text
    return "".join(char if _shows(char) else _escape(char) for char in text)


def file_name(*parts: str) -> str:
    """A file name for `parts`, joined by hyphens: `[A-Za-z0-9._-]`, at most 80 characters.

    Good on every common file system: no reserved device name, no leading or trailing dot, never
    empty. Where anything had to be changed, or a hyphen in a part makes the join ambiguous, a short
    hash of the parts ends the name, so that two different lists of parts never meet in one file.
    They may still differ in nothing but capitals, as the parts themselves may.
    """
    plain = "-".join(parts)
    ambiguous = any("-" in part for part in parts[:-1])
    safe = _UNSAFE.sub("_", plain).strip(".")
    fits = safe == plain and 0 < len(safe) <= _NAME_LENGTH
    if fits and not (ambiguous or _DEVICES.match(safe) or _LOOKS_HASHED.search(safe)):
        return safe
    kept = f"_{safe}" if _DEVICES.match(safe) else safe or "name"
    kept = kept[: _NAME_LENGTH - _HASH_LENGTH - 1].rstrip(".")
    return f"{kept}-{_hash(parts)}"


def _shows(char: str) -> bool:
    # Loaded only when a text needs it: nearly none does.
    from unicodedata import category

    return char.isprintable() or category(char) == _PLAIN_SPACES


def _escape(char: str) -> str:
    code = ord(char)
    if code < 0x100:
        return {9: r"\t", 10: r"\n", 13: r"\r"}.get(code, f"\\x{code:02x}")
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _hash(parts: tuple[str, ...]) -> str:
    from hashlib import sha256

    # A length before each part, so that ("a", "b") and ("a-b",) differ.
    whole = b"".join(
        b"%d:%b" % (len(raw), raw)
        for raw in (part.encode("utf-8", "surrogatepass") for part in parts)
    )
    return sha256(whole).hexdigest()[:_HASH_LENGTH]

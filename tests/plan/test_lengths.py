"""The grammar of lengths: a table, an independent reading of it, and the way there and back."""

import re
from decimal import Decimal, getcontext, localcontext
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.lengths import (
    NotALength,
    format_exact,
    format_length,
    parse_length,
    parse_rl,
    typed_in_other_unit,
)
from pourdeck.plan.records import Units
from tests.campaign import some

INCH = Fraction(254, 10)  # exactly, NIST Special Publication 811 (2008), appendix B.8

# What is typed, in a metric job, in an imperial job: mm, or None where it is refused.
TABLE: tuple[tuple[str, str | None, str | None], ...] = (
    ("7200", "7200", "182880"),
    ("7200 mm", "7200", "7200"),
    ("7200mm", "7200", "7200"),
    ("  7200  mm  ", "7200", "7200"),
    ("7.2 m", "7200", "7200"),
    ("7,2m", "7200", "7200"),
    ("7.200 m", "7200", "7200"),
    ("1,234 m", "1234", "1234"),
    ("0.1 m", "100", "100"),
    ("0.1", "0.1", "2.54"),
    ("1,5", "1.5", "38.1"),
    ("7200,25", "7200.25", "182886.35"),
    ("0", "0", "0"),
    ("007", "7", "177.8"),
    ("0.1250 mm", "0.125", "0.125"),
    ("23' 7-1/2\"", "7200.9", "7200.9"),
    ("23'-7 1/2\"", "7200.9", "7200.9"),
    ("23' - 7 1/2\"", "7200.9", "7200.9"),
    ("23'7-1/2\"", "7200.9", "7200.9"),
    ("23 ft 7 1/2 in", "7200.9", "7200.9"),
    ("23ft7.5in", "7200.9", "7200.9"),
    ("283.5in", "7200.9", "7200.9"),
    ("283,5 in", "7200.9", "7200.9"),
    ("283 1/2", None, "7200.9"),
    ("283-1/2", None, "7200.9"),
    ("1/2", None, "12.7"),
    ("1/2\"", "12.7", "12.7"),
    ("7-1/2\"", "190.5", "190.5"),
    ("7  1/2\"", "190.5", "190.5"),
    ("1/16\"", "1.5875", "1.5875"),
    ("63/64 in", "25.003125", "25.003125"),
    ("2/4\"", "12.7", "12.7"),
    ("5'", "1524", "1524"),
    ("5' 0\"", "1524", "1524"),
    ("5 ft", "1524", "1524"),
    ("5.5'", "1676.4", "1676.4"),
    ("5' 1/2\"", "1536.7", "1536.7"),
    ("5' 11.9375\"", "1827.2125", "1827.2125"),
    ("999999999999999", "999999999999999", "25399999999999974.6"),
    ("1000000000000000", None, None),
    ("1.234", None, "31.3436"),
    ("1,234", None, None),
    ("0.125", None, "3.175"),
    ("7.125", None, "180.975"),
    ("7.125\"", "180.975", "180.975"),
    ("1.234 in", "31.3436", "31.3436"),
    ("1,234 in", None, None),
    ("5' 7.125\"", "1704.975", "1704.975"),
    ("5' 7,125\"", None, None),
    ("100.125 ft", "30518.1", "30518.1"),
    ("1,234 ft", None, None),
    ("1.234 mm", None, None),
    ("1.2.3", None, None),
    ("1,2,3", None, None),
    ("1.234,5", None, None),
    (".5", None, None),
    ("5.", None, None),
    ("5. mm", None, None),
    (".", None, None),
    ("１２", None, None),
    ("٣", None, None),
    ("½", None, None),
    ("-0", None, None),
    ("-5", None, None),
    ("+5", None, None),
    ("--5", None, None),
    ("5-", None, None),
    ("1e5", None, None),
    ("1E5", None, None),
    ("1_0", None, None),
    ("\u22125", None, None),
    ("7\u00a0200", None, None),
    ("7200\u00a0mm", None, None),
    ("\u00a07200", None, None),
    ("7200\n", None, None),
    ("\t7200", None, None),
    ("1 000", None, None),
    ("1'000", None, None),
    ("23\u2019 7\u201d", None, None),
    ("", None, None),
    ("   ", None, None),
    ("m", None, None),
    ("mm 5", None, None),
    ("7.2 cm", None, None),
    ("7 M", None, None),
    ("7 MM", None, None),
    ("7 km", None, None),
    ("7 m m", None, None),
    ("nan", None, None),
    ("inf", None, None),
    ("0x10", None, None),
    ("5' 6", None, None),
    ("5' 12\"", None, None),
    ("5.5' 3\"", None, None),
    ("5' 3' 2\"", None, None),
    ("5 m 3 mm", None, None),
    ("1/2'", None, None),
    ("7 1/2'", None, None),
    ("1/3\"", None, None),
    ("4/4\"", None, None),
    ("0/4\"", None, None),
    ("9/8\"", None, None),
    ("1/128\"", None, None),
    ("7.5-1/2\"", None, None),
    ("7 - 1/2\"", None, None),
    ("1/2/4\"", None, None),
    ("5''", None, None),
    ("~5\"", None, None),
    ("[/x] [A-1] [Foo] [", None, None),
    ("\x1b[31m5", None, None),
    ("1" * 5000, None, None),
)  # fmt: skip


@pytest.mark.parametrize(("text", "metric", "imperial"), TABLE)
def test_what_is_read_and_what_is_refused(
    text: str, metric: str | None, imperial: str | None
) -> None:
    assert _read(text, "metric") == (None if metric is None else Decimal(metric))
    assert _read(text, "imperial") == (None if imperial is None else Decimal(imperial))


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("-5", "-5"),
        ("+5", "5"),
        (" -7.2 m", "-7200"),
        ("-1' 2\"", "-355.6"),
        ('-7-1/2"', "-190.5"),
        ("--5", None),
        ("+-5", None),
        ("- 5", None),
        ("-", None),
        ("1' -2\"", None),
        ("\u22125", None),
    ],
)
def test_a_sign_where_one_is_wanted(text: str, mm: str | None) -> None:
    assert _read(text, "metric", signed=True) == (None if mm is None else Decimal(mm))


def test_minus_nothing_is_nothing() -> None:
    assert str(parse_length("-0", "metric", signed=True)) == "0"
    assert str(parse_length('-0.0"', "metric", signed=True)) == "0"


def test_one_value_is_written_one_way() -> None:
    written = {
        str(parse_length(text, "metric")) for text in ("7200", "7200.00", "7.2 m", "07200,0")
    }
    assert written == {"7200"}


@pytest.mark.parametrize(
    ("text", "units", "words"),
    [
        ("1.234", "metric", ("1234", "1.2340")),
        ("7,125", "imperial", ("7125 or 7.125:",)),
        (".5", "metric", ("0.5",)),
        ("5.", "metric", ("Write 5.",)),
        ("1.2.3", "metric", ("one decimal mark",)),
        ("1 000", "metric", ("space", "1000")),
        ("１２", "metric", ("0 to 9",)),
        ("\u22125", "metric", ("dash", "minus")),
        ("1\u00a0000", "metric", ("plain space",)),
        ("5\u2033", "imperial", ("curly", "straight")),
        ("1e5", "metric", ("powers of ten",)),
        ("1_0", "metric", ("underline",)),
        ("-5", "metric", ("below zero",)),
        ("5' 6", "imperial", ("5' 6\"",)),
        ("283 1/2", "metric", ('283 1/2"',)),
        ("5' 13\"", "imperial", ("under 12",)),
        ("7.5' 3\"", "imperial", ("whole feet",)),
        ("1/3", "imperial", ("64ths",)),
        ("7 cm", "metric", ("mm or m",)),
        ("7 MM", "metric", ("small letters",)),
        ("7 feet", "imperial", ("e has no place",)),
        ("", "metric", ("Nothing typed",)),
        ("1234567890123456", "metric", ("15 figures",)),
    ],
)
def test_a_refusal_says_what_why_and_what_instead(
    text: str, units: Units, words: tuple[str, ...]
) -> None:
    with pytest.raises(NotALength) as caught:
        parse_length(text, units)
    for word in words:
        assert word in str(caught.value)
    assert caught.value.title
    assert caught.value.body


@pytest.mark.parametrize(("text", "metric", "imperial"), [row for row in TABLE if row[1] is None])
def test_a_refusal_is_short_and_prints(text: str, metric: None, imperial: str | None) -> None:
    with pytest.raises(NotALength) as caught:
        parse_length(text, "metric")
    assert str(caught.value).replace("\u00a0", " ").isprintable()
    assert len(str(caught.value)) <= 160


# An independent reading: one regular expression, fractions for sums.
_NUM = r"\d+(?:[.,]\d+)?"
_REFERENCE = re.compile(
    rf"""\x20*(?P<sign>[+-]?)(?:
        (?P<mm>{_NUM})\x20*mm
      | (?P<m>{_NUM})\x20*m
      | (?P<bare>{_NUM})
      | (?P<feet>{_NUM})\x20*(?:'|ft)
      | (?:(?P<ft>\d+)\x20*(?:'|ft)(?:\x20*|-|\x20-\x20))?
        (?P<inch>{_NUM}|(?:\d+(?:-|\x20+))?\d+/\d+)\x20*(?:in|")
      | (?P<bareinch>(?:\d+(?:-|\x20+))?\d+/\d+)
    )\x20*""",
    re.VERBOSE | re.ASCII,
)


def _fraction_of(text: str, three: bool = False) -> Fraction | None:
    if "/" not in text:
        whole, _, decimals = text.replace(",", ".").partition(".")
        return None if len(decimals) == 3 and not three else Fraction(f"{whole}.{decimals or 0}")
    *whole_inches, share = re.split(r"[- ]+", text)
    top, bottom = map(int, share.split("/"))
    if bottom not in (2, 4, 8, 16, 32, 64) or not 0 < top < bottom:
        return None
    return Fraction(int(whole_inches[0]) if whole_inches else 0) + Fraction(top, bottom)


def _reference(text: str, units: Units, signed: bool) -> Fraction | None:
    match = _REFERENCE.fullmatch(text)
    if match is None or (match["sign"] and not signed):
        return None
    unit, typed = next(
        (name, match[name])
        for name in ("mm", "m", "bare", "feet", "inch", "bareinch")
        if match[name]
    )
    if unit == "bareinch" and units == "metric":
        return None
    in_feet = unit in ("feet", "inch") or (unit == "bare" and units == "imperial")
    number = _fraction_of(typed, three=unit == "m" or (in_feet and "," not in typed))
    if number is None or (match["ft"] and number >= 12):
        return None
    by_unit = {"mm": Fraction(1), "m": Fraction(1000), "feet": 12 * INCH}
    by_unit["bare"] = Fraction(1) if units == "metric" else INCH
    mm = number * by_unit.get(unit, INCH) + 12 * INCH * int(match["ft"] or 0)
    return -mm if match["sign"] == "-" else mm


_TYPED = "0123456789.,-+e_ '\""


@pytest.mark.campaign
@pytest.mark.parametrize(("units", "signed"), [("metric", False), ("imperial", True)])
def test_every_short_string_reads_as_the_reference_reads_it(units: Units, signed: bool) -> None:
    for length in range(5):
        for letters in some(list(product(_TYPED, repeat=length))):
            _agree("".join(letters), units, signed)


@pytest.mark.campaign
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_short_string_with_units_reads_as_the_reference_reads_it(units: Units) -> None:
    for letters in some(list(product("12.,- '\"/m", repeat=5))):
        _agree("".join(letters), units, units == "metric")


_PIECES = ["1", "23", "7", "11", "12", "0", "1/2", "3/16", "5/4", ".5", ",25", ".125"]
_PIECES += [" ", "  ", "-", " - ", "'", '"', "ft", "in", "mm", "m", "+", "e", "_"]


@given(
    st.lists(
        st.sampled_from(_PIECES),
        max_size=8,
    ).map("".join),
    st.sampled_from(["metric", "imperial"]),
    st.booleans(),
)
def test_longer_strings_read_as_the_reference_reads_them(
    text: str, units: Units, signed: bool
) -> None:
    _agree(text, units, signed)


@given(st.text(max_size=60), st.sampled_from(["metric", "imperial"]), st.booleans())
def test_any_text_is_read_or_refused(text: str, units: Units, signed: bool) -> None:
    _read(text, units, signed=signed)


def _agree(text: str, units: Units, signed: bool) -> None:
    read = _read(text, units, signed=signed)
    expected = _reference(text, units, signed)
    assert (read is None) == (expected is None), (text, read, expected)
    assert read is None or Fraction(read) == expected, (text, read, expected)


_MM = st.decimals(
    min_value=0, max_value=10**8, allow_nan=False, allow_infinity=False, places=6
) | st.decimals(min_value=0, max_value=10**5, allow_nan=False, allow_infinity=False, places=3)


@given(_MM, st.sampled_from(["metric", "imperial"]))
def test_there_and_back_metric_decimals(mm: Decimal, units: Units) -> None:
    assert parse_length(format_length(mm, "metric"), units) == mm
    assert parse_length(format_exact(mm, units), units) == mm


@given(st.integers(min_value=-(10**7), max_value=10**7), st.sampled_from(["metric", "imperial"]))
def test_there_and_back_sixteenths(sixteenths: int, units: Units) -> None:
    mm = Decimal(sixteenths) * Decimal("1.5875")
    shown = format_length(mm, "imperial")
    assert "~" not in shown
    assert parse_length(shown, units, signed=True) == mm


@given(st.integers(min_value=0, max_value=10**7))
def test_there_and_back_64ths_in_a_field(parts: int) -> None:
    mm = Decimal(parts) * Decimal("0.396875")
    shown = format_exact(mm, "imperial")
    assert "mm" not in shown
    assert parse_length(shown, "imperial") == mm


@given(
    st.integers(min_value=0, max_value=10**5),
    st.integers(min_value=0, max_value=11),
    st.integers(min_value=1, max_value=63),
)
def test_feet_and_inches_are_exact(feet: int, inches: int, parts: int) -> None:
    typed = f"{feet}' {inches}-{parts}/64\""
    exact = (12 * feet + inches + Fraction(parts, 64)) * INCH
    assert Fraction(parse_length(typed, "metric")) == exact


def test_sums_of_what_was_typed_are_exact() -> None:
    tenth, fifth = parse_length("0.1 m", "metric"), parse_length("0.2 m", "metric")
    assert tenth == 100
    assert tenth + fifth == parse_length("0.3 m", "metric")
    assert 16 * parse_length('1/16"', "metric") == Decimal("25.4")


def test_the_precision_set_by_others_does_not_matter() -> None:
    with localcontext() as context:
        context.prec = 3
        assert getcontext().prec == 3
        assert parse_length("7200.75 mm", "metric") == Decimal("7200.75")
        assert parse_length("23' 7-1/64\"", "imperial").is_finite()
        assert str(parse_length("23' 7-1/64\"", "imperial")) == "7188.596875"


@pytest.mark.parametrize(
    ("text", "metric", "imperial"),
    [
        ("7200", False, False),
        ("7200 mm", False, True),
        ("7.2m", True, True),
        ("7 m ", True, True),
        ("283.5in", True, False),
        ("5'", True, False),
        ("5 ft", True, False),
        ('1/2"', True, False),
        ("1/2", False, False),
        ("abc", False, False),
        ("", False, False),
    ],
)
def test_the_other_unit_is_noticed(text: str, metric: bool, imperial: bool) -> None:
    assert typed_in_other_unit(text, "metric") is metric
    assert typed_in_other_unit(text, "imperial") is imperial


@pytest.mark.parametrize(
    ("text", "units", "metres"),
    [
        ("42.955", "metric", "42.955"),
        ("42,955 m", "metric", "42.955"),
        ("-1.2", "metric", "-1.2"),
        ("140.928", "imperial", "42.9548544"),
        ("140.928 ft", "metric", "42.9548544"),
        ("100'", "imperial", "30.48"),
        ("42.955 m", "imperial", "42.955"),
        ("42955 mm", "metric", None),
        ("42.9.5", "metric", None),
        ("m", "metric", None),
        ("", "metric", None),
    ],
)
def test_heights_on_the_site_datum(text: str, units: Units, metres: str | None) -> None:
    if metres is None:
        with pytest.raises(NotALength):
            parse_rl(text, units)
    else:
        assert parse_rl(text, units) == Decimal(metres)


def _read(text: str, units: Units, *, signed: bool = False) -> Decimal | None:
    try:
        return parse_length(text, units, signed=signed)
    except NotALength:
        return None


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("7.2 cm", "centimetres are not used here"),
        ("7.2 M", "capital letters"),
        ("7.2 KM", "K has no place here"),
        ("m 5", "no figure in front"),
        ("'7", "no figure in front"),
        ("7 200", "a space inside a number"),
        ('1/2/4"', "not a fraction of an inch"),
        ('7 1/2 3"', "not a fraction of an inch"),
        ("7 in 3", "not a length"),
    ],
)
def test_what_is_no_length_is_told_by_its_nearest_reason(
    typed: str, reason: str, units: Units
) -> None:
    with pytest.raises(NotALength, match=rf"^{re.escape(f'{typed}: {reason}')}\. "):
        parse_length(typed, units)


@pytest.mark.parametrize(
    ("typed", "metric", "imperial"),
    [
        ("-7 mm", False, True),
        ("-7 in", True, False),
        ("-7", False, False),
        ("- 7 mm -", False, False),
    ],
)
def test_a_sign_does_not_hide_the_other_unit(typed: str, metric: bool, imperial: bool) -> None:
    assert typed_in_other_unit(typed, "metric") is metric
    assert typed_in_other_unit(typed, "imperial") is imperial


def test_a_height_is_read_to_a_billionth_of_a_metre_and_no_finer() -> None:
    assert parse_rl("1.123456789", "metric") == Decimal("1.123456789")
    with pytest.raises(NotALength, match="at most 9 decimals"):
        parse_rl("1.1234567891", "metric")

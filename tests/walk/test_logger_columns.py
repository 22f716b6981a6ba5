"""Tell what is a reading in a logger's file and what is not, and which column is the concrete's.

Layouts and headings are common practice, no source.
"""

from decimal import Decimal

import pytest

from pourdeck.walk.logger_cells import Given
from pourdeck.walk.logger_file import decoded
from tests.walk.logger_kit import minutes, question, read, refused, values

ROWS = "2026-11-25 14:00,21.5\n2026-11-25 14:10,21.75\n"
HEAD = "Time,Temp °C\n"


@pytest.mark.parametrize(
    "below",
    [
        "End of data\n", "Min: 12.1 Max: 40.2\n", "Min,12.1\nMax,40.2\nAverage,20.3\n", "Checksum: 0x3FA2\n",
        "CRC,9f3c\n", "\n\n--- end ---\n", "EOF", "# 2 readings\n", "Readings: 2\nBattery: 3.6 V\n",
        "Stopped: 2026-11-25 14:20\n", "=====\n", "2026-11-25 14:20,,Logger stopped\n", "Signature ab12,,\n",
    ],
)  # fmt: skip
def test_what_stands_below_the_readings_is_passed_over_and_said(below: str) -> None:
    found = read(HEAD + ROWS + below)
    assert minutes(found) == [0, 10]
    first = 4 + len(below) - len(below.lstrip("\n"))
    assert str(first) in " ".join(found.said)
    assert "passed over" in " ".join(found.said)
    assert found.over[0] == first


@pytest.mark.parametrize(
    ("line", "below"),
    [
        (4, "2026-11-25 14:20,ERR\n"), (4, "2026-11-25 14:2"), (4, "2026-11-25 14:20,\n"),
        (4, "yesterday,21.5\n"), (4, "21.5\n"), (4, "2026-11-25\n"), (4, "ERR,ERR\n"),
        (4, "End of data\n2026-11-25 14:20,21.5\n"), (5, "2026-11-25 14:20,21\nx,y\n2026-11-25 14:30,21\n"),
        (4, "# battery changed\n2026-11-25 14:20,21.5\n"), (4, "14:20,21.5\n"),
    ],
)  # fmt: skip
def test_a_bad_line_is_named_with_its_text_and_what_to_do(line: int, below: str) -> None:
    said = refused(HEAD + ROWS + below)
    assert said.startswith(f"Line {line}: ")
    assert below.splitlines()[line - 4][:12] in said
    assert "Put it right, or take the line out." in said
    assert "Nothing of the file was taken." in said


def test_a_first_reading_that_is_bad_is_no_heading() -> None:
    assert refused(HEAD + "2026-11-25 13:50,ERR\n" + ROWS).startswith("Line 2: ")
    assert refused(HEAD + "yesterday,20\n" + ROWS).startswith("Line 2: ")
    assert refused("2026-11-25 13:50,ERR\n" + ROWS).startswith("Line 1: ")


def test_lines_above_are_said_by_their_numbers() -> None:
    found = read("Logger X7\nSerial,2211\nStart time,2026-11-25 14:00\n\n" + HEAD + ROWS)
    assert "Lines 1 to 3 passed over" in " ".join(found.said)
    assert found.over == (1, 2, 3)


@pytest.mark.parametrize(
    "heading",
    [
        "Time,Ambient °C,Concrete °C", "Time,Air °C,Probe in concrete °C", "Time,Ch1 air °C,Ch2 slab °C",
        "Zeit,Luft °C,Beton °C", "Time,Shade °C,Panel W07 °C", "Time,Temp 1 °C,Concrete temp °C",
        "Fecha,Ambiente °C,Hormigón °C", "Time,Surface air °C,Core of slab °C",
        "Date Time,Temperature °C,Temperature concrete °C",
    ],
)  # fmt: skip
def test_the_column_of_the_concrete_is_taken_and_said(heading: str) -> None:
    found = read(f"{heading}\n2026-11-25 14:00,12.5,21.5\n2026-11-25 14:10,12,21.75\n")
    assert values(found) == [Decimal("21.5"), Decimal("21.75")]
    name = heading.split(",")[2]
    assert name in " ".join(found.said)


@pytest.mark.parametrize(
    "heading",
    [
        "Time,Ch1 °C,Ch2 °C",
        "Time,Concrete 1 °C,Concrete 2 °C",
        "Time,Temp 1,Temp 2",
        "Time,Value,Reading",
    ],
)
def test_columns_that_nothing_tells_apart_are_asked_for(heading: str) -> None:
    text = f"{heading}\n2026-11-25 14:00,12.5,21.5\n2026-11-25 14:10,12,21.75\n"
    found = question(text)
    assert found.about == "column"
    assert found.title.startswith("Line 1: ")
    for name in heading.split(",")[1:]:
        assert name in found.title
    assert [key for key, _ in found.choices] == ["2", "3"]
    for said in ("3", heading.split(",")[2], heading.split(",")[2].upper()):
        assert values(read(text, given=Given(column=said))) == [Decimal("21.5"), Decimal("21.75")]
    assert "no column" in refused(text, given=Given(column="Probe 9"))
    assert "no column" in refused(text, given=Given(column="1"))


def test_without_a_heading_columns_go_by_number() -> None:
    text = "2026-11-25 14:00;12.5;21.5\n2026-11-25 14:10;12;21.75\n"
    assert [key for key, _ in question(text).choices] == ["2", "3"]
    assert values(read(text, given=Given(column="3")))[0] == Decimal("21.5")


def test_the_air_alone_is_not_taken_for_concrete() -> None:
    text = "Time,Ambient temp °C\n2026-11-25 14:00,12.5\n"
    assert question(text).about == "column"
    assert values(read(text, given=Given(column="2"))) == [Decimal("12.5")]


@pytest.mark.parametrize(
    "text",
    [
        "No.;Time;Temp °C;Humidity %;Dew point °C;Battery V\n1;2026-11-25 14:00;21.5;60;13;3.6\n"
        "2;2026-11-25 14:10;21.75;60;13;3.6\n",
        "Time,Elapsed time,Temp °C\n2026-11-25 14:00,00:00:00,21.5\n2026-11-25 14:10,00:10:00,21.75\n",
        "Time,Panel,Sensor,Temp\n2026-11-25 14:00,7,3,21.5\n2026-11-25 14:10,7,3,21.75\n",
        "Time,High alarm °C,Temp °C\n2026-11-25 14:00,60,21.5\n2026-11-25 14:10,60,21.75\n",
        "Pvm;Arvo\n2026-11-25 14:00;21,5\n2026-11-25 14:10;21,75\n",
        "#;Datum/Uhrzeit;Messwert\n1;25.11.2026 14:00;21,5\n2;25.11.2026 14:10;21,75\n",
        '"TOA5","Station","X7"\n"TIMESTAMP","RECORD","Temp_Avg"\n"TS","RN","Deg C"\n"","","Avg"\n'
        '"2026-11-25 14:00:00",0,21.5\n"2026-11-25 14:10:00",1,21.75\n',
        '"Plot Title: P1"\n"#","Date Time, GMT+11:00","Temp, °C (LGR S/N: 1, SEN S/N: 1)","Stopped"\n'
        "1,11/25/26 02:00:00 PM,21.5,\n2,11/25/26 02:10:00 PM,21.75,\n3,11/25/26 02:11:00 PM,,Logged\n",
        "| Time | Temp °C |\n|------|------|\n| 2026-11-25 14:00 | 21.5 |\n| 2026-11-25 14:10 | 21,75 |\n",
        "Time    Temp °C\n2026-11-25 14:00   21.5\n2026-11-25 14:10   21,75\n",
        "Time Temp\n2026-11-25 14:00 21.5\n2026-11-25 14:10 21.75\n",
        "Time Temp of slab (F)\n2026-11-25 14:00 70.7\n2026-11-25 14:10 71.15\n",
        "2026-11-25 14:00 21.5 °C\n2026-11-25 14:10 21.75 °C\n",
        "Date Time Temp\n25/11/2026 2:00 PM 21,5\n25/11/2026 2:10 PM 21,75\n",
        "Time,Date,Temp °C\n14:00,2026-11-25,21.5\n14:10,2026-11-25,21.75\n",
        "sep=;\nTime;Temp °C\n2026-11-25 14:00;21,5\n2026-11-25 14:10;21,75\n",
        'Time,Temp °C\n"2026-11-25 14:00","21,5"\n"2026-11-25 14:10","21,75"\n',
        "Time,Temp °C\r\n\r\n2026-11-25 14:00,21.5\r\n,\r\n2026-11-25 14:10,21.75\r\n\r\n",
        "Time,Temp °C\r2026-11-25 14:00,21.5\r2026-11-25 14:10,21.75\r",
        "Time,Temp °C\n2026-11-25 14:00,21.5" + "," * 3000 + "\n2026-11-25 14:10,21.75" + "," * 3000 + "\n",
        "Time,Temp °C\n2026-11-25\u202f14:00,21.5\n2026-11-25\u00a014:10,\u00a021.75\n",
        "Time,Temp °C\n25 Nov 2026 14:00,21.5\n25-Nov-26 14:10,21.75\n",
        'Time,Temp °C\n"Nov 25, 2026 2:00 PM",21.5\n"November 25, 2026 2:10 p.m.",21.75\n',
        "Zeit;Beton °C\nMi 25. Nov. 2026 14:00;21,5\n25. November 2026 14:10;21,75\n",
        "Time,Temp °C\n20261125 14:00,21.5\n20261125T141000,21.75\n",
        "Time,Temp °C,Status\n2026-11-25 14:00,21.5,OK\n2026-11-25 14:10,21.75,OK\n",
        "Time;Temp °C\n2026-11-25T14:00:00.000+11:00;21.5\n2026-11-25T14:10:00,000+1100;21.75\n",
        "Time;Temp °C\n2026-11-25 03:00 UTC;21.5\n2026-11-25 03:10 UTC;21.75\n",
    ],
)  # fmt: skip
def test_layouts_of_all_makes(text: str) -> None:
    found = read(text)
    assert minutes(found) == [0, 10]
    assert values(found) == [Decimal("21.5"), Decimal("21.75")]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"]
)
def test_encodings(encoding: str) -> None:
    text = decoded((HEAD + ROWS).encode(encoding))
    assert isinstance(text, str)
    assert minutes(read(text)) == [0, 10]


def test_a_quote_left_open_is_named_where_it_opens() -> None:
    text = HEAD + '2026-11-25 14:00,21.5\n"2026-11-25 14:10,21.5\n' + "2026-11-25 14:20,21\n" * 5
    assert refused(text).startswith("Line 3: ")


def test_a_decimal_comma_between_commas_is_refused() -> None:
    assert "decimal comma" in refused("2026-11-25 14:00,21,5\n2026-11-25 14:10,21,75\n")
    assert "decimal comma" in refused(HEAD + "2026-11-25 14:00,21,5\n")

"""The pour of a panel as JSON, and as the part of its record. m³, mm, °C, L, km/h, kg/m²/h."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from pourdeck.paper.documents import Document, findings_document, maybe, number
from pourdeck.paper.entry_words import word_words
from pourdeck.paper.record_values import entry_name, exact
from pourdeck.plan.records import Job
from pourdeck.pour.fresh import WEATHER
from pourdeck.walk.clock import jumps
from pourdeck.walk.loads import FIELDS, LoadLine, entry_of, load_lines, loads_of
from pourdeck.walk.pour_findings import WeatherReading, weather_of
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.records import Walk
from pourdeck.walk.strength import Specimen


def pour_document(walk: Walk, page: PourPage) -> Document:
    """`measured` holds the sizes that were measured between the forms, mm: `volume` goes by them.

    `loads` are those to order for the whole panel, `to_order` those still to order, `dockets`
    those that came.
    """
    return {
        "job": walk.job.name,
        "stack": walk.stack,
        "panel": walk.number,
        "mark": walk.mark,
        "volume": number(page.volume),
        "volume_planned": number(page.formed.planned),
        "measured": {size: number(one) for size, one in page.formed.measured.items()},
        "order": number(page.order),
        "loads": [number(one) for one in page.planned],
        "placed": number(page.placed),
        "left": number(page.left),
        "rejected": number(page.rejected),
        "coming": number(page.coming),
        "to_order": [number(one) for one in page.rest],
        "dockets": [load_document(line) for line in page.lines],
        "weather": [weather_document(one) for one in page.weather],
        "specimens": [specimen_document(one) for one in page.specimens],
        "watcher": page.watcher,
        "clock_set_back": [f"{one.station} {one.n}" for one in page.jumped],
        "findings": findings_document(page.findings),
    }


def load_document(line: LoadLine) -> Document:
    load = line.load
    return {
        "load": load.number,
        "state": line.state,
        "docket": load.docket,
        "mix": load.mix,
        "volume": maybe(load.volume),
        **{key: _time(getattr(load, key)) for key in ("batched", "arrived", "begun", "ended")},
        "slump": maybe(load.slump),
        "temperature": maybe(load.temperature),
        "water": maybe(load.water),
        "water_by": load.water_by,
        "let_in": load.let_in,
        "rejected": load.rejected,
        **({"not_measured": dict(load.not_measured)} if load.not_measured else {}),
        "minutes": _minutes(line.age),
        "gap_minutes": _minutes(line.gap),
    }


def weather_document(one: WeatherReading) -> Document:
    return {
        "at": _time(one.at),
        **{key: number(getattr(one.weather, key)) for key in WEATHER},
        "evaporation": one.rate,
        "verdict": one.verdict,
        "by": one.by,
    }


def specimen_document(one: Specimen) -> Document:
    return {
        "id": one.name,
        "cured": one.cured,
        "load": one.load,
        "taken": _time(one.taken),
        "by": one.by,
    }


def _time(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="seconds")


def _minutes(gone: timedelta | None) -> float | None:
    return None if gone is None else gone.total_seconds() / 60


# In the record.


def loads_record(walk: Walk) -> list[Document]:
    """Each docket as it was written down, with who wrote it and what was put right."""
    known = jumps(walk.record.entries)
    lines = load_lines(loads_of(walk.record), walk.job, None, known)
    return [_docket(line, walk.job) for line in lines]


def _docket(line: LoadLine, job: Job) -> Document:
    load = line.load
    words: dict[str, Any] = {
        "load": load.number,
        "state": line.state,
        "docket": load.docket,
        "mix": load.mix,
        "wrong_mix": True if load.wrong_mix(job.mix) else None,
        "volume": _exact(load.volume),
        "batched": load.batched,
        "arrived": load.arrived,
        "begun": load.begun,
        "ended": load.ended,
        "slump": _exact(load.slump),
        "temperature": _exact(load.temperature),
        "not_measured": "; ".join(
            f"{FIELDS[key].name}: {why}" for key, why in load.not_measured.items()
        )
        or None,
        "water": _exact(load.water),
        "water_by": load.water_by,
        "let_in_by": load.let_in,
        "let_in_word": word_words(entry_of(load, "let_in")),
        "turned_away": load.rejected,
        "minutes_since_batching": _whole(line.age),
        "minutes_since_load_before": _whole(line.gap),
        "by": ", ".join(dict.fromkeys(entry.by for entry in load.entries)),
        "put_right": "; ".join(
            f"{entry.by}: {entry.data['why']}" for entry in load.entries if entry.data.get("why")
        )
        or None,
        "clock": "; ".join(entry.clock for entry in load.entries if entry.clock) or None,
        "entries": ", ".join(name for entry in load.entries if (name := entry_name(entry))),
    }
    return words


def weather_record(walk: Walk) -> list[Document]:
    return [
        {
            "at": one.at,
            **{key: _exact(getattr(one.weather, key)) for key in WEATHER},
            "evaporation": round(one.rate, 2),
            "verdict": one.verdict,
            "by": one.by,
            "entry": entry_name(one.entry),
        }
        for one in weather_of(walk.record, walk.job.limits, jumps(walk.record.entries))
    ]


def _exact(value: Decimal | None) -> Any:
    return None if value is None else exact(value)


def _whole(gone: timedelta | None) -> int | None:
    return None if gone is None else int(gone.total_seconds() // 60)

"""A time zone by its IANA name, looked up only where a job names one."""

from typing import Any

from attrs import frozen

from pourdeck.plan.kinds import Fault, Path, Wrong


@frozen(eq=False, repr=False)
class Zone:
    right: str = 'the IANA name of a time zone in quotes, such as "Australia/Hobart"'

    def take(self, value: Any, path: Path, faults: list[Fault]) -> str:
        if type(value) is not str:
            raise Wrong("wrong-type")
        if not is_zone(value):
            raise Wrong("bad-value", _nearest_zone(value))
        return value


def is_zone(name: str) -> bool:
    from zoneinfo import ZoneInfo

    try:
        ZoneInfo(name)
    except (ValueError, KeyError, OSError):
        # Besides an unknown name: one that leaves the folder of zones, or is a folder in it.
        return False
    return True


def _nearest_zone(name: str) -> str:
    from difflib import get_close_matches
    from zoneinfo import available_timezones

    by_city: dict[str, str] = {}
    for zone in sorted(available_timezones()):
        by_city[zone.casefold()] = zone
        by_city.setdefault(zone.rpartition("/")[2].casefold(), zone)
    wanted = name[:60].strip().replace(" ", "_").casefold()
    near = get_close_matches(wanted, by_city, n=1, cutoff=0.6)
    return f'The nearest known one is "{by_city[near[0]]}".' if near else ""

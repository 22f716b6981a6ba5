"""Which entries are undone: those that an undo names which is not itself undone."""

from attrs import define, field

from pourdeck.sitelog.entries import Entry, Key


@define
class Undos:
    """The undos of a log, in whatever order they came.

    `voided`: each entry that is undone, undos among them, with the undo that does it.
    """

    voided: dict[Key, Entry] = field(factory=dict)
    _targets: dict[Key, Key] = field(factory=dict)
    _naming: dict[Key, list[Entry]] = field(factory=dict)

    def add(self, undo: Entry) -> Key | None:
        """Take in one undo; gives the act whose standing changed by it, None where none did.

        Raises KeyError or TypeError where it does not name an entry.
        """
        station, n = undo.data["station"], undo.data["n"]
        if type(station) is not str or type(n) is not int:
            raise TypeError
        target = (station, n)
        self._targets[undo.key] = target
        self._naming.setdefault(target, []).append(undo)
        return self._settle(target)

    def _settle(self, key: Key) -> Key | None:
        """Follow a change of standing down to the act it ends at. Undos in a ring undo nothing
        more.
        """
        passed: set[Key] = set()
        while key not in passed:
            passed.add(key)
            before = key in self.voided
            by = next((u for u in self._naming[key] if u.key not in self.voided), None)
            if by is None:
                self.voided.pop(key, None)
            else:
                self.voided[key] = by
            if before == (by is not None):
                return None
            if key not in self._targets:
                return key
            key = self._targets[key]
        return None

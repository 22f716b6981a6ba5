"""The rows of the site log."""

from tests.bench import sitelog_bench
from tests.bench.table import Row


def rows() -> list[Row]:
    replay, ours, least = sitelog_bench.replay_20000()
    append, mine, bare = sitelog_bench.append_sync()
    return [
        Row(
            what=replay.partition(" / ")[0],
            beside="parsing their JSON",
            unit="ms",
            ours=1000 * ours,
            other=1000 * least,
            most_ratio=2,
        ),
        Row(
            what=append.partition(" / ")[0],
            beside="a bare write and fsync",
            unit="ms",
            ours=1000 * mine,
            other=1000 * bare,
            most_ratio=1.5,
        ),
    ]

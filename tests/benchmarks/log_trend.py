"""A class's trend in a large log, as a ratio to a plain scan timed in the same run.

The log holds 100 000 measurements of 30 learners, over three years. The trend is what ``beadcheck
trend`` looks up of a class: everybody's first and latest welds, the weeks, and the places where
widths stray, without what was measured again or corrected. The scan reads the same values by
loading every stored result as JSON. The results are short ones (12 stations), so that a scan of
real ones would take longer still. Both must agree.

Run it as ``python tests/benchmarks/log_trend.py [--count N]``; it prints machine, versions and
ratios of processor time, which other work on the machine disturbs least.
"""

import argparse
import json
import platform
import sqlite3
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from importlib.metadata import version
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
from sqlalchemy import Table, insert, select

from beadcheck.log import (
    Log,
    Selection,
    Wanted,
    class_values,
    log_address,
    open_log,
)
from beadcheck.log.rows import quantity_rows
from beadcheck.log.tables import coupon, document, measurement, pass_run, person, quantity
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.result import (
    CouponRecord,
    PhotoRecord,
    QuantityRecord,
    Result,
    StationRecord,
    result_to_json,
)
from beadcheck.trends import look_up_class, weeks_of
from beadcheck.trends.of_class import WEEK_DAYS

COUNT = 100_000
LEARNERS = 30
DAYS = 3 * 365
STATIONS = 12
REPEATS = 3
AT_ONCE = 5000
FIRST = datetime(2023, 1, 2, 8, 0, tzinfo=UTC)
WANTED = Wanted(name=QuantityName.WELD_WIDTH, statistic=Statistic.SD)
MOST_RATIO = 0.1

Trend = dict[date, tuple[int, float]]
"""Count and mean by the first day of a week."""


def short_result() -> Result:
    """Result of one photo, as large as a short weld's."""
    values = [
        *(
            (name, statistic)
            for name in ("weld_width", "ripple_spacing")
            for statistic in ("mean", "sd", "min", "max")
        ),
        ("centreline_deviation", "max"),
        ("toe_waviness", "sd"),
        ("pulse_overlap", "mean"),
        ("travel_speed", "mean"),
    ]
    return Result(
        coupon=CouponRecord(
            shape="plate",
            outside_diameter_mm=None,
            wall_thickness_mm=6.0,
            weld_pass="cap",  # noqa: S106  # no password
        ),
        photos=(
            PhotoRecord(
                file="cap.jpg",
                kind="face",
                usable=True,
                px_per_mm=21.3,
                tilt_deg=8.1,
                distance_mm=205.0,
                problems=(),
            ),
        ),
        stations=tuple(
            StationRecord(
                photo=0,
                s_mm=float(k),
                clock_deg=None,
                left_toe_px=(1000.25 + 21.3 * k, 801.125),
                right_toe_px=(1000.25 + 21.3 * k, 1003.5),
                weld_width_mm=9.5,
                weld_width_U_mm=0.21,
                sure=True,
                steady=True,
            )
            for k in range(STATIONS)
        ),
        quantities=tuple(
            QuantityRecord(
                name=name,
                statistic=statistic,
                value=9.5,
                unit="mm",
                expanded_uncertainty=0.2,
                coverage_factor=2.0,
                count=STATIONS,
                scope="photo",
                photo=0,
                side=None,
                s_range_mm=(0.0, STATIONS - 1.0),
            )
            for name, statistic in values
        ),
        made_with="beadcheck",
    )


def fill(log: Log, count: int) -> None:
    """Add measurements whose spread of width shrinks with time, as a class learns."""
    rng = np.random.default_rng(20260518)
    days = np.sort(rng.integers(0, DAYS, count))
    spreads = 0.6 - 0.3 * days / DAYS + rng.normal(0.0, 0.05, count)
    result = short_result()
    place = next(
        k
        for k, each in enumerate(result.quantities)
        if (each.name, each.statistic) == (WANTED.name, WANTED.statistic)
    )
    whole = json.loads(result_to_json(result))
    rows = quantity_rows(result)

    def documents() -> Iterator[dict[str, Any]]:
        for k, spread in enumerate(spreads.tolist()):
            whole["quantities"][place]["value"] = spread
            yield {"measurement_id": k + 1, "result": json.dumps(whole, separators=(",", ":"))}

    def values() -> Iterator[dict[str, Any]]:
        for k, spread in enumerate(spreads.tolist()):
            for index, row in enumerate(rows):
                value = spread if index == place else row["value"]
                yield {**row, "measurement_id": k + 1, "value": value}

    def moment(k: int) -> datetime:
        return FIRST + timedelta(days=int(days[k]))

    learners = range(1, LEARNERS + 1)
    runs = range(1, count + 1)
    said = {"name": "cap", "name_key": "cap", "added_at": FIRST}
    names = (f"learner {k}" for k in learners)
    add(log, person, ({**said, "name": name, "name_key": name} for name in names))
    plate = {**said, "shape": "plate"}
    add(log, coupon, ({**plate, "person_id": 1 + k % LEARNERS} for k in runs))
    add(log, pass_run, ({**said, "coupon_id": k} for k in runs))
    add(
        log,
        measurement,
        (
            {
                "pass_run_id": k + 1,
                "measured_at": moment(k),
                "day": moment(k).date().toordinal(),
                "made_with": "beadcheck",
                "within": 1,
                "outside": 0,
                "undecided": 0,
                "not_measured": 0,
            }
            for k in range(count)
        ),
    )
    add(log, document, documents())
    add(log, quantity, values())


def add(log: Log, table: Table, rows: Iterator[dict[str, Any]]) -> None:
    """Add rows in portions."""
    with log.writing() as connection:
        while portion := list(islice(rows, AT_ONCE)):
            connection.execute(insert(table), portion)


def by_scan(log: Log) -> Trend:
    """Trend from every stored result, loaded as JSON."""
    weeks: dict[int, list[float]] = defaultdict(list)
    query = select(measurement.c.day, document.c.result).where(
        document.c.measurement_id == measurement.c.id
    )
    with log.reading() as connection:
        for day, text in connection.execute(query):
            for each in json.loads(text)["quantities"]:
                if each["name"] == WANTED.name and each["statistic"] == WANTED.statistic:
                    weeks[day - (day - 1) % WEEK_DAYS].append(each["value"])
    return {
        date.fromordinal(first): (len(values), float(np.mean(values)))
        for first, values in sorted(weeks.items())
    }


def by_values(log: Log) -> Trend:
    """Trend from the rows of values."""
    return {each.first_day: (each.count, each.mean) for each in weeks_of(class_values(log, WANTED))}


def processor_seconds(work: Callable[[], object]) -> float:
    """Least of several timings, of this process alone."""
    times = []
    for _ in range(REPEATS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    """Fill a log, time the ways, and print their ratios."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--count", type=int, default=COUNT)
    count = parser.parse_args().count
    with tempfile.TemporaryDirectory(prefix="beadcheck-") as folder:
        file = Path(folder) / "log.sqlite3"
        with open_log(log_address({}, str(file))) as log:
            fill(log, count)
            scanned, grouped = by_scan(log), by_values(log)
            assert scanned.keys() == grouped.keys()
            for first, (number, mean) in scanned.items():
                assert grouped[first][0] == number
                assert abs(grouped[first][1] - mean) < 1e-9
            scan_s = processor_seconds(lambda: by_scan(log))
            weeks_s = processor_seconds(lambda: by_values(log))
            once = Selection(latest_only=True)
            whole_s = processor_seconds(lambda: look_up_class(log, once, WANTED))
        size_mb = file.stat().st_size / 1e6
    print(f"{platform.machine()}, Python {platform.python_version()}")
    print(f"SQLite {sqlite3.sqlite_version}, SQLAlchemy {version('sqlalchemy')}")
    print(f"{count} measurements, {size_mb:.0f} MB")
    print(f"scan of every result as JSON  {scan_s:8.2f} s  1")
    print(f"weeks of the class alone      {weeks_s:8.2f} s  {weeks_s / scan_s:.3f}")
    print(f"all that the command shows    {whole_s:8.2f} s  {whole_s / scan_s:.3f}")
    if whole_s > MOST_RATIO * scan_s:
        raise SystemExit(f"The trend takes more than {MOST_RATIO:g} of the scan.")


if __name__ == "__main__":
    main()

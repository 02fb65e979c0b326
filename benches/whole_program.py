#!/usr/bin/env python3
"""Whole-program speed and memory: medians over many runs of the release binary.

Each run is a fresh process; wall time is taken around it, peak memory from the operating system's account of the
finished child (ru_maxrss). One run of each is thrown away first. Usage: whole_program.py PROGRAM [RUNS]
"""
import os
import pathlib
import re
import statistics
import sys
import tempfile
import time

PROGRAM = os.path.abspath(sys.argv[1])
RUNS = int(sys.argv[2]) if len(sys.argv) > 2 else 41
SHEETS = pathlib.Path(__file__).resolve().parent.parent / "demo"
DEMO = SHEETS / "HP-0231-elevator.toml"
WEIGHT = SHEETS / "weights" / "HP-0231-horn-cap.toml"


def once(*arguments):
    """Wall seconds, peak memory in MiB and exit status of one process, its output thrown away."""
    sink = os.open(os.devnull, os.O_WRONLY)
    begun = time.perf_counter()
    child = os.posix_spawn(
        PROGRAM,
        [PROGRAM, *arguments],
        os.environ,
        file_actions=[(os.POSIX_SPAWN_DUP2, sink, 1), (os.POSIX_SPAWN_DUP2, sink, 2)],
    )
    _, status, usage = os.wait4(child, 0)
    wall = time.perf_counter() - begun
    os.close(sink)
    return wall, usage.ru_maxrss / 1024, os.waitstatus_to_exitcode(status)


def row(name, runs, *arguments):
    once(*arguments)
    results = [once(*arguments) for _ in range(runs)]
    walls = sorted(wall * 1000 for wall, _, _ in results)
    memory = max(memory for _, memory, _ in results)
    status = {status for _, _, status in results}
    print(
        f"| {name} | {statistics.median(walls):.1f} | {walls[0]:.1f} – {walls[-1]:.1f} | {memory:.1f} "
        f"| {runs} | {', '.join(map(str, sorted(status)))} |"
    )


def sheets(folder, count):
    """So many sheets that differ in number and readings."""
    text = DEMO.read_text()
    for index in range(count):
        other = text.replace("HP-0231", f"HP-{index:04}")
        other = re.sub(r'"0\.19 lb"', f'"{0.10 + index % 40 / 100:.2f} lb"', other)
        (folder / f"{index:04}.toml").write_text(other)


with tempfile.TemporaryDirectory() as scratch:
    scratch = pathlib.Path(scratch)
    many = scratch / "many"
    many.mkdir()
    sheets(many, 1000)
    print("| call | median ms | fastest – slowest ms | peak MiB | runs | exit |")
    print("|---|---|---|---|---|---|")
    row("`balance SHEET`", RUNS, "balance", str(DEMO))
    row("`balance SHEET --json`", RUNS, "balance", str(DEMO), "--json")
    row("`balance SHEET --pdf`, with the published checks for its foot", RUNS, "balance", str(DEMO), "--pdf", str(scratch / "a.pdf"))
    row("`balance FOLDER --json`, 1,000 sheets", max(RUNS // 3, 5), "balance", str(many), "--json")
    row("`balance SHEET --monte-carlo 1000000`", max(RUNS // 3, 5), "balance", str(DEMO), "--monte-carlo", "1000000")
    row("`self-check`", max(RUNS // 3, 5), "self-check")
    row("`weight SHEET --json`", RUNS, "weight", str(WEIGHT), "--json")
    row("`weight SHEET --pdf`, with the published checks for its foot", RUNS, "weight", str(WEIGHT), "--pdf", str(scratch / "b.pdf"))

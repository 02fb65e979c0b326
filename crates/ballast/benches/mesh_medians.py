"""Medians of what mesh.sh collected, and whether all work out the same. Usage: mesh_medians.py FOLDER ROUNDS"""

import os
import sys
from pathlib import Path
from statistics import median

import trimesh

WAYS = "product", "merged", "soup"


def read(folder, way, number):
    """The results of the first run, and the times of the others in milliseconds."""
    first, *times = (folder / f"{way}-{number}").read_text().split("\n")
    return [float(word) for word in first.split()], [float(time) for time in times if time]


def main():
    folder, rounds = Path(sys.argv[1]), range(1, int(sys.argv[2]) + 1)
    runs = {way: [read(folder, way, number) for number in rounds] for way in WAYS}
    ours = runs["product"][0][0]
    for way in WAYS[1:]:
        theirs = runs[way][0][0]
        size = [ours[0]] + 3 * [60.0] + 9 * [ours[-1]]
        worst = max(abs(a - b) / scale for a, b, scale in zip(ours, theirs, size))
        print(f"product against trimesh {way}: the largest difference of a result is {worst:.1e} of its size")
        if worst > 1e-9:
            sys.exit("the two programs do not work out the same")

    print(f"\n{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}, trimesh {trimesh.__version__}")
    print("round   product   merged     soup   ratios   (medians, ms)")
    for number in [*rounds, "all"]:
        of = rounds if number == "all" else [number]
        product, merged, soup = (median(time for one in of for time in runs[way][one - 1][1]) for way in WAYS)
        print(f"{number:>5} {product:9.2f} {merged:8.1f} {soup:8.1f} {merged / product:6.1f} {soup / product:5.1f}")


main()

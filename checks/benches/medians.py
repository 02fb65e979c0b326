"""Medians of what compare.sh collected, and whether both programs worked out the same. Usage: medians.py FOLDER ROUNDS"""

import os
import sys
from pathlib import Path
from statistics import median

import numpy


def read(folder, program, round_number):
    """The results of the first run, and the times of the others in milliseconds."""
    first, *times = (folder / f"{program}-{round_number}").read_text().split("\n")
    return [float(word) for word in first.split()], [float(time) for time in times if time]


def main():
    folder, rounds = Path(sys.argv[1]), range(1, int(sys.argv[2]) + 1)
    product = [read(folder, "product", number) for number in rounds]
    others = [read(folder, "numpy", number) for number in rounds]
    print("\nresult of the first run: mean, standard deviation, ends of the interval (kg m)")
    print("  product", *(f"{value:.6f}" for value in product[0][0]))
    print("  numpy  ", *(f"{value:.6f}" for value in others[0][0]))
    # The noise of an end is about 0.4 % of the half width; the standard deviation does not settle.
    (mean, _, low, high), (other_mean, _, other_low, other_high) = product[0][0], others[0][0]
    half_width = (high - low) / 2
    for ours, theirs in ((mean, other_mean), (low, other_low), (high, other_high)):
        if abs(ours - theirs) > 0.02 * half_width:
            sys.exit("the two programs do not work out the same")

    print(f"\n{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}, numpy {numpy.__version__}")
    print("round   product    numpy   ratio   (medians, ms)")
    for number, ours, theirs in zip(rounds, product, others):
        ours, theirs = median(ours[1]), median(theirs[1])
        print(f"{number:5} {ours:9.2f} {theirs:8.2f} {theirs / ours:7.1f}")
    ours = median(time for _, times in product for time in times)
    theirs = median(time for _, times in others for time in times)
    print(f"  all {ours:9.2f} {theirs:8.2f} {theirs / ours:7.1f}")


main()

"""The model of monte_carlo.rs in numpy: one million trials of a weighing with a trailing-edge scale.

Vectorised, each random array drawn in one call and used in place; two working arrays beside the result where the
generator can fill an array that is there already. Prints mean, standard deviation and the two ends of the
95.45 % interval, then one time in milliseconds a run. Usage: numpy_model.py RUNS
"""

import math
import sys
import time

import numpy as np

TRIALS = 1_000_000
COVERAGE = 0.954499736103641585599
POUND, INCH = 0.45359237, 0.0254

RAISING = np.array([1.34, 1.35, 1.33]) * POUND
LOWERING = np.array([1.28, 1.29, 1.28]) * POUND
TARE = 0.06 * POUND
SCALE_STEP, SCALE_CERTIFICATE = 0.01 * POUND, 0.01 * POUND
ARM = 17.25 * INCH
RULE_STEP, RULE_CERTIFICATE = INCH / 32, 0.02 * INCH
LEVELLING = 11.2 * POUND * 0.5 * INCH * math.tan(math.radians(0.5))

# Ends of the interval among the sorted values, from 0 (JCGM 101 7.7.2).
COVERED = math.floor(COVERAGE * TRIALS + 0.5)
BELOW = (TRIALS - COVERED) // 2
ENDS = (BELOW - 1, BELOW + COVERED - 1)


def half_scatter(readings):
    """s/√n of one set, halved for the half-sum of the two sets."""
    return 0.5 * readings.std(ddof=1) / math.sqrt(len(readings))


def trials(generator, moment, arm, work):
    """Fills `moment` with the trials; `arm` and `work` are working space."""
    load = moment
    np.multiply(generator.standard_t(2, TRIALS), half_scatter(RAISING), out=load)
    scatter = generator.standard_t(2, TRIALS)
    scatter *= half_scatter(LOWERING)
    load += scatter
    # A display is off by half a step either way: step · u with u from 0 to 1, half a step taken off below.
    generator.random(out=work)
    work *= SCALE_STEP
    load += work
    generator.random(out=work)
    work *= SCALE_STEP
    load -= work
    generator.standard_normal(out=work)
    work *= SCALE_CERTIFICATE / 2
    load += work
    # The half steps of reading and tare cancel.
    load += 0.5 * (RAISING.mean() + LOWERING.mean()) - TARE

    generator.random(out=arm)
    arm *= RULE_STEP
    generator.standard_normal(out=work)
    work *= RULE_CERTIFICATE / 2
    arm += work
    arm += ARM - RULE_STEP / 2

    moment *= arm
    generator.random(out=work)
    work *= 2 * LEVELLING
    moment += work
    moment -= LEVELLING


def run(seed, space):
    """One run: mean, standard deviation and both ends of the interval."""
    moment, arm, work = space
    trials(np.random.default_rng(seed), moment, arm, work)
    mean = moment.mean()
    np.subtract(moment, mean, out=work)
    deviation = math.sqrt(work @ work / (TRIALS - 1))
    moment.partition(ENDS)
    return mean, deviation, moment[ENDS[0]], moment[ENDS[1]]


def main():
    space = tuple(np.empty(TRIALS) for _ in range(3))
    print(*run(0, space))
    for seed in range(1, int(sys.argv[1]) + 1):
        start = time.perf_counter()
        run(seed, space)
        print(f"{1e3 * (time.perf_counter() - start):.3f}")


main()

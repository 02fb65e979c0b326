"""The mass properties of an STL file by trimesh, timed inside the process. Usage: mesh_trimesh.py FILE RUNS merged|soup

merged: as trimesh loads by itself, with corners at one place made one. soup: process=False, the fastest it can.
Prints volume, centroid and inertia, then one time in milliseconds a run."""

import sys
from time import perf_counter

import trimesh


def properties(path, process):
    mesh = trimesh.load(path, process=process)
    return mesh.volume, mesh.center_mass, mesh.moment_inertia


def main():
    path, runs, process = sys.argv[1], int(sys.argv[2]), sys.argv[3] == "merged"
    volume, centroid, inertia = properties(path, process)
    print(float(volume), *map(float, centroid), *map(float, inertia.ravel()))
    for _ in range(runs):
        start = perf_counter()
        properties(path, process)
        print(f"{1e3 * (perf_counter() - start):.3f}")


main()

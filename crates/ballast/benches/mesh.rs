//! A binary STL of one million triangles: opened, checked and turned into volume, centroid and inertia, timed inside the
//! process.
//!
//! `mesh write FILE` writes the file, a bumpy ring. `mesh FILE RUNS` prints volume, centroid and inertia in units of the
//! file, then one time in milliseconds a run. mesh.sh runs this and mesh_trimesh.py by turns.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench prints times and may stop"
)]

use hingeline_ballast::{Matrix, Mesh, Triangle, Vector};
use std::f64::consts::TAU;
use std::hint::black_box;
use std::time::Instant;

const AROUND: u32 = 1000;
const ACROSS: u32 = 500;

fn main() {
    // Cargo adds an argument of its own.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["write", path] => std::fs::write(path, ring().write_stl(1.0, "a bumpy ring")).unwrap(),
        [path, runs] => time(path, runs.parse().unwrap()),
        _ => println!("mesh write FILE | mesh FILE RUNS"),
    }
}

fn time(path: &str, runs: u32) {
    let (volume, centroid, inertia) = properties(path);
    let rows = inertia.iter().flatten().map(|x| format!("{x}")).collect::<Vec<_>>().join(" ");
    println!("{volume} {} {} {} {rows}", centroid[0], centroid[1], centroid[2]);
    for _ in 0..runs {
        let start = Instant::now();
        black_box(properties(black_box(path)));
        println!("{:.3}", 1e3 * start.elapsed().as_secs_f64());
    }
}

fn properties(path: &str) -> (f64, Vector, Matrix) {
    let moments = Mesh::read(&std::fs::read(path).unwrap(), 1.0).unwrap().moments;
    (moments.total, moments.centroid().unwrap(), moments.inertia().unwrap())
}

fn ring() -> Mesh {
    let cells = (0..AROUND).flat_map(|i| (0..ACROSS).map(move |j| (i, j)));
    let sides = cells.flat_map(|(i, j)| -> [Triangle; 2] {
        let [a, b, c, d] = [point(i, j), point(i + 1, j), point(i + 1, j + 1), point(i, j + 1)];
        [[a, b, c], [a, c, d]]
    });
    Mesh::new(sides.collect())
}

/// A point of the ring: radius 60, thickness 20, with bumps of 2.
fn point(i: u32, j: u32) -> Vector {
    let (i, j) = (i % AROUND, j % ACROSS);
    let (u, v) = (TAU * f64::from(i) / f64::from(AROUND), TAU * f64::from(j) / f64::from(ACROSS));
    let thick = 20.0 + 2.0 * (9.0 * u).sin() * (7.0 * v).cos();
    let out = 60.0 + thick * v.cos();
    [out * u.cos(), out * u.sin(), thick * v.sin()]
}

//! What the drawings and the printed sheet promise, seen from outside.

#[cfg(test)]
mod drawings;
#[cfg(test)]
mod history;
#[cfg(test)]
#[path = "../../examples/job/mod.rs"]
#[allow(dead_code, reason = "the tests use a part of the invented job")]
mod job;
#[cfg(test)]
mod marks;
#[cfg(test)]
mod ring;
#[cfg(test)]
mod sheet;
#[cfg(test)]
mod svg;
#[cfg(test)]
mod tag;
#[cfg(test)]
mod weight;
#[cfg(test)]
#[path = "../../examples/weight_demo/mod.rs"]
#[allow(dead_code, reason = "the tests use a part of the invented weights")]
mod weight_demo;
#[cfg(test)]
mod weight_seen;

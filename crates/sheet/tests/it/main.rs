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
mod sheet;
#[cfg(test)]
mod svg;
#[cfg(test)]
mod tag;

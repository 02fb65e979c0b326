//! The published checks agree, are sound, and can fail; the documentation's references to them hold; and the laws
//! that every weighing must obey.

#[cfg(test)]
mod coverage;
#[cfg(test)]
mod documentation;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod published;
#[cfg(test)]
mod soundness;

//! Ways to take mass off a casting, and what the scale must read after each. Main type: [`Way`].

use super::{Fault, State, Taken, Tool, Trim, above_0, not_below_0};
use crate::design::{Bore, Drilling};

/// Whose mass per length a slice is reckoned by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// That of the design: density × area.
    Design,
    /// That of the casting, which is heavier than the design: it may be too thick as well as too long.
    Casting,
}

/// What is done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cut {
    /// Slices are sawn off.
    Saw {
        /// How many ends, alike.
        ends: u32,
        /// Length that goes from each end, the cut included, m.
        off: f64,
        /// Thickness of the slice that falls, m.
        slice: f64,
        /// Whose mass per length it is reckoned by.
        by: By,
    },
    /// Holes are drilled.
    Drill {
        /// How many.
        count: u32,
        /// Each of them.
        bore: Bore,
    },
    /// A skin is filed.
    File {
        /// m.
        thickness: f64,
    },
}

/// A way to take mass off, and what comes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// What is done.
    pub cut: Cut,
    /// What goes, kg.
    pub removed_kg: f64,
    /// Where it goes, x in m.
    pub x: f64,
    /// What the scale must read after it, kg.
    pub scale_reads_kg: f64,
    /// x of the centroid after it, m.
    pub arm_m: f64,
    /// The finished moment after it, kg m.
    pub moment_kg_m: f64,
    /// How much is still too much after it, as mass at the piece's arm, kg.
    pub excess_kg: f64,
}

impl Way {
    /// How mass went, for the next weighing.
    #[must_use]
    pub fn taken(&self) -> Taken {
        Taken::At(self.x)
    }
}

impl Trim {
    /// A way with a tool: saw and drill leave for the file what the tolerance says, the file takes all.
    ///
    /// What goes at x counts by its own arm: mass = excess × arm of the piece / x.
    ///
    /// A slice is reckoned with the larger mass per length: density × area × the larger of 1 and heaviest weighing /
    /// designed mass. That is right where a casting is too thick, and takes too little where it is too long.
    ///
    /// # Errors
    /// - [`Fault::NothingToGo`]: the casting is not above tolerance; [`Fault::ForTheFile`]: too little for saw and drill
    /// - [`Fault::WrongSide`], [`Fault::Kerf`], [`Fault::TooDeep`], [`Fault::Drill`]: it cannot be done this way
    /// - [`Fault::Number`]
    pub fn way(&self, tool: &Tool) -> Result<Way, Fault> {
        if self.state != State::ToTrim {
            return Err(Fault::NothingToGo { excess_kg: self.excess_kg });
        }
        match tool {
            Tool::Saw { area, designed_kg, x, kerf, ends, most } => {
                above_0("the area of the section", *area)?;
                above_0("the mass as designed", *designed_kg)?;
                let heavier = self.heaviest_kg / designed_kg;
                let kg_per_m = self.intended.density_kg_m3 * area * heavier.max(1.0);
                let by = if 1.0 < heavier { By::Casting } else { By::Design };
                self.sawn(*x, self.coarse()?, &Blade { kg_per_m, by, kerf: *kerf, ends: *ends, most: *most })
            }
            Tool::Drill(drilling) => self.drilled(drilling, self.coarse()?),
            Tool::File { area, x, most } => self.filed(*area, *x, *most),
        }
    }
    /// What saw and drill are to take, as mass at the piece's arm, kg.
    fn coarse(&self) -> Result<f64, Fault> {
        let left_kg = self.tolerance.for_the_file_kg;
        let coarse = self.excess_kg - left_kg;
        if coarse <= 0.0 { Err(Fault::ForTheFile { excess_kg: self.excess_kg, left_kg }) } else { Ok(coarse) }
    }
    fn sawn(&self, x: f64, excess: f64, blade: &Blade) -> Result<Way, Fault> {
        not_below_0("the width of the cut", blade.kerf)?;
        above_0("the most that may go", blade.most)?;
        if !(1..=2).contains(&blade.ends) {
            let value = f64::from(blade.ends);
            return Err(Fault::Number { what: "the number of ends", value, allowed: "1 or 2" });
        }
        let mass = self.mass_at(x, excess)?;
        let off = mass / (blade.kg_per_m * f64::from(blade.ends));
        if off < blade.kerf {
            return Err(Fault::Kerf { needed: off, kerf: blade.kerf });
        }
        within(off, blade.most)?;
        Ok(self.after(Cut::Saw { ends: blade.ends, off, slice: off - blade.kerf, by: blade.by }, mass, x))
    }
    fn drilled(&self, drilling: &Drilling, excess: f64) -> Result<Way, Fault> {
        let mass = self.mass_at(drilling.x, excess)?;
        let density = self.intended.density_kg_m3;
        let (count, bore) = drilling.holes(mass / density, density)?;
        Ok(self.after(Cut::Drill { count, bore }, mass, drilling.x))
    }
    fn filed(&self, area: f64, x: f64, most: f64) -> Result<Way, Fault> {
        above_0("the area of the skin", area)?;
        above_0("the most that may go", most)?;
        let mass = self.mass_at(x, self.excess_kg)?;
        let thickness = mass / (self.intended.density_kg_m3 * area);
        within(thickness, most)?;
        Ok(self.after(Cut::File { thickness }, mass, x))
    }
    /// The mass at a place that counts as much as a mass at the piece's arm, kg.
    pub(super) fn mass_at(&self, x: f64, at_arm_kg: f64) -> Result<f64, Fault> {
        above_0("the distance of the place from the hinge line", x.abs())?;
        let mass = at_arm_kg * self.intended.arm_m / x;
        if mass < 0.0 { Err(Fault::WrongSide { x }) } else { Ok(mass) }
    }
    fn after(&self, cut: Cut, removed_kg: f64, x: f64) -> Way {
        let scale_reads_kg = self.mass_kg - removed_kg;
        let moment_kg_m = self.moment_kg_m - removed_kg * x;
        Way {
            cut,
            removed_kg,
            x,
            scale_reads_kg,
            arm_m: (self.mass_kg * self.arm_m - removed_kg * x) / scale_reads_kg,
            moment_kg_m,
            excess_kg: (moment_kg_m - self.intended.moment_kg_m) / self.intended.arm_m,
        }
    }
}

struct Blade {
    kg_per_m: f64,
    by: By,
    kerf: f64,
    ends: u32,
    most: f64,
}

fn within(needed: f64, most: f64) -> Result<(), Fault> {
    if most < needed { Err(Fault::TooDeep { needed, most }) } else { Ok(()) }
}

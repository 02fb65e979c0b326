//! What can still be done with a casting that is too light. Main type: [`Remedy`].

use super::{Fault, State, Trim, above_0};

/// An insert of a denser metal in a blind hole.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// As printed.
    pub name: String,
    /// kg/m³.
    pub density_kg_m3: f64,
    /// Where it sits, x in m.
    pub x: f64,
    /// Diameters that it and its hole may have, m.
    pub diameters: Vec<f64>,
    /// Of the drill, rad: the cone below the insert stays empty; none for a flat bottom.
    pub point_angle: Option<f64>,
    /// Longest insert, m.
    pub longest: f64,
}

/// An insert that makes good what is lacking.
#[derive(Debug, Clone, PartialEq)]
pub struct Insert {
    /// As printed.
    pub name: String,
    /// Of insert and hole, m.
    pub diameter: f64,
    /// Length of the insert, and depth of the full diameter of its hole, m.
    pub depth: f64,
    /// Depth of its hole to the tip, m; the same where the bottom is flat.
    pub tip_depth: f64,
    /// Of the insert, m³.
    pub volume: f64,
    /// Of the insert, kg.
    pub mass_kg: f64,
    /// What it gains over the metal that goes, kg.
    pub gain_kg: f64,
    /// What the casting weighs with it, kg.
    pub scale_reads_kg: f64,
    /// x, m.
    pub x: f64,
}

/// What makes good what is lacking.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// Hardware that still comes, heavier.
    HeavierHardware {
        /// Which.
        name: String,
        /// By how much, kg.
        by_kg: f64,
        /// x, m.
        x: f64,
    },
    /// Mass added on.
    AddOn {
        /// kg.
        mass_kg: f64,
        /// x, m.
        x: f64,
    },
}

impl Trim {
    /// What can be done with a casting that is too light, by what there is: heavier hardware of what still comes and
    /// lies on the side of the piece, mass added on at a place (x in m).
    ///
    /// # Errors
    /// [`Fault::NothingLacking`], [`Fault::WrongSide`] of the place, [`Fault::Number`].
    pub fn remedies(&self, add_on_at: f64) -> Result<Vec<Remedy>, Fault> {
        let lacking = self.lacking()?;
        let mass_kg = self.mass_at(add_on_at, lacking)?;
        let hardware = self.intended.to_come.iter().filter(|item| item.is_hardware);
        let heavier = hardware.filter_map(|item| {
            let x = item.arm_m;
            let by_kg = self.mass_at(x, lacking).ok()?;
            Some(Remedy::HeavierHardware { name: item.name.clone(), by_kg, x })
        });
        Ok(heavier.chain([Remedy::AddOn { mass_kg, x: add_on_at }]).collect())
    }
    /// The insert that makes good what is lacking, in the thinnest hole that will do: it displaces metal, so it gains
    /// V (ρ insert − ρ metal), less the metal of the cone below it.
    ///
    /// # Errors
    /// - [`Fault::NothingLacking`], [`Fault::WrongSide`], [`Fault::NotDenser`]
    /// - [`Fault::TooDeep`]: even the widest would have to be longer
    /// - [`Fault::Number`]
    pub fn insert(&self, stock: &Stock) -> Result<Insert, Fault> {
        let gain_kg = self.mass_at(stock.x, self.lacking()?)?;
        let (metal_kg_m3, insert_kg_m3) = (self.intended.density_kg_m3, stock.density_kg_m3);
        if !(metal_kg_m3 < insert_kg_m3 && insert_kg_m3.is_finite()) {
            return Err(Fault::NotDenser { insert_kg_m3, metal_kg_m3 });
        }
        let mut diameters = stock.diameters.clone();
        diameters.sort_by(f64::total_cmp);
        let mut needed = f64::INFINITY;
        for diameter in diameters {
            let insert = self.insert_of(stock, diameter, gain_kg)?;
            if insert.depth <= stock.longest {
                return Ok(insert);
            }
            needed = needed.min(insert.depth);
        }
        Err(Fault::TooDeep { needed, most: stock.longest })
    }
    fn insert_of(&self, stock: &Stock, diameter: f64, gain_kg: f64) -> Result<Insert, Fault> {
        above_0("the diameter of an insert", diameter)?;
        let radius = 0.5 * diameter;
        let area = std::f64::consts::PI * radius * radius;
        let tip = match stock.point_angle {
            None => 0.0,
            Some(angle) => {
                above_0("the point angle", angle)?;
                radius / (0.5 * angle).tan()
            }
        };
        let cone = area * tip / 3.0;
        let metal = self.intended.density_kg_m3;
        let volume = (gain_kg + cone * metal) / (stock.density_kg_m3 - metal);
        let depth = volume / area;
        Ok(Insert {
            name: stock.name.clone(),
            diameter,
            depth,
            tip_depth: depth + tip,
            volume,
            mass_kg: volume * stock.density_kg_m3,
            gain_kg,
            scale_reads_kg: self.mass_kg + gain_kg,
            x: stock.x,
        })
    }
    fn lacking(&self) -> Result<f64, Fault> {
        if self.state != State::TooLight {
            return Err(Fault::NothingLacking { excess_kg: self.excess_kg });
        }
        Ok(-self.excess_kg)
    }
}

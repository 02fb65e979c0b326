//! A fitted balance weight in short, for who inspects it and for the sheet of the release.
//!
//! Main function: [`Job::fitted_weights`]. Text made of what the ledger holds; the arm is that of [`fitted`].

use super::deed::Field;
use super::job::Job;
use super::weight::{BalanceWeight, Cast, Fitted};
use crate::weight::Worked;
use crate::weight::fitted::fitted;
use crate::weight::words::Speech;
use hingeline_quantity::{Entered, Mass, Quantity};

/// A fitted weight, one line a fact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FittedWeight {
    /// Its name in the weight sheet.
    pub name: String,
    /// What is told, and what of it.
    pub lines: Vec<(&'static str, String)>,
}

impl Job {
    /// Every weight of which a piece was fitted: as cast, trimmed, fitted, predicted beside weighed.
    #[must_use]
    pub fn fitted_weights(&self) -> Vec<FittedWeight> {
        let weights = self.weights().into_iter().filter(|weight| !weight.fitted.is_empty());
        weights.filter_map(|weight| self.fitted_weight(&weight)).collect()
    }
    fn fitted_weight(&self, weight: &BalanceWeight) -> Option<FittedWeight> {
        let worked = weight.worked().ok()?;
        let mut lines = vec![("metal", worked.sheet.metal.name.clone())];
        if let Some((first, steps)) = weight.casts.split_first() {
            lines.push(("as cast", mass(first)));
            let steps: Vec<String> =
                steps.iter().map(|step| format!("{}: {}", step.step, mass(step))).collect();
            lines.push(("trimmed", if steps.is_empty() { "not".to_owned() } else { steps.join("; ") }));
        }
        lines.extend(weight.fitted.iter().map(|piece| ("fitted", on_the_surface(&worked, piece))));
        if let Some(compared) = self.compared(weight) {
            lines.push(("predicted", format!("{} (k = 2)", compared.predicted_words())));
            let weighed = compared.weighed_words().map(|words| format!("{words} (k = 2)"));
            lines.push(("weighed", weighed.unwrap_or_else(|| "not yet".to_owned())));
            lines.extend(compared.difference_words().map(|words| ("difference", words)));
            lines.extend(compared.meaning().map(|meaning| ("which means", meaning.to_owned())));
        }
        Some(FittedWeight { name: worked.sheet.name.clone(), lines })
    }
}

/// What the scale said of a casting, as typed.
fn mass(cast: &Cast) -> String {
    match cast.fields.get("mass") {
        Some(Field::Text(mass)) => mass.clone(),
        _ => "no mass".to_owned(),
    }
}

/// “the whole piece at horn: 0.61 lb, centre of gravity 6.205 in forward of the hinge line, entry 12”.
fn on_the_surface(worked: &Worked, piece: &Fitted) -> String {
    let Fitted { piece: which, station, mass, entry, .. } = piece;
    let gives = Entered::<Mass>::parse(mass).ok().and_then(|mass| fitted(worked, mass.value.si()));
    let arm = gives.map_or(String::new(), |gives| {
        format!(", centre of gravity {} of the hinge line", Speech::of(worked).arm(gives.arm_m))
    });
    format!("{which} at {station}: {mass}{arm}, entry {entry}")
}

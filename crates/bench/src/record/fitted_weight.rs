//! A fitted balance weight in short, for who inspects it and for the sheet of the release.
//!
//! Main function: [`Job::fitted_weights`]. Text made of what the ledger holds; the arm is that of [`fitted`].

use super::casting;
use super::compared::{Compared, Made};
use super::deed::Field;
use super::drill_out::DrillOutMeant;
use super::job::Job;
use super::weight::{BalanceWeight, Cast, Fitted};
use crate::weight::Worked;
use crate::weight::fitted::fitted;
use crate::weight::words::Speech;
use hingeline_quantity::{Entered, Mass, Quantity};

/// A fitted weight, one line a fact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FittedWeight {
    /// Whether it was fitted, or an old one drilled out.
    pub made: Made,
    /// Its name in the weight sheet.
    pub name: String,
    /// What is told, and what of it.
    pub lines: Vec<(&'static str, String)>,
}

impl Job {
    /// Every weight of which a piece was fitted, as cast, trimmed, fitted, and every old one that was drilled out;
    /// predicted beside weighed.
    #[must_use]
    pub fn fitted_weights(&self) -> Vec<FittedWeight> {
        let weights = self.weights().into_iter().filter(|weight| !weight.fitted.is_empty());
        let fitted = weights.filter_map(|weight| self.fitted_weight(&weight));
        let drilled = self.drill_outs().into_iter().filter(|meant| !meant.done.is_empty());
        fitted.chain(drilled.filter_map(|meant| self.drilled_out(&meant))).collect()
    }
    fn drilled_out(&self, meant: &DrillOutMeant) -> Option<FittedWeight> {
        let worked = meant.worked().ok()?;
        let mut lines = vec![("metal", worked.sheet.metal.name.clone())];
        lines.extend(meant.outcome.words(worked.sheet.units).map(|words| ("meant", words)));
        let arm = Speech::in_units(worked.sheet.units, worked.sheet.wanted.moment_kg_m)
            .arm(worked.sheet.drilling.x);
        lines.extend(meant.done.iter().map(|holes| {
            let said = format!(
                "{} at {}, {arm} of the hinge line, entry {}",
                holes.words(),
                holes.station,
                holes.entry
            );
            ("drilled", said)
        }));
        self.compared_drilled(meant).iter().for_each(|compared| predicted(compared, &mut lines));
        Some(FittedWeight { made: Made::Drilled, name: worked.sheet.name.clone(), lines })
    }
    fn fitted_weight(&self, weight: &BalanceWeight) -> Option<FittedWeight> {
        let worked = weight.worked().ok()?;
        let mut lines = vec![("metal", worked.sheet.metal.name.clone())];
        if let Some((first, steps)) = weight.casts.split_first() {
            lines.push(("as cast", mass(first)));
            let steps: Vec<String> =
                steps.iter().map(|step| format!("{}: {}", step.step, mass(step))).collect();
            lines.push(("trimmed", if steps.is_empty() { "not".to_owned() } else { steps.join("; ") }));
            lines.push(("casting weighed on", casting::scales(&weight.casts).join("; ")));
        }
        lines.extend(weight.fitted.iter().map(|piece| ("fitted", on_the_surface(&worked, piece))));
        self.compared(weight).iter().for_each(|compared| predicted(compared, &mut lines));
        Some(FittedWeight { made: Made::Fitted, name: worked.sheet.name.clone(), lines })
    }
}

/// Predicted beside weighed.
fn predicted(compared: &Compared, lines: &mut Vec<(&'static str, String)>) {
    lines.push(("predicted", format!("{} ({})", compared.predicted_words(), compared.holds())));
    let weighed = compared.weighed_words().map(|words| format!("{words} (k = 2)"));
    lines.push(("weighed", weighed.unwrap_or_else(|| "not yet".to_owned())));
    lines.extend(compared.difference_words().map(|words| ("difference", words)));
    lines.extend(compared.meaning().map(|meaning| ("which means", meaning.to_owned())));
}

/// What the scale said of a casting, as typed: "353.4 g on S-5 (0.0 g when empty, 200.0 g with its check weight)".
fn mass(cast: &Cast) -> String {
    let mass = match cast.fields.get("mass") {
        Some(Field::Text(mass)) => mass.clone(),
        _ => "no mass".to_owned(),
    };
    let scale = casting::id(cast);
    let on = if scale.is_empty() { mass } else { format!("{mass} on {scale}") };
    match cast.before.as_ref().map(casting::check_words).filter(|words| !words.is_empty()) {
        Some(check) => format!("{on} ({check})"),
        None => on,
    }
}

/// “the whole piece at horn: 0.61 lb, centre of gravity 6.205 in forward of the hinge line, entry 12”.
fn on_the_surface(worked: &Worked, piece: &Fitted) -> String {
    let Fitted { piece: which, station, mass, entry, .. } = piece;
    let gives = Entered::<Mass>::parse(mass).ok().and_then(|mass| fitted(worked, which, mass.value.si()));
    let arm = gives.map_or(String::new(), |gives| {
        format!(", centre of gravity {} of the hinge line", Speech::of(worked).arm(gives.arm_m))
    });
    format!("{which} at {station}: {mass}{arm}, entry {entry}")
}

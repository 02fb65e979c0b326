//! The scale that a casting lies on: one of the shop's instruments, kept with the entry as it stood.
//!
//! Main functions: [`scale`], for the entry; [`words`], for page and paper. Its step and its certificate are those of the
//! table `[[cast]]` ([`on_scale`]). A scale past its due date or with a failed check is told and stops nobody: what
//! releases a job is the weighing of the surface.

use super::check;
use super::deed::{BeforeWeighing, Fields, text as said};
use super::sheet::text;
use super::shop::{DueState, Shop};
use super::weight::Cast;
use jiff::civil::Date;

/// What an instrument tells a casting about itself.
const TOLD: [&str; 2] = ["resolution", "calibration_uncertainty"];

/// The table of a scale that is in use, as it stands on a day: with its due date where that is past, and with what its
/// last check said where that failed. `before` is the check typed with the casting.
#[must_use]
pub fn scale(shop: &Shop, id: &str, before: Option<&BeforeWeighing>, today: Date) -> Option<Fields> {
    let scale = shop.instruments.get(id).filter(|scale| scale.retired.is_none())?;
    let mut table = before.map_or_else(|| scale.table(), |check| check::table(scale, check));
    if scale.due_state(today) == DueState::Past {
        table.insert("past_due".to_owned(), text(scale.text("due")));
    }
    Some(table)
}

/// The table `[[cast]]` with what its scale tells.
#[must_use]
pub fn on_scale(cast: &Fields, scale: Option<&Fields>) -> Fields {
    let mut cast = cast.clone();
    let told = scale.into_iter().flat_map(|scale| TOLD.map(|key| (key, said(scale, key))));
    cast.extend(told.filter(|(_, said)| !said.is_empty()).map(|(key, said)| (key.to_owned(), text(said))));
    cast
}

/// A scale in one line: "S-5, step 0.1 g, calibration ± 0.1 g (k = 2), certificate C-2025-161, due 2027-05-31".
#[must_use]
pub fn words(scale: &Fields) -> String {
    let of = |key: &str, before: &str, after: &str| {
        let said = said(scale, key);
        (!said.is_empty()).then(|| format!("{before}{said}{after}"))
    };
    let known = [
        of("id", "", ""),
        of("resolution", "step ", ""),
        of("calibration_uncertainty", "calibration ± ", " (k = 2)"),
        of("certificate", "certificate ", ""),
        of("due", "due ", ""),
    ];
    known.into_iter().flatten().chain(to_look_at(scale)).collect::<Vec<_>>().join(", ")
}

/// What is wrong with a scale as it stood; empty where nothing is.
#[must_use]
pub fn to_look_at(scale: &Fields) -> Vec<String> {
    let past = said(scale, "past_due");
    let failed = said(scale, "failed_check");
    let past = (!past.is_empty()).then(|| "past its due date when it was used".to_owned());
    let failed = (!failed.is_empty()).then(|| format!("its last check failed: {failed}"));
    past.into_iter().chain(failed).collect()
}

/// The scales of some castings, each once, in the order of their use; and whether one of them names none.
#[must_use]
pub fn scales(casts: &[Cast]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for cast in casts {
        let said = cast.scale.as_ref().map_or_else(|| NOT_NAMED.to_owned(), words);
        if !all.contains(&said) {
            all.push(said);
        }
    }
    all
}

/// What is said of a casting of which nobody entered the scale.
pub const NOT_NAMED: &str = "scale not named";

/// The id of the scale of a casting.
#[must_use]
pub fn id(cast: &Cast) -> &str {
    cast.scale.as_ref().map_or("", |scale| said(scale, "id"))
}

/// What the scale showed before a casting: "0.0 g when empty, 200.0 g with its check weight"; empty for nothing.
#[must_use]
pub fn check_words(before: &BeforeWeighing) -> String {
    let zero = (!before.zero.is_empty()).then(|| format!("{} when empty", before.zero));
    let check = (!before.check.is_empty()).then(|| format!("{} with its check weight", before.check));
    zero.into_iter().chain(check).collect::<Vec<_>>().join(", ")
}

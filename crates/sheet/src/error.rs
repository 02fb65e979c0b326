//! What can be wrong with a drawing or a sheet.

/// Why a drawing or a sheet could not be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// A number that places a mark is missing, infinite or beyond what can be drawn.
    #[error("{field} of the {drawing} is {given}\n  allowed: {allowed}")]
    Number {
        /// The drawing: "bench" or "band".
        drawing: &'static str,
        /// The field of the drawing, with its place in a list.
        field: String,
        /// The number as given, with its unit.
        given: String,
        /// What is allowed, with its unit.
        allowed: &'static str,
    },
    /// The day of the sheet is not in the calendar.
    #[error("day of the sheet is {given}\n  allowed: a day of the calendar")]
    Day {
        /// The day as given.
        given: String,
    },
    /// An address is too long for the code of a tag.
    #[error("the address of the tag has {given} bytes\n  allowed: up to {allowed} bytes")]
    Address {
        /// How long it is.
        given: usize,
        /// How long it may be.
        allowed: usize,
    },
    /// The sheet's data could not be handed to the typesetter.
    #[error("the sheet's data cannot be written as JSON: {why}")]
    Data {
        /// What the serializer said.
        why: String,
    },
    /// The typesetter refused the sheet: a defect of this program's template.
    #[error("the sheet could not be set: {why}\nhint: this is a defect of the program, please report it")]
    Setting {
        /// What the typesetter said, one line for each error.
        why: String,
    },
}

/// Refuses a number that cannot be drawn.
pub(crate) fn within(
    drawing: &'static str,
    field: String,
    value: f64,
    unit: &str,
    (low, high, allowed): (f64, f64, &'static str),
) -> Result<(), SheetError> {
    if value.is_finite() && low <= value && value <= high {
        return Ok(());
    }
    Err(SheetError::Number { drawing, field, given: format!("{value} {unit}"), allowed })
}

//! What the sheet shows, as plain texts.
//!
//! An empty text or list leaves its place out; nothing here is calculated or checked. Moments carry the word
//! of their side in the text.

use serde::{Deserialize, Serialize};

use crate::Tone;
use crate::drawing::{BandDrawing, BenchDrawing};

/// The size of the page.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PaperSize {
    /// 210 mm by 297 mm.
    #[default]
    A4,
    /// 8 1/2 in by 11 in.
    Letter,
}

/// Everything the printed sheet shows.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Paper {
    /// The title block.
    pub title: TitleBlock,
    /// The verdict of the last weighing.
    pub verdict: Verdict,
    /// The approved data.
    pub approved: Approved,
    /// The bench of the last weighing.
    pub bench: Option<BenchDrawing>,
    /// The approved band with the weighings.
    pub band: Option<BandDrawing>,
    /// The weighings, in their order.
    pub weighings: Vec<Weighing>,
    /// From as found to as left, where there are both.
    pub change: Option<Change>,
    /// The correction, worked from the last weighing.
    pub correction: Option<Correction>,
    /// The incoming look: item, and what was seen.
    #[serde(default)]
    pub look: Vec<Line>,
    /// The work and the corrections that were done, in their order: day and person, and what.
    #[serde(default)]
    pub done: Vec<Line>,
    /// The balance weights that were fitted: each begins with the line of its name.
    #[serde(default)]
    pub fitted: Vec<Line>,
    /// Remarks and photographs, one line each.
    #[serde(default)]
    pub remarks: Vec<Line>,
    /// The instruments used.
    pub instruments: Vec<Instrument>,
    /// The text for the log book; empty where none was checked yet.
    #[serde(default)]
    pub log: String,
    /// Cautions, in a frame; one paragraph each.
    pub cautions: Vec<String>,
    /// The boxes to sign, in pairs.
    pub signatures: Vec<Signature>,
    /// The fine print; one paragraph each.
    pub fine_print: Vec<String>,
    /// What stands at the foot of every page.
    pub footer: Footer,
}

/// A name and its value.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Line {
    /// The name, such as "expanded uncertainty U".
    pub name: String,
    /// The value with its unit.
    pub value: String,
}

/// The title block, as on an engineering drawing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TitleBlock {
    /// Name of the document, such as "Static balance sheet".
    pub document: String,
    /// Name of the shop.
    pub shop: String,
    /// A further line on the shop: address, approval number.
    pub shop_detail: String,
    /// Job number.
    pub job: String,
    /// The surface, such as "right elevator half".
    pub surface: String,
    /// Part number.
    pub part: String,
    /// Serial number.
    pub serial: String,
    /// The aircraft: type, registration.
    pub aircraft: String,
    /// Date of the document, as text.
    pub date: String,
    /// The same date, for the file's own properties.
    pub day: Option<Day>,
    /// Number by which the document is found again.
    pub document_id: String,
}

/// A day of the calendar.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Day {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, 1 to 31.
    pub day: u8,
}

/// The verdict in one big sentence, and what goes beside it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Verdict {
    /// Colour and shape of the mark beside the sentence.
    pub tone: Tone,
    /// What was judged, such as "As left, 2026-10-04".
    pub of: String,
    /// The sentence, such as "Outside the approved limits: tail-heavy by 21.6 in-lb".
    pub sentence: String,
    /// The doubt, in one sentence.
    pub doubt: String,
    /// Why the weighing is not valid for release; empty where it is.
    pub not_valid: Vec<String>,
    /// What may change the result and is to be looked at first.
    #[serde(default)]
    pub warnings: Vec<String>,
}

/// The approved data: limits and required configuration.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Approved {
    /// The source with its revision.
    pub source: String,
    /// Limits and aim.
    pub limits: Vec<Limit>,
    /// What the manual's own sign means, in words; empty where it prints none.
    pub sign_rule: String,
    /// The required configuration.
    pub configuration: Vec<ConfigurationItem>,
}

/// One limit, or the aim.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Limit {
    /// "from", "to" or "aim".
    pub name: String,
    /// The moment with the word of its side.
    pub moment: String,
    /// The reading at the trailing edge, where the approved data give one; may be empty.
    pub reading: String,
    /// The moment as the manual signs it; may be empty.
    pub manual_sign: String,
}

/// One item of the required configuration.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ConfigurationItem {
    /// The item, in the words of the approved data.
    pub text: String,
    /// Whether it was confirmed, for each weighing in order.
    pub confirmed: Vec<bool>,
}

/// One weighing with its working.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Weighing {
    /// "as found" or "as left".
    pub stage: String,
    /// The method, in its usual name.
    pub method: String,
    /// Date, as text.
    pub date: String,
    /// Readings as typed.
    pub readings: Vec<Reading>,
    /// The arithmetic, line by line.
    pub arithmetic: Vec<Formula>,
    /// The result, such as "21.6 in-lb tail-heavy ± 0.2 in-lb".
    pub result: String,
    /// The verdict on this weighing, in words.
    pub verdict: String,
    /// Colour and shape of the verdict's mark.
    pub tone: Tone,
    /// The uncertainty budget.
    pub budget: Vec<BudgetRow>,
    /// u, degrees of freedom, k, U, friction moment, probability: a name and a value each.
    pub summary: Vec<Line>,
    /// Why it is not valid for release; empty where it is.
    pub not_valid: Vec<String>,
    /// Remarks, one paragraph each.
    pub notes: Vec<String>,
}

/// One quantity read, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    /// The name: "raising", "tare", "arm".
    pub name: String,
    /// What was typed, one text for each reading.
    pub typed: Vec<String>,
    /// By which instrument; may be empty.
    pub instrument: String,
    /// A remark, such as the mean; may be empty.
    pub remark: String,
}

/// One line of arithmetic.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Formula {
    /// What it gives, such as "static moment".
    pub name: String,
    /// The formula in symbols, such as "S = (r − t) × D".
    pub symbols: String,
    /// The same with numbers, such as "(1.310 − 0.06) lb × 17.25 in".
    pub numbers: String,
    /// The result, such as "21.6 in-lb tail-heavy".
    pub result: String,
}

/// One row of the uncertainty budget.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct BudgetRow {
    /// The source of uncertainty; what follows the first colon and space is its working, set small beneath.
    pub source: String,
    /// "A" or "B".
    pub evaluation: String,
    /// The standard uncertainty with its unit.
    pub standard_uncertainty: String,
    /// Share of the variance, 0 to 1: the length of the bar.
    pub share: f64,
    /// The share as text, such as "62 %".
    pub share_label: String,
}

/// From as found to as left.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Change {
    /// One sentence.
    pub sentence: String,
    /// The quantities compared.
    pub rows: Vec<ChangeRow>,
}

/// One quantity before and after.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChangeRow {
    /// The quantity.
    pub name: String,
    /// As found.
    pub as_found: String,
    /// As left.
    pub as_left: String,
    /// The difference.
    pub change: String,
}

/// The correction, station by station; each row would do alone.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Correction {
    /// One sentence, such as "To reach 2.0 in-lb nose-heavy, at one of these stations:".
    pub sentence: String,
    /// The stations.
    pub rows: Vec<CorrectionRow>,
}

/// What one station would take.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct CorrectionRow {
    /// The station.
    pub station: String,
    /// Its arm, such as "6.5 in forward".
    pub arm: String,
    /// "add", "remove" or "none".
    pub action: String,
    /// The mass as calculated.
    pub exact: String,
    /// The mass rounded to the step.
    pub rounded: String,
    /// The arithmetic with its numbers.
    pub arithmetic: String,
    /// The moment predicted with the rounded mass.
    pub predicted_moment: String,
    /// The reading predicted at the weighing's own arm.
    pub predicted_reading: String,
    /// Colour and mark of the first note: [`Tone::Doubt`] or [`Tone::Bad`] where the capacity is exceeded.
    pub tone: Tone,
    /// Remarks, one line each, the gravest first.
    pub notes: Vec<String>,
}

/// One instrument.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Instrument {
    /// The shop's own number.
    pub id: String,
    /// "scale", "rule", ...
    pub kind: String,
    /// Resolution.
    pub resolution: String,
    /// Calibration uncertainty and certificate.
    pub calibration: String,
    /// Due date.
    pub due: String,
    /// The state, in words: "in date", "past its due date".
    pub state: String,
    /// Colour and shape of the state's mark.
    pub tone: Tone,
}

/// A box to sign.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Signature {
    /// "Performed by" or "Independent inspection".
    pub role: String,
    /// What is signed for, in one sentence.
    pub statement: String,
    /// Name, where already known.
    pub name: String,
    /// Certificate number, where already known.
    pub certificate: String,
    /// Kind of certificate, where already known.
    pub certificate_kind: String,
    /// Date, where already signed.
    pub date: String,
    /// The mark of a signature given in the program, such as "signed in the record, entry 14"; may be empty.
    pub signed: String,
}

/// What stands at the foot of every page.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Footer {
    /// Program and version.
    pub program: String,
    /// The line of the published checks.
    pub checks: String,
    /// Fingerprint of the sheet.
    pub fingerprint: String,
}

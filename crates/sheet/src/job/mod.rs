//! The printed sheet of a job: from an [`Assessment`] to a [`Paper`], text by text.
//!
//! Main functions: [`job_paper`], the finished PDF; [`paper_of`], the same as plain data. Nothing is calculated
//! here: numbers and sentences come from the bench, this module puts each in its place.

mod drawings;
mod weighing;

pub use drawings::{band_drawing, bench_drawing};

use crate::paper::{
    Approved, Change, ChangeRow, ConfigurationItem, Correction, CorrectionRow, Day, Footer, Instrument,
    Limit, Line, Paper, PaperSize, Reading, Signature, TitleBlock, Verdict, pdf,
};
use crate::{SheetError, Tone};
use hingeline_balance::Action;
use hingeline_bench::mark::{Mark, mark};
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, StationCorrection, Weighed, arithmetic};

/// Sets the sheet of a job as a PDF.
///
/// # Inputs
/// `checks`: how many published checks agree, of how many; the date on the sheet is that of the last weighing.
/// # Errors
/// - [`SheetError`]: a number that cannot be drawn, or a defect of the template
pub fn job_paper(
    assessment: &Assessment,
    checks: (usize, usize),
    size: PaperSize,
) -> Result<Vec<u8>, SheetError> {
    pdf(&paper_of(assessment, checks), size)
}

/// What the record of a shop adds to the sheet of a job.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Record {
    /// The performer's signature, while it stands; its empty texts leave those of the sheet as they are.
    pub performed: Option<Signature>,
    /// The inspector's.
    pub inspected: Option<Signature>,
    /// Why the job is not valid for release, beside what its last weighing says.
    pub not_valid: Vec<String>,
    /// What is to be looked at first, beside what its last weighing says.
    pub first: Vec<String>,
    /// The incoming look: item, and what was seen.
    pub look: Vec<Line>,
    /// What the record knows of each weighing beyond its sheet, in their order.
    pub weighings: Vec<Beside>,
    /// The work and the corrections that were done: day and person, and what.
    pub done: Vec<Line>,
    /// The balance weights that were fitted: each begins with the line of its name.
    pub fitted: Vec<Line>,
    /// Whether paint or primer was part of it.
    pub painted: bool,
    /// The remarks: day and person, and what; and how many photographs there are.
    pub remarks: Vec<Line>,
    /// The text for the log book.
    pub log: String,
    /// The newest hash of the ledger, in words.
    pub head: String,
}

/// What the record knows of a weighing beyond its sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Beside {
    /// Readings before it, of the empty scale and of its check weight: name and value.
    pub readings: Vec<Line>,
    /// Readings that do not count, and that it was mended: one line each.
    pub notes: Vec<String>,
}

/// Sets the sheet of a job of the record as a PDF: signatures that were given in the program, what was done, the text
/// for the log book, the newest hash on every page.
///
/// # Errors
/// - [`SheetError`]: as for [`job_paper`]
pub fn recorded_paper(
    assessment: &Assessment,
    record: Record,
    checks: (usize, usize),
    size: PaperSize,
) -> Result<Vec<u8>, SheetError> {
    pdf(&recorded(assessment, record, checks), size)
}

/// The sheet of a job of the record as plain data.
#[must_use]
pub fn recorded(assessment: &Assessment, record: Record, checks: (usize, usize)) -> Paper {
    let mut paper = paper_of(assessment, checks);
    for (place, signature) in paper.signatures.iter_mut().zip([record.performed, record.inspected]) {
        // Who has not signed in the record is not named; what a job sheet says of it is of another day.
        let Some(signature) = signature else {
            (place.name, place.certificate) = (String::new(), String::new());
            place.certificate_kind = String::new();
            continue;
        };
        let given = |new: String, old: &String| if new.is_empty() { old.clone() } else { new };
        *place = Signature {
            role: given(signature.role, &place.role),
            statement: given(signature.statement, &place.statement),
            ..signature
        };
    }
    for (weighing, beside) in paper.weighings.iter_mut().zip(record.weighings) {
        let reading = |line: Line| Reading { name: line.name, typed: vec![line.value], ..Reading::default() };
        weighing.readings.extend(beside.readings.into_iter().map(reading));
        weighing.notes.extend(beside.notes);
    }
    if !record.not_valid.is_empty() && paper.verdict.tone == Tone::Good {
        paper.verdict.tone = Tone::Doubt;
    }
    paper.verdict.not_valid.extend(record.not_valid);
    paper.verdict.warnings.extend(record.first);
    if !record.painted {
        paper.cautions.retain(|caution| caution != words::PAINT_CAUTION);
    }
    paper.look = record.look;
    paper.done = record.done;
    paper.fitted = record.fitted;
    paper.remarks = record.remarks;
    paper.log = record.log;
    if !record.head.is_empty() {
        paper.footer.fingerprint = format!("{} · {}", paper.footer.fingerprint, record.head);
    }
    paper
}

/// The sheet of a job as plain data.
#[must_use]
pub fn paper_of(assessment: &Assessment, checks: (usize, usize)) -> Paper {
    Paper {
        look: Vec::new(),
        done: Vec::new(),
        fitted: Vec::new(),
        remarks: Vec::new(),
        log: String::new(),
        title: title(assessment),
        verdict: verdict(assessment),
        approved: approved(assessment),
        bench: Some(bench_drawing(assessment)),
        band: Some(band_drawing(assessment)),
        weighings: assessment.weighings.iter().map(|weighed| weighing::of(assessment, weighed)).collect(),
        change: change(assessment),
        correction: correction(assessment),
        instruments: instruments(assessment),
        cautions: words::CAUTIONS.iter().map(|caution| (*caution).to_owned()).collect(),
        signatures: signatures(assessment),
        fine_print: vec![
            "This sheet records measurements and works out what follows from them. The approved data and a licensed \
             person decide. Local rules come first."
                .to_owned(),
        ],
        footer: footer(assessment, checks),
    }
}

/// The voice of the last weighing, for what is said once on the sheet.
fn last_voice(assessment: &Assessment) -> Voice {
    Voice::of(assessment.last(), assessment.sheet.limits.units)
}

/// Good, bad, or to be looked at.
fn tone(weighed: &Weighed) -> Tone {
    match mark(weighed) {
        Mark::Good => Tone::Good,
        Mark::Plain => Tone::Plain,
        Mark::Doubt => Tone::Doubt,
        Mark::Bad => Tone::Bad,
    }
}

fn reasons(weighed: &Weighed) -> Vec<String> {
    weighed.reasons.iter().map(words::reason).collect()
}

fn title(assessment: &Assessment) -> TitleBlock {
    let job = &assessment.sheet.job;
    let date = assessment.last().taken.date;
    let detail: Vec<String> = [("work order", &job.work_order), ("reason", &job.reason)]
        .into_iter()
        .filter_map(|(word, text)| text.as_ref().map(|text| format!("{word}: {text}")))
        .collect();
    TitleBlock {
        document: "Static balance sheet".to_owned(),
        shop: job.shop.clone().unwrap_or_default(),
        shop_detail: detail.join(" · "),
        job: job.number.clone(),
        surface: job.surface.clone(),
        part: job.part.clone(),
        serial: job.serial.clone(),
        aircraft: job.aircraft.clone().unwrap_or_default(),
        date: date.to_string(),
        day: day(date.year(), date.month(), date.day()),
        document_id: short(&assessment.sheet.fingerprint),
    }
}

fn day(year: i16, month: i8, day: i8) -> Option<Day> {
    Some(Day { year: i32::from(year), month: u8::try_from(month).ok()?, day: u8::try_from(day).ok()? })
}

/// The first sixteen signs of a fingerprint, in groups of four.
pub(crate) fn short(fingerprint: &str) -> String {
    let signs: Vec<char> = fingerprint.chars().take(16).collect();
    signs.chunks(4).map(|group| group.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
}

fn verdict(assessment: &Assessment) -> Verdict {
    let last = assessment.last();
    let voice = last_voice(assessment);
    Verdict {
        tone: tone(last),
        of: format!("{}, {}", last.taken.stage.word(), last.taken.date),
        sentence: words::verdict(last, &voice),
        doubt: words::doubt(last, &voice),
        not_valid: reasons(last),
        warnings: words::to_look_at_first(assessment, last),
    }
}

fn approved(assessment: &Assessment) -> Approved {
    let limits = &assessment.sheet.limits;
    let voice = last_voice(assessment);
    let typed =
        |word: &str| limits.typed.iter().find(|(name, _)| *name == word).map(|(_, text)| text.clone());
    let at_arm = typed("at arm");
    let [from, to, aim] = words::limits(assessment, &voice);
    let aim =
        if words::aim_is_given(assessment) { aim } else { format!("{aim} (their middle; none is given)") };
    let limit = |name: &str, moment: String| Limit {
        name: name.to_owned(),
        moment,
        reading: typed(&format!("{name} reading"))
            .zip(at_arm.as_ref())
            .map_or_else(String::new, |(r, a)| format!("{r} at {a}")),
        manual_sign: typed(name).filter(|_| limits.manual_plus.is_some()).unwrap_or_default(),
    };
    Approved {
        source: limits.source.clone(),
        limits: vec![limit("from", from), limit("to", to), limit("aim", aim)],
        sign_rule: limits
            .manual_plus
            .map_or_else(String::new, |plus| format!("in this manual plus is {}", plus.word())),
        configuration: configuration(assessment),
    }
}

fn configuration(assessment: &Assessment) -> Vec<ConfigurationItem> {
    let items = assessment.sheet.limits.configuration.iter();
    items
        .map(|item| ConfigurationItem {
            text: item.clone(),
            confirmed: assessment
                .weighings
                .iter()
                .map(|weighed| weighed.taken.confirmed.iter().any(|c| hingeline_bench::same_item(c, item)))
                .collect(),
        })
        .collect()
}

fn change(assessment: &Assessment) -> Option<Change> {
    let (found, left) = assessment.found_and_left()?;
    let (moved, _) = assessment.change()?;
    let voice = last_voice(assessment);
    let row = |name: &str, of: &dyn Fn(&Weighed) -> String, change: String| ChangeRow {
        name: name.to_owned(),
        as_found: of(found),
        as_left: of(left),
        change,
    };
    let units = assessment.sheet.limits.units;
    Some(Change {
        sentence: words::change(assessment, &voice).unwrap_or_default(),
        rows: vec![
            row(
                "static moment",
                &|w| Voice::of(w, units).moment(w.measured.static_moment()),
                voice.moment(moved),
            ),
            row(
                "expanded uncertainty U",
                &|w| Voice::of(w, units).size(w.measured.expanded_uncertainty()),
                String::new(),
            ),
            row(
                "verdict",
                &|w| hingeline_bench::result::verdict_word(w.judgement.verdict).to_owned(),
                String::new(),
            ),
        ],
    })
}

/// What is still to be corrected, or why nothing is said of it yet; none within the limits.
fn correction(assessment: &Assessment) -> Option<Correction> {
    let aim = last_voice(assessment).moment(assessment.sheet.limits.band.aim());
    if !assessment.asks_for_correction() {
        let sentence = "Work was done after the last weighing: nothing is asked for before the surface is weighed again.";
        let said = Correction { sentence: sentence.to_owned(), rows: Vec::new() };
        return assessment.worked_on_since.then_some(said);
    }
    let sentence = format!("To reach {aim}, at one of these stations alone:");
    Some(Correction {
        sentence,
        rows: assessment.corrections.iter().map(|station| correction_row(assessment, station)).collect(),
    })
}

fn correction_row(assessment: &Assessment, station: &StationCorrection) -> CorrectionRow {
    let voice = last_voice(assessment);
    let correction = &station.correction;
    let idle = correction.action == Action::None;
    let steps = arithmetic::correction(assessment, station);
    let predicted_reading = steps.last().filter(|_| !idle && steps.len() > 3);
    let bounds = Some(words::station_bounds(station)).filter(|bounds| !bounds.is_empty());
    let working: Vec<String> = steps
        .iter()
        .take(3)
        .map(arithmetic::Step::line)
        .chain(bounds.map(|bounds| format!("this station {bounds}")))
        .collect();
    CorrectionRow {
        station: station.station.name.clone(),
        arm: station.station.typed_arm.clone(),
        action: match correction.action {
            Action::Add => "add",
            Action::Remove => "remove",
            Action::None => "none",
        }
        .to_owned(),
        exact: voice.mass(
            correction.mass,
            arithmetic::digits_of(correction.mass, correction.mass_standard_uncertainty),
        ),
        rounded: words::rounded_mass(station, &voice),
        arithmetic: working.join("; "),
        predicted_moment: voice.moment(correction.predicted_moment),
        predicted_reading: predicted_reading.map_or_else(String::new, |step| {
            let hung = if station.hung_instead.is_some() { "hung " } else { "" };
            format!("{hung}{}", step.result)
        }),
        tone: if correction.within_capacity && (station.within || idle) { Tone::Plain } else { Tone::Bad },
        notes: words::correction_notes(station, &voice),
    }
}

fn instruments(assessment: &Assessment) -> Vec<Instrument> {
    let used =
        |index: usize| assessment.weighings.iter().filter(move |w| w.taken.instruments.contains(&index));
    assessment
        .sheet
        .instruments
        .iter()
        .enumerate()
        .filter(|(index, _)| used(*index).next().is_some())
        .map(|(index, instrument)| {
            let late = used(index).filter(|w| instrument.due.is_some_and(|due| due < w.taken.date)).count();
            let (state, tone) = match (instrument.due, late) {
                (None, _) => ("no due date stated", Tone::Doubt),
                (Some(_), 0) => ("in date when used", Tone::Good),
                (Some(_), _) => ("past its due date when used", Tone::Bad),
            };
            let certificate = instrument.certificate.iter().map(|number| format!("certificate {number}"));
            let calibration = instrument.calibration.iter().map(|text| format!("±{text} (k = 2)"));
            Instrument {
                id: instrument.id.clone(),
                kind: instrument.kind.word().to_owned(),
                resolution: instrument.resolution.clone(),
                calibration: calibration.chain(certificate).collect::<Vec<_>>().join(", "),
                due: instrument.due.map_or_else(String::new, |due| due.to_string()),
                state: state.to_owned(),
                tone,
            }
        })
        .collect()
}

fn signatures(assessment: &Assessment) -> Vec<Signature> {
    let job = &assessment.sheet.job;
    let signature = |role: &str, statement: &str, name: &Option<String>, certificate: &Option<String>| {
        let certificate = certificate.clone().unwrap_or_default();
        let (number, kind) = certificate.split_once(',').unwrap_or((&certificate, ""));
        Signature {
            role: role.to_owned(),
            statement: statement.to_owned(),
            name: name.clone().unwrap_or_default(),
            certificate: number.trim().to_owned(),
            certificate_kind: kind.trim().to_owned(),
            ..Signature::default()
        }
    };
    vec![
        signature(
            "Performed by",
            "The readings on this sheet were taken by me, on the surface and in the configuration stated.",
            &job.performed_by,
            &job.performed_certificate,
        ),
        signature(
            "Independent inspection",
            "Surface, configuration, readings and approved data were checked by me, another person than the performer.",
            &job.inspected_by,
            &job.inspected_certificate,
        ),
    ]
}

fn footer(assessment: &Assessment, (agreed, total): (usize, usize)) -> Footer {
    Footer {
        program: concat!("hingeline ", env!("CARGO_PKG_VERSION")).to_owned(),
        checks: format!("published checks on this machine: {agreed} of {total} agree"),
        fingerprint: short(&assessment.sheet.fingerprint),
    }
}

//! The job sheet: one TOML file with the job, its limits, instruments, weighings and stations.
//!
//! [`JobSheet::parse`] reads the published shape (docs/job-sheet.md) and reports all faults at once. Everything
//! is kept twice: as typed, for the record, and as a quantity. Reading the weighings is in [`crate::taken`].

use crate::bounds;
use crate::broken::{self, Broken};
use crate::fault::{Fault, Faults};
use crate::fields::{Fields, nearest};
use crate::taken::{Taken, read_weighing};
use hingeline_balance::{Limits, LimitsError, Place, Station};
use hingeline_quantity::{Angle, Entered, Length, Mass, Moment, Quantity, Side, Unit, unit};
use jiff::civil::Date;
use std::cell::RefCell;
use toml::de::DeTable;

/// A whole job sheet that has no fault.
#[derive(Debug, Clone)]
pub struct JobSheet {
    /// Who and what.
    pub job: Job,
    /// The approved data.
    pub limits: ApprovedLimits,
    /// What was measured with.
    pub instruments: Vec<Instrument>,
    /// The weighings, in the order of the sheet, at least one.
    pub weighings: Vec<Taken>,
    /// Where mass may be changed.
    pub stations: Vec<NamedStation>,
    /// For the drawing.
    pub outline: Outline,
    /// BLAKE3 of the sheet's text, hexadecimal: paper and file vouch for each other.
    pub fingerprint: String,
}

/// Who and what.
#[derive(Debug, Clone, Default)]
pub struct Job {
    /// The shop's number of the job.
    pub number: String,
    /// The surface in words.
    pub surface: String,
    /// Its part number.
    pub part: String,
    /// Its serial number.
    pub serial: String,
    /// The aircraft.
    pub aircraft: Option<String>,
    /// The work order.
    pub work_order: Option<String>,
    /// The shop.
    pub shop: Option<String>,
    /// Why it is on the bench.
    pub reason: Option<String>,
    /// Who weighed, for the signature box.
    pub performed_by: Option<String>,
    /// Certificate number and kind of that person.
    pub performed_certificate: Option<String>,
    /// Who inspects, for the signature box.
    pub inspected_by: Option<String>,
    /// Certificate number and kind of that person.
    pub inspected_certificate: Option<String>,
}

/// The approved data as the sheet gives them.
#[derive(Debug, Clone)]
pub struct ApprovedLimits {
    /// Document and revision.
    pub source: String,
    /// What must be so when the surface is weighed.
    pub configuration: Vec<String>,
    /// The side that the manual prints with a plus, where it prints signs.
    pub manual_plus: Option<Side>,
    /// The band.
    pub band: Limits,
    /// The two limits and the aim as typed.
    pub typed: Vec<(&'static str, String)>,
    /// The unit of moment that the limits were typed in, or come to.
    pub typed_unit: &'static Unit,
    /// The units that this sheet speaks in.
    pub units: Units,
}

/// The units that results are printed in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Units {
    /// For moments.
    pub moment: &'static Unit,
    /// For arms.
    pub length: &'static Unit,
    /// For masses.
    pub mass: &'static Unit,
    /// Whether moments are said as forces at arms (N·m), so that standard gravity stands between them and masses.
    pub force: bool,
}

impl Units {
    /// The units that go with a unit of moment; forces are made of masses in kilograms.
    pub(crate) fn of(moment: &'static Unit) -> Option<Self> {
        let (length, mass) = moment.parts?;
        let force = mass.symbol == unit::NEWTON.symbol;
        Some(Self { moment, length, mass: if force { &unit::KILOGRAM } else { mass }, force })
    }
}

/// An instrument of the shop.
#[derive(Debug, Clone)]
pub struct Instrument {
    /// The shop's mark on it.
    pub id: String,
    /// Its kind, and so the kind of its quantities.
    pub kind: InstrumentKind,
    /// Its step as typed.
    pub resolution: String,
    /// The expanded uncertainty of its certificate as typed.
    pub calibration: Option<String>,
    /// The certificate's number.
    pub certificate: Option<String>,
    /// The day that its calibration runs out.
    pub due: Option<Date>,
    /// What its last check said, where that failed.
    pub failed_check: Option<String>,
}

/// What an instrument measures, with its numbers.
#[derive(Debug, Clone, Copy)]
pub enum InstrumentKind {
    /// A scale and the most it can weigh.
    Scale(hingeline_balance::Indicator<Mass>, Option<Mass>),
    /// A rule.
    Rule(hingeline_balance::Indicator<Length>),
    /// A level.
    Level(hingeline_balance::Indicator<Angle>),
}

impl InstrumentKind {
    /// Its word in the sheet.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Scale(..) => "scale",
            Self::Rule(_) => "rule",
            Self::Level(_) => "level",
        }
    }
}

/// A station with its name.
#[derive(Debug, Clone)]
pub struct NamedStation {
    /// Its name.
    pub name: String,
    /// The arm as typed, with its side.
    pub typed_arm: String,
    /// What it can take, as typed.
    pub typed_capacity: Option<String>,
    /// What can be taken away, as typed.
    pub typed_removable: Option<String>,
    /// The step, as typed.
    pub typed_step: Option<String>,
    /// The unit that the step was typed in.
    pub step_unit: Option<&'static Unit>,
    /// Its numbers.
    pub station: Station,
}

/// The outline ahead of and behind the hinge line, for the drawing.
#[derive(Debug, Clone, Copy, Default)]
pub struct Outline {
    /// Hinge line to the nose.
    pub nose: Option<Length>,
    /// Hinge line to the trailing edge.
    pub trailing_edge: Option<Length>,
}

impl JobSheet {
    /// Reads a job sheet.
    ///
    /// # Errors
    /// - [`Faults`]: everything that is wrong with it, each with line, column, what is allowed and a hint
    pub fn parse(text: &str) -> Result<Self, Faults> {
        read_whole(text, |root| read_sheet(root, text))
    }

    /// The id of an instrument as the shop knows it: that of a later state, "S-6/2" beside "S-6", without its count.
    #[must_use]
    pub fn plain_id<'i>(&self, id: &'i str) -> &'i str {
        let state = id.rsplit_once('/').filter(|(_, state)| state.parse::<u32>().is_ok());
        let known = |plain: &str| self.instruments.iter().any(|other| other.id == plain);
        state.map(|(plain, _)| plain).filter(|plain| known(plain)).unwrap_or(id)
    }
}

/// The part of a sheet that a card of the limits library holds.
#[derive(Debug, Clone)]
pub struct CardSheet {
    /// The approved data.
    pub limits: ApprovedLimits,
    /// Where mass may be changed, at least one place.
    pub stations: Vec<NamedStation>,
    /// For the drawing.
    pub outline: Outline,
}

impl CardSheet {
    /// Reads `[limits]`, `[[station]]` and `[outline]`, as a whole sheet would have them.
    ///
    /// # Errors
    /// - [`Faults`]: everything that is wrong with them
    pub fn parse(text: &str) -> Result<Self, Faults> {
        read_whole(text, |root| {
            let limits = required_table(root, "limits").and_then(|fields| read_limits(&fields));
            let stations = read_stations(root);
            let outline = read_outline_of(root);
            root.finish();
            Some(Self { limits: limits?, stations, outline })
        })
    }
}

impl Instrument {
    /// Reads a text that holds `[[instrument]]` alone, as a whole sheet would have it.
    ///
    /// # Errors
    /// - [`Faults`]: everything that is wrong with it
    pub fn parse_all(text: &str) -> Result<Vec<Self>, Faults> {
        read_whole(text, |root| {
            let (instruments, _) = read_instruments(root);
            root.finish();
            Some(instruments)
        })
    }
}

/// Reads a text by a reader of its tables; all faults at once.
pub(crate) fn read_whole<T>(text: &str, read: impl FnOnce(&Fields<'_>) -> Option<T>) -> Result<T, Faults> {
    let faults = RefCell::new(Vec::new());
    let (document, errors) = DeTable::parse_recoverable(text);
    let (closed, open) = if errors.is_empty() { (String::new(), Vec::new()) } else { broken::closed(text) };
    let (document, errors) =
        if open.is_empty() { (document, errors) } else { DeTable::parse_recoverable(&closed) };
    let broken = Broken::of(text, &errors, &open);
    if !broken.is_whole(document.get_ref()) {
        return Err(Faults::new(text, broken.faults()));
    }
    let root = Fields::new(text, document.get_ref(), 0..0, "the sheet", &faults);
    let whole = read(&root);
    let mut found = broken.apart(faults.take());
    found.extend(broken.faults());
    match whole {
        Some(whole) if found.is_empty() => Ok(whole),
        _ => Err(Faults::new(text, found)),
    }
}

/// The instruments that could be read, and whether those are all.
fn read_instruments(root: &Fields<'_>) -> (Vec<Instrument>, bool) {
    let tables = root.tables("instrument");
    let count = tables.len();
    let instruments: Vec<Instrument> = tables.into_iter().filter_map(read_instrument).collect();
    refuse_twins(root, "instrument", instruments.iter().map(|instrument| instrument.id.as_str()));
    let all_read = instruments.len() == count;
    (instruments, all_read)
}

fn read_stations(root: &Fields<'_>) -> Vec<NamedStation> {
    let stations: Vec<NamedStation> = root.tables("station").into_iter().filter_map(read_station).collect();
    refuse_twins(root, "station", stations.iter().map(|station| station.name.as_str()));
    require_some(root, "station", "name, arm and side: where mass may be added or taken away");
    stations
}

fn read_outline_of(root: &Fields<'_>) -> Outline {
    root.maybe_table("outline").map_or_else(Outline::default, |fields| read_outline(&fields))
}

fn read_sheet(root: &Fields<'_>, text: &str) -> Option<JobSheet> {
    let job = required_table(root, "job").and_then(|fields| read_job(&fields));
    let limits = required_table(root, "limits").and_then(|fields| read_limits(&fields));
    let (instruments, all_read) = read_instruments(root);
    let plus = limits.as_ref().and_then(|limits| limits.manual_plus);
    let required = limits.as_ref().map(|limits| limits.configuration.clone());
    let weighings: Vec<Taken> = root
        .tables("weighing")
        .into_iter()
        .filter_map(|fields| read_weighing(fields, (&instruments, all_read), required.as_deref(), plus))
        .collect();
    require_some(root, "weighing", "stage, method, date and readings");
    let stations = read_stations(root);
    let outline = read_outline_of(root);
    root.finish();
    let fingerprint = blake3::hash(text.as_bytes()).to_hex().to_string();
    Some(JobSheet { job: job?, limits: limits?, instruments, weighings, stations, outline, fingerprint })
}

pub(crate) fn required_table<'a>(root: &Fields<'a>, key: &'static str) -> Option<Fields<'a>> {
    let table = root.maybe_table(key);
    if table.is_none() && !root.has(key) {
        root.push(Fault::new(format!("the sheet has no [{key}]"), 0..0).hint(format!("add a table [{key}]")));
    }
    table
}

fn require_some(root: &Fields<'_>, key: &str, holds: &str) {
    if !root.has(key) {
        let fault = Fault::new(format!("the sheet has no {key}"), 0..0);
        root.push(
            fault.allowed(format!("at least one [[{key}]]")).hint(format!("add [[{key}]] with {holds}")),
        );
    }
}

fn refuse_twins<'n>(root: &Fields<'_>, key: &'static str, names: impl Iterator<Item = &'n str>) {
    let mut seen: Vec<&str> = Vec::new();
    for name in names {
        if seen.contains(&name) {
            let fault = Fault::new(format!("two {key}s are called “{name}”"), root.span_of(key));
            root.push(fault.hint("give each its own name"));
        }
        seen.push(name);
    }
}

fn read_job(fields: &Fields<'_>) -> Option<Job> {
    let number = fields.text("number");
    let surface = fields.text("surface");
    let part = fields.text("part");
    let serial = fields.text("serial");
    let job = Job {
        aircraft: fields.maybe_text("aircraft"),
        work_order: fields.maybe_text("work_order"),
        shop: fields.maybe_text("shop"),
        reason: fields.maybe_text("reason"),
        performed_by: fields.maybe_text("performed_by"),
        performed_certificate: fields.maybe_text("performed_certificate"),
        inspected_by: fields.maybe_text("inspected_by"),
        inspected_certificate: fields.maybe_text("inspected_certificate"),
        ..Job::default()
    };
    fields.finish();
    Some(Job { number: number?, surface: surface?, part: part?, serial: serial?, ..job })
}

const SIDES: [(&str, Side); 2] = [("tail-heavy", Side::TailHeavy), ("nose-heavy", Side::NoseHeavy)];

/// Limits as typed: the moments, the words, and the units they speak in.
struct Band {
    from: Moment,
    to: Moment,
    aim: Option<Moment>,
    typed: Vec<(&'static str, String)>,
    units: Units,
}

fn read_limits(fields: &Fields<'_>) -> Option<ApprovedLimits> {
    let source = fields.text("source");
    let configuration = fields.maybe_texts("configuration").unwrap_or_default();
    let manual_plus = fields.maybe_choice("manual_plus", &SIDES);
    let by_readings =
        ["at_arm", "from_reading", "to_reading", "aim_reading"].into_iter().any(|key| fields.has(key));
    let by_moments = ["from", "to", "aim"].into_iter().any(|key| fields.has(key));
    if by_readings && by_moments {
        let fault = Fault::new("limits are given both as moments and as readings", fields.span_of("at_arm"));
        fields.push(fault.hint(
            "keep from and to, or at_arm with from_reading and to_reading, as the approved data have it",
        ));
    }
    let band = if by_readings {
        band_of_readings(fields, manual_plus)
    } else {
        band_of_moments(fields, manual_plus)
    };
    // The other way of giving limits is known too, so that it is not called unknown.
    if by_readings {
        let _: [Option<Entered<Moment>>; 3] =
            ["from", "to", "aim"].map(|key| fields.maybe(key, &bounds::MOMENT));
    }
    fields.finish();
    let band = band?;
    let limits = checked_band(fields, &band, by_readings);
    Some(ApprovedLimits {
        source: source?,
        configuration: configuration.into_iter().map(|(text, _)| text.trim().to_owned()).collect(),
        manual_plus,
        band: limits?,
        typed: band.typed,
        typed_unit: band.units.moment,
        units: band.units,
    })
}

fn band_of_moments(fields: &Fields<'_>, plus: Option<Side>) -> Option<Band> {
    let from = fields.maybe_moment("from", &bounds::MOMENT, plus);
    let to = fields.maybe_moment("to", &bounds::MOMENT, plus);
    let aim = fields.maybe_moment("aim", &bounds::MOMENT, plus);
    for key in ["from", "to"] {
        if !fields.has(key) {
            let fault = Fault::new(format!("limits has no {key}"), fields.span_of(key));
            fields.push(fault.hint(format!(
                "add {key} = \"4.0 in-lb nose-heavy\", or at_arm with from_reading and to_reading"
            )));
        }
    }
    let (from, to) = (from?, to?);
    // A plain zero ("0 in-lb") says as much of the unit as any other number; the first one typed speaks.

    let mut typed = vec![("from", from.text), ("to", to.text)];
    if let Some(aim) = &aim {
        typed.push(("aim", aim.text.clone()));
    }
    let units = Units::of(from.unit)?;
    Some(Band { from: from.value, to: to.value, aim: aim.map(|aim| aim.value), typed, units })
}

/// Readings carry the manual's signs: without a rule of its own, plus is tail-heavy, as a scale shows it.
fn band_of_readings(fields: &Fields<'_>, plus: Option<Side>) -> Option<Band> {
    let arm: Option<Entered<Length>> = fields.quantity("at_arm", &bounds::ARM);
    let from: Option<Entered<Mass>> = fields.quantity("from_reading", &bounds::READING);
    let to: Option<Entered<Mass>> = fields.quantity("to_reading", &bounds::READING);
    let aim: Option<Entered<Mass>> = fields.maybe("aim_reading", &bounds::READING);
    let (arm, from, to) = (arm?, from?, to?);
    let mut typed = vec![
        ("at arm", arm.text.clone()),
        ("from reading", from.text.clone()),
        ("to reading", to.text.clone()),
    ];
    if let Some(aim) = &aim {
        typed.push(("aim reading", aim.text.clone()));
    }
    let units = units_of(arm.unit, from.unit)?;
    let sign = plus.unwrap_or(Side::TailHeavy).sign();
    let moment = |reading: &Entered<Mass>| reading.value * arm.value * sign;
    Some(Band { from: moment(&from), to: moment(&to), aim: aim.as_ref().map(moment), typed, units })
}

/// The trade's moment unit for an arm and a mass; where it has none, the nearest of the same system.
fn units_of(length: &Unit, mass: &Unit) -> Option<Units> {
    let customary = [unit::INCH.symbol, unit::FOOT.symbol].contains(&length.symbol);
    let fallback = if customary { &unit::INCH_POUND } else { &unit::KILOGRAM_MILLIMETRE };
    Units::of(unit::moment_unit(length, mass).unwrap_or(fallback))
}

fn checked_band(fields: &Fields<'_>, band: &Band, by_readings: bool) -> Option<Limits> {
    let (from, aim) = if by_readings { ("from_reading", "aim_reading") } else { ("from", "aim") };
    let words = |moment: Moment| {
        let number = hingeline_quantity::significant(moment.abs().in_unit(band.units.moment), 4);
        format!("{number} {} {}", band.units.moment.symbol, moment.side().word())
    };
    match Limits::new(band.from, band.to, band.aim) {
        Ok(limits) => return Some(limits),
        Err(LimitsError::WrongWayRound) => {
            let what = if (band.from - band.to).abs() <= Moment::NEGLIGIBLE {
                format!("the two limits are the same: {}", words(band.from))
            } else {
                format!("limits are the wrong way round: from {} to {}", words(band.from), words(band.to))
            };
            let fault = Fault::new(what, fields.span_of(from));
            fields.push(
                fault
                    .allowed("“from” further nose-heavy than “to”")
                    .hint("change them over, and check the sides against the approved data"),
            );
        }
        Err(LimitsError::AimOutside) => {
            let aimed = band.aim.unwrap_or(Moment::ZERO);
            let fault =
                Fault::new(format!("the aim {} lies outside the limits", words(aimed)), fields.span_of(aim));
            fields.push(
                fault
                    .allowed(format!("from {} to {}", words(band.from), words(band.to)))
                    .hint("aim inside the limits, or leave the aim out for their middle"),
            );
        }
    }
    None
}

fn read_instrument(mut fields: Fields<'_>) -> Option<Instrument> {
    let id = fields.text("id");
    if let Some(id) = &id {
        fields.rename(format!("instrument {id}"));
    }
    let word = fields.choice("kind", &[("scale", 0u8), ("rule", 1), ("level", 2)]);
    let (kind, resolution, calibration) = match word {
        Some(0) => {
            let (indicator, resolution, calibration) = read_indicator::<Mass>(&fields, &bounds::SCALE_STEP);
            let capacity: Option<Entered<Mass>> = fields.maybe("capacity", &bounds::MASS);
            let capacity = capacity.map(|entered| entered.value);
            (indicator.map(|indicator| InstrumentKind::Scale(indicator, capacity)), resolution, calibration)
        }
        Some(1) => {
            let (indicator, resolution, calibration) = read_indicator::<Length>(&fields, &bounds::RULE_STEP);
            (indicator.map(InstrumentKind::Rule), resolution, calibration)
        }
        Some(_) => {
            let (indicator, resolution, calibration) = read_indicator::<Angle>(&fields, &bounds::LEVEL_STEP);
            (indicator.map(InstrumentKind::Level), resolution, calibration)
        }
        // Without a kind the other keys cannot be read, and calling them unknown would mislead.
        None => return None,
    };
    let certificate = fields.maybe_text("certificate");
    let due = fields.maybe_date("due");
    let failed_check = fields.maybe_text("failed_check");
    fields.finish();
    let (id, kind, resolution) = (id?, kind?, resolution?);
    Some(Instrument { id, kind, resolution, calibration, certificate, due, failed_check })
}

type ReadIndicator<Q> = (Option<hingeline_balance::Indicator<Q>>, Option<String>, Option<String>);

fn read_indicator<Q: Quantity>(fields: &Fields<'_>, bound: &bounds::Bound) -> ReadIndicator<Q> {
    let resolution: Option<Entered<Q>> = fields.quantity("resolution", bound);
    let calibration: Option<Entered<Q>> = fields.maybe("calibration_uncertainty", bound);
    let indicator = resolution.as_ref().map(|resolution| hingeline_balance::Indicator {
        resolution: resolution.value,
        calibration: calibration.as_ref().map(|calibration| calibration.value),
    });
    (indicator, resolution.map(|entered| entered.text), calibration.map(|entered| entered.text))
}

/// The words for a side of the hinge line.
pub(crate) const PLACES: [(&str, Place); 2] = [("forward", Place::Forward), ("aft", Place::Aft)];

fn read_station(mut fields: Fields<'_>) -> Option<NamedStation> {
    let name = fields.text("name");
    if let Some(name) = &name {
        fields.rename(format!("station “{name}”"));
    }
    let arm: Option<Entered<Length>> = fields.quantity("arm", &bounds::ARM);
    let place = fields.choice("side", &PLACES);
    let arm_within: Option<Entered<Length>> = fields.maybe("arm_within", &bounds::ARM_WITHIN);
    let capacity: Option<Entered<Mass>> = fields.maybe("capacity", &bounds::TARE);
    let removable: Option<Entered<Mass>> = fields.maybe("removable", &bounds::TARE);
    let step: Option<Entered<Mass>> = fields.maybe("step", &bounds::SCALE_STEP);
    fields.finish();
    let (arm, place) = (arm?, place?);
    Some(NamedStation {
        name: name?,
        typed_arm: format!("{} {}", arm.text, place.word()),
        typed_capacity: capacity.as_ref().map(|entered| entered.text.clone()),
        typed_removable: removable.as_ref().map(|entered| entered.text.clone()),
        typed_step: step.as_ref().map(|entered| entered.text.clone()),
        step_unit: step.as_ref().map(|entered| entered.unit),
        station: Station {
            arm: arm.value * place.sign(),
            arm_within: arm_within.map(|entered| entered.value),
            capacity: capacity.map(|entered| entered.value),
            removable: removable.map(|entered| entered.value),
            step: step.map(|entered| entered.value),
        },
    })
}

fn read_outline(fields: &Fields<'_>) -> Outline {
    let nose: Option<Entered<Length>> = fields.maybe("nose", &bounds::OUTLINE);
    let trailing_edge: Option<Entered<Length>> = fields.maybe("trailing_edge", &bounds::OUTLINE);
    fields.finish();
    Outline {
        nose: nose.map(|entered| entered.value),
        trailing_edge: trailing_edge.map(|entered| entered.value),
    }
}

/// Whether a confirmed item names a required one: the same words, whatever their case.
#[must_use]
pub fn same_item(a: &str, b: &str) -> bool {
    a.trim().eq_ignore_ascii_case(b.trim())
}

/// The hint for a confirmed item that is not among the required ones.
pub(crate) fn nearest_item(item: &str, required: &[String]) -> Option<String> {
    let words: Vec<&str> = required.iter().map(String::as_str).collect();
    nearest(item, &words).map(str::to_owned)
}

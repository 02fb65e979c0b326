//! The weight sheet: one TOML file with what a balance weight must give, what it is, and what may vary.
//!
//! Main type: [`WeightSheet`], read by [`WeightSheet::parse`], which reports all faults at once. The published shape
//! is in docs/weight-sheet.md.

use super::bolts::{Holding, read_holding};
use super::bounds::{HOLES, MADE_WITHIN, PIECE, SIZE};
use super::casting::{Trimming, read_trimming};
use super::drill_out;
use super::extras::{check_names, read_coating, read_hardware, read_holes};
use super::form::{Free, Hand, ReadForm, check_free, read_form, read_kind, read_vary};
use super::mesh::{self, Files, MeshFile};
use super::place;
use super::ratio::DENSITY;
use crate::Faults;
use crate::bounds;
use crate::fault::Fault;
use crate::fields::Fields;
use crate::job_sheet::{Units, read_whole, required_table};
use hingeline_ballast::design::{Accuracy, Design, Space, Vary, Wanted};
use hingeline_ballast::{Density, Material, MaterialError, TABLED_AT_C};
use hingeline_quantity::{Entered, Length, Mass, Moment, Quantity};

/// A whole weight sheet that has no fault.
#[derive(Debug, Clone)]
pub struct WeightSheet {
    /// What the weight is, in words.
    pub name: String,
    /// The number of the job it is for.
    pub job: Option<String>,
    /// The big numbers as typed, each with its key in words.
    pub typed: Vec<(&'static str, String)>,
    /// The units that the answer speaks in: those of the moment.
    pub units: Units,
    /// Its metal.
    pub metal: Metal,
    /// The kind of piece, in the words of the sheet.
    pub kind: &'static str,
    /// Of which surface the piece is.
    pub hand: Hand,
    /// The file that the piece was measured from, where it is one.
    pub mesh: Option<MeshFile>,
    /// The stock of plates, m, each as typed.
    pub stock: Vec<(f64, String)>,
    /// What is to be found.
    pub design: Design,
    /// Where the films of the tables come from: source key and grade in words.
    pub film_sources: Vec<(String, &'static str)>,
    /// The casting on the scale, where there is one.
    pub trimming: Option<Trimming>,
    /// What holds the piece, where that is said.
    pub holding: Option<Holding>,
    /// BLAKE3 of the sheet's text, hexadecimal.
    pub fingerprint: String,
}

/// The metal of a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Metal {
    /// As printed.
    pub name: String,
    /// At 20 °C.
    pub density: Density,
    /// Where the density comes from: a key of the table of sources, or “entered”.
    pub source: String,
    /// How it came here, in words.
    pub grade: &'static str,
    /// What the tables say of it.
    pub notes: String,
}

impl WeightSheet {
    /// Reads a weight sheet that names no file.
    ///
    /// # Errors
    /// As for [`WeightSheet::parse_with`]; a sheet that names a file is a fault too.
    pub fn parse(text: &str) -> Result<Self, Faults> {
        Self::parse_with(text, &mesh::none_at_hand)
    }
    /// Reads a weight sheet with the files that it names, each given by its name as typed.
    ///
    /// # Errors
    /// - [`Faults`]: everything that is wrong with it, each with line, column, what is allowed and a hint; what is
    ///   wrong with a file, or why it cannot be had, stands at the key that names it
    pub fn parse_with(text: &str, files: &Files<'_>) -> Result<Self, Faults> {
        read_whole(text, |root| {
            if drill_out::is_asked(root) {
                drill_out::refuse(root);
                return None;
            }
            read_sheet(root, text, files)
        })
    }
}

/// What stands in `[weight]`.
pub(super) struct Head {
    pub(super) name: String,
    pub(super) job: Option<String>,
    pub(super) wanted: Wanted,
    pub(super) typed: Vec<(&'static str, String)>,
    pub(super) units: Units,
    pub(super) metal: Metal,
    pub(super) old_arm: Option<f64>,
    pub(super) coverage_factor: f64,
}

pub(super) fn read_sheet(root: &Fields<'_>, text: &str, files: &Files<'_>) -> Option<WeightSheet> {
    let head = required_table(root, "weight").and_then(|fields| read_head(&fields));
    let vary = match root.maybe_table("vary") {
        Some(fields) => read_vary(&fields),
        None => (!root.has("vary")).then_some((Vary::Nothing, Vec::new())),
    };
    let form = required_table(root, "form")
        .and_then(|fields| read_made(&fields, &Free(vary.as_ref().map(|(vary, _)| vary)), files));
    let space = root.maybe_table("space").map_or_else(Space::default, |fields| read_space(&fields));
    let hardware = root.tables("hardware").into_iter().filter_map(read_hardware).collect();
    let bored: Vec<_> = root.tables("hole").into_iter().filter_map(read_holes).collect();
    check_names(root, &bored);
    let holes = bored.concat();
    check_number(root, holes.len());
    let films: Vec<_> = root.tables("coating").into_iter().filter_map(read_coating).collect();
    let coverage = head.as_ref().map_or(USUAL_COVERAGE, |head| head.coverage_factor);
    let trimming = read_trimming(root, coverage, &holes);
    let holding = read_holding(root);
    root.finish();
    let (head, (vary, stock), (form, mut accuracy)) = (head?, vary?, form?);
    check_free(root, &form.form, &vary);
    mesh::check_extras(root, &form.form, &holes);
    accuracy.coverage_factor = coverage;
    let density = head.metal.density;
    let design = Design {
        space,
        hardware,
        holes,
        accuracy,
        parting: form.parting,
        old_arm: head.old_arm,
        films: films.iter().map(|film| film.film.clone()).collect(),
        ..Design::new(head.wanted, form.form, vary, density)
    };
    Some(WeightSheet {
        name: head.name,
        job: head.job,
        typed: head.typed,
        units: head.units,
        metal: head.metal,
        kind: form.kind,
        hand: form.hand,
        mesh: form.mesh,
        stock,
        design,
        film_sources: films.into_iter().flat_map(|film| film.sources).collect(),
        trimming,
        holding,
        fingerprint: blake3::hash(text.as_bytes()).to_hex().to_string(),
    })
}

/// Says that a sheet has more holes than are reckoned with.
fn check_number(root: &Fields<'_>, holes: usize) {
    if HOLES < holes {
        let fault = Fault::new(format!("the sheet has {holes} holes"), root.span_of("hole"));
        let fault = fault.allowed(format!("up to {HOLES}, each place of along counted"));
        root.push(
            fault.hint("leave out holes that hardly count, or join small ones into one of the same mass"),
        );
    }
}

/// k of the reserve and of the scale's doubt, where the sheet says nothing.
const USUAL_COVERAGE: f64 = 2.0;

pub(super) fn read_head(fields: &Fields<'_>) -> Option<Head> {
    let name = fields.text("name");
    let job = fields.maybe_text("job");
    let wanted = read_wanted(fields);
    let old_arm = place::maybe_arm(fields, "old_arm", "old_side");
    let metal = read_metal(fields);
    let coverage_factor = fields.maybe_number("coverage_factor", 0.0..=10.0);
    fields.finish();
    let (wanted, typed, units) = wanted?;
    Some(Head {
        name: name?,
        job,
        wanted,
        typed,
        units,
        metal: metal?,
        old_arm,
        coverage_factor: coverage_factor.unwrap_or(USUAL_COVERAGE),
    })
}

/// The moment, what was typed, and the units it speaks in.
type ReadWanted = (Wanted, Vec<(&'static str, String)>, Units);

fn read_wanted(fields: &Fields<'_>) -> Option<ReadWanted> {
    let expanded: Option<Entered<Moment>> = fields.maybe("moment_uncertainty", &bounds::MOMENT_WITHIN);
    let by_weighing = fields.has("measured") || fields.has("aim");
    if by_weighing && fields.has("moment") {
        let fault = Fault::new("weight has both moment and measured with aim", fields.span_of("moment"));
        fields.push(fault.hint("keep moment, or measured with aim"));
    }
    let (value, mut typed, unit) = if by_weighing { by_difference(fields)? } else { by_moment(fields)? };
    if value.abs() <= Moment::NEGLIGIBLE {
        let key = if by_weighing { "measured" } else { "moment" };
        let fault = Fault::new("weight: nothing is wanted, the moment is 0", fields.span_of(key));
        fields.push(fault.hint("no weight is needed; check the moment"));
        return None;
    }
    typed.extend(expanded.as_ref().map(|expanded| ("within", expanded.text.clone())));
    let standard_uncertainty = expanded.map_or(0.0, |expanded| 0.5 * expanded.value.si().abs());
    Some((Wanted { moment_kg_m: value.si(), standard_uncertainty }, typed, Units::of(unit)?))
}

type Difference = (Moment, Vec<(&'static str, String)>, &'static hingeline_quantity::Unit);

fn by_moment(fields: &Fields<'_>) -> Option<Difference> {
    let moment = sided(fields, "moment");
    for key in ["measured", "aim"] {
        // The other way of saying it is known too, so that it is not called unknown.
        let _: Option<Entered<Moment>> = fields.maybe(key, &bounds::MOMENT);
    }
    let moment = moment?;
    Some((moment.value, vec![("moment", moment.text)], moment.unit))
}

/// What the surface was measured to have, and what it is to have with the piece.
fn by_difference(fields: &Fields<'_>) -> Option<Difference> {
    let _: Option<Entered<Moment>> = fields.maybe("moment", &bounds::MOMENT);
    let (measured, aim) = (sided(fields, "measured"), sided(fields, "aim"));
    let (measured, aim) = (measured?, aim?);
    let typed = vec![("measured", measured.text), ("aim", aim.text)];
    Some((aim.value - measured.value, typed, measured.unit))
}

/// A moment that must be there and say its side.
fn sided(fields: &Fields<'_>, key: &'static str) -> Option<Entered<Moment>> {
    let entered: Option<Entered<Moment>> = fields.maybe(key, &bounds::MOMENT);
    let Some(entered) = entered else {
        if !fields.has(key) {
            let fault = Fault::new(format!("weight has no {key}"), fields.span_of(key));
            fields.push(fault.hint(format!(
                "add {key} = \"3.78 in-lb nose-heavy\"; moment says what the piece must give, measured and aim \
                 what the surface has and is to have"
            )));
        }
        return None;
    };
    if entered.side.is_some() || entered.value.abs() <= Moment::NEGLIGIBLE {
        return Some(entered);
    }
    let plain = entered.text.trim_start_matches(['-', '+', '−']).trim();
    let what = format!("weight, {key}: {} does not say its side", entered.text);
    let fault =
        Fault::new(what, fields.span_of(key)).allowed("“tail-heavy” or “nose-heavy” behind the number");
    fields.push(fault.hint(format!("write \"{plain} tail-heavy\" or \"{plain} nose-heavy\"")));
    None
}

fn read_metal(fields: &Fields<'_>) -> Option<Metal> {
    let within = DENSITY.maybe(fields, "density_uncertainty");
    metal_within(fields, within)
}

/// The metal of `material` and `density`; of a density of its own with an expanded uncertainty.
pub(super) fn metal_within(fields: &Fields<'_>, within: Option<f64>) -> Option<Metal> {
    let name = fields.text("material");
    let density = DENSITY.maybe(fields, "density");
    let name = name?;
    let tabled = Material::named(&name);
    if let Some(kg_m3) = density {
        // A density of the shop's own takes the place of the table, whatever the metal is called.
        let standard_uncertainty = within.map_or(0.0, |expanded| 0.5 * expanded);
        let (density, source) = (Density { kg_m3, standard_uncertainty }, "ENTERED".to_owned());
        let name = tabled.map_or(name, |material| material.name);
        return Some(Metal { name, density, source, grade: "as entered", notes: String::new() });
    }
    if fields.has("density") {
        return None;
    }
    let read = tabled.and_then(|material| Ok((material.density(TABLED_AT_C)?, material)));
    match read {
        Ok((density, material)) => Some(Metal {
            name: material.name,
            density,
            source: material.density_20.source.into_owned(),
            grade: material.density_20.grade.words(),
            notes: material.notes,
        }),
        Err(error) => {
            fields.push(no_material(&error, fields));
            None
        }
    }
}

/// With every name of the tables where this one is in none, and the nearest to write in its place.
fn no_material(error: &MaterialError, fields: &Fields<'_>) -> Fault {
    let fault = Fault::said(&format!("{}, material: {error}", fields.name()), fields.span_of("material"));
    let MaterialError::Unknown { nearest, .. } = error else { return fault.hint(error.hint()) };
    let names: Vec<&str> = Material::all().iter().map(|material| material.name.as_str()).collect();
    let own = "give density = \"11.0 g/cm³\" with a name of your own";
    let hint = match nearest.first() {
        Some(nearest) => format!("write material = \"{nearest}\", or {own}"),
        None => own.to_owned(),
    };
    fault.allowed(format!("{}, lead with antimony as in “lead, 4 % antimony”", names.join(", "))).hint(hint)
}

/// The form and how well it will be made.
fn read_made(fields: &Fields<'_>, free: &Free<'_>, files: &Files<'_>) -> Option<(ReadForm, Accuracy)> {
    // Without a kind the other keys cannot be read, and calling them unknown would mislead.
    let kind = read_kind(fields)?;
    let form = read_form(fields, kind, free, files);
    let dimension: Option<Entered<Length>> =
        if kind.0 == "mesh" { None } else { fields.maybe("dimension_within", &MADE_WITHIN) };
    let position: Option<Entered<Length>> = fields.maybe("position_within", &MADE_WITHIN);
    fields.finish();
    let standard = |within: Option<Entered<Length>>| within.map_or(0.0, |it| it.value.si() / 3f64.sqrt());
    let accuracy = Accuracy {
        dimension: standard(dimension),
        position: standard(position),
        coverage_factor: USUAL_COVERAGE,
    };
    Some((form?, accuracy))
}

fn read_space(fields: &Fields<'_>) -> Space {
    let length = |key, bound| {
        let read: Option<Entered<Length>> = fields.maybe(key, bound);
        read.map(|read| read.value.si())
    };
    let space = Space {
        forward: length("forward_reach", &bounds::ARM),
        above: length("above", &SIZE),
        below: length("below", &SIZE),
        swing: length("swing", &bounds::ARM),
        span: length("span", &SIZE),
        smallest_wall: length("smallest_wall", &SIZE),
        capacity: {
            let read: Option<Entered<Mass>> = fields.maybe("capacity", &PIECE);
            read.map(|read| read.value.si())
        },
    };
    fields.finish();
    space
}

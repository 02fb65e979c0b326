//! Reading what comes with the piece: `[[hardware]]`, `[[hole]]`, `[[coating]]`.
//!
//! A bound on a mass counts as the half-width of a rectangular distribution.

use super::bounds::{DRILL, FILM, PIECE, PLACE, POINT, SIZE, WITHIN};
use super::place;
use super::ratio::FILM_MASS;
use crate::fault::Fault;
use crate::fields::{Fields, nearest};
use hingeline_ballast::coating::{COATINGS, Coating, film_mass};
use hingeline_ballast::design::{Depth, Film, Hardware, Head, Hole, Mouth, Place};
use hingeline_quantity::{Angle, Entered, Length, Mass, Quantity};
use std::collections::BTreeSet;

/// The most coats that are reckoned with.
pub(super) const MOST_COATS: u32 = 10;
/// The most alike pieces of hardware in one row.
pub(super) const MOST_ALIKE: u32 = 100;

pub(super) fn read_hardware(mut fields: Fields<'_>) -> Option<Hardware> {
    let name = fields.text("name");
    if let Some(name) = &name {
        fields.rename(format!("hardware “{name}”"));
    }
    let mass: Option<Entered<Mass>> = fields.quantity("mass", &PIECE);
    let within: Option<Entered<Mass>> = fields.maybe("mass_within", &WITHIN);
    let count = fields.maybe_count("count", 1..=MOST_ALIKE);
    let place = read_place(&fields);
    fields.finish();
    let count = count.unwrap_or(1);
    let name = name?;
    Some(Hardware {
        name: together(count, name),
        mass_kg: f64::from(count) * mass?.value.si(),
        standard_uncertainty: within.map_or(0.0, |within| f64::from(count) * within.value.si() / 3f64.sqrt()),
        place: place?,
    })
}

/// Alike pieces in one row under one name: “2 × screw”.
fn together(count: u32, name: String) -> String {
    if 1 < count { format!("{count} × {name}") } else { name }
}

/// How many pieces such a name stands for, more than one, and what one of them is called.
pub(super) fn alike(together: &str) -> Option<(u32, &str)> {
    let (count, name) = together.split_once(" × ")?;
    count.parse().ok().filter(|count| 1 < *count).map(|count| (count, name))
}

fn read_place(fields: &Fields<'_>) -> Option<Place> {
    let behind: Option<Entered<Length>> = fields.maybe("behind_front", &PLACE);
    let ahead: Option<Entered<Length>> = fields.maybe("ahead_of_front", &PLACE);
    let x = place::maybe_arm(fields, "arm", "side");
    let ways = ["arm", "behind_front", "ahead_of_front"].into_iter().filter(|key| fields.has(key)).count();
    if ways == 0 && fields.has("side") {
        // The missing arm is told already.
        return None;
    }
    if ways != 1 {
        let word = if ways == 0 { "has no place" } else { "has more than one place" };
        let fault = Fault::new(format!("{} {word}", fields.name()), fields.span_of("behind_front"));
        fields.push(fault.allowed("arm with side, behind_front, or ahead_of_front").hint("give one of them"));
        return None;
    }
    let offset = |length: Entered<Length>, sign: f64| Place::BehindFront(sign * length.value.si());
    behind.map(|behind| offset(behind, 1.0)).or(ahead.map(|ahead| offset(ahead, -1.0))).or(x.map(Place::At))
}

#[derive(Clone, Copy)]
enum From {
    Front,
    Top,
    Bottom,
    End,
}

const FROMS: [(&str, From); 4] =
    [("front", From::Front), ("top", From::Top), ("bottom", From::Bottom), ("end", From::End)];

/// The holes of one table: one at each place along the hinge line.
pub(super) fn read_holes(mut fields: Fields<'_>) -> Option<Vec<Hole>> {
    let name = fields.text("name");
    if let Some(name) = &name {
        fields.rename(format!("hole “{name}”"));
    }
    let diameter: Option<Entered<Length>> = fields.quantity("diameter", &DRILL);
    let depth = read_depth(&fields);
    let head = read_head(&fields);
    // Without the side it is drilled from the other keys cannot be read, and calling them unknown would mislead.
    let mouths = read_mouths(&fields, fields.choice("from", &FROMS)?);
    fields.finish();
    let (name, diameter, depth, head, mouths) = (name?, diameter?.value.si(), depth?, head?, mouths?);
    let many = 1 < mouths.len();
    let called = |index: usize| if many { format!("{name} {}", index + 1) } else { name.clone() };
    let hole = |(index, mouth)| Hole { name: called(index), diameter, depth, head, mouth };
    Some(mouths.into_iter().enumerate().map(hole).collect())
}

/// Whether every hole has a name of its own: `holes_made` calls them by it.
pub(super) fn check_names(root: &Fields<'_>, tables: &[Vec<Hole>]) {
    let names = tables.iter().flat_map(|holes| {
        let first = holes.first().map_or("", |hole| hole.name.as_str());
        let typed = if holes.len() == 1 { first } else { first.strip_suffix(" 1").unwrap_or(first) };
        let numbered = holes.iter().map(|hole| hole.name.as_str()).filter(move |name| *name != typed);
        std::iter::once(typed).chain(numbered)
    });
    let mut known = BTreeSet::new();
    if let Some(name) = names.into_iter().find(|name| !known.insert(*name)) {
        let fault = Fault::new(format!("two holes are called “{name}”"), root.span_of("hole"));
        let hint =
            "give each [[hole]] its own name; of several places in along the program numbers them itself";
        root.push(fault.allowed("a name for each [[hole]]").hint(hint));
    }
}

#[derive(Clone, Copy)]
enum Measured {
    FullDiameter,
    ToTip,
}

const MEASURED: [(&str, Measured); 2] =
    [("full diameter", Measured::FullDiameter), ("to the tip", Measured::ToTip)];

fn read_depth(fields: &Fields<'_>) -> Option<Depth> {
    let through = fields.is_word("depth", "through");
    let point: Option<Entered<Angle>> = fields.maybe("point", &POINT);
    let measured = fields.maybe_choice("measured", &MEASURED);
    if through {
        return Some(Depth::Wall);
    }
    let depth: Option<Entered<Length>> = fields.quantity("depth", &SIZE);
    let missing = ["point", "measured"].into_iter().filter(|key| !fields.has(key));
    for key in missing {
        let fault = Fault::new(format!("{} has no {key}", fields.name()), fields.span_of(key));
        fields.push(fault.hint("add point = \"118 deg\" and measured = \"full diameter\" or \"to the tip\""));
    }
    let (depth, point_angle) = (depth?.value.si(), point?.value.si());
    Some(match measured? {
        Measured::FullDiameter => Depth::FullDiameter { depth, point_angle },
        Measured::ToTip => Depth::ToTip { depth, point_angle },
    })
}

/// A counterbore or a countersink; none inside where the hole has neither.
#[expect(clippy::option_option, reason = "the outer one is a fault that is told, the inner one no head")]
fn read_head(fields: &Fields<'_>) -> Option<Option<Head>> {
    let bore: Option<Entered<Length>> = fields.maybe("counterbore", &DRILL);
    let depth: Option<Entered<Length>> = fields.maybe("counterbore_depth", &SIZE);
    let sink: Option<Entered<Length>> = fields.maybe("countersink", &DRILL);
    let angle: Option<Entered<Angle>> = fields.maybe("countersink_angle", &POINT);
    let is_bore = both_or_none(fields, ["counterbore", "counterbore_depth"], "1/8 in");
    let is_sink = both_or_none(fields, ["countersink", "countersink_angle"], "100 deg");
    match (is_bore?, is_sink?) {
        (false, false) => Some(None),
        (true, false) => {
            Some(Some(Head::Counterbore { diameter: bore?.value.si(), depth: depth?.value.si() }))
        }
        (false, true) => {
            Some(Some(Head::Countersink { diameter: sink?.value.si(), angle: angle?.value.si() }))
        }
        (true, true) => {
            let text = format!("{} has a counterbore and a countersink", fields.name());
            fields.push(
                Fault::new(text, fields.span_of("countersink"))
                    .allowed("one of them")
                    .hint("a head lies in one of them: take the other away"),
            );
            None
        }
    }
}

/// Whether two keys are there that belong together; none, and a fault, where one of them is.
fn both_or_none(fields: &Fields<'_>, keys: [&'static str; 2], sample: &str) -> Option<bool> {
    let [first, second] = keys;
    if fields.has(first) == fields.has(second) {
        return Some(fields.has(first));
    }
    let (here, lacks) = if fields.has(first) { (first, second) } else { (second, first) };
    let sample = if lacks == second { sample } else { "3/8 in" };
    let fault = Fault::new(format!("{} has {here} but no {lacks}", fields.name()), fields.span_of(here));
    fields.push(fault.hint(format!("add {lacks} = \"{sample}\"")));
    None
}

fn read_mouths(fields: &Fields<'_>, from: From) -> Option<Vec<Mouth>> {
    let x = match from {
        From::Front => None,
        From::Top | From::Bottom | From::End => Some(place::arm(fields)),
    };
    let z = match from {
        From::Top | From::Bottom => Some(0.0),
        From::Front | From::End => place::middle(fields, "height"),
    };
    if let (From::End, Some(x)) = (from, x) {
        return Some(vec![Mouth::End { x: x?, z: z? }]);
    }
    let along: Option<Vec<(Entered<Length>, _)>> = fields.maybe_list("along", &PLACE, "place");
    if !fields.has("along") {
        let fault = Fault::new(format!("{} has no along", fields.name()), fields.span_of("along"));
        fields.push(
            fault.hint("add along = [\"1 in\", \"5 in\"]: one hole at each place along the hinge line"),
        );
    }
    let (x, z) = (x.map_or(Some(0.0), |x| x)?, z?);
    let mouth = |y: f64| match from {
        From::Top => Mouth::Top { x, y },
        From::Bottom => Mouth::Bottom { x, y },
        From::Front | From::End => Mouth::Front { y, z },
    };
    Some(along?.iter().map(|(y, _)| mouth(y.value.si())).collect())
}

/// A film and the keys of the table of sources that it comes from.
pub(super) struct ReadFilm {
    pub(super) film: Film,
    pub(super) sources: Vec<(String, &'static str)>,
}

pub(super) fn read_coating(mut fields: Fields<'_>) -> Option<ReadFilm> {
    let name = fields.text("name");
    if let Some(name) = &name {
        fields.rename(format!("coating “{name}”"));
    }
    let film = if fields.has("mass_per_area") || fields.has("mass_per_area_within") {
        read_stated(&fields)
    } else if fields.has("film") || fields.has("specific_gravity") {
        read_film(&fields)
    } else {
        name.as_ref().and_then(|name| read_tabled(&fields, name))
    };
    fields.finish();
    let (name, (kg_m2, standard_uncertainty, sources)) = (name?, film?);
    Some(ReadFilm { film: Film { name, kg_m2, standard_uncertainty }, sources })
}

/// Mass per area, its standard uncertainty, and where both come from.
type FilmNumbers = (f64, f64, Vec<(String, &'static str)>);

fn read_stated(fields: &Fields<'_>) -> Option<FilmNumbers> {
    let mass = FILM_MASS.wanted(fields, "mass_per_area");
    let within = FILM_MASS.maybe(fields, "mass_per_area_within");
    Some((mass?, within.unwrap_or(0.0) / 3f64.sqrt(), Vec::new()))
}

fn read_film(fields: &Fields<'_>) -> Option<FilmNumbers> {
    let film: Option<Entered<Length>> = fields.quantity("film", &FILM);
    let within: Option<Entered<Length>> = fields.maybe("film_within", &FILM);
    let gravity = fields.maybe_number("specific_gravity", 0.5..=10.0);
    if !fields.has("specific_gravity") {
        let fault = Fault::new(format!("{} has no specific_gravity", fields.name()), fields.span_of("film"));
        fields.push(fault.hint("add specific_gravity = 1.4, that of the dry film from its data sheet"));
    }
    let (film, gravity) = (film?.value.si(), gravity?);
    let within = within.map_or(0.0, |within| within.value.si() / 3f64.sqrt());
    Some((film_mass(film, gravity), film_mass(within, gravity), Vec::new()))
}

fn read_tabled(fields: &Fields<'_>, name: &str) -> Option<FilmNumbers> {
    let coats = fields.maybe_count("coats", 1..=MOST_COATS);
    let coats = if fields.has("coats") { coats? } else { 1 };
    let Some(coating) = COATINGS.iter().find(|coating| is_called(coating, name)) else {
        let words: Vec<&str> = COATINGS.iter().map(short).collect();
        let hint = nearest(name, &words).unwrap_or(words[0]);
        let fault =
            Fault::new(format!("coating “{name}” is not in the table of coatings"), fields.span_of("name"));
        fields.push(
            fault.allowed(words.join(", ")).hint(format!(
                "write name = \"{hint}\", or give mass_per_area, or film with specific_gravity"
            )),
        );
        return None;
    };
    let mass = coating.mass_per_area(coats).ok()?;
    let film = coating.film(coats).ok()?;
    let gravity = coating.specific_gravity;
    let sources = [film, gravity].map(|range| (range.source.to_owned(), range.grade.words())).to_vec();
    Some((mass.kg_m2, mass.standard_uncertainty, sources))
}

/// The name of a coating without its specifications.
fn short(coating: &Coating) -> &'static str {
    coating.name.split(" (").next().unwrap_or(coating.name)
}

fn is_called(coating: &Coating, name: &str) -> bool {
    [coating.name, short(coating)].iter().any(|known| known.eq_ignore_ascii_case(name))
}

//! The fields of each table of a weight sheet, in the order of the page. Main function: [`defs`].
//!
//! Labels and examples only: what may stand in a field is judged by the reader of weight sheets. A test holds every key of
//! the published sheet against them.

use crate::form::Typed;

/// How a field is typed and written.
#[derive(Debug, Clone, Copy)]
pub(in super::super) enum Kind {
    /// A text or a quantity.
    Text,
    /// A plain number.
    Number,
    /// Several texts, one on each line; this many lines are shown.
    List(usize),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// The name of a file, chosen from the device.
    File,
}

/// A field of one table.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct Def {
    /// Its key in the sheet.
    pub(in super::super) key: &'static str,
    /// Its label.
    pub(in super::super) label: &'static str,
    /// What to type.
    pub(in super::super) hint: &'static str,
    /// How.
    pub(in super::super) kind: Kind,
    /// Whether the sheet must have it.
    pub(in super::super) needed: bool,
}

const fn text(key: &'static str, label: &'static str, hint: &'static str) -> Def {
    Def { key, label, hint, kind: Kind::Text, needed: false }
}
const fn number(key: &'static str, label: &'static str, hint: &'static str) -> Def {
    Def { key, label, hint, kind: Kind::Number, needed: false }
}
const fn list(key: &'static str, label: &'static str, hint: &'static str, rows: usize) -> Def {
    Def { key, label, hint, kind: Kind::List(rows), needed: false }
}
const fn choice(key: &'static str, label: &'static str, words: &'static [&'static str]) -> Def {
    Def { key, label, hint: "", kind: Kind::Choice(words), needed: false }
}
const fn needed(def: Def) -> Def {
    Def { needed: true, ..def }
}

const SIDES: &[&str] = &["forward", "aft"];
/// Ways that a weight may lie and an arm may run.
const WAYS: &[&str] = &["forward", "aft", "up", "down", "outboard", "inboard"];
/// The forms of a weight.
pub(in super::super) const FORMS: &[&str] = &[
    "cap",
    "bar",
    "round bar",
    "half-round nose",
    "half-elliptic nose",
    "parabolic nose",
    "ring segment",
    "outline",
    "plates",
    "frustum",
    "mesh",
];

/// Where the axes of a file may point.
const AXES: &[&str] = &[
    "x aft, z up",
    "x forward, z up",
    "x outboard, z up",
    "x inboard, z up",
    "x aft, y up",
    "x forward, y up",
];

/// `[weight]`
pub(in super::super) const WEIGHT: &[Def] = &[
    needed(text("name", "What it is", "in words: cap over the old horn weight")),
    text("job", "Job", ""),
    text("measured", "Moment as measured", "with its side: 1.78 in-lb tail-heavy"),
    text("aim", "Aim", "with its side: 2.0 in-lb nose-heavy"),
    text("moment", "Or the moment it must give", "in place of measured and aim: 3.78 in-lb nose-heavy"),
    text("moment_uncertainty", "Uncertainty of that moment", "expanded, k = 2: 0.12 in-lb"),
    text("old_arm", "Arm of the old weight", "hinge line to its middle: 6 1/2 in"),
    choice("old_side", "Side of the old weight", SIDES),
    needed(text("material", "Metal", "lead; lead, 4 % antimony; brass; steel; tungsten")),
    text("density", "Density, if measured", "in place of the table: 11.03 g/cm³"),
    text("density_uncertainty", "Its uncertainty", "expanded, k = 2"),
    number("coverage_factor", "k of the reserve", "left empty: 2"),
];

const TRACE: Def = needed(list(
    "trace",
    "Front of the old weight",
    "a point on each line, from the top round to the bottom: 5.6 in forward, 0.45 in above; or an arc: arc through 6.5 in \
     forward, 0 in to 5.6 in forward, 0.45 in below",
    5,
));
const OUTLINE: Def = needed(list(
    "outline",
    "Outline",
    "a point on each line, round the section: 6 in forward, 0.4 in below",
    5,
));
const THROUGH: Def =
    list("holes", "Holes through it", "one on each line: 0.25 in diameter at 6.25 in forward, 0 in", 2);
const SPAN: Def = needed(text("span", "Span", "length along the hinge line: 4 1/2 in"));
const FROM: Def = text("from", "Begins at", "place along the hinge line; left empty: 0");
const DEPTH: Def = needed(text("depth", "Depth", "fore and aft: 0.75 in"));
const HEIGHT: Def = needed(text("height", "Height", "0.9 in"));
const THICKNESS: Def = needed(text("thickness", "Thickness", "of its wall or of one plate: 1/8 in"));
const DIAMETER: Def = needed(text("diameter", "Diameter", "3/4 in"));
const ARM: Def = needed(text("arm", "Arm", "hinge line to it: 6.1 in"));
const SIDE: Def = needed(choice("side", "Side", SIDES));
const MIDDLE: Def = text("middle", "Height of its middle", "0.1 in above; left empty: on the chord plane");

/// What every form may say.
const MADE: &[Def] = &[
    choice("hand", "Of which surface", &["right", "left"]),
    choice("halves", "In two halves", &["at mid height", "at mid span"]),
    text("dimension_within", "Made within", "how closely the free dimension is kept: 0.005 in"),
    text("position_within", "Placed within", "how closely its place is kept: 1/64 in"),
];

/// What of that a form may not say.
fn unsaid(form: &str) -> &'static [&'static str] {
    match form {
        "frustum" => &["halves"],
        "mesh" => &["hand", "halves", "dimension_within"],
        _ => &[],
    }
}

/// The dimensions of a form, those that may vary first.
fn dimensions(form: &str) -> &'static [&'static str] {
    match form {
        "cap" => &["thickness", "span"],
        "bar" => &["depth", "height", "span"],
        "round bar" => &["diameter", "span"],
        "half-round nose" => &["height", "span"],
        "half-elliptic nose" | "parabolic nose" => &["depth", "height", "span"],
        "ring segment" => &["thickness", "span"],
        "outline" => &["span"],
        "plates" => &["count", "thickness"],
        "frustum" => &["depth"],
        _ => &[],
    }
}

/// What may vary of a form.
pub(in super::super) fn free(form: &str) -> Vec<&'static str> {
    let mut free = dimensions(form).to_vec();
    free.push("nothing");
    free
}

/// `[form]`, all but its kind.
fn form(form: &str, vary: &str) -> Vec<Def> {
    let defs: &[Def] = match form {
        "cap" => &[
            TRACE,
            THICKNESS,
            SPAN,
            FROM,
            text("end_walls", "End walls", "thickness of walls at both ends; left empty: none"),
        ],
        "bar" => &[
            DEPTH,
            HEIGHT,
            SPAN,
            FROM,
            needed(choice("face", "The arm goes to its", &["rear", "front"])),
            ARM,
            SIDE,
            MIDDLE,
        ],
        "round bar" => &[DIAMETER, SPAN, FROM, ARM, SIDE, MIDDLE],
        "half-round nose" => &[HEIGHT, SPAN, FROM, ARM, SIDE, MIDDLE],
        "half-elliptic nose" | "parabolic nose" => &[DEPTH, HEIGHT, SPAN, FROM, ARM, SIDE, MIDDLE],
        "ring segment" => &[
            needed(text("inner_radius", "Inner radius", "from its centre to the inside: 2.1 in")),
            THICKNESS,
            needed(text("from_angle", "From the angle", "of its lower end: 20 deg below")),
            needed(text("to_angle", "To the angle", "of its upper end: 20 deg above")),
            text("centre", "Its centre", "4 in forward, 0 in; left empty: the hinge line"),
            SPAN,
            FROM,
        ],
        "outline" => &[OUTLINE, THROUGH, SPAN, FROM],
        "plates" => &[OUTLINE, THROUGH, THICKNESS, needed(number("count", "Plates", "how many")), FROM],
        "frustum" => &[
            needed(text("front_diameter", "Diameter at its front", "0.6 in")),
            needed(text("rear_diameter", "Diameter at its rear", "0.8 in")),
            DEPTH,
            ARM,
            SIDE,
            text("along", "Place along the hinge line", "left empty: 0"),
            MIDDLE,
        ],
        "mesh" => &[
            needed(choice("unit", "One unit of the file", &["mm", "cm", "m", "in", "ft"])),
            needed(Def { kind: Kind::File, ..text("file", "File", "") }),
            Def { hint: "left empty: x aft, z up", ..choice("axes", "Its axes point", AXES) },
            needed(text(
                "arm",
                "Arm of the file's origin",
                "hinge line to where its x, y and z are 0: 5.6 in",
            )),
            SIDE,
            text("height", "Height of that", "0.1 in above; left empty: on the chord plane"),
            text("along", "Place along the hinge line", "left empty: 0"),
        ],
        _ => &[],
    };
    let varies = |def: &&Def| def.key == vary || (vary == "count" && def.key == "thickness");
    let made = MADE.iter().filter(|def| !unsaid(form).contains(&def.key));
    defs.iter().filter(|def| !varies(def)).chain(made).copied().collect()
}

/// `[vary]`, all but what it is.
fn vary(what: &str) -> Vec<Def> {
    match what {
        "" | "nothing" => vec![],
        "count" => vec![
            needed(list("stock", "Stock at hand", "a thickness on each line: 1/8 in", 3)),
            needed(number("most_plates", "Most plates", "20")),
        ],
        _ => vec![
            needed(text("least", "Least", "the smallest that may be: 1/16 in")),
            needed(text("most", "Most", "the largest that may be: 3/8 in")),
        ],
    }
}

/// `[space]`
pub(in super::super) const SPACE: &[Def] = &[
    text("forward_reach", "Furthest forward", "of the hinge line: 7.3 in"),
    text("above", "Highest above the chord plane", "0.9 in"),
    text("below", "Lowest below it", "0.9 in"),
    text("swing", "Largest distance from the hinge line", "the gap as the surface moves: 7.35 in"),
    text("span", "Longest along the hinge line", "5 in"),
    text("capacity", "Heaviest finished piece", "what the station takes: 0.8 lb"),
    text("smallest_wall", "Thinnest wall", "that may be cast: 1/16 in"),
];

const HARDWARE: &[Def] = &[
    needed(text("name", "What", "screw, insert, washer")),
    needed(text("mass", "Mass of one", "0.008 lb")),
    text("mass_within", "Known within", "0.0005 lb"),
    number("count", "How many", "left empty: 1"),
    text("arm", "Arm", "of its middle, or give one of the two below"),
    choice("side", "Side", SIDES),
    text("behind_front", "Or: behind the front", "moves with the front of the piece"),
    text("ahead_of_front", "Or: stands out ahead of it", ""),
];

fn hole(from: &str) -> Vec<Def> {
    let mut defs = vec![
        needed(text("name", "What", "screw hole")),
        needed(text("diameter", "Diameter", "0.19 in")),
        needed(choice("from", "Drilled from", &["front", "top", "bottom", "end"])),
        needed(text("depth", "Depth", "through, or 1/2 in")),
        text("point", "Point of the drill", "118 deg; empty for a hole that goes through"),
        choice("measured", "Depth is measured", &["full diameter", "to the tip"]),
        text("counterbore", "Counterbore", "diameter, for the head of a screw: 0.4 in"),
        text("counterbore_depth", "Depth of that", "0.12 in"),
        text("countersink", "Or: countersink", "diameter in the face: 0.4 in"),
        text("countersink_angle", "Angle of that", "edge to edge: 82 deg"),
    ];
    if from != "front" {
        defs.extend([ARM, SIDE]);
    }
    if from != "top" && from != "bottom" {
        defs.push(text("height", "Height", "0.1 in above; left empty: on the chord plane"));
    }
    if from != "end" {
        defs.push(needed(list("along", "Along the hinge line", "a hole at each place, one on each line", 2)));
    }
    defs
}

const COATING: &[Def] = &[
    needed(text(
        "name",
        "What",
        "epoxy primer, polyurethane topcoat, epoxy topcoat, zinc chromate primer; or numbers of your own below",
    )),
    number("coats", "Coats", "left empty: 1"),
    text("mass_per_area", "Or: mass per area", "of the dry film, all coats: 32 g/m²"),
    text("mass_per_area_within", "Known within", "8 g/m²"),
    text("film", "Or: dry film", "all coats: 0.0008 in"),
    text("film_within", "Known within", "0.0002 in"),
    number("specific_gravity", "Specific gravity", "of the dry film: 1.6"),
];

/// `[trim]`
pub(in super::super) const TRIM: &[Def] = &[
    needed(text("tolerance", "Tolerance of its mass", "0.5 g")),
    text("for_the_file", "Left for the file", "what saw and drill leave: 1 g"),
    needed(text("resolution", "Step of the scale", "0.1 g")),
    text("calibration_uncertainty", "From the scale's certificate", "k = 2: 0.1 g"),
];

fn tool(kind: &str) -> Vec<Def> {
    match kind {
        "saw" => vec![
            needed(text("kerf", "Width of the cut", "1 mm")),
            number("ends", "Ends cut alike", "1 or 2"),
            needed(text("most", "Most off an end", "1/2 in")),
        ],
        "drill" => vec![
            ARM,
            SIDE,
            needed(list("diameters", "Drills at hand", "one on each line: 1/4 in", 2)),
            needed(text("point", "Point of the drills", "118 deg")),
            needed(text("deepest", "Deepest, to the tip", "0.4 in")),
            number("most_holes", "Most holes", ""),
        ],
        "file" => vec![needed(text("most", "Most off all over", "0.03 in"))],
        // Which fields a tool has hangs on its kind.
        _ => vec![],
    }
}

const INSERT: &[Def] = &[
    needed(text("material", "Metal", "denser than that of the casting: tungsten alloy class 3")),
    text("density", "Density, if measured", "in place of the table: 17.0 g/cm³"),
    ARM,
    SIDE,
    needed(list("diameters", "Rods at hand", "a diameter on each line: 1/4 in", 2)),
    text("point", "Point of the drills", "118 deg; left empty: holes with a flat bottom"),
    needed(text("longest", "Longest insert", "so the deepest hole: 0.6 in")),
];

/// `[fastening]`
pub(in super::super) const FASTENING: &[Def] = &[
    choice("bolt", "Bolts", &["AN3", "AN4", "AN5", "AN6"]),
    needed(choice("weight_lies", "From the arm, the weight lies", WAYS)),
    text("heel", "Bolts to the edge that presses", "0.4 in"),
    text("source", "Source of the factors below", "left empty: the usual ones are used"),
    number("normal", "Load normal to the surface, g", "24"),
    number("fore_and_aft", "Fore and aft, g", "12"),
    number("along_hinge", "Along the hinge line, g", "12"),
    number("ultimate", "Ultimate over limit", "1.5"),
    number("fitting", "Fitting factor", "1.15"),
    text("torque", "Torque", "22 in-lb"),
    choice("washer", "Washer", &["AN960-10", "AN960-416", "AN970-3", "AN970-4"]),
    choice("clamps_through", "Clamps through", &["hard metal", "bare lead"]),
];

const BOLT: &[Def] = &[
    needed(text("arm", "Arm", "hinge line to where its axis meets the joint")),
    SIDE,
    text("height", "Height", "0.2 in above"),
    text("along", "Along the hinge line", "0.8 in"),
];

const PLATE: &[Def] = &[
    needed(text("name", "What the bolts bear on", "horn arm")),
    needed(text("thickness", "Thickness", "0.09 in")),
    needed(text("bearing_strength", "Bearing strength", "ultimate: 100 ksi")),
    text("source", "Source", ""),
];

const THREAD: &[Def] = &[
    needed(text("name", "What the bolts pull on", "bolt in insert, insert in lead")),
    needed(text("thread", "Thread", "size and class: 10-32 UNF-2B, M5x0.8-6H")),
    needed(text("engagement", "Engaged length", "3/8 in")),
    needed(text(
        "external_strength",
        "Shear strength, external thread",
        "of the bolt or insert, ultimate: 75 ksi",
    )),
    text("external_source", "Source of that", ""),
    needed(choice("cut_in", "Internal thread cut in", &["hard metal", "lead"])),
    text(
        "internal_strength",
        "Shear strength, internal thread",
        "ultimate; empty for lead: a figure from memory",
    ),
    text("internal_source", "Source of that", ""),
];

/// `[root]`
pub(in super::super) const ROOT: &[Def] = &[
    text("arm", "Arm of the root", "hinge line to where the arm leaves the surface: 2 in"),
    choice("side", "Side", SIDES),
    text("height", "Height", "0.2 in above; left empty: on the chord plane"),
    text("along", "Along the hinge line", "0.8 in"),
    choice("arm_runs", "From the root, the arm runs", WAYS),
    text("arm_mass", "Mass of the arm beyond it", "left empty: the arm is not counted"),
    text("arm_mass_beyond", "Root to the centre of that", "along the arm: 1.8 in"),
    text("section_width", "Width of its section", "a bar, along the hinge line: 1/2 in"),
    text("section_height", "Height of its section", "1 in"),
    text("section_modulus", "Or: section modulus", "bending about the width: 0.08 in³"),
    text("section_modulus_across", "Section modulus across", "bending about the height"),
    text("section_area", "Area of the section", "0.5 in²"),
    text("strength", "Strength", "ultimate, in tension: 60 ksi"),
    text("source", "Source", ""),
];

/// `[drill_out]`
const DRILL_OUT: &[Def] = &[
    ARM,
    SIDE,
    needed(list("diameters", "Drills at hand", "one on each line: 1/4 in", 3)),
    needed(text("point", "Point of the drills", "118 deg")),
    needed(text("deepest", "Deepest, to the tip", "what the metal there allows: 0.6 in")),
    number("most_holes", "Most holes", "left empty: 1000"),
    text("removable", "Most that may go", "what the card lets go here: 0.15 lb"),
    text("old_mass", "Mass of the old weight", "left empty: only what goes is said, not what is left"),
];

/// The tables that may stand more than once, with what one of them is called.
pub(in super::super) const ROWS: [(&str, &str); 8] = [
    ("hardware", "Hardware"),
    ("hole", "Hole"),
    ("coating", "Coating"),
    ("tool", "Tool"),
    ("insert", "Insert"),
    ("bolt", "Bolt"),
    ("plate", "Plate"),
    ("thread", "Thread"),
];

/// The words of a choice that the page asks apart from the other fields.
pub(in super::super) const TOOLS: &[&str] = &["saw", "drill", "file"];

/// The fields of a table as it is typed; `row` is "hole.1" of a table that may stand more than once.
pub(in super::super) fn defs(typed: &Typed, table: &str, row: &str) -> Vec<Def> {
    let of = |key: &str| typed.get(&format!("{row}.{key}"));
    match table {
        "weight" => WEIGHT.to_vec(),
        "form" => form(of("kind"), typed.get("vary.what")),
        "vary" => vary(of("what")),
        "space" => SPACE.to_vec(),
        "hardware" => HARDWARE.to_vec(),
        "hole" => hole(of("from")),
        "coating" => COATING.to_vec(),
        "trim" => TRIM.to_vec(),
        "tool" => tool(of("kind")),
        "insert" => INSERT.to_vec(),
        "fastening" => FASTENING.to_vec(),
        "bolt" => BOLT.to_vec(),
        "plate" => PLATE.to_vec(),
        "thread" => THREAD.to_vec(),
        "root" => ROOT.to_vec(),
        "drill_out" => DRILL_OUT.to_vec(),
        _ => Vec::new(),
    }
}

/// The key that the page asks apart, on which the other fields of a table hang.
pub(super) fn first(table: &str) -> Option<Def> {
    match table {
        "form" => Some(choice("kind", "Form", FORMS)),
        "vary" => Some(choice("what", "What may vary", &[])),
        "tool" => Some(choice("kind", "Tool", TOOLS)),
        _ => None,
    }
}

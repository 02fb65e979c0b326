//! What a weight sheet comes to, as the pages show it: the big sentence, the picture, the drawing, the sums. All words
//! come from crate bench.

use crate::parts::{self, Tone};
use hingeline_bench::weight::drill_out::{Drilled, words as drill_words};
use hingeline_bench::weight::words::{self, Speech};
use hingeline_bench::weight::{Standing, Worked};
use hingeline_bench::words::CAUTIONS;
use hingeline_sheet::drawing::{Canvas, weight_picture, weight_views};
use hingeline_sheet::weight::{WeightTexts, drawing_of, picture_of, surface_json};
use hingeline_sheet::{Palette, SheetError};
use maud::{Markup, PreEscaped, html};

/// How far the flat sides of the picture lie from the piece at most, as a share of its size.
const PICTURE: f64 = 5e-4;

/// The big sentence; where there is no piece, why.
pub(super) fn headline(worked: &Worked) -> Markup {
    let tone = match worked.standing() {
        Standing::NoPiece => Tone::Bad,
        Standing::Short => Tone::Doubt,
        Standing::Solved | Standing::TooLight => Tone::Plain,
    };
    let stopped = words::stopped(worked);
    let inside = html! { @if !stopped.is_empty() { ul.tight { @for line in &stopped { li { (line) } } } } };
    html! {
        section class={ "verdict weight-headline " (tone.class()) } {
            p.big { @if tone != Tone::Plain { span aria-hidden="true" { (tone.sign()) " " } } (super::super::kept(&words::headline(worked))) }
            (inside)
        }
    }
}

/// What a calculation by the old arm would have missed.
pub(super) fn naive(worked: &Worked) -> Markup {
    section("Beside moment ÷ old arm", &words::naive(worked))
}

/// Before there is a piece: what is still to come.
pub(super) fn to_come(missing: &[String], wrong: &[(String, String)]) -> Markup {
    html! {
        section.verdict.plain.weight-headline {
            @if missing.is_empty() && wrong.is_empty() { p.big { "Nothing typed yet" } }
            @if !missing.is_empty() { p.big { "Still to come" } ul.tight { @for label in missing { li { (label) } } } }
            @if missing.is_empty() && !wrong.is_empty() { p.big { "Not worked out" } }
            @if wrong.len() == 1 { p { "One field cannot be read; beside it stands why:" } }
            @if wrong.len() > 1 { p { (wrong.len()) " fields cannot be read; beside each stands why:" } }
            @if !wrong.is_empty() { ul.tight { @for (field, what) in wrong {
                li { @if field.is_empty() { (what) } @else { a href={ "#" (parts::id(field)) } { (what) } } }
            } } }
        }
    }
}

/// The picture to turn by hand; without script it stands still.
pub(super) fn picture(worked: &Worked) -> Markup {
    let Some(piece) = worked.solution() else { return html! {} };
    let sheet = &worked.sheet;
    let tolerance = PICTURE * piece.envelope.swing.max(0.05);
    let Ok(picture) = picture_of(&sheet.design, piece, sheet.hand, tolerance) else {
        return html! { p.hint { "There is no picture of this form; the drawing below shows it." } };
    };
    let json = surface_json(&picture);
    let holes = if picture.holes.is_empty() { "" } else { " with the mouths of its holes" };
    let words = format!("The {}{holes}, seen from ahead and above", sheet.kind);
    html! {
        figure.drawing.turn {
            div.turn-still { (drawn(weight_picture(&picture, &words, &Palette::page(), Canvas::PHONE))) }
            canvas.turn-canvas hidden tabindex="0" role="img" data-surface=(json)
                aria-label=(format!("{words}; turn it with the arrow keys")) {}
            div.row.turn-buttons hidden {
                @for (way, word) in [("left", "Turn left"), ("right", "Turn right"), ("up", "Tip up"), ("down", "Tip down"), ("home", "As at first")] {
                    button.small type="button" data-turn=(way) { (word) }
                }
            }
            figcaption { "The piece" (holes) span.turn-how hidden { ": drag it, or use the arrow keys or the buttons" } }
        }
    }
}

/// The drawing with the old weight, the hinge line and the space, for a desk and for a phone.
pub(super) fn drawing(worked: &Worked) -> Markup {
    let Some(piece) = worked.solution() else { return html! {} };
    let texts = WeightTexts {
        hand: worked.sheet.hand,
        ..WeightTexts::new(&worked.sheet.metal.name, Speech::of(worked))
    };
    let drawing = drawing_of(&worked.sheet.design, piece, &texts);
    let palette = Palette::page();
    html! {
        figure.drawing {
            @for (class, canvas) in [("wide-only", Canvas::WIDE), ("phone-only", Canvas::PHONE)] {
                div class=(class) { (drawn(weight_views(&drawing, &palette, canvas))) }
            }
            figcaption { "The section and the views, to the scale of the bar" }
        }
    }
}

fn drawn(drawing: Result<Markup, SheetError>) -> Markup {
    drawing.unwrap_or_else(|error| html! { p { "The drawing cannot be made: " (error) } })
}

/// Parts, halves, what to cast, how sure, fastening, sources.
pub(super) fn rest(worked: &Worked) -> Markup {
    let known = words::sections(worked);
    let piece = known.iter().filter(|section| ["the piece", "the file"].contains(&section.title));
    html! {
        @for told in piece { (section(&super::super::say::capital(told.title), &told.lines)) }
        (parts_table(worked))
        (halves(worked))
        (section("What to cast", &words::reserve(worked)))
        (fastening(worked))
        (folded("How sure", &words::uncertainty(worked)))
        (folded("Where the numbers come from", &words::sources(worked)))
    }
}

fn section(title: &str, lines: &[String]) -> Markup {
    html! { @if !lines.is_empty() { section.card { h2 { (title) } ul.tight { @for line in lines { li { (line) } } } } } }
}

fn folded(title: &str, lines: &[String]) -> Markup {
    html! { @if !lines.is_empty() { details { summary { (title) } ul.tight { @for line in lines { li { (line) } } } } } }
}

/// Every part with mass × arm = moment, and their sum.
fn parts_table(worked: &Worked) -> Markup {
    let Some(piece) = worked.solution() else { return html! {} };
    let speech = Speech::of(worked);
    let row = |name: &str, mass: f64, arm: f64, moment: f64| {
        let sign = if mass < 0.0 { "−" } else { "" };
        vec![
            html! { (name) },
            html! { (sign) (speech.mass(mass.abs())) },
            html! { (speech.arm(arm)) },
            html! { (super::super::kept(&speech.moment(moment))) },
        ]
    };
    let mut rows: Vec<Vec<Markup>> = piece
        .parts
        .iter()
        .map(|part| {
            let name =
                if part.name.is_empty() { worked.sheet.metal.name.as_str() } else { part.name.as_str() };
            row(name, part.mass_kg, part.arm_m, part.moment_kg_m)
        })
        .collect();
    let all = &piece.finished;
    rows.push(row("the finished piece", all.mass_kg, all.arm_m, all.moment_kg_m));
    let steps: Vec<String> =
        words::parts(worked).iter().map(hingeline_bench::arithmetic::Step::line).collect();
    html! {
        div.parts-of-weight { (parts::table("Parts: mass × arm = moment", &["part", "mass", "arm", "moment"], &rows)) }
        details { summary { "The sums written out" } p.sum { (steps.join("\n")) } }
    }
}

fn halves(worked: &Worked) -> Markup {
    let lines: Vec<String> =
        words::halves(worked).iter().map(hingeline_bench::arithmetic::Step::line).collect();
    html! { @if !lines.is_empty() { section.card { h2 { "Halves, before holes and hardware" } p.sum { (lines.join("\n")) } } } }
}

/// The screening, every line of it for an engineer.
fn fastening(worked: &Worked) -> Markup {
    let lines = words::fastening(worked);
    html! {
        @if !lines.is_empty() {
            section.card {
                h2 { "Fastening: for the engineer to confirm" }
                ul.tight { @for line in &lines { li { (line) } } }
            }
        }
    }
}

/// The cautions that belong to this piece; before there is one, those of a casting.
pub(super) fn cautions(worked: Option<&Worked>) -> Markup {
    let told = worked.map_or_else(|| vec![CAUTIONS[2], CAUTIONS[3]], words::cautions);
    html! { div.cautions { @for caution in told { (parts::caution(caution)) } } }
}

/// The parts that an entry redraws, under their names.
pub(super) fn whole(worked: &Worked) -> [(&'static str, Markup); 5] {
    [
        ("headline", headline(worked)),
        ("naive", naive(worked)),
        ("picture", picture(worked)),
        ("drawing", drawing(worked)),
        ("rest", rest(worked)),
    ]
}

/// The same before there is a sheet.
pub(super) fn open(missing: &[String], wrong: &[(String, String)]) -> [(&'static str, Markup); 5] {
    let nothing = || PreEscaped(String::new());
    [
        ("headline", to_come(missing, wrong)),
        ("naive", nothing()),
        ("picture", nothing()),
        ("drawing", nothing()),
        ("rest", nothing()),
    ]
}

/// The parts of a form that asks for holes, under their names.
pub(super) fn holes(drilled: &Drilled) -> [(&'static str, Markup); 2] {
    [("headline", drill_headline(drilled)), ("rest", drill_rest(drilled))]
}

/// The big sentence of holes; where they will not do, why.
pub(super) fn drill_headline(drilled: &Drilled) -> Markup {
    let tone = if drilled.is_solved() { Tone::Plain } else { Tone::Bad };
    html! {
        section class={ "verdict weight-headline " (tone.class()) } {
            p.big { @if tone != Tone::Plain { span aria-hidden="true" { (tone.sign()) " " } } (super::super::kept(&drill_words::headline(drilled))) }
        }
    }
}

/// The holes, what is left, where the numbers come from.
pub(super) fn drill_rest(drilled: &Drilled) -> Markup {
    let told = drill_words::sections(drilled);
    html! {
        @for part in told.iter().filter(|part| part.title != "cautions") {
            @if part.title == "sources" { (folded("Where the numbers come from", &part.lines)) }
            @else { (section(&super::super::say::capital(part.title), &part.lines)) }
        }
    }
}

/// The cautions of drilling and of lead.
pub(super) fn drill_cautions(drilled: Option<&Drilled>) -> Markup {
    let told = drilled
        .map_or_else(|| vec![CAUTIONS[0], CAUTIONS[2]], |drilled| drill_words::cautions(&drilled.sheet));
    html! { div.cautions { @for caution in told { (parts::caution(caution)) } } }
}

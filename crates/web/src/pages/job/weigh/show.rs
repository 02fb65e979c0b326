//! What the fields come to, as the page shows it: drawing, band, verdict, corrections, advice, arithmetic.
//!
//! Main type: [`Shown`], the parts of the page that every entry redraws. All words come from crate bench.

use super::stand;
use super::ways::{Kind, Way};
use super::work::Worked;
use crate::form::{Typed, Wrong};
use crate::pages::job::{correction, say};
use crate::parts::{self, Tone};
use hingeline_balance::{Action, Outlier};
use hingeline_bench::assess::NotValid;
use hingeline_bench::mark::mark;
use hingeline_bench::record::deed::Field;
use hingeline_bench::record::expected::Expected;
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, CardSheet, StationCorrection, System, arithmetic, method_word};
use hingeline_quantity::{Entered, Length, Quantity};
use hingeline_sheet::drawing::{self, BenchDrawing, Canvas, Heavy, Method, ScaleBar, Station};
use hingeline_sheet::{Palette, SheetError, band_drawing, bench_drawing};
use maud::{Markup, html};

/// The parts of the page that an entry redraws.
pub(super) struct Shown {
    /// The stand: the frame for the fields and the drawing for a phone.
    pub(super) stand: Markup,
    /// The approved band with the weighing on it.
    pub(super) band: Markup,
    /// Verdict and doubt, or what is still to come.
    pub(super) verdict: Markup,
    /// Reasons, outliers, corrections, advice, notes, arithmetic.
    pub(super) rest: Markup,
    /// What the check of the scale shows.
    pub(super) check: Markup,
    /// What the corrections let expect.
    pub(super) expected: Markup,
}

impl Shown {
    /// All of them; `card` is the job's card, for the drawing before anything is worked out.
    pub(super) fn of(
        worked: &Worked,
        card: Option<&CardSheet>,
        way: &Way,
        typed: &Typed,
        system: System,
    ) -> Result<Self, SheetError> {
        let check = check(worked);
        let Some(own) = &worked.assessment else {
            let (verdict, rest) = (to_come(worked, way), html! {});
            return Ok(Self {
                stand: sketched(&schematic(card, way, typed)),
                band: html! {},
                verdict,
                rest,
                check,
                expected: html! {},
            });
        };
        let said = own.in_system(system);
        let other = own.in_units(said.sheet.limits.units.other());
        let mut bench = bench_drawing(&said);
        bench.heavy_label = short_heavy(&said);
        Ok(Self {
            stand: drawn(&bench)?,
            band: band(&said)?,
            verdict: verdict(worked, way, &said, &other),
            rest: rest(worked, &said, way),
            check,
            expected: html! {},
        })
    }

    /// The same with what the corrections let expect.
    pub(super) fn expecting(mut self, expected: Option<&Expected>) -> Self {
        if let Some(expected) = expected {
            self.expected = to_expect(expected);
        }
        self
    }

    /// The answer to an entry: each part under its name, and what is said beside each field.
    pub(super) fn fragment(&self, worked: &Worked, wrong: &Wrong, way: &Way, check_label: &str) -> Markup {
        let state = if worked.assessment.is_some() { "whole" } else { "open" };
        html! {
            div data-state=(state) data-whole=(if worked.whole() { "yes" } else { "no" }) {
                @if worked.assessment.is_some() {
                    div data-part="stand" { (self.stand) }
                    div data-part="band" { (self.band) }
                    div data-part="rest" { (self.rest) }
                } @else {
                    div data-part="schematic" { (self.stand) }
                }
                div data-part="verdict" { (self.verdict) }
                div data-part="check" data-label=(check_label) { (self.check) }
                div data-part="expected" { (self.expected) }
                @for set in way.sets() {
                    div data-look=(set) data-index=[look(worked, set)] { (looks(worked, set)) }
                }
                @if way.defs().any(|def| def.key == "arm") { div data-look="arm" { (look_at(worked, "arm")) } }
                @for (field, said) in wrong.all() {
                    div data-said=(field) { (parts::said(said)) }
                }
            }
        }
    }
}

fn drawn(bench: &BenchDrawing) -> Result<Markup, SheetError> {
    let list = bench.method == Method::PartsList;
    Ok(html! {
        @if list { div.stand-wide { (stand::phone(bench, Canvas::WIDE)?) } } @else { div.stand-wide { (stand::wide(bench)) } }
        div.stand-phone { (stand::phone(bench, Canvas::PHONE)?) }
    })
}

/// A sketch of the stand: no side is said, because none is known yet.
fn sketched(bench: &BenchDrawing) -> Markup {
    html! {
        div.stand-wide { (stand::wide(bench)) }
        div.stand-phone.sketch { (stand::wide(bench)) }
    }
}

/// The stand before anything is worked out: the card's places and outline, and the arm once it can be read.
fn schematic(card: Option<&CardSheet>, way: &Way, typed: &Typed) -> BenchDrawing {
    let forward = typed.get("side") == "forward";
    let turn = if forward && way.defs().any(|def| def.key == "side") { -1.0 } else { 1.0 };
    let arm = Entered::<Length>::parse(typed.get("arm"))
        .ok()
        .filter(|arm| arm.value.si() > 1e-3 && arm.value.si() < 5.0);
    let stations: Vec<Station> = card.map_or_else(Vec::new, |card| {
        let station = |known: &hingeline_bench::job_sheet::NamedStation| Station {
            name: known.name.clone(),
            arm_m: known.station.arm.si(),
            arm_label: known.typed_arm.clone(),
            note: String::new(),
        };
        card.stations.iter().map(station).collect()
    });
    let edge = card.and_then(|card| card.outline.trailing_edge).map(Quantity::si);
    let arm_m = arm.as_ref().map_or_else(|| edge.map_or(0.42, |edge| 0.9 * edge), |arm| arm.value.si());
    BenchDrawing {
        method: method(way),
        arm_m: turn * arm_m,
        arm_label: arm.as_ref().map_or_else(|| "arm".to_owned(), |arm| arm.text.clone()),
        heavy: Heavy::Balanced,
        stations,
        nose_m: card.and_then(|card| card.outline.nose).map(|nose| -nose.si()),
        trailing_edge_m: edge.filter(|edge| *edge >= arm_m || turn < 0.0),
        scale_bar: ScaleBar { length_m: 0.3 * arm_m, label: String::new() },
        ..BenchDrawing::default()
    }
}

fn method(way: &Way) -> Method {
    match way.word {
        "hung weight" => Method::HungWeight,
        "balance beam" => Method::BalanceBeam,
        "support scale" => Method::SupportScale,
        "two attitudes" => Method::TwoAttitudes,
        "parts list" => Method::PartsList,
        _ => Method::TrailingEdgeScale,
    }
}

fn short_heavy(assessment: &Assessment) -> String {
    let voice = Voice::of(assessment.last(), assessment.sheet.limits.units);
    voice.moment(assessment.last().measured.static_moment())
}

fn band(assessment: &Assessment) -> Result<Markup, SheetError> {
    let band = band_drawing(assessment);
    let palette = Palette::page();
    Ok(html! {
        div.band-wide { (drawing::band(&band, &palette, Canvas::WIDE)?) }
        div.band-phone { (drawing::band(&band, &palette, Canvas::PHONE)?) }
    })
}

/// Before there is a result: what is still to come, calmly, and which fields cannot be read, and why.
fn to_come(worked: &Worked, way: &Way) -> Markup {
    let missing = worked.missing.iter().map(|(_, label)| label);
    let labels: Vec<&String> = missing.chain(&worked.open).collect();
    let whole = worked.wrong.of("");
    html! {
        section.verdict.plain.to-come {
            @if labels.is_empty() && worked.wrong.is_empty() { p.big { "Nothing typed yet" } }
            @if !labels.is_empty() { p.big { "Still to come" } ul { @for label in &labels { li { (label) } } } }
            (cannot_be_read(worked, way))
            @for said in whole { (parts::said(said)) }
        }
        (beside_it(worked))
    }
}

/// The fields that cannot be read, each with the reason: the field itself keeps still while somebody types in it.
fn cannot_be_read(worked: &Worked, way: &Way) -> Markup {
    let beside: Vec<_> = worked.wrong.all().filter(|(field, _)| !field.is_empty()).collect();
    if beside.is_empty() {
        return html! {};
    }
    html! {
        div.beside {
            p { strong { @if beside.len() == 1 { "This field is to be mended" } @else { "These fields are to be mended" } } }
            ul { @for (field, said) in beside {
                li {
                    @let label = field_label(way, field);
                    a href={ "#" (parts::id(field)) } { @if !said.what.contains(&label) { (label) ": " } (said.what) }
                    @if let Some(allowed) = &said.allowed { "; allowed: " (allowed) }
                    @if let Some(hint) = &said.hint { "; hint: " (hint) }
                }
            } }
        }
    }
}

fn field_label(way: &Way, field: &str) -> String {
    let own = match field {
        "date" => Some("day".to_owned()),
        "zero" => Some("empty scale".to_owned()),
        "check" => Some("check weight".to_owned()),
        field => way.label(field),
    };
    let last = || field.rsplit('.').next().unwrap_or(field).replace('_', " ");
    own.unwrap_or_else(|| match field.split('.').next() {
        Some("part") => format!("{} of a part", last()),
        Some("struck") => "reading that does not count".to_owned(),
        _ => last(),
    })
}

/// What the corrections since the last weighing let expect.
fn to_expect(expected: &Expected) -> Markup {
    html! {
        p {
            strong { "After the correction: " }
            @if let Some(reading) = &expected.reading { (reading) "." }
            @else { "what should be read is said here once the set-up is typed." }
        }
        p.sum { (expected.words()) "." }
        @if let Some(beside) = &expected.beside { p.sum { "The weight as fitted: " (beside) "." } }
        @if expected.worked { p.sum { "Other work was entered too; its mass is not known, so it may differ." } }
        p.sum { "Type what the scale shows, also where it differs." }
    }
}

/// Which reading of a set is to be looked at.
fn look(worked: &Worked, set: &str) -> Option<usize> {
    let outlier = worked.outliers.iter().find(|(known, _)| *known == set).map(|(_, outlier)| outlier.index);
    outlier.or_else(|| worked.strays.iter().find(|(known, _)| *known == set).map(|(_, index)| *index))
}

/// The same in words, beside the set.
pub(super) fn looks(worked: &Worked, set: &str) -> Markup {
    let Some(index) = look(worked, set) else { return html! {} };
    html! {
        p { span aria-hidden="true" { "! " } "Look at this reading: " strong { (reading_at(worked, set, index)) } ", number " (index + 1) }
    }
}

/// Why a field is to be looked at, beside it.
pub(super) fn look_at(worked: &Worked, field: &str) -> Markup {
    html! {
        @for (_, said) in worked.looks.iter().filter(|(known, _)| *known == field) {
            p { span aria-hidden="true" { "! " } (say::capital(said)) }
        }
    }
}

/// What is to be looked at before it is entered; it stops nobody.
fn beside_it(worked: &Worked) -> Markup {
    html! {
        @if !worked.looks.is_empty() {
            (parts::notice(Tone::Doubt, "Look at this field", &html! {
                @for (field, said) in &worked.looks { p { a href={ "#" (parts::id(field)) } { (say::capital(said)) } "." } }
            }))
        }
        @if worked.unchecked {
            (parts::notice(Tone::Plain, "The scale was not checked today", &html! {
                p { "It has a check weight: put it on and type what the scale shows." }
            }))
        }
    }
}

fn reading_at(worked: &Worked, set: &str, index: usize) -> String {
    match worked.fields.get(set) {
        Some(Field::List(list)) => list.get(index).cloned().unwrap_or_default(),
        _ => String::new(),
    }
}

fn verdict(worked: &Worked, way: &Way, said: &Assessment, other: &Assessment) -> Markup {
    let (last, units) = (said.last(), said.sheet.limits.units);
    let voice = Voice::of(last, units);
    let there = Voice::of(other.last(), other.sheet.limits.units);
    let steps = arithmetic::moment(last, units);
    let result = voice.finer().moment(last.measured.static_moment());
    let key = steps.iter().rev().find(|step| step.result == result);
    let working = html! {
        @if let Some(step) = key { p.sum { (step.formula) br; "= " (step.numbers) br; "= " (step.result) } }
        p.also { "measured " (voice.measured(last)) " · in other units " (there.measured(other.last())) }
    };
    let mut first = words::before_correcting(last);
    first.retain(|known| known != words::SLING_ONLY_PULLS);
    html! {
        (parts::verdict(mark(last).into(), &words::verdict(last, &voice), &words::doubt(last, &voice), &working))
        @if !first.is_empty() { (parts::notice(Tone::Doubt, "First, before any correction", &correction::do_first(&first))) }
        @if words::below_sling(&last.taken.weighing.method) {
            (parts::notice(Tone::Doubt, "This cannot be read this way", &html! { p { (words::SLING_ONLY_PULLS) "." } }))
        }
        (cannot_be_read(worked, way))
        (beside_it(worked))
        @if !worked.open.is_empty() {
            (parts::notice(Tone::Plain, "Still to come", &html! {
                ul { @for label in &worked.open { li { (label) } } }
            }))
        }
        @if !last.reasons.is_empty() {
            (parts::notice(Tone::Doubt, "Not valid for release", &html! {
                ul {
                    @for reason in &last.reasons {
                        @if !matches!(reason, NotValid::NotConfirmed { .. }) { li { (words::reason(reason)) } }
                    }
                    @if last.reasons.iter().any(|reason| matches!(reason, NotValid::NotConfirmed { .. })) {
                        li { "not everything is confirmed that the approved data ask for" }
                    }
                }
            }))
        }
    }
}

fn rest(worked: &Worked, said: &Assessment, way: &Way) -> Markup {
    let last = said.last();
    let voice = Voice::of(last, said.sheet.limits.units);
    let attack = words::attack_first(said, last, &voice);
    let notes = words::notes(said, last);
    let aim = &words::limits(said, &voice)[2];
    html! {
        @for (set, outlier) in &worked.outliers { (stands_out(worked, way, set, outlier)) }
        @for (set, index) in &worked.strays { (stray(worked, way, set, *index)) }
        section.card.corrections {
            h2 { "To reach the aim, " (aim) }
            @if said.within() { p { "Within its limits: nothing has to be changed." } }
            div.stations { @for station in &said.corrections { (correction(said, station, &voice)) } }
            @if said.corrections.is_empty() { p { "The card names no place where mass may be changed." } }
            (parts::caution(words::CAUTIONS[0]))
        }
        @if !attack.is_empty() {
            section.card { h2 { "To measure closer" } ul.plain-list { @for line in &attack { li { (line) } } } }
        }
        @if !notes.is_empty() {
            section.card { h2 { "To know" } ul.plain-list { @for note in &notes { li { (note) } } } }
        }
        (in_full(said))
    }
}

/// A reading of a small set that lies far from the others.
fn stray(worked: &Worked, way: &Way, set: &str, index: usize) -> Markup {
    let label = way.label(set).unwrap_or_else(|| set.to_owned());
    parts::notice(
        Tone::Doubt,
        "Look at this reading",
        &html! {
            p {
                strong { (reading_at(worked, set, index)) } ", number " (index + 1) " of " (label)
                ", lies far from the others: more than ten steps and more than half of their middle value."
            }
            p { "Was it mistyped, or another unit? Read again first. Leave it out only where you know why, and say so." }
            button.quiet.small type="submit" name="do" value={ "strike " (set) " " (index) } { "Strike it, with a reason" }
        },
    )
}

fn stands_out(worked: &Worked, way: &Way, set: &str, outlier: &Outlier) -> Markup {
    let reading = reading_at(worked, set, outlier.index);
    let label = way.label(set).unwrap_or_else(|| set.to_owned());
    let digits = |value| hingeline_quantity::decimals(value, 2);
    parts::notice(
        Tone::Doubt,
        "One reading stands out",
        &html! {
            p {
                strong { (reading) } ", number " (outlier.index + 1) " of " (label) ", lies " (digits(outlier.statistic))
                " standard deviations from the mean of its set; the critical value is " (digits(outlier.critical))
                " (Grubbs’ test, two-sided, 5 %)."
            }
            p { "Read again first. Leave it out only where you know why, and say so: it stays in the record." }
            button.quiet.small type="submit" name="do" value={ "strike " (set) " " (outlier.index) } { "Strike it, with a reason" }
        },
    )
}

fn correction(said: &Assessment, station: &StationCorrection, voice: &Voice) -> Markup {
    let nothing = station.correction.action == Action::None;
    // A surface within its limits is asked for nothing, and a place that cannot do it alone is told nothing to do.
    let idle = !nothing && said.within();
    let beyond = !nothing && !station.does_it_alone();
    html! {
        div class=(if beyond { "correction beyond" } else { "correction" }) {
            p.what {
                @if idle && !beyond { small { "to reach the aim exactly: " } }
                (words::correction(station, voice))
            }
            p.where { (station.station.name) ", " (station.station.typed_arm) }
            @if beyond {
                details { summary { "The sum" } @for step in arithmetic::correction(said, station) { p.sum { (step.line()) } } }
            } @else if !nothing {
                @for step in arithmetic::correction(said, station) { p.sum { (step.line()) } }
            }
            @for note in words::correction_notes(station, voice) { p.note { (note) } }
        }
    }
}

/// The arithmetic in full: moment, budget, uncertainty.
fn in_full(said: &Assessment) -> Markup {
    let (last, units) = (said.last(), said.sheet.limits.units);
    let voice = Voice::of(last, units).finer();
    let inputs = last.measured.model.inputs.iter().zip(&last.measured.propagated.shares);
    html! {
        details.card.in-full {
            summary { "The arithmetic in full" }
            h3 { "Moment by " (method_word(&last.taken.weighing.method)) }
            @for step in arithmetic::moment(last, units) { p.sum { (step.line()) } }
            h3 { "What it is uncertain by" }
            @for (input, share) in inputs {
                p.sum {
                    (words::input_name(input, &last.taken.weighing.method)) " (type " (words::evaluation(input)) "): "
                    (arithmetic::source(input, share, last, units)) " = "
                    (voice.finer().size(hingeline_quantity::Moment::from_si(share.standard_uncertainty)))
                    ", " (words::percent_plain(share.share)) " of the variance"
                }
            }
            @for step in arithmetic::uncertainty(last, units) { p.sum { (step.line()) } }
        }
    }
}

fn check(worked: &Worked) -> Markup {
    let Some(checked) = &worked.checked else { return html! {} };
    let said = checked.words();
    if said.is_empty() {
        return html! {};
    }
    match checked.within {
        Some(false) => parts::notice(
            Tone::Bad,
            "The scale failed its check",
            &html! {
                p { (said.join(", ")) "." }
                p { "Zero the scale and check it again, or take another. Entered as it is, the weighing is not valid for release." }
            },
        ),
        Some(true) => {
            html! { p.check-said { (parts::badge(Tone::Good, "check within its bound")) " " (said.join(", ")) } }
        }
        None => html! { p.check-said { (said.join(", ")) } },
    }
}

/// The kinds of unit that the keypad offers for a field.
pub(super) fn units_of(kind: Kind) -> &'static str {
    match kind {
        Kind::Mass => "mass",
        Kind::Length => "length",
        Kind::Angle => "angle",
        Kind::Moment => "moment",
        Kind::MomentWithin => "moment-within",
        Kind::Instrument(_) | Kind::Choice(_) => "",
    }
}

//! The fields of the bench: where each lies, what stands in it, what is said beside it.
//!
//! Main function: [`whole`]. The page works as a plain form; assets/bench.js redraws it as somebody types.

use super::Bench;
use super::show::{self, Shown, units_of};
use super::typed;
use super::ways::{Def, Kind, PART, SECOND_SETS, SETS, WAYS, Way};
use super::work::{self, Worked};
use crate::form::Typed;
use crate::parts::{self, Tone, id};
use hingeline_bench::record::shop::{DueState, Shop};
use hingeline_bench::words::CAUTIONS;
use hingeline_bench::{System, same_item};
use hingeline_quantity::Unit;
use maud::{Markup, html};

/// The whole bench.
pub(super) fn whole(bench: &Bench<'_>, worked: &Worked, shown: &Shown) -> Markup {
    let typed = &bench.filled.typed;
    html! {
        form id="bench" method="post" action=(bench.address())
            class={ "bench way-" (bench.way.slug) " side-" (side(bench)) }
            data-preview=(bench.at("/weigh/preview")) data-draft=(bench.at("/weigh/draft"))
            data-form=(bench.draft) data-rev=(bench.rev) data-cleared=(bench.cleared) data-method=(bench.way.word)
            data-reads={ "@" (bench.way.slug) "@" (bench.after) } {
            (parts::seen(bench.entries))
            input type="hidden" name="stage" value=(bench.stage.word());
            input type="hidden" name="method" value=(bench.way.word);
            input type="hidden" name="draft" value=(bench.draft);
            input type="hidden" name="units" value=(bench.system.word());
            @if let Some(entry) = bench.mends { input type="hidden" name="mends" value=(entry); }
            // After a refusal what is missing is said beside its field as well.
            @if bench.refused { input type="hidden" name="refused" value="yes"; }
            // The first button of a form is the one that Enter presses.
            button.unseen type="submit" name="do" value="work-out" tabindex="-1" aria-hidden="true" { "Work it out" }
            fieldset.whole disabled[bench.read_only.is_some()] {
                legend.unseen { "Weighing" }
                (before(bench, worked, shown))
                div.bench-split {
                    div.bench-main {
                        div.stand {
                            @if bench.way.readings.is_some() { (face(bench, worked, shown)) }
                            div.field-of-drawing {
                                div.picture data-part="stand" { (shown.stand) }
                                @for def in bench.way.on_drawing { (slot(bench, worked, def)) }
                            }
                        }
                        @if bench.way.readings.is_none() { (parts_list(bench, worked)) }
                        (struck(bench))
                        div.band data-part="band" { (shown.band) }
                        (parts::caution(CAUTIONS[1]))
                    }
                    aside.bench-side aria-label="Result" {
                        div id="verdict" data-part="verdict" aria-live="polite" { (shown.verdict) }
                        div.row.no-script { button.quiet type="submit" name="do" value="work-out" { "Work it out" } }
                        (enter(bench, typed))
                    }
                    div.bench-rest data-part="rest" { (shown.rest) }
                }
            }
        }
        div id="keypad" hidden {}
    }
}

fn side(bench: &Bench<'_>) -> &'static str {
    if bench.way.defs().any(|def| def.key == "side") && bench.filled.typed.get("side") == "forward" {
        "forward"
    } else {
        "aft"
    }
}

/// Method, stage and units: links, so that they work without script.
pub(super) fn choices(bench: &Bench<'_>) -> Markup {
    let to = |way: &Way, system: System| bench.link(way, system);
    html! {
        div.bench-choices {
            nav.ways-of-weighing aria-label="Method" {
                @for way in &WAYS {
                    a href=(to(way, bench.system)) aria-current=[(way.slug == bench.way.slug).then_some("true")] title=(way.how) { (way.word) }
                }
            }
            nav.units aria-label="Units of the results, and of a number typed without one" {
                @for (word, system) in [("as the limits", System::AsLimits), ("in · lb", System::Customary), ("mm · kg", System::Metric)] {
                    a href=(to(bench.way, system)) data-units=(system.word())
                        data-mass=[bench.unit_in("mass", system).map(symbol)] data-length=[bench.unit_in("length", system).map(symbol)]
                        data-angle=[bench.unit_in("angle", system).map(symbol)] data-moment-within=[bench.unit_in("moment-within", system).map(symbol)]
                        aria-current=[(system == bench.system).then_some("true")] { (word) }
                }
            }
        }
    }
}

/// Day, zero and check weight, configuration.
fn before(bench: &Bench<'_>, worked: &Worked, shown: &Shown) -> Markup {
    let check = check_label(&bench.visit.shop, worked);
    let configuration = &bench.configuration;
    html! {
        div.before {
            section.group.day {
                (line((bench, worked), "date", "day", "date", "", "", true))
                @if bench.way.defs().any(|def| def.key == "scale") {
                    (line((bench, worked), "zero", "empty scale shows", "text", "mass", "", false))
                    // Without a label it is hidden until a scale with a check weight is chosen.
                    (line((bench, worked), "check", &check, "text", "mass", "", false))
                }
                div.check data-part="check" { (shown.check) }
            }
            @if !configuration.is_empty() {
                fieldset.group.configuration id=(id("confirmed")) {
                    legend { "Tick what is true now: the approved data ask for it" }
                    div.ticks {
                        @for item in configuration {
                            label.tick {
                                input type="checkbox" name="confirmed" value=(item)
                                    checked[bench.filled.typed.all("confirmed").iter().any(|known| same_item(known, item))];
                                span { (item) }
                            }
                        }
                    }
                    (wrong(bench, "confirmed"))
                }
            }
        }
    }
}

/// What the check field is for; empty where the scale has no check weight.
pub(super) fn check_label(shop: &Shop, worked: &Worked) -> String {
    let Some(scale) = work::scale(shop, &worked.fields).filter(|scale| !scale.check_weight.is_empty()) else {
        return String::new();
    };
    if scale.check_within.is_empty() {
        format!("{} shows", scale.check_weight)
    } else {
        format!("{} shows (± {})", scale.check_weight, scale.check_within)
    }
}

fn symbol(unit: &'static Unit) -> &'static str {
    unit.symbol
}

/// The unit of a bare number, for as long as the field is there.
fn unit_beside(bench: &Bench<'_>, units: &str) -> Markup {
    html! { @if let Some(unit) = bench.unit(units) { " " span.unit { (unit.symbol) } } }
}

/// A field of one line.
fn line(
    (bench, worked): (&Bench<'_>, &Worked),
    name: &str,
    label: &str,
    kind: &str,
    units: &str,
    hint: &str,
    needed: bool,
) -> Markup {
    let id = id(name);
    let bad = !bench.filled.wrong.of(name).is_empty();
    html! {
        div class={ "at at-" (name.replace(['_', '.'], "-")) (if bad { " wrong" } else { "" }) } hidden[label.is_empty()] {
            label for=(id) { (label) (unit_beside(bench, units)) @if !needed { span.optional { " optional" } } }
            input id=(id) name=(name) type=(kind) value=(bench.filled.typed.get(name)) autocomplete="off"
                data-units=[(!units.is_empty()).then_some(units)] data-unit=[bench.unit(units).map(symbol)]
                aria-describedby={ "said-" (id) } aria-invalid=[bad.then_some("true")];
            @if !hint.is_empty() { p.hint { (hint) } }
            @if name == "arm" { div.look data-look-of="arm" { (show::look_at(worked, "arm")) } }
            (wrong(bench, name))
        }
    }
}

/// Where is said what is wrong with a field.
fn wrong(bench: &Bench<'_>, name: &str) -> Markup {
    html! {
        div.said id={ "said-" (id(name)) } data-said-of=(name) {
            @for each in bench.filled.wrong.of(name) { (parts::said(each)) }
        }
    }
}

/// One field on the drawing or in the head of the readings.
fn slot(bench: &Bench<'_>, worked: &Worked, def: &Def) -> Markup {
    match def.kind {
        Kind::Instrument(kind) => instrument(bench, def, kind),
        Kind::Choice(words) => choice(bench, def, words),
        kind => line((bench, worked), def.key, def.label, "text", units_of(kind), def.hint, def.needed),
    }
}

fn choice(bench: &Bench<'_>, def: &Def, words: &[&str]) -> Markup {
    let given = bench.filled.typed.get(def.key);
    html! {
        fieldset class={ "at toggle at-" (def.key.replace('_', "-")) } id=(id(def.key)) {
            legend { (def.label) }
            div.both-words { @for word in words {
                label { input type="radio" name=(def.key) value=(word) checked[given == *word]; span { (word) } }
            } }
            (wrong(bench, def.key))
        }
    }
}

/// What was typed before the surface was changed last: left out, until somebody says that it counts.
pub(super) fn older(bench: &Bench<'_>) -> Markup {
    parts::notice(
        Tone::Doubt,
        &format!("Typed before {}", bench.changed),
        &html! {
            p { "The surface is another one since. These readings are left out:" }
            ul {
                @for (_, set, value) in &bench.older {
                    li { (bench.way.label(set).unwrap_or_else(|| (*set).to_owned())) ": " (value) }
                }
            }
            div.row {
                button.quiet.small type="submit" form="bench" name="do" value="drop-older" { "Drop them" }
                button.quiet.small type="submit" form="bench" name="do" value="use-older" { "Use them after all" }
            }
        },
    )
}

fn instrument(bench: &Bench<'_>, def: &Def, kind: &str) -> Markup {
    let (id, given) = (id(def.key), bench.filled.typed.get(def.key));
    let known = instruments(&bench.visit.shop, kind);
    let gone = !given.is_empty() && !known.contains(&given);
    let bad = !bench.filled.wrong.of(def.key).is_empty();
    html! {
        div class={ "at at-" (def.key) (if bad { " wrong" } else { "" }) } {
            label for=(id) { (def.label) @if !def.needed { span.optional { " optional" } } }
            select id=(id) name=(def.key) aria-describedby={ "said-" (id) } aria-invalid=[bad.then_some("true")] {
                option value="" { "choose" }
                @if gone { option value=(given) selected { (given) ", not in use" } }
                @for known in known {
                    @let instrument = &bench.visit.shop.instruments[known];
                    option value=(known) selected[known == given] {
                        (known) ", " (instrument.text("resolution"))
                        @if instrument.due_state(bench.visit.today) == DueState::Past { ", past due" }
                    }
                }
            }
            (wrong(bench, def.key))
        }
    }
}

/// The ids of the instruments of a kind that are in use.
pub(in crate::pages::job) fn instruments<'s>(shop: &'s Shop, kind: &str) -> Vec<&'s str> {
    let of_kind =
        shop.instruments.iter().filter(|(_, known)| known.retired.is_none() && known.text("kind") == kind);
    of_kind.map(|(id, _)| id.as_str()).collect()
}

/// The face of the scale: which one, how it is read, and its readings.
fn face(bench: &Bench<'_>, worked: &Worked, shown: &Shown) -> Markup {
    let at_rest = bench.filled.typed.get("way") == "rest";
    html! {
        div.face {
            div.face-head {
                @for def in bench.way.head { (slot(bench, worked, def)) }
                fieldset.at.toggle.at-way {
                    legend { "read" }
                    div.both-words {
                        label { input type="radio" name="way" value="turning" checked[!at_rest]; span { "raising, lowering" } }
                        label { input type="radio" name="way" value="rest" checked[at_rest]; span { "at rest" } }
                    }
                }
            }
            div.expected data-part="expected" { (shown.expected) }
            (sets(bench, worked, &SETS, ""))
            @if bench.way.second { (sets(bench, worked, &SECOND_SETS, "at the second angle, ")) }
        }
    }
}

fn sets(bench: &Bench<'_>, worked: &Worked, keys: &[&'static str; 3], before: &str) -> Markup {
    let Some(reading) = bench.way.readings else { return html! {} };
    let arrows = ["–", "▲", "▼"];
    let kinds = ["rest", "turning", "turning"];
    html! {
        div.sets {
            @for (index, key) in keys.iter().enumerate() {
                @let (id, bad) = (id(key), !bench.filled.wrong.of(key).is_empty());
                div class={ "set set-" (kinds[index]) (if bad { " wrong" } else { "" }) } data-set=(key) {
                    label for=(id) { span aria-hidden="true" { (arrows[index]) " " } (before) (reading.labels[index]) (unit_beside(bench, units_of(reading.kind))) }
                    input id=(id) name=(key) value=(bench.filled.typed.get(key)) autocomplete="off" data-series
                        data-units=(units_of(reading.kind)) data-unit=[bench.unit(units_of(reading.kind)).map(symbol)]
                        aria-describedby={ "said-" (id) };
                    p.hint.no-script { "readings parted by semicolons" }
                    div.look data-look-of=(key) { (show::looks(worked, key)) }
                    (wrong(bench, key))
                }
            }
        }
    }
}

/// Readings that do not count, each with its reason.
fn struck(bench: &Bench<'_>) -> Markup {
    let all = typed::struck(&bench.filled.typed);
    html! {
        div.struck-list id="struck" {
            @for (row, struck) in &all { (struck_row(bench, *row, &struck.set, &struck.reading, &struck.reason)) }
        }
    }
}

fn struck_row(bench: &Bench<'_>, row: usize, set: &str, reading: &str, reason: &str) -> Markup {
    let name = format!("struck.{row}.reason");
    let label = bench.way.label(set).unwrap_or_else(|| set.to_owned());
    let bad = !bench.filled.wrong.of(&name).is_empty();
    html! {
        div class=(if bad { "struck wrong" } else { "struck" }) data-row=(row) {
            input type="hidden" name={ "struck." (row) ".set" } value=(set);
            input type="hidden" name={ "struck." (row) ".reading" } value=(reading);
            label for=(id(&name)) { "Does not count: " s { (reading) } " of " (label) ". Why?" }
            input id=(id(&name)) name=(name) value=(reason) autocomplete="off" aria-describedby={ "said-" (id(&name)) };
            button.quiet.small type="submit" name="do" value={ "restore " (row) } { "Let it count again" }
            (wrong(bench, &name))
        }
    }
}

/// The rows of a parts list, with an empty one at the end.
fn parts_list(bench: &Bench<'_>, worked: &Worked) -> Markup {
    let mut rows = typed::rows(&bench.filled.typed, bench.way);
    rows.push(rows.last().map_or(0, |last| last + 1));
    html! {
        fieldset.group.parts {
            legend { "Parts" }
            @for row in rows { (part(bench, worked, row)) }
            div.row { button.quiet.small type="submit" name="do" value="work-out" data-add-part { "Another part" } }
            (wrong(bench, "part"))
        }
    }
}

fn part(bench: &Bench<'_>, worked: &Worked, row: usize) -> Markup {
    html! {
        div.part data-row=(row) {
            @for (key, label, needed) in PART {
                @let name = format!("part.{row}.{key}");
                @match key {
                    "side" => (pick(bench, &name, label, &["forward", "aft"])),
                    "change" => (pick(bench, &name, label, &["added", "removed"])),
                    _ => (line((bench, worked), &name, label, "text", typed::units_of_part(key), "", needed)),
                }
            }
        }
    }
}

fn pick(bench: &Bench<'_>, name: &str, label: &str, words: &[&str]) -> Markup {
    let given = bench.filled.typed.get(name);
    html! {
        div.at {
            label for=(id(name)) { (label) }
            select id=(id(name)) name=(name) {
                option value="" { "choose" }
                @for word in words { option value=(word) selected[given == *word] { (word) } }
            }
            (wrong(bench, name))
        }
    }
}

/// The reason of a mend, and the button.
fn enter(bench: &Bench<'_>, typed: &Typed) -> Markup {
    let word = if bench.mends.is_some() { "Enter the mended one" } else { "Enter this weighing" };
    html! {
        section.card.enter {
            @if bench.mends.is_some() {
                div class=(if bench.filled.wrong.of("reason").is_empty() { "field" } else { "field wrong" }) {
                    label for="f-reason" { "Why it is mended" }
                    input id="f-reason" name="reason" value=(typed.get("reason")) autocomplete="off" aria-describedby="said-f-reason";
                    (wrong(bench, "reason"))
                }
            }
            button.enter-button type="submit" name="do" value="enter" { (word) }
            p.saved role="status" id="saved" {}
        }
        @if bench.mends.is_none() {
            details.drop {
                summary { "Drop what is typed?" }
                p { "Everything that was typed here and is not entered yet goes, on every tablet. There is no way back." }
                button.quiet.small type="submit" name="do" value="clear" formnovalidate { "Yes, drop it all" }
            }
        }
    }
}

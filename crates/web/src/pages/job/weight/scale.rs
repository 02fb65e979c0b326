//! The scale that a casting lies on: chosen from the shop's instruments, with its zero and its check weight.
//!
//! Main function: [`read`]. Rules and words come from crate bench, as for a weighing of the surface.

use crate::form::{Filled, Said, Typed, Wrong};
use crate::pages::job::weigh::instruments;
use crate::parts::{self, Field, Tone};
use crate::visit::Visit;
use hingeline_bench::record::casting;
use hingeline_bench::record::check;
use hingeline_bench::record::deed::{BeforeWeighing, Deed, Fields};
use hingeline_bench::record::shop::{DueState, Instrument};
use hingeline_bench::record::weight::{BalanceWeight, Cast};
use maud::{Markup, html};

/// The scale of a casting, as it is entered.
#[derive(Debug, Clone, Default)]
pub(super) struct OnScale {
    /// Its table as it stands; none where the shop has no scale in use.
    pub(super) table: Option<Fields>,
    /// Zero and check weight, where either was typed.
    pub(super) before: Option<BeforeWeighing>,
}

impl OnScale {
    /// The check as an entry of the shop.
    pub(super) fn checked(&self) -> Option<Deed> {
        let id = super::super::say::text(self.table.as_ref()?, "id").to_owned();
        Some(Deed::Checked { id, check: self.before.clone()? })
    }
}

/// What was typed of the scale; says what is wrong with it.
pub(super) fn read(visit: &Visit, typed: &Typed, wrong: &mut Wrong) -> OnScale {
    let known = instruments(&visit.shop, "scale");
    if known.is_empty() {
        return OnScale::default();
    }
    let id = typed.get("scale");
    let Some(scale) = visit.shop.instruments.get(id).filter(|_| known.contains(&id)) else {
        let said = Said::new("which scale it lay on is not chosen").allowed(known.join("; "));
        wrong.say(
            "scale",
            said.hint("choose it; a scale that is not there is entered first under Instruments"),
        );
        return OnScale::default();
    };
    let before = before(scale, typed, wrong);
    let capacity = scale.text("capacity");
    if check::over_capacity(capacity, typed.get("mass")) {
        let said = Said::new(format!("{} is more than {id} can weigh", typed.get("mass")));
        wrong.say(
            "mass",
            said.allowed(format!("up to {capacity}")).hint("look at the unit, or choose another scale"),
        );
    }
    OnScale { table: casting::scale(&visit.shop, id, before.as_ref(), visit.today), before }
}

/// Zero and check weight, where either was typed; a bare number is in the unit of the scale.
fn before(scale: &Instrument, typed: &Typed, wrong: &mut Wrong) -> Option<BeforeWeighing> {
    if !typed.has("zero") && !typed.has("check") {
        return None;
    }
    let [zero, check] = ["zero", "check"].map(|field| check::with_unit_of_scale(scale, typed.get(field)));
    let before = BeforeWeighing { zero, check };
    for (field, error) in check::judge(scale, &before).err().into_iter().flatten() {
        let said = Said::new(format!("{field}: {error}")).allowed(error.problem.allowed());
        wrong.say(field, said.hint(error.problem.hint()));
    }
    Some(before)
}

/// The inputs; nothing where the shop has no scale in use.
pub(super) fn fields(visit: &Visit, weight: &BalanceWeight, filled: &Filled) -> Markup {
    let known = instruments(&visit.shop, "scale");
    let mut filled = filled.clone();
    if filled.typed.pairs().is_empty() {
        filled.typed.set("scale", proposed(weight, &known));
    }
    let scales: Vec<(&str, &Instrument)> =
        known.iter().filter_map(|id| Some((*id, visit.shop.instruments.get(*id)?))).collect();
    let words: Vec<(&str, String)> = scales.iter().map(|(id, scale)| (*id, word(visit, id, scale))).collect();
    let mut choices = vec![("", "choose")];
    choices.extend(words.iter().map(|(id, word)| (*id, word.as_str())));
    let weights: Vec<String> = scales.iter().filter_map(|(id, scale)| check_weight(id, scale)).collect();
    let hint = format!("of {}", weights.join("; "));
    let opened = ["zero", "check"].iter().any(|key| filled.typed.has(key))
        || visit.shop.instruments.get(filled.typed.get("scale")).is_some_and(|scale| unchecked(visit, scale));
    html! {
        @if known.is_empty() {
            p.hint { "The shop has no scale in use, so none is kept with this weighing. " a href="/instruments" { "Instruments" } }
        } @else {
            (Field::choice("scale", "Scale", &choices).hint("its step and its certificate count").needed().show(&filled))
            @if !weights.is_empty() {
                details open[opened] {
                    summary { "Check of the scale" }
                    div.pair {
                        (Field::line("zero", "Empty, it shows").hint("a bare number is in the unit of the scale").show(&filled))
                        (Field::line("check", "With its check weight, it shows").hint(&hint).show(&filled))
                    }
                }
            }
        }
    }
}

/// The scale of the last casting, else the only one.
fn proposed(weight: &BalanceWeight, known: &[&str]) -> String {
    let last = weight.casts.last().map_or("", casting::id);
    match known {
        _ if known.contains(&last) => last.to_owned(),
        [only] => (*only).to_owned(),
        _ => String::new(),
    }
}

/// "S-5, step 0.1 g, due 2027-05-31, not checked today".
fn word(visit: &Visit, id: &str, scale: &Instrument) -> String {
    let mut said = vec![format!("{id}, step {}", scale.text("resolution"))];
    said.push(match (scale.due_state(visit.today), scale.text("due")) {
        (DueState::Past, due) => format!("past due since {due}"),
        (DueState::Unknown, _) => "no due date".to_owned(),
        (_, due) => format!("due {due}"),
    });
    if check::failed(scale).is_some() {
        said.push("its last check failed".to_owned());
    }
    if unchecked(visit, scale) {
        said.push("not checked today".to_owned());
    }
    said.join(", ")
}

fn unchecked(visit: &Visit, scale: &Instrument) -> bool {
    check::not_checked(scale, None, |at| visit.local(at).starts_with(&visit.today.to_string()))
}

fn check_weight(id: &str, scale: &Instrument) -> Option<String> {
    match (scale.check_weight.trim(), scale.check_within.trim()) {
        ("", _) => None,
        (weight, "") => Some(format!("{id}: {weight}")),
        (weight, within) => Some(format!("{id}: {weight} ± {within}")),
    }
}

/// What is to be looked at about the scale of the last casting.
pub(super) fn notice(casts: &[Cast]) -> Markup {
    let scale = casts.last().and_then(|cast| cast.scale.as_ref());
    let said = scale.map_or_else(Vec::new, casting::to_look_at);
    let id = casts.last().map_or("", casting::id);
    html! {
        @if !said.is_empty() {
            (parts::notice(Tone::Doubt, &format!("Look at the scale {id}"), &html! {
                @for each in &said { p { (super::super::say::capital(each)) "." } }
                p { "Weigh the casting on a scale that is in date and was checked." }
            }))
        }
    }
}

/// The scale of a casting in a table: its id, its check, what is wrong with it.
pub(super) fn cell(cast: &Cast) -> Markup {
    let Some(scale) = &cast.scale else { return html! { span.hint { (casting::NOT_NAMED) } } };
    let check = cast.before.as_ref().map(casting::check_words).unwrap_or_default();
    html! {
        (casting::id(cast))
        @if !check.is_empty() { " " span.hint { (check) } }
        @for each in casting::to_look_at(scale) { " " (parts::badge(Tone::Doubt, &each)) }
    }
}

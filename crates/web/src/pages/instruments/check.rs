//! The daily check of a scale: zero and check weight, their history as a chart and in words.

use super::{Forms, find};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Chart, Dot, Field, Tone, chart};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::check::{
    Checked, judge, over_capacity, shown_zero, stored, unit_of, with_unit_of_scale,
};
use hingeline_bench::record::deed::{BeforeWeighing, Deed};
use hingeline_bench::record::shop::{Check, Instrument};
use hingeline_quantity::{Quantity, decimals};
use jiff::Timestamp;
use maud::{Markup, html};

/// How many checks the page shows.
const SHOWN: usize = 60;

/// A check as it stands in the record, with what it says.
struct Past<'i> {
    check: &'i Check,
    said: Option<Checked>,
}

/// Every check with what it says, each compared with those before it alone.
fn past(instrument: &Instrument) -> Vec<Past<'_>> {
    let from = instrument.checks.len().saturating_sub(SHOWN);
    let each = instrument.checks.iter().enumerate().skip(from);
    each.map(|(index, check)| Past { check, said: stored(instrument, index) }).collect()
}

fn tone(said: Option<&Checked>) -> (Tone, &'static str) {
    match said.and_then(|said| said.within) {
        Some(true) => (Tone::Good, "within"),
        Some(false) => (Tone::Bad, "TOO FAR OFF"),
        None => (Tone::Plain, "no bound"),
    }
}

/// The part of an instrument's page.
pub(super) fn section(visit: &Visit, address: &str, instrument: &Instrument, filled: &Filled) -> Markup {
    if instrument.text("kind") != "scale" {
        return html! {};
    }
    let past = past(instrument);
    html! {
        section.flow aria-labelledby="checks" {
            h2 #checks { "Daily checks" }
            @if past.is_empty() { p.empty { "No check yet." } } @else { (history(visit, &past)) }
            @if instrument.retired.is_none() { (form(visit, address, instrument, filled)) }
        }
    }
}

fn form(visit: &Visit, address: &str, instrument: &Instrument, filled: &Filled) -> Markup {
    let weight = instrument.check_weight.as_str();
    let unit =
        unit_of(instrument).map_or(String::new(), |unit| format!("; a bare number is in {}", unit.symbol));
    let hint = format!("with {weight} on it{unit}");
    let zero = shown_zero(instrument).unwrap_or_default();
    html! {
        form.card method="post" action={ (address) "/check" } {
            h2 { "Today's check" }
            (parts::seen(visit.shop.entries))
            div.fields {
                (Field::line("zero", "It shows with nothing on it").needed().hint(&zero).show(filled))
                @if !weight.is_empty() { (Field::line("check", "It shows with its check weight").needed().hint(&hint).show(filled)) }
            }
            div.row { button type="submit" { "Enter the check" } }
        }
    }
}

fn history(visit: &Visit, past: &[Past<'_>]) -> Markup {
    let row = |check: &Past<'_>| {
        let (tone, word) = tone(check.said.as_ref());
        let words = check.said.as_ref().map(Checked::words).unwrap_or_default();
        vec![
            html! { (visit.local(&check.check.at)) },
            html! { (check.check.by) },
            html! { (check.check.before.zero) },
            html! { (check.check.before.check) },
            html! { (words.join("; ")) },
            parts::badge(tone, word),
        ]
    };
    let rows: Vec<Vec<Markup>> = past.iter().rev().map(row).collect();
    html! {
        (drawing(visit, past))
        details {
            summary { "All checks in words" }
            (parts::table("Newest first", &["when", "who", "zero", "check weight", "says", "bound"], &rows))
        }
    }
}

/// How far the check weight read off, over the days.
fn drawing(visit: &Visit, past: &[Past<'_>]) -> Markup {
    let Some(last) =
        past.iter().rev().find_map(|check| check.said.as_ref().filter(|said| said.off.is_some()))
    else {
        return html! {};
    };
    let unit = last.unit;
    let dots: Vec<Dot> = past.iter().filter_map(|check| dot(visit, check, unit)).collect();
    let bound = last.bound.map(|bound| bound.in_unit(unit));
    let text =
        |value: f64| format!("{} {}", decimals(value, hingeline_quantity::places(value, 2)), unit.symbol);
    let mut left = vec![(0.0, "0".to_owned())];
    left.extend(
        bound
            .into_iter()
            .flat_map(|bound| [(bound, format!("+{}", text(bound))), (-bound, format!("−{}", text(bound)))]),
    );
    let ends = [dots.first(), dots.last()];
    let foot = ends
        .into_iter()
        .flatten()
        .map(|dot| (dot.x, dot.label.chars().take(10).collect()))
        .collect::<Vec<_>>();
    let foot = if dots.len() > 1 { foot } else { foot.into_iter().take(1).collect() };
    let drawn = chart(&Chart {
        title: "How far the check weight read off, over the days; the table says the same in words"
            .to_owned(),
        band: bound.map(|bound| (-bound, bound)),
        line: None,
        dots,
        left,
        foot,
    });
    html! { figure.drawing { (drawn) figcaption { "Check weight, off by; the band is what is allowed. A cross lies outside." } } }
}

fn dot(visit: &Visit, check: &Past<'_>, unit: &hingeline_quantity::Unit) -> Option<Dot> {
    let said = check.said.as_ref()?;
    let at: Timestamp = check.check.at.parse().ok()?;
    #[allow(clippy::cast_precision_loss, reason = "seconds of this century fit in a double exactly")]
    let x = at.as_second() as f64;
    let label = format!("{}: {}", visit.local(&check.check.at), said.words().join("; "));
    Some(Dot { x, y: said.off?.in_unit(unit), label, tone: tone(Some(said)).0 })
}

/// POST /instruments/{id}/check
pub(crate) async fn enter(visit: Visit, Path(id): Path<String>, typed: Typed) -> Answer {
    let instrument = find(&visit, &id)?;
    let [zero, check] = ["zero", "check"].map(|field| with_unit_of_scale(instrument, typed.get(field)));
    let check = BeforeWeighing { zero, check };
    let wrong = wrong(instrument, &typed, &check);
    if !wrong.is_empty() {
        let forms = Forms { check: Filled::refused(typed, wrong), ..Forms::default() };
        return visit.refused(&id, super::content(&visit, &id, instrument, &forms));
    }
    let off = judge(instrument, &check).ok().flatten().is_some_and(|said| said.within == Some(false));
    visit.enter_shop(&Deed::Checked { id: id.clone(), check }, &typed).await?;
    go_saying(&format!("/instruments/{}", parts::escape(&id)), if off { "check-failed" } else { "checked" })
}

fn wrong(instrument: &Instrument, typed: &Typed, check: &BeforeWeighing) -> Wrong {
    let mut wrong = Wrong::default();
    if instrument.text("kind") != "scale" || instrument.retired.is_some() {
        wrong.say("", Said::new("only a scale in use has a daily check").hint("choose another instrument"));
    }
    wrong.need(typed, "zero", "the zero");
    if !instrument.check_weight.is_empty() {
        wrong.need(typed, "check", "the reading with the check weight");
    }
    let word = |field: &str| if field == "zero" { "with nothing on it" } else { "with its check weight" };
    for (field, error) in judge(instrument, check).err().unwrap_or_default() {
        let said = Said::new(format!("{}: {error}", word(field))).allowed(error.problem.allowed());
        wrong.say(field, said.hint(error.problem.hint()));
    }
    let capacity = instrument.text("capacity");
    for field in ["zero", "check"].into_iter().filter(|field| over_capacity(capacity, typed.get(field))) {
        let said = Said::new(format!("{}: “{}” is more than it can weigh", word(field), typed.get(field)));
        wrong.say(field, said.allowed(format!("up to {capacity}")).hint("read the scale once more"));
    }
    wrong
}

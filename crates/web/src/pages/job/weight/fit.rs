//! A weight is fitted: which piece, where, with what mass from the scale. It makes the correction of the job, and a link
//! from it to the weight.

use super::{files, strip, trim, weight_at};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::pages::job::{at, closed, correction, name, step};
use crate::parts::{self, Field, Tone};
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use hingeline_bench::record::weight::BalanceWeight;
use hingeline_bench::weight::Worked;
use hingeline_bench::weight::fitted::{WHOLE, by_the_scale, pieces};
use hingeline_bench::weight::words::Speech;
use hingeline_bench::words::CAUTIONS;
use hingeline_quantity::{Entered, Mass, Quantity};
use maud::{Markup, html};

/// GET /jobs/{number}/weights/{entry}/fit
pub(crate) async fn page(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let worked = files::worked(&weight)?;
    let what = format!("{} of {}", worked.sheet.kind, worked.sheet.metal.name);
    let filled = Filled::with([
        ("station", weight.station.clone()),
        ("piece", WHOLE.to_owned()),
        ("what", what),
        ("fastening", fastening(&worked)),
    ]);
    visit.page(&name(&job, "Fitted"), content(&visit, &job, &weight, &worked, &filled))
}

/// The hardware of the design in words: "4 × screw".
fn fastening(worked: &Worked) -> String {
    let names = worked.sheet.design.hardware.iter().map(|item| item.name.as_str());
    names.collect::<Vec<_>>().join(", ")
}

/// POST /jobs/{number}/weights/{entry}/fit
pub(crate) async fn enter(
    visit: Visit,
    Path((number, entry)): Path<(String, String)>,
    mut typed: Typed,
) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let worked = files::worked(&weight)?;
    typed.set("action", "add");
    let mut wrong = Wrong::default();
    let piece = typed.get("piece").to_owned();
    let known = pieces(&worked);
    if !known.contains(&piece) {
        let said = Said::new("which piece was fitted is not chosen").allowed(known.join("; "));
        wrong.say("piece", said.hint("choose one"));
    }
    let mut corrected = correction::read(&job, &typed, &mut wrong, None);
    far_off(&worked, &typed, &mut wrong, &mut corrected);
    if !wrong.is_empty() {
        let page = content(&visit, &job, &weight, &worked, &Filled::refused(typed, wrong));
        return visit.refused(&name(&job, "Fitted"), page);
    }
    // Both are written together or not at all, so the number of the first is known.
    let fitted = Deed::WeightFitted { weight: weight.entry, correction: job.entries + 1, piece };
    visit.enter_job(&number, &[corrected, fitted], &typed).await?;
    go_saying(&at(&number, "/weights"), "weight-fitted")
}

const FAR_OFF: &str = "than the weighed casting gives";

/// A mass far from what the last weighing of the casting gives: it is asked about, and said in the entry where it stays.
fn far_off(worked: &Worked, typed: &Typed, wrong: &mut Wrong, corrected: &mut Deed) {
    let (Some(expected), Ok(mass)) =
        (by_the_scale(worked, typed.get("piece")), Entered::<Mass>::parse(typed.get("mass")))
    else {
        return;
    };
    let kg = mass.value.si();
    if expected.holds(kg) {
        return;
    }
    let speech = Speech::of(worked);
    let word = if kg < expected.mass_kg { "less" } else { "more" };
    let gives = speech.mass(expected.mass_kg);
    if !typed.ticked(correction::ANYWAY, "yes") {
        let said = Said::new(format!("{} is much {word} {FAR_OFF}", mass.text));
        let [least, most] = expected.range().map(|kg| speech.mass(kg));
        let near = format!("about {gives}: {least} to {most}");
        wrong.say(
            "mass",
            said.allowed(near).hint("look at the number and its unit; if it was so, tick the box below"),
        );
        return;
    }
    if let Deed::Corrected { what, .. } = corrected {
        *what = format!("{what}; {word} than the {gives} that the weighed casting gives: it was so");
    }
}

fn content(visit: &Visit, job: &Job, weight: &BalanceWeight, worked: &Worked, filled: &Filled) -> Markup {
    let may = visit.may(Who::Worker) && job.released.is_none();
    let good = trim::state(worked);
    let body = html! {
        (strip(job, weight))
        @if let Some(closed) = closed(job) { (closed) }
        @match good {
            Some((Tone::Good, _)) => {},
            Some((tone, word)) => { (parts::notice(tone, "The casting is not inside its tolerance.", &html! { p { "Its last weighing says: " (word) "." } })) }
            None => { (parts::notice(Tone::Doubt, "The casting was not on the scale.", &html! { p { "Without it nobody knows what it gives; the prediction takes the arm from the design." } })) }
        }
        @let (_, to_make) = trim::holes(worked);
        @if may && !to_make.is_empty() && weight.fitted.is_empty() {
            (parts::notice(Tone::Plain, "Holes that nobody entered as made.", &html! { p { (to_make.join(", ")) ". The moment counts on them: see that they are there before it is fitted." } }))
        }
        div.split {
            div { @if may { (form(job, weight, worked, filled)) } @else { p.hint { "A technician or an inspector enters what was fitted." } } }
            aside { (parts::caution(CAUTIONS[1])) (parts::caution(CAUTIONS[2])) }
        }
    };
    let lead = "It counts as the correction at its place; after it the surface is weighed as left.";
    step(job, Some(Step::Correction), "The weight is fitted", lead, &body)
}

fn form(job: &Job, weight: &BalanceWeight, worked: &Worked, filled: &Filled) -> Markup {
    let pieces = pieces(worked);
    let pieces: Vec<(&str, &str)> = pieces.iter().map(|word| (word.as_str(), word.as_str())).collect();
    let names = correction::stations(job);
    let mut places: Vec<(&str, &str)> = vec![("", "choose a station")];
    places.extend(names.iter().map(|name| (name.as_str(), name.as_str())));
    let finished = worked.solution().map(|piece| Speech::of(worked).mass(piece.finished.mass_kg));
    let mass =
        |which: &str| by_the_scale(worked, which).map(|expected| Speech::of(worked).mass(expected.mass_kg));
    let halves = pieces.iter().filter(|(which, _)| *which != WHOLE);
    let halves: String =
        halves.filter_map(|(which, _)| Some(format!(", {which} {}", mass(which)?))).collect();
    let weighed = mass(WHOLE).map(|mass| format!("{mass}{halves}"));
    let hint = "of the finished piece with its screws and paint, from the scale";
    let hint = match (weighed, finished) {
        (Some(mass), _) => format!("{hint}; the weighed casting gives {mass}"),
        (None, Some(mass)) => format!("{hint}; the design gives {mass}"),
        (None, None) => hint.to_owned(),
    };
    let asked = |said: &Said| said.what.ends_with("than this place has left") || said.what.ends_with(FAR_OFF);
    let refused = filled.wrong.of("mass").iter().any(asked);
    html! {
        form.card.flow method="post" action=(at(job.text("number"), &format!("/weights/{}/fit", weight.entry))) {
            h2 { "What was fitted" }
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            (Field::radio("piece", "Piece", &pieces).needed().show(filled))
            @if names.is_empty() { (Field::line("station", "Station").needed().show(filled)) }
            @else { (Field::choice("station", "Station", &places).needed().show(filled)) }
            (Field::line("mass", "Mass, weighed").hint(&hint).needed().show(filled))
            div.pair {
                (Field::line("what", "What").hint("its form and metal").needed().show(filled))
                (Field::line("lot", "Melt or lot").hint("melt 26-14").show(filled))
                (Field::line("fastening", "Fastening").hint("screws, how they are locked").show(filled))
            }
            @if refused || filled.typed.ticked(correction::ANYWAY, "yes") {
                (Field::tick(correction::ANYWAY, "It was done all the same; the entry will say so.", "yes").show(filled))
            }
            div.row { button type="submit" { "Enter as fitted" } a.button.quiet href=(at(job.text("number"), &format!("/weights/{}", weight.entry))) { "Not yet" } }
        }
    }
}

//! The answer for a person in the terminal. Layout only: numbers and sentences come from the bench.

use hingeline_balance::{Action, Verdict};
use hingeline_bench::arithmetic::{self, Step};
use hingeline_bench::words::Voice;
use hingeline_bench::{Assessment, StationCorrection, Weighed, method_word, words};
use hingeline_quantity::{Moment, Quantity, significant};
use std::fmt::Write;

const WIDTH: usize = 96;

/// One line for a list of sheets.
pub(crate) fn line(file: &str, assessment: &Assessment) -> String {
    let last = assessment.last();
    let voice = Voice::of(last, assessment.sheet.limits.units);
    let word = hingeline_bench::result::verdict_word(last.judgement.verdict);
    let doubt = hingeline_bench::result::doubt_word(last.judgement.doubt);
    let moment = voice.moment(last.measured.static_moment());
    let release = if last.reasons.is_empty() { "" } else { "  not valid for release" };
    format!("{word:<9} {doubt:<9} {moment:<26} {:<10} {file}{release}\n", assessment.sheet.job.number)
}

/// The whole answer.
pub(crate) fn person(assessment: &Assessment, explain: bool) -> String {
    let mut out = Page::default();
    head(&mut out, assessment);
    for weighed in &assessment.weighings {
        weighing(&mut out, assessment, weighed, explain);
    }
    change(&mut out, assessment);
    corrections(&mut out, assessment);
    out.line("");
    out.wrapped(0, words::CAUTIONS[0]);
    out.text
}

/// Lines of text, wrapped at the page's width.
#[derive(Default)]
pub(crate) struct Page {
    text: String,
}

impl Page {
    pub(crate) fn line(&mut self, text: &str) {
        // What a shop types must not steer the terminal.
        self.text
            .extend(text.trim_end().chars().map(|sign| if sign.is_control() { '\u{fffd}' } else { sign }));
        self.text.push('\n');
    }
    /// Words wrapped with a hanging indent of two more spaces.
    pub(crate) fn wrapped(&mut self, indent: usize, text: &str) {
        let mut line = " ".repeat(indent);
        let mut begun = false;
        for word in text.split_whitespace() {
            if begun && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line = " ".repeat(indent + 2);
                begun = false;
            }
            if begun {
                line.push(' ');
            }
            line.push_str(word);
            begun = true;
        }
        self.line(&line);
    }
    /// All of it.
    pub(crate) fn into_text(self) -> String {
        self.text
    }
    fn step(&mut self, indent: usize, step: &Step) {
        self.wrapped(indent, &step.line());
    }
}

fn head(out: &mut Page, assessment: &Assessment) {
    let job = &assessment.sheet.job;
    let limits = &assessment.sheet.limits;
    out.wrapped(0, &format!("{}  {}  {}  serial {}", job.number, job.surface, job.part, job.serial));
    let voice = limits_voice(assessment);
    let typed: Vec<String> = limits.typed.iter().map(|(word, text)| format!("{word} {text}")).collect();
    out.wrapped(0, &format!("limits: {} ({})", typed.join(", "), limits.source));
    if limits.typed.iter().any(|(word, _)| *word == "at arm") {
        let [from, to, aim] =
            [limits.band.from(), limits.band.to(), limits.band.aim()].map(|m| voice.moment(m));
        out.wrapped(0, &format!("  as moments: from {from} to {to}, aim {aim}"));
    }
    if let Some(side) = limits.manual_plus {
        out.wrapped(0, &format!("  in this manual plus is {}", side.word()));
    }
}

/// Limits are said to the digits of the last weighing.
fn limits_voice(assessment: &Assessment) -> Voice {
    Voice::of(assessment.last(), assessment.sheet.limits.units)
}

fn weighing(out: &mut Page, assessment: &Assessment, weighed: &Weighed, explain: bool) {
    let units = assessment.sheet.limits.units;
    let voice = Voice::of(weighed, units);
    out.line("");
    let taken = &weighed.taken;
    let method = method_word(&taken.weighing.method);
    out.line(&format!("{} — {} — {method}", taken.stage.word().to_uppercase(), taken.date));
    out.wrapped(2, &words::verdict(weighed, &voice));
    out.wrapped(2, &words::doubt(weighed, &voice));
    for reason in &weighed.reasons {
        out.wrapped(2, &format!("Not valid for release: {}", words::reason(reason)));
    }
    band(out, assessment, weighed, &voice);
    out.line("  arithmetic");
    for step in arithmetic::moment(weighed, units) {
        out.step(4, &step);
    }
    if explain {
        budget(out, assessment, weighed);
        second_route(out, weighed, &voice);
    }
    for (index, line) in words::attack_first(assessment, weighed, &voice).iter().enumerate() {
        out.wrapped(if index == 0 { 2 } else { 4 }, line);
    }
    for note in words::notes(assessment, weighed) {
        out.wrapped(2, &format!("note: {note}"));
    }
}

const COLUMNS: usize = 72;

/// The band and the measured interval, each on its own line over the same scale.
fn band(out: &mut Page, assessment: &Assessment, weighed: &Weighed, voice: &Voice) {
    let band = &assessment.sheet.limits.band;
    let (from, to, aim) = (band.from().si(), band.to().si(), band.aim().si());
    let s = weighed.measured.static_moment().si();
    let u = weighed.measured.expanded_uncertainty().si();
    let (low, high) = (from.min(s - u), to.max(s + u));
    let pad = 0.06 * (high - low);
    let (low, high) = (low - pad, high + pad);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "clamped to the columns of the drawing"
    )]
    let column = |moment: f64| {
        (((moment - low) / (high - low) * (COLUMNS - 1) as f64).round().max(0.0) as usize).min(COLUMNS - 1)
    };
    let mut limits = vec!['·'; COLUMNS];
    limits[column(from)..=column(to)].fill('=');
    limits[column(aim)] = '+';
    limits[column(from)] = '[';
    limits[column(to)] = ']';
    let mut measured = vec![' '; COLUMNS];
    measured[column(s - u)..=column(s + u)].fill('─');
    measured[column(s - u)] = '├';
    measured[column(s + u)] = '┤';
    measured[column(s)] = '●';
    let line = |marks: Vec<char>| marks.into_iter().collect::<String>();
    out.line("");
    out.line(&format!("  nose-heavy {} tail-heavy", line(limits)));
    out.line(&format!("             {}", line(measured)));
    let [from, to, aim] = words::limits(assessment, voice);
    out.wrapped(13, &format!("[=] limits: {from} to {to}"));
    out.wrapped(13, &format!("[+] aim: {aim}"));
    out.wrapped(13, &format!("├●┤ {}: {}", weighed.taken.stage.word(), voice.measured(weighed)));
    out.line("");
}

fn budget(out: &mut Page, assessment: &Assessment, weighed: &Weighed) {
    let units = assessment.sheet.limits.units;
    let method = &weighed.taken.weighing.method;
    out.line(&format!("  uncertainty budget, {}", units.moment.symbol));
    let inputs = &weighed.measured.model.inputs;
    let names: Vec<String> = inputs.iter().map(|input| words::input_name(input, method)).collect();
    let widest = names.iter().map(|name| name.chars().count()).max().unwrap_or(0);
    for ((input, name), share) in inputs.iter().zip(names).zip(&weighed.measured.propagated.shares) {
        let u = significant(share.standard_uncertainty / units.moment.factor, 5);
        let how = arithmetic::source(input, share, weighed, units);
        out.line(&format!(
            "    {} {:<widest$} {u:>9} {:>8}   {how}",
            words::evaluation(input),
            name,
            words::percent_plain(share.share),
        ));
    }
    for step in arithmetic::uncertainty(weighed, units) {
        out.step(4, &step);
    }
}

fn second_route(out: &mut Page, weighed: &Weighed, voice: &Voice) {
    let Some(draws) = &weighed.draws else { return };
    let finer = voice.finer();
    let size = |value: f64| finer.number(Moment::from_si(value));
    out.line(&format!("  two routes to the uncertainty, {} trials", draws.trials));
    let law = &weighed.measured.propagated;
    let unit = voice.units.moment.symbol;
    let place = |probability: f64| words::percent(probability);
    out.line(&format!(
        "    propagation   {:>10} ± {:<10} {unit}   inside with {}",
        size(law.estimate),
        size(law.expanded_uncertainty),
        place(weighed.judgement.probability_within)
    ));
    out.line(&format!(
        "    Monte Carlo   {:>10} ± {:<10} {unit}   inside with {}",
        size(f64::midpoint(draws.low, draws.high)),
        size(draws.half_width()),
        place(draws.inside.unwrap_or(f64::NAN))
    ));
    if let Some(words) = words::two_routes(weighed) {
        out.wrapped(4, words);
    }
}

fn change(out: &mut Page, assessment: &Assessment) {
    let Some(change) = words::change(assessment, &limits_voice(assessment)) else { return };
    out.line("");
    out.wrapped(0, &change);
}

fn corrections(out: &mut Page, assessment: &Assessment) {
    let aim = limits_voice(assessment).moment(assessment.sheet.limits.band.aim());
    out.line("");
    out.line(&format!("CORRECTION — to {aim}, at one station or another"));
    if assessment.last().judgement.verdict == Verdict::Within {
        out.wrapped(2, "the surface is within its limits: nothing has to be changed; this is what would bring it to the aim");
    }
    for station in &assessment.corrections {
        one_correction(out, assessment, station);
    }
}

fn one_correction(out: &mut Page, assessment: &Assessment, station: &StationCorrection) {
    let voice = limits_voice(assessment);
    let mut title = String::new();
    let _ = write!(
        title,
        "{} ({}): {}",
        station.station.name,
        station.station.typed_arm,
        words::correction(station, &voice)
    );
    out.line("");
    out.wrapped(2, &title);
    if station.correction.action != Action::None {
        for step in arithmetic::correction(assessment, station) {
            out.step(4, &step);
        }
    }
    for note in words::correction_notes(station, &voice) {
        out.wrapped(4, &format!("note: {note}"));
    }
}

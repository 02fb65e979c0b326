//! The calibration line of an instrument: entered as known values and readings, shown as a table and a chart.

use super::{Forms, find};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Chart, Dot, Field, Tone, chart};
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::calibration::{CalibrationLine, calibration_line};
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::shop::Instrument;
use hingeline_quantity::{places, signed, significant};
use maud::{Markup, html};

/// How many points the form offers.
const ROWS: usize = 8;

/// The part of an instrument's page.
pub(super) fn section(visit: &Visit, address: &str, instrument: &Instrument, filled: &Filled) -> Markup {
    let keeps = visit.may(Who::DataKeeper) && instrument.retired.is_none();
    if instrument.line.is_empty() && !keeps {
        return html! {};
    }
    html! {
        section.flow aria-labelledby="line" {
            h2 #line { "Calibration line" }
            p { "For information only: the line is not applied to readings." }
            @if !instrument.line.is_empty() { (shown(instrument)) }
            @if keeps {
                details open[!filled.wrong.is_empty()] {
                    summary { "Enter the points of a calibration" }
                    (form(visit, address, instrument, filled))
                }
            }
        }
    }
}

fn form(visit: &Visit, address: &str, instrument: &Instrument, filled: &Filled) -> Markup {
    let mut filled = filled.clone();
    if filled.wrong.is_empty() {
        for (row, (known, reading)) in instrument.line.iter().enumerate() {
            filled.typed.set(&format!("point.{row}.known"), known.as_str());
            filled.typed.set(&format!("point.{row}.reading"), reading.as_str());
        }
    }
    let word = if instrument.text("kind") == "scale" { "Check weight" } else { "Known value" };
    html! {
        form.card method="post" action={ (address) "/line" } {
            p.hint { "At least three known values over the range, each with its unit. Rows that are left empty are left out." }
            (parts::seen(visit.shop.entries))
            @for row in 0..ROWS {
                @let (known, reading) = (format!("point.{row}.known"), format!("point.{row}.reading"));
                @let (known_word, reading_word) = (format!("{} {word}", row + 1), format!("{} It read", row + 1));
                div.fields {
                    (Field::line(&known, &known_word).show(&filled))
                    (Field::line(&reading, &reading_word).show(&filled))
                }
            }
            div.row { button type="submit" { "Enter the line" } }
        }
    }
}

fn shown(instrument: &Instrument) -> Markup {
    match calibration_line(instrument.text("kind"), &instrument.line) {
        Ok(line) => drawn(&line),
        Err(_) => {
            parts::notice(Tone::Bad, "These points cannot be read", &html! { p { "Enter them anew." } })
        }
    }
}

fn drawn(line: &CalibrationLine) -> Markup {
    let digits = places(line.line.residual_standard_deviation.max(1e-6), 2).min(6);
    let signed = |value: f64| signed(value, digits);
    let rows: Vec<Vec<Markup>> = line
        .points
        .iter()
        .map(|point| {
            vec![
                html! { (hingeline_bench::words::plain(point.known)) },
                html! { (hingeline_bench::words::plain(point.reading)) },
                html! { (signed(point.seen)) },
                html! { (signed(point.fitted)) },
                html! { (significant(point.standard_uncertainty, 2)) },
            ]
        })
        .collect();
    let unit = line.unit.symbol;
    let of = |word: &str| format!("{word}, {unit}");
    let columns = [
        of("known"),
        of("reading"),
        of("correction seen"),
        of("correction of the line"),
        of("its standard uncertainty"),
    ];
    let columns: Vec<&str> = columns.iter().map(String::as_str).collect();
    html! {
        (drawing(line, &signed))
        (parts::facts(&[
            ("Correction at the middle of the readings", html! { (signed(line.line.intercept)) " " (unit) }),
            ("Change of the correction", html! { (significant(line.line.slope, 3)) " per " (unit) }),
            ("Scatter about the line", html! { (significant(line.line.residual_standard_deviation, 2)) " " (unit) }),
        ]))
        (parts::table("Correction to add to a reading", &columns, &rows))
    }
}

fn drawing(line: &CalibrationLine, signed: &dyn Fn(f64) -> String) -> Markup {
    let unit = line.unit.symbol;
    let dot = |point: &hingeline_bench::record::calibration::CalibrationPoint| Dot {
        x: point.reading,
        y: point.seen,
        label: format!("reading {} {unit}: correction {} {unit}", point.reading, signed(point.seen)),
        tone: Tone::Plain,
    };
    let dots: Vec<Dot> = line.points.iter().map(dot).collect();
    let by_reading = |a: &&Dot, b: &&Dot| a.x.total_cmp(&b.x);
    let ends = [dots.iter().min_by(by_reading), dots.iter().max_by(by_reading)];
    let [Some(first), Some(last)] = ends else { return html! {} };
    let label = |value: f64| (value, format!("{} {unit}", signed(value)));
    let highest = dots.iter().map(|dot| dot.y).fold(f64::MIN, f64::max);
    let lowest = dots.iter().map(|dot| dot.y).fold(f64::MAX, f64::min);
    let drawn = chart(&Chart {
        title: "Correction over reading, with the line through the points; the table says the same in words"
            .to_owned(),
        band: None,
        line: Some([(first.x, line.line.at(first.x).value), (last.x, line.line.at(last.x).value)]),
        left: vec![(0.0, "0".to_owned()), label(highest), label(lowest)],
        foot: [first, last]
            .map(|dot| (dot.x, format!("{} {unit}", hingeline_bench::words::plain(dot.x))))
            .to_vec(),
        dots,
    });
    html! { figure.drawing { (drawn) figcaption { "Correction over reading." } } }
}

/// A field of the form in words: "row 3, known value".
fn named(field: &str) -> Option<String> {
    let (row, key) = field.strip_prefix("point.")?.split_once('.')?;
    let word = if key == "known" { "known value" } else { "reading" };
    Some(format!("row {}, {word}", row.parse::<usize>().ok()? + 1))
}

/// POST /instruments/{id}/line
pub(crate) async fn enter(visit: Visit, Path(id): Path<String>, typed: Typed) -> Answer {
    let instrument = find(&visit, &id)?;
    let field = |row: &usize, key: &str| format!("point.{row}.{key}");
    let holds = |row: &usize| typed.has(&field(row, "known")) || typed.has(&field(row, "reading"));
    let rows: Vec<usize> = typed.rows("point").into_iter().filter(holds).collect();
    let text = |row: &usize, key: &str| typed.get(&field(row, key)).to_owned();
    let points: Vec<(String, String)> =
        rows.iter().take(100).map(|row| (text(row, "known"), text(row, "reading"))).collect();
    if let Err(misread) = calibration_line(instrument.text("kind"), &points) {
        let mut wrong = Wrong::default();
        for said in misread {
            let place = said
                .field
                .split_once('.')
                .and_then(|(index, key)| rows.get(index.parse::<usize>().ok()?).map(|row| field(row, key)));
            let what = match place.as_deref().and_then(named) {
                Some(name) => format!("{name}: {}", said.what),
                None => said.what,
            };
            let words = Said { what, allowed: said.allowed, hint: Some(said.hint), ..Said::default() };
            wrong.say(place.unwrap_or_default(), words);
        }
        let forms = Forms { line: Filled::refused(typed, wrong), ..Forms::default() };
        return visit.refused(&id, super::content(&visit, &id, instrument, &forms));
    }
    visit.enter_shop(&Deed::LineFitted { id: id.clone(), points }, &typed).await?;
    go_saying(&format!("/instruments/{}", parts::escape(&id)), "line")
}

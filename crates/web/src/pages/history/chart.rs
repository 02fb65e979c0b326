//! The drawing of a history: from the lines of the record to what the drawing takes. Main function: [`figure`].

use super::{Line, What, recorded, said};
use hingeline_bench::mark::Mark;
use hingeline_sheet::drawing::{
    Canvas, HistoryDay, HistoryDrawing, HistoryPoint, HistoryRow, PointKind, history,
};
use hingeline_sheet::{Palette, Tone};
use jiff::civil::Date;
use maud::{Markup, html};

/// The drawing, at the width of a screen and at that of a phone; nothing where nothing was weighed.
pub(super) fn figure(lines: &[Line]) -> Markup {
    let drawing = drawing(lines);
    if drawing.rows.iter().all(|row| row.weighed.is_none()) {
        return html! {};
    }
    html! {
        figure.history {
            @for (class, canvas) in [("wide-only", Canvas::WIDE), ("phone-only", Canvas::PHONE)] {
                @if let Ok(drawn) = history(&drawing, &Palette::page(), canvas) { div class={ "drawing " (class) } { (drawn) } }
            }
            figcaption {
                "Ring: as found. Square: as left. Bar: ± expanded uncertainty U. Hatched: the limits that each weighing was judged by. \
                 Time runs down; on the line at the left it is to scale. The table below says the same."
            }
        }
    }
}

fn drawing(lines: &[Line]) -> HistoryDrawing {
    let dates: Vec<Date> = lines.iter().filter_map(|line| line.day.parse().ok()).collect();
    let newest = lines.iter().rev().find_map(|line| match &line.what {
        What::Weighed(_, told, _) => Some(told),
        _ => None,
    });
    HistoryDrawing {
        rows: lines.iter().filter_map(row).collect(),
        days: days(&dates),
        limits: newest.map(|told| told.limits()).unwrap_or_default(),
        zero_label: newest.map(|told| told.zero()).unwrap_or_default(),
    }
}

fn row(line: &Line) -> Option<HistoryRow> {
    let day = number(line.day.parse().ok()?);
    let (label, weighed) = match &line.what {
        What::Weighed(point, told, how) => {
            let recorded = recorded(point, *how);
            let not = if point.valid { "" } else { ", not valid for release" };
            let weighed = HistoryPoint {
                kind: if point.stage == "as left" { PointKind::AsLeft } else { PointKind::AsFound },
                value_kg_m: point.moment_kg_m,
                expanded_uncertainty_kg_m: Some(point.expanded_kg_m),
                band_kg_m: point.band_kg_m,
                value_label: format!("{}: {}{not}", told.measured(), recorded.words()),
                tone: match recorded.mark() {
                    Mark::Good => Tone::Good,
                    Mark::Plain => Tone::Plain,
                    Mark::Doubt => Tone::Doubt,
                    Mark::Bad => Tone::Bad,
                },
            };
            (point.stage.clone(), Some(weighed))
        }
        What::Limits(band) => (format!("other limits: {band}"), None),
        What::Done(event) => (said(event).0, None),
    };
    Some(HistoryRow { day, when: line.day.clone(), label, weighed })
}

/// Days since 1970.
fn number(day: Date) -> f64 {
    day.duration_since(Date::constant(1970, 1, 1)).as_secs_f64() / 86_400.0
}

/// The days to be named: the beginnings of years, of months where there are few years, else the days themselves.
fn days(dates: &[Date]) -> Vec<HistoryDay> {
    let (Some(first), Some(last)) = (dates.iter().min().copied(), dates.iter().max().copied()) else {
        return Vec::new();
    };
    let named =
        |day: Date, format: &str| HistoryDay { day: number(day), label: day.strftime(format).to_string() };
    let between = |day: &Date| first <= *day && *day <= last;
    if last.year() - first.year() > 1 {
        let years = (first.year()..=last.year()).filter_map(|year| Date::new(year, 1, 1).ok());
        return years.filter(between).map(|day| named(day, "%Y")).collect();
    }
    if number(last) - number(first) > 75.0 {
        let months = (first.year()..=last.year()).flat_map(|year| (1..=12).map(move |month| (year, month)));
        let months = months.filter_map(|(year, month)| Date::new(year, month, 1).ok());
        return months.filter(between).map(|day| named(day, "%Y-%m")).collect();
    }
    let mut days = dates.to_vec();
    days.sort();
    days.dedup();
    days.into_iter().map(|day| named(day, "%m-%d")).collect()
}

//! A card drawn: its band on the line of static moment, as moments whatever it was typed as.

use crate::parts::{self, Tone};
use hingeline_bench::record::deed::Card;
use hingeline_bench::words::Voice;
use hingeline_quantity::{Moment, Quantity, places};
use hingeline_sheet::Palette;
use hingeline_sheet::drawing::{BandDrawing, Canvas, Mark, band};
use maud::{Markup, html};

/// The drawings of a card. A card that this version's reader does not take is said so.
pub(super) fn drawings(card: &Card) -> Markup {
    let Ok(read) = card.sheet() else {
        return parts::notice(
            Tone::Bad,
            "This card cannot be read",
            &html! { p { "The reader of job sheets refuses it as it stands. Revise it." } },
        );
    };
    let limits = &read.limits;
    let wider =
        if limits.band.from().abs() < limits.band.to().abs() { limits.band.to() } else { limits.band.from() };
    let digits = places(wider.in_unit(limits.units.moment), 3).min(6);
    let voice = Voice { units: limits.units, places: digits };
    let mark = |moment: Moment| Some(Mark { value_kg_m: moment.si(), label: voice.moment(moment) });
    let drawing = BandDrawing {
        from: mark(limits.band.from()),
        to: mark(limits.band.to()),
        aim: mark(limits.band.aim()),
        zero_label: "0".to_owned(),
        points: Vec::new(),
    };
    let drawn = |canvas| {
        band(&drawing, &Palette::page(), canvas).unwrap_or_else(|error| html! { (error.to_string()) })
    };
    html! {
        figure.drawing {
            div.wide-only { (drawn(Canvas::WIDE)) }
            div.phone-only { (drawn(Canvas::PHONE)) }
            figcaption { "The band as moments: nose-heavy to the left, tail-heavy to the right." }
        }
    }
}

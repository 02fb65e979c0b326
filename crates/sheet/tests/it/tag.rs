//! The tag: its code reads back, its words stay on it.

use hingeline_sheet::drawing::{TagDrawing, TagSize, tag};
use hingeline_sheet::{Palette, SheetError};
use proptest::prelude::*;

use crate::drawings::{check_labels, config, palette, text};
use crate::svg;

const SIZES: [TagSize; 3] = [
    TagSize { width_mm: 62.0, height_mm: 29.0, text_mm: 3.4 },
    TagSize { width_mm: 100.0, height_mm: 60.0, text_mm: 5.0 },
    TagSize { width_mm: 148.0, height_mm: 105.0, text_mm: 8.0 },
];

fn drawing() -> TagDrawing {
    let lines = ["right elevator half", "part SK12-55-210", "serial 0087"].map(str::to_owned).to_vec();
    TagDrawing {
        number: "HP-0231".to_owned(),
        lines,
        address: "http://bench.example:8080/jobs/HP-0231".to_owned(),
    }
}

/// What another library reads from the code of a tag.
fn read(drawn: &str) -> String {
    let path = svg::attribute(&drawn[drawn.find("<path d=\"M4 ").unwrap() + 1..], "d");
    let dark: Vec<(usize, usize)> = path
        .split('M')
        .filter_map(|module| module.split_once('h')?.0.split_once(' '))
        .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
        .collect();
    let side = dark.iter().map(|(x, _)| *x).max().unwrap() + 5;
    let is_dark = |x: usize, y: usize| dark.contains(&(x / 6, y / 6));
    let mut image = rqrr::PreparedImage::prepare_from_bitmap(6 * side, 6 * side, is_dark);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1);
    grids[0].decode().unwrap().1
}

#[test]
fn another_library_reads_the_address() {
    for size in SIZES {
        let drawn = tag(&drawing(), &Palette::paper(), size).unwrap().into_string();
        assert_eq!(read(&drawn), drawing().address);
        assert!(drawn.contains(&format!("width=\"{}mm\"", size.width_mm)));
    }
}

#[test]
fn all_words_are_on_every_size() {
    for size in SIZES {
        let drawn = tag(&drawing(), &palette(1.2), size).unwrap().into_string();
        let texts: Vec<String> = svg::labels(&drawn).into_iter().map(|label| label.text).collect();
        let wanted = "HP-0231 right elevator half part SK12-55-210 serial 0087";
        assert!(texts.join(" ").starts_with(wanted), "{texts:?}");
    }
}

#[test]
fn an_address_too_long_for_a_dirty_tag_is_refused() {
    let long = TagDrawing { address: "x".repeat(241), ..drawing() };
    let error = tag(&long, &Palette::paper(), SIZES[0]).unwrap_err();
    assert_eq!(error, SheetError::Address { given: 241, allowed: 240 });
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn words_stay_on_the_tag(
        number in "[A-Z0-9-]{1,40}", lines in prop::collection::vec(text(), 0..6), address in "[!-~]{1,240}",
        size in prop::sample::select(SIZES.to_vec()), stretch in 1.0..1.3,
    ) {
        let drawing = TagDrawing { number, lines, address };
        check_labels(&tag(&drawing, &palette(stretch), size).unwrap().into_string())?;
    }
}

//! The printed sheet: the same bytes, text that stays text, page sizes, and what must be readable on it.

use hingeline_sheet::SheetError;
use hingeline_sheet::paper::{Day, Paper, PaperSize, Weighing, pdf};
use pdf_extract::Document;

use crate::job::{self, METHODS};

/// The text layer, with all white space taken out: lines may wrap anywhere. Nothing else is left out: where a long word
/// breaks, no sign stands in what is copied.
fn text_layer(bytes: &[u8]) -> String {
    squeeze(&pdf_extract::extract_text_from_mem(bytes).unwrap())
}

fn squeeze(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

fn check_contains(paper: &Paper, wanted: &[&str]) {
    let text = text_layer(&pdf(paper, PaperSize::A4).unwrap());
    for wanted in wanted {
        assert!(text.contains(&squeeze(wanted)), "{wanted:?} is not in the text layer:\n{text}");
    }
}

fn page_sizes(bytes: &[u8]) -> Vec<(f64, f64)> {
    let document = Document::load_mem(bytes).unwrap();
    let pages = document.get_pages();
    let sizes = pages.values().map(|id| {
        let page = document.get_dictionary(*id).unwrap();
        let media_box = page.get(b"MediaBox").unwrap().as_array().unwrap();
        let number = |index: usize| f64::from(media_box[index].as_float().unwrap());
        (number(2), number(3))
    });
    sizes.collect()
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    for paper in [job::as_left(), job::awkward()] {
        let first = pdf(&paper, PaperSize::A4).unwrap();
        pdf(&job::as_found(), PaperSize::Letter).unwrap();
        assert!(first == pdf(&paper, PaperSize::A4).unwrap());
    }
}

#[test]
fn another_input_gives_other_bytes() {
    let mut other = job::as_left();
    other.footer.fingerprint = "0".into();
    assert!(pdf(&job::as_left(), PaperSize::A4).unwrap() != pdf(&other, PaperSize::A4).unwrap());
}

#[test]
fn whatever_is_typed_stays_text() {
    let typed = [
        "#panic()",
        "$x$",
        "<b>bold</b>",
        "*a* _b_",
        "#read(\"/etc/passwd\")",
        "= heading",
        "// gone",
        "\\u{41}",
        "@ref",
    ];
    let mut paper = job::as_found();
    paper.title.surface = typed.join(" ");
    paper.cautions = typed.iter().map(|text| (*text).to_owned()).collect();
    paper.weighings[0].readings[0].typed = paper.cautions.clone();
    if let Some(bench) = &mut paper.bench {
        bench.device_label = "#panic() <b>".into();
    }
    check_contains(&paper, &typed);
    check_contains(&paper, &["#panic() <b>"]);
}

#[test]
fn characters_without_a_glyph_leave_a_trace() {
    let mut paper = job::as_found();
    paper.title.serial = "翼-7 \u{0}".into();
    check_contains(&paper, &["[U+7FFC]-7 [U+0000]"]);
}

#[test]
fn pages_have_the_size_asked_for() {
    for (size, width, height) in [(PaperSize::A4, 595.28, 841.89), (PaperSize::Letter, 612.0, 792.0)] {
        let sizes = page_sizes(&pdf(&job::as_left(), size).unwrap());
        assert!(!sizes.is_empty());
        for page in sizes {
            assert!((page.0 - width).abs() < 0.01 && (page.1 - height).abs() < 0.01, "{page:?}");
        }
    }
}

#[test]
fn one_weighing_takes_two_pages() {
    for size in [PaperSize::A4, PaperSize::Letter] {
        assert_eq!(page_sizes(&pdf(&job::as_found(), size).unwrap()).len(), 2);
    }
}

#[test]
fn the_sheet_says_what_it_must() {
    check_contains(
        &job::as_left(),
        &[
            "HP-0231",
            "right elevator half",
            "SK12-55-210",
            "serial 0087",
            "Alderbrook Structures",
            "HP-0231-B2",
            "Within the approved limits: nose-heavy by 1.9 in-lb",
            "SK12 repair manual, 55-20, revision 4",
            "4.0 in-lb nose-heavy",
            "+4.0 in-lb",
            "tab fitted and locked at neutral",
            "1.34 lb",
            "1.35 lb",
            "17 1/4 in",
            "(1.3117 lb − 0.06 lb) × 17 1/4 in",
            "21.59 in-lb tail-heavy",
            "calibration of scale S-2",
            "47 %",
            "From as found to as left",
            "23.52 in-lb",
            "2027-03-01",
            "CAUTIONS",
            "Flutter can destroy an aeroplane",
            "Performed by",
            "Independent inspection",
            "R. Hollis",
            "HX-20417",
            "Hingeline 0.1.0",
            "Published checks on this machine: 61 of 61 agree",
            "page 1 of 3",
            "page 3 of 3",
            "sheet fingerprint 5f2c1a9e7b04d38862c1f0a7e4935bd81c6670de2a95b4f3087ce1d94a62b5f0",
            // from the drawings
            "hinge line",
            "outline schematic; arms to scale",
            "tail-heavy →",
            "approved limits",
        ],
    );
}

#[test]
fn a_weighing_not_valid_for_release_says_why() {
    check_contains(
        &job::awkward(),
        &["Not valid for release", "scale S-2 is past its due date of 2026-09-01", "✗ no"],
    );
}

/// The text of one page, without white space.
fn page_text(bytes: &[u8], page: usize) -> String {
    squeeze(&pdf_extract::extract_text_from_mem_by_pages(bytes).unwrap()[page])
}

#[test]
fn what_may_change_the_result_stands_by_the_verdict() {
    let first = page_text(&pdf(&job::awkward(), PaperSize::A4).unwrap(), 0);
    assert!(first.contains(&squeeze("free the bearings and weigh again")), "{first}");
}

#[test]
fn a_long_name_is_cut_in_the_head_and_whole_in_the_title_block() {
    let mut paper = job::as_left();
    paper.title.surface = "left outboard elevator half with trim tab and horn, ".repeat(6);
    for size in [PaperSize::A4, PaperSize::Letter] {
        let bytes = pdf(&paper, size).unwrap();
        let second = page_text(&bytes, 1);
        assert!(second.contains('…'), "{second}");
        assert!(second.contains(&format!("serial{}", squeeze(&paper.title.serial))), "{second}");
        assert!(second.contains(&squeeze(&paper.title.job)), "{second}");
        assert!(page_text(&bytes, 0).contains(&squeeze(&paper.title.surface)));
    }
    paper.title.surface = "tab".into();
    assert!(!page_text(&pdf(&paper, PaperSize::A4).unwrap(), 1).contains('…'));
}

#[test]
fn many_weighings_are_confirmed_in_tables_of_six() {
    let mut paper = job::as_left();
    let weighing = paper.weighings[1].clone();
    paper.weighings = vec![weighing; 14];
    for item in &mut paper.approved.configuration {
        item.confirmed = vec![true; 14];
    }
    let text = text_layer(&pdf(&paper, PaperSize::A4).unwrap());
    assert_eq!(text.matches(&squeeze("required configuration, confirmed")).count(), 3);
    assert!(text.contains(&squeeze("14  as left")), "{text}");
}

#[test]
fn the_last_page_says_the_result_above_the_cautions() {
    for paper in [job::as_found(), job::awkward()] {
        let bytes = pdf(&paper, PaperSize::A4).unwrap();
        let pages = page_sizes(&bytes).len();
        let last = page_text(&bytes, pages - 1);
        let at = |part: &str| last.find(&squeeze(part)).unwrap_or_else(|| panic!("no {part} in {last}"));
        assert!(at(&paper.verdict.sentence) < at("CAUTIONS") && at("CAUTIONS") < at("Signatures"));
        assert_eq!(
            last.contains("notvalidforrelease·") || last.contains("notvalidforreleaseCAUTIONS"),
            !paper.verdict.not_valid.is_empty(),
            "{last}"
        );
    }
}

#[test]
fn the_correction_names_mass_place_and_capacity() {
    let wanted =
        ["horn weight, front face", "3.629 lb", "3.63 lb", "more than this station can take (0.8 lb)"];
    check_contains(&job::as_found(), &wanted);
}

#[test]
fn every_method_prints() {
    for (method, name) in METHODS {
        pdf(&job::by_method(method, name), PaperSize::Letter).unwrap();
    }
}

#[test]
fn an_empty_sheet_prints() {
    assert_eq!(page_sizes(&pdf(&Paper::default(), PaperSize::A4).unwrap()).len(), 1);
}

#[test]
fn a_long_record_runs_over_many_pages_with_its_head_on_each() {
    let mut paper = job::as_left();
    let weighing = Weighing { notes: vec!["word ".repeat(2000)], ..paper.weighings[0].clone() };
    paper.weighings.push(weighing);
    paper.instruments = vec![paper.instruments[0].clone(); 120];
    paper.cautions = vec!["caution ".repeat(1200)];
    let bytes = pdf(&paper, PaperSize::Letter).unwrap();
    let (pages, text) = (page_sizes(&bytes).len(), text_layer(&bytes));
    assert!(pages > 6);
    let heads = text.matches(&squeeze("HP-0231 · right elevator half · serial 0087")).count();
    assert_eq!(heads, pages);
}

#[test]
fn a_dated_sheet_is_an_archive_file() {
    let bytes = pdf(&job::as_left(), PaperSize::A4).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("<pdfaid:part>2</pdfaid:part>") && text.contains("<pdfuaid:part>1</pdfuaid:part>"));
}

#[test]
fn a_day_outside_the_calendar_is_refused() {
    let mut paper = job::as_left();
    paper.title.day = Some(Day { year: 2026, month: 13, day: 1 });
    assert_eq!(pdf(&paper, PaperSize::A4), Err(SheetError::Day { given: "2026-13-01".into() }));
}

#[test]
fn who_has_not_signed_in_the_record_is_not_named() {
    let text = include_str!("../../../../demo/HP-0231-elevator.toml");
    let assessment = hingeline_bench::assess(hingeline_bench::JobSheet::parse(text).unwrap(), None);
    let names = |paper: &Paper| paper.signatures.iter().map(|place| place.name.clone()).collect::<Vec<_>>();
    let typed = hingeline_sheet::paper_of(&assessment, (1, 1));
    assert!(names(&typed).iter().all(|name| !name.is_empty()), "a job sheet says whom it names");
    let record = hingeline_sheet::recorded(&assessment, hingeline_sheet::Record::default(), (1, 1));
    assert_eq!(names(&record), ["", ""]);
    assert!(record.signatures.iter().all(|place| place.certificate.is_empty()));
}

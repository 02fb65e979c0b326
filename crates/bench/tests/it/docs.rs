//! The guide to the job sheet says what the reader does: every key, whether it is needed, its range; and every key
//! of a result. The guide to the formulas prints the numbers of the demo sheets.

use crate::guide::{self, Section, Table};
use crate::sheets::{assessed, told};
use hingeline_bench::bounds::{self, Bound, MOST_READINGS};
use hingeline_bench::result::JobResult;
use hingeline_bench::{JobSheet, MonteCarlo, assess};
use hingeline_quantity::{Kind, Moment, Quantity, significant};
use std::collections::BTreeSet;

const GUIDE: &str = include_str!("../../../../docs/job-sheet.md");
const FORMULAS: &str = include_str!("../../../../docs/formulas.md");

macro_rules! demo {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../../demo/", $name, ".toml")))
    };
}

const DEMO: [(&str, &str); 7] = [
    demo!("HP-0228-aileron"),
    demo!("HP-0229-tab"),
    demo!("HP-0231-elevator"),
    demo!("HP-0235-rudder"),
    demo!("HP-0236-elevator"),
    demo!("HP-0237-aileron-plan"),
    demo!("HP-0238-elevator"),
];

/// The sections that hold something.
fn sections() -> Vec<Section> {
    let all = guide::sections(GUIDE).into_iter();
    all.filter(|section| !section.rows.is_empty() || !section.blocks.is_empty()).collect()
}

fn is_whole(block: &str) -> bool {
    block.contains("[job]")
}

fn whole_sheet() -> String {
    let whole = sections().into_iter().flat_map(|section| section.blocks).find(|block| is_whole(block));
    whole.expect("the guide holds a whole sheet")
}

/// The whole sheet with the tables of a fragment in the place of its own.
fn completed(fragment: &str) -> String {
    if is_whole(fragment) { fragment.to_owned() } else { guide::completed(&whole_sheet(), fragment, &[]) }
}

/// The table that the keys of a section belong to, in the sheet of that section.
fn table(section: &Section) -> Table {
    let sheet = section.blocks.first().map_or_else(whole_sheet, |block| completed(block));
    let header = if section.heading.starts_with("method") {
        "[[weighing]]"
    } else {
        section.heading.split('`').nth(1).expect("a table in the heading")
    };
    Table { sheet, header: header.to_owned() }
}

/// What is said about a sheet; nothing where it has no fault.
fn says(sheet: &str) -> String {
    JobSheet::parse(sheet).err().map_or_else(String::new, |faults| told(&faults))
}

#[test]
fn every_block_is_a_sheet_or_part_of_one() {
    let mut count = 0;
    for section in sections() {
        for block in &section.blocks {
            assert_eq!(says(&completed(block)), "", "under “{}”:\n{block}", section.heading);
            count += 1;
        }
    }
    assert!(count >= 10, "only {count} blocks");
}

#[test]
fn every_key_that_is_read_is_in_the_guide_and_no_other() {
    let all = sections();
    let keys_of = |heading: &str| {
        let found = all.iter().find(|section| section.heading == heading);
        found.unwrap_or_else(|| panic!("the guide has no “{heading}”")).keys()
    };
    let mut count = 0;
    for section in all.iter().filter(|section| !section.rows.is_empty()) {
        let told = says(&table(section).with_value("zzz", "1"));
        let allowed = told.lines().skip_while(|line| !line.contains("unknown key “zzz”")).nth(1);
        let allowed = allowed.and_then(|line| line.trim().strip_prefix("allowed: "));
        let allowed = allowed.unwrap_or_else(|| panic!("{}: {told}", section.heading));
        let read: BTreeSet<String> = allowed.split(", ").map(str::to_owned).collect();
        let mut written = section.keys();
        let invented: Vec<_> = written.difference(&read).collect();
        assert!(invented.is_empty(), "“{}” has keys that nobody reads: {invented:?}", section.heading);
        written.extend(match section.heading.as_str() {
            "`[limits]` as readings at the trailing edge" => keys_of("`[limits]`"),
            "`[[weighing]]`" => keys_of("method `\"trailing-edge scale\"`"),
            heading if heading.starts_with("method") => keys_of("`[[weighing]]`"),
            _ => BTreeSet::new(),
        });
        let left_out: Vec<_> = read.difference(&written).collect();
        assert!(left_out.is_empty(), "“{}” leaves out {left_out:?}", section.heading);
        count += 1;
    }
    assert_eq!(count, 14, "tables of keys");
}

#[test]
fn needed_keys_are_needed_and_the_others_are_not() {
    for section in sections() {
        let table = if section.rows.is_empty() { continue } else { table(&section) };
        for row in section.rows.iter().filter(|row| table.line_of(&row.key).is_some()) {
            let mut sheet = table.without(&row.key);
            if row.key == "configuration" {
                // What is not asked for cannot be confirmed either.
                sheet = sheet
                    .lines()
                    .filter(|line| !line.starts_with("confirmed = "))
                    .collect::<Vec<_>>()
                    .join("\n");
            }
            let said = says(&sheet);
            let place = format!("{}, {}", section.heading, row.key);
            match row.needed.as_str() {
                "no" => assert_eq!(said, "", "{place}"),
                "yes" | "together" | "one way" => assert!(said.contains(&row.key), "{place}: {said}"),
                other => panic!("{place}: needed is “{other}”"),
            }
        }
    }
}

/// The rows of the table of ranges.
fn ranges() -> [(&'static str, &'static Bound); 13] {
    [
        ("arm", &bounds::ARM),
        ("how closely an arm is known", &bounds::ARM_WITHIN),
        ("reading", &bounds::READING),
        ("mass", &bounds::MASS),
        ("tare", &bounds::TARE),
        ("moment", &bounds::MOMENT),
        ("uncertainty of a moment", &bounds::MOMENT_WITHIN),
        ("step of a scale", &bounds::SCALE_STEP),
        ("step of a rule", &bounds::RULE_STEP),
        ("step of a level", &bounds::LEVEL_STEP),
        ("how closely level", &bounds::LEVEL_WITHIN),
        ("second angle", &bounds::SECOND_ANGLE),
        ("outline", &bounds::OUTLINE),
    ]
}

#[test]
fn the_ranges_are_those_of_the_reader() {
    let table = guide::table_of_ranges(&ranges());
    assert!(GUIDE.contains(&table), "docs/job-sheet.md wants this table of ranges:\n{table}");
    let there = include_str!("../../src/bounds.rs").matches("pub static ").count();
    assert_eq!(there, ranges().len(), "a range of bounds.rs is not in the table");
    assert!(GUIDE.contains(&format!("up to {MOST_READINGS} readings")));
}

#[test]
fn each_key_has_the_range_that_the_guide_says() {
    let mut count = 0;
    for section in sections() {
        for row in section.rows.iter().filter(|row| !row.range.is_empty()) {
            let place = format!("{}, {}", section.heading, row.key);
            let named = ranges().into_iter().find(|(name, _)| *name == row.range);
            let (_, bound) = named.unwrap_or_else(|| panic!("{place}: no range “{}”", row.range));
            let is_list = ["readings", "raising", "lowering"].iter().any(|word| row.key.ends_with(word));
            let check = |number: f64| {
                let quantity = format!("\"{number} {}\"", bound.unit.symbol);
                let value = if is_list { format!("[{quantity}]") } else { quantity };
                let said = says(&table(&section).with_value(&row.key, &value));
                assert!(said.contains(&format!("{} is {number}", row.key)), "{place}: {said}");
                assert!(said.contains(&bound.words()), "{place}: {said}");
            };
            check(1.1 * bound.max);
            if !bound.min_allowed {
                check(0.0);
            }
            count += 1;
        }
    }
    assert!(count >= 50, "only {count} keys have a range");
}

#[test]
fn units_are_said_as_the_reader_says_them() {
    for kind in [Kind::Length, Kind::Mass, Kind::Moment, Kind::Angle] {
        let word = kind.with_article().split_once(' ').expect("an article").1;
        let row = format!("| {word} | {} |", kind.symbols());
        assert!(GUIDE.contains(&row), "no {row}");
    }
}

/// The sheet with four slips whose faults the guide shows.
const WRONG: &str = r#"[job]
number = "HP-0231"
surface = "right elevator half"
part = "SK12-55-210"
serial = "0087"

[limits]
source = "SK12 repair manual, 55-20, revision 4"
from = "4.0 in-lb"
to = "0 in-lb"

[[instrument]]
id = "S-2"
kind = "scale"
resolution = "0.01 lb"

[[instrument]]
id = "R-1"
kind = "rule"
resolution = "1/32 in"

[[weighing]]
stage = "as found"
method = "trailing-edge scale"
date = 2026-10-02
scale = "S-2"
rule = "R-1"
arm = "17 1/4"
tear = "0.06 lb"
readings = ["1,310 lb"]

[[station]]
name = "horn weight, front face"
arm = "6.5 in"
side = "forward"
"#;

#[test]
fn faults_are_shown_as_they_are_said() {
    let faults = JobSheet::parse(WRONG).expect_err("four faults").faults;
    assert_eq!(faults.len(), 4);
    for fault in faults {
        let place = format!("error: {}\n  at: HP-0240.toml:{}:{}\n", fault.what, fault.line, fault.column);
        let allowed = fault.allowed.map_or(String::new(), |text| format!("\n  allowed: {text}\n"));
        let hint = fault.hint.map_or(String::new(), |text| format!("hint: {text}\n"));
        for part in [place, format!("{allowed}{hint}")] {
            assert!(GUIDE.contains(&part), "docs/job-sheet.md does not show:\n{part}");
        }
    }
}

#[test]
fn every_key_of_a_result_is_in_the_guide_and_no_other() {
    let mut given = BTreeSet::new();
    for wish in [None, Some(MonteCarlo { trials: 1000, seed: 1 })] {
        for (_, text) in DEMO {
            let sheet = JobSheet::parse(text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
            let result = serde_json::to_value(JobResult::of(&assess(sheet, wish))).expect("JSON");
            guide::paths(&result, "", &mut given);
        }
    }
    guide::same_keys(GUIDE, 1, &given);
}

/// The numbers that docs/formulas.md works out by hand, as the program prints them.
fn worked(name: &str, text: &str) -> String {
    let assessment = assessed(text);
    let unit = assessment.sheet.limits.units.moment;
    let mut rows = String::new();
    for weighed in &assessment.weighings {
        let law = &weighed.measured.propagated;
        let number = |value: f64| significant(value / unit.factor, 5);
        let size = number(law.estimate.abs());
        let side = Moment::from_si(law.estimate).side().word();
        let freedom = law.degrees_of_freedom.map_or("∞".to_owned(), |count| significant(count, 4));
        let friction = weighed.measured.friction_moment.map_or("—".to_owned(), |f| number(f.si()));
        rows += &format!(
            "| {name}, {} | {size} {} {side} | {friction} | {} | {freedom} | {} | {} |\n",
            weighed.taken.stage.word(),
            unit.symbol,
            number(law.standard_uncertainty),
            significant(law.coverage_factor, 4),
            number(law.expanded_uncertainty),
        );
    }
    rows
}

#[test]
fn the_worked_numbers_are_those_of_the_program() {
    let rows: String = DEMO.iter().map(|(name, text)| worked(name, text)).collect();
    assert!(FORMULAS.contains(&rows), "docs/formulas.md wants these rows:\n{rows}");
}

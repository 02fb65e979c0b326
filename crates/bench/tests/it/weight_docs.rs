//! The guide to the weight sheet says what the reader does: every key, whether it is needed, its range; and every key of
//! an answer.

use crate::guide::{self, Section, Table};
use crate::sheets::told;
use crate::weight::{DEMO, DRILL_OUT, MESH, casting, horn};
use crate::weight_joint::{BAR, HELD, LIGHT, ROOT, THREAD};
use hingeline_bench::bounds::{self, Bound};
use hingeline_bench::weight::drill_out::{self, DrillAnswer};
use hingeline_bench::weight::{AnySheet, WeightSheet, answer, bounds as own};
use std::collections::BTreeSet;

const GUIDE: &str = include_str!("../../../../docs/weight-sheet.md");

/// The sections that describe keys of a sheet.
fn tables() -> Vec<Section> {
    let all = guide::sections(GUIDE).into_iter();
    all.filter(|section| section.heading.starts_with("`[")).collect()
}

/// The header of the table that a section describes: "[form]".
fn header(section: &Section) -> &str {
    section.heading.split('`').nth(1).expect("a table in the heading")
}

/// Whether it describes what all kinds of the table have.
fn is_base(section: &Section) -> bool {
    section.heading.ends_with('`')
}

/// The whole sheet with the tables of a section's block in the place of its own.
fn sheet(section: &Section) -> String {
    let all = guide::sections(GUIDE);
    let whole = all.iter().find_map(|section| section.blocks.first()).expect("a whole sheet");
    let Some(block) = section.blocks.first() else { return whole.clone() };
    if block.contains("[drill_out]") {
        return block.clone();
    }
    // Nothing is known of the skin of a mesh.
    let without: &[&str] = if block.contains("kind = \"mesh\"") { &["[[coating]]"] } else { &[] };
    guide::completed(whole, block, without)
}

/// The table that a section describes, in its sheet.
fn table(section: &Section) -> Table {
    Table { sheet: sheet(section), header: header(section).to_owned() }
}

fn says(sheet: &str) -> String {
    AnySheet::parse_with(sheet, &horn).err().map_or_else(String::new, |faults| told(&faults))
}

#[test]
fn every_block_is_a_sheet_or_part_of_one() {
    let blocks = guide::sections(GUIDE).into_iter().filter(|section| !section.blocks.is_empty());
    let count =
        blocks.inspect(|section| assert_eq!(says(&sheet(section)), "", "{}", section.heading)).count();
    assert!(count >= 14, "only {count} blocks");
}

#[test]
fn the_whole_sheet_has_a_piece_and_its_casting_is_judged() {
    let all = guide::sections(GUIDE);
    let whole = all.iter().find_map(|section| section.blocks.first()).expect("a whole sheet");
    let answer = answer(&crate::weight::read(whole));
    assert_eq!(answer.head.standing, "solved");
    assert_eq!(answer.trim.expect("a casting").refused, None);
}

#[test]
fn every_key_that_is_read_is_in_the_guide_and_no_other() {
    let all = tables();
    for section in &all {
        let said = says(&table(section).with_value("zzz", "1"));
        let allowed = said.lines().skip_while(|line| !line.contains("unknown key “zzz”")).nth(1);
        let allowed = allowed.and_then(|line| line.trim().strip_prefix("allowed: "));
        let allowed = allowed.unwrap_or_else(|| panic!("{}: {said}", section.heading));
        let read: BTreeSet<String> = allowed.split(", ").map(str::to_owned).collect();
        let invented: Vec<_> = section.keys().difference(&read).cloned().collect();
        assert!(invented.is_empty(), "“{}” has keys that nobody reads: {invented:?}", section.heading);
        // A base holds what all kinds have; the kind in the sheet brings its own.
        let same_table = all.iter().filter(|other| header(other) == header(section));
        let others = same_table.filter(|other| is_base(other) || is_base(section));
        let written: BTreeSet<String> = others.flat_map(Section::keys).chain(section.keys()).collect();
        let other_way = ["measured", "aim"].map(str::to_owned);
        let left_out: Vec<_> = read.difference(&written).filter(|key| !other_way.contains(key)).collect();
        assert!(left_out.is_empty(), "“{}” leaves out {left_out:?}", section.heading);
    }
    assert_eq!(all.len(), 38, "tables of keys");
}

#[test]
fn needed_keys_are_needed_and_the_others_are_not() {
    for section in tables() {
        let table = table(&section);
        for row in section.rows.iter().filter(|row| table.line_of(&row.key).is_some()) {
            let said = says(&table.without(&row.key));
            let place = format!("{}, {}", section.heading, row.key);
            let half_of = ["old_arm", "old_side"].contains(&row.key.as_str());
            match row.needed.as_str() {
                "no" if half_of => assert!(said.contains("old_"), "{place}: {said}"),
                "no" => assert_eq!(said, "", "{place}"),
                "yes" | "together" => assert!(said.contains(&row.key), "{place}: {said}"),
                "one way" => assert_ne!(said, "", "{place}"),
                other => panic!("{place}: needed is “{other}”"),
            }
        }
    }
}

fn ranges() -> [(&'static str, &'static Bound); 14] {
    [
        ("size", &own::SIZE),
        ("place", &own::PLACE),
        ("mass of the piece", &own::PIECE),
        ("how closely a mass", &own::WITHIN),
        ("how closely made", &own::MADE_WITHIN),
        ("drill", &own::DRILL),
        ("point", &own::POINT),
        ("turn", &own::TURN),
        ("film", &own::FILM),
        ("torque", &own::TORQUE),
        ("arm", &bounds::ARM),
        ("moment", &bounds::MOMENT),
        ("uncertainty of a moment", &bounds::MOMENT_WITHIN),
        ("step of a scale", &bounds::SCALE_STEP),
    ]
}

#[test]
fn the_ranges_are_those_of_the_reader() {
    let there = include_str!("../../src/weight/bounds.rs").matches("pub static ").count();
    let table = guide::table_of_ranges(&ranges()[..there]);
    assert!(
        GUIDE.contains(&format!("{table}\n")),
        "docs/weight-sheet.md wants this table of ranges:\n{table}"
    );
    assert!(GUIDE.contains(&format!("A sheet has up to {} holes", own::HOLES)));
}

#[test]
fn each_key_has_the_range_that_the_guide_says() {
    let mut count = 0;
    for section in tables() {
        for row in section.rows.iter().filter(|row| !row.range.is_empty()) {
            let place = format!("{}, {}", section.heading, row.key);
            let named = ranges().into_iter().find(|(name, _)| *name == row.range);
            let (_, bound) = named.unwrap_or_else(|| panic!("{place}: no range “{}”", row.range));
            let check = |number: f64| {
                let quantity = format!("\"{number} {}\"", bound.unit.symbol);
                let value = if row.kind.starts_with("list") { format!("[{quantity}]") } else { quantity };
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
    assert!(count >= 70, "only {count} keys have a range");
}

#[test]
fn every_key_of_an_answer_is_in_the_guide_and_no_other() {
    let mut given = BTreeSet::new();
    // A piece that is too high for its space is stopped by no shortfall; without an old arm there is no
    // naive answer.
    let tall = DEMO[3].1.replace("[vary]", "[space]\nabove = \"0.1 in\"\n[vary]");
    let plain = "[weight]\nname = \"bar\"\nmoment = \"1 kg·mm nose-heavy\"\nmaterial = \"lead\"\n[form]\n\
                 kind = \"bar\"\ndepth = \"10 mm\"\nheight = \"10 mm\"\nspan = \"90 mm\"\nface = \"rear\"\n\
                 arm = \"60 mm\"\nside = \"forward\"\n";
    let texts = DEMO.iter().map(|(_, text)| (*text).to_owned());
    let in_metres = MESH.replace("unit = \"in\"", "unit = \"m\"");
    let thick = DEMO[1].1.replace("most = \"3/8 in\"", "most = \"0.131 in\"");
    let held = [BAR, LIGHT, HELD, THREAD, ROOT].concat();
    let risen = casting("340.0 g") + "[[cast]]\nmass = \"350 g\"\n";
    for text in texts.chain([
        held,
        casting("300.0 g"),
        risen,
        tall,
        plain.to_owned(),
        thick,
        MESH.to_owned(),
        in_metres,
    ]) {
        let sheet =
            WeightSheet::parse_with(&text, &horn).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        guide::paths(&serde_json::to_value(answer(&sheet)).expect("JSON"), "", &mut given);
    }
    guide::same_keys(GUIDE, 1, &given);
}

#[test]
fn every_key_of_a_drilled_answer_is_in_the_guide_and_no_other() {
    let mut given = BTreeSet::new();
    let few = DRILL_OUT.replace("most_holes = 6", "most_holes = 1");
    let no_mass = DRILL_OUT.replace("old_mass = \"0.92 lb\"\n", "");
    for text in [
        DRILL_OUT.to_owned(),
        few,
        no_mass,
        DRILL_OUT.replace("side = \"forward\"\ndia", "side = \"aft\"\ndia"),
    ] {
        let Ok(AnySheet::DrillOut(sheet)) = AnySheet::parse_with(&text, &horn) else { panic!("{text}") };
        let answer = DrillAnswer::of(&drill_out::work(*sheet));
        guide::paths(&serde_json::to_value(answer).expect("JSON"), "", &mut given);
    }
    guide::same_keys(GUIDE, 2, &given);
}

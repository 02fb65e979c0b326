//! The outcome of the simulation written down as docs/coverage.md.
//!
//! The words stand in page.md, the tables are made here. Main function: [`page`].

use super::plan::{Mix, RATIOS, Row, SWEPT, Taken, Way, claimed, outside, sweep};
use super::{Tally, simulate};
use std::fmt::Write;

const WORDS: &str = include_str!("page.md");

/// A row with what came of it.
type Line = (Row, Tally);

struct Outcome {
    claimed: Vec<Line>,
    /// With their headings.
    outside: Vec<(&'static str, Vec<Line>)>,
    /// Scatter beside all the rest: one of [`RATIOS`] after the other, each with a line a column of [`SWEPT`].
    sweep: Vec<Line>,
    /// Scatter beside the scale's error alone, in the same order.
    beside: Vec<Line>,
}

/// Simulates so many benches of every row and writes the page. `told` hears of each row that is done: how many are,
/// and of how many.
pub fn page(benches: u64, seed: u64, command: &str, told: impl FnMut(usize, usize)) -> String {
    let outcome = run(benches, seed, told);
    let count = outcome.claimed.len();
    let (clear, row) = highest(&outcome.claimed, Tally::clear_wrong);
    let (least, _) = lowest(&outcome.claimed, Tally::doubtful_wrong);
    let (most, _) = highest(&outcome.claimed, Tally::doubtful_wrong);
    let noise = highest(&outcome.claimed, Tally::noise).0;
    let fields = [
        ("outcome", sentence(&outcome)),
        ("benches", thousands(benches)),
        ("rows", count.to_string()),
        ("noise", format!("{noise:.2}")),
        ("summary", summary(&outcome.claimed)),
        ("clear_wrong", format!("{clear:.2}")),
        ("clear_wrong_where", place(row)),
        ("doubtful_wrong", format!("{least:.0} to {most:.0}")),
        ("full", full(&outcome.claimed)),
        ("heights", heights(&outcome.claimed)),
        ("outside", beyond(&outcome.outside)),
        ("sweep", swept(&outcome.sweep)),
        ("beside", swept(&outcome.beside)),
        ("command", command.to_owned()),
        ("seed", seed.to_string()),
    ];
    fields.iter().fold(WORDS.to_owned(), |words, (key, text)| {
        words.replace(&format!("{{{{{key}}}}}"), text.trim_end())
    })
}

fn run(benches: u64, seed: u64, mut told: impl FnMut(usize, usize)) -> Outcome {
    let (claimed, outside) = (claimed(), outside());
    let (rest, beside) = (sweep(Mix::Rest), sweep(Mix::Beside));
    let all =
        claimed.len() + outside.iter().map(|part| part.rows.len()).sum::<usize>() + rest.len() + beside.len();
    let mut done = 0;
    let mut lines = |rows: &[Row]| -> Vec<Line> {
        let mut line = |row: &Row| {
            let tally = simulate(row, done as u64, benches, seed, |weighing| weighing);
            done += 1;
            told(done, all);
            (*row, tally)
        };
        rows.iter().map(&mut line).collect()
    };
    Outcome {
        claimed: lines(&claimed),
        outside: outside.iter().map(|part| (part.heading, lines(&part.rows))).collect(),
        sweep: lines(&rest),
        beside: lines(&beside),
    }
}

fn highest(lines: &[Line], of: fn(&Tally) -> f64) -> (f64, &Row) {
    lines
        .iter()
        .map(|(row, tally)| (of(tally), row))
        .fold((f64::NEG_INFINITY, &lines[0].0), |most, here| if here.0 > most.0 { here } else { most })
}

fn lowest(lines: &[Line], of: fn(&Tally) -> f64) -> (f64, &Row) {
    lines
        .iter()
        .map(|(row, tally)| (of(tally), row))
        .fold((f64::INFINITY, &lines[0].0), |least, here| if here.0 < least.0 { here } else { least })
}

/// "balance beam, 3 + 3, scale error, gain"
fn place(row: &Row) -> String {
    match row.taken {
        Taken::Calculated => format!("{}, {}", row.way.name(), row.mix.name()),
        _ => format!("{}, {}, {}", row.way.name(), row.taken.words(row.readings), row.mix.name()),
    }
}

fn sentence(outcome: &Outcome) -> String {
    let (least, row) = lowest(&outcome.claimed, Tally::coverage);
    let (most, _) = highest(&outcome.claimed, Tally::coverage);
    let swept: Vec<Line> = outcome
        .sweep
        .iter()
        .chain(&outcome.beside)
        .filter(|(row, _)| row.has_enough_readings())
        .copied()
        .collect();
    let (swept, hardest) = lowest(&swept, Tally::coverage);
    format!(
        "In all {} rows of the claim the coverage lies between **{least:.2} %** ({})\nand {most:.2} %. In the sweeps, \
         which look for the hardest proportions, it does not fall below\n**{swept:.2} %** ({}).",
        outcome.claimed.len(),
        place(row),
        place(hardest)
    )
}

/// The lines of a way of weighing, taken so.
fn of(lines: &[Line], way: Way, taken: Taken) -> Vec<Line> {
    lines.iter().filter(|(row, _)| row.way == way && row.taken == taken).copied().collect()
}

const WAYS_TO_READ: [(Taken, &str); 3] =
    [(Taken::Turning, "raising and lowering"), (Taken::AtRest, "at rest"), (Taken::Calculated, "calculated")];

fn summary(lines: &[Line]) -> String {
    let mut text = String::from(
        "| method | readings | lowest, % | where | highest, % | where |\n|---|---|---|---|---|---|\n",
    );
    for way in Way::ALL {
        for (taken, words) in WAYS_TO_READ {
            let lines = of(lines, way, taken);
            if lines.is_empty() {
                continue;
            }
            let (least, below) = lowest(&lines, Tally::coverage);
            let (most, above) = highest(&lines, Tally::coverage);
            let _ = writeln!(
                text,
                "| {} | {words} | **{least:.2}** | {} | {most:.2} | {} |",
                way.name(),
                within(below),
                within(above)
            );
        }
    }
    text
}

/// "scatter of readings, 3 + 3"
fn within(row: &Row) -> String {
    match row.taken {
        Taken::Calculated => row.mix.name(),
        _ => format!("{}, {}", row.mix.name(), row.taken.words(row.readings)),
    }
}

fn full(lines: &[Line]) -> String {
    let mut text = String::new();
    for way in Way::ALL {
        let _ = writeln!(
            text,
            "### {}\n\n| chief cause | readings | coverage, % | noise | U / 2 s | clear, % | clear, wrong, % | \
             doubtful, wrong, % |\n|---|---|---|---|---|---|---|---|",
            capital(way.name())
        );
        for (row, tally) in lines.iter().filter(|(row, _)| row.way == way) {
            let _ = writeln!(
                text,
                "| {} | {} | {:.2} | {:.2} | {:.2} | {:.0} | {:.2} | {:.1} |",
                row.mix.name(),
                row.taken.words(row.readings),
                tally.coverage(),
                tally.noise(),
                tally.width(),
                tally.clear_share(),
                tally.clear_wrong(),
                tally.doubtful_wrong()
            );
        }
        text.push('\n');
    }
    text
}

fn heights(lines: &[Line]) -> String {
    let mut text = String::from(
        "| readings in each attitude | lowest, % | chief cause | highest, % | chief cause |\n|---|---|---|---|---|\n",
    );
    let height = |tally: &Tally| tally.height_coverage().unwrap_or(f64::NAN);
    for (taken, _) in WAYS_TO_READ {
        let lines = of(lines, Way::TwoAttitudes, taken);
        let mut counts: Vec<usize> = lines.iter().map(|(row, _)| row.readings).collect();
        counts.sort_unstable();
        counts.dedup();
        for count in counts {
            let lines: Vec<Line> = lines.iter().filter(|(row, _)| row.readings == count).copied().collect();
            let (least, below) = lowest(&lines, height);
            let (most, above) = highest(&lines, height);
            let _ = writeln!(
                text,
                "| {} | {least:.2} | {} | {most:.2} | {} |",
                taken.words(count),
                below.mix.name(),
                above.mix.name()
            );
        }
    }
    text
}

fn beyond(parts: &[(&'static str, Vec<Line>)]) -> String {
    let mut text = String::from(
        "| what | chief cause | readings | coverage, % | U / 2 s | clear, wrong, %, at most |\n\
         |---|---|---|---|---|---|\n",
    );
    for (heading, lines) in parts {
        let mut left = lines.clone();
        while let Some(&(row, _)) = left.first() {
            // One line of the page for all methods alike.
            let (alike, others): (Vec<Line>, Vec<Line>) = left
                .into_iter()
                .partition(|(other, _)| other.mix == row.mix && other.readings == row.readings);
            left = others;
            let _ = writeln!(
                text,
                "| {heading} | {} | {} | {} | {} | {:.1} |",
                row.mix.name(),
                row.taken.words(row.readings),
                from_to(&alike, Tally::coverage, 1),
                from_to(&alike, Tally::width, 2),
                highest(&alike, Tally::clear_wrong).0
            );
        }
    }
    text
}

/// "93.7 to 94.0"
fn from_to(lines: &[Line], of: fn(&Tally) -> f64, places: usize) -> String {
    let (least, most) = (lowest(lines, of).0, highest(lines, of).0);
    let (least, most) = (format!("{least:.places$}"), format!("{most:.places$}"));
    if least == most { least } else { format!("{least} to {most}") }
}

fn swept(lines: &[Line]) -> String {
    let mut text = String::from("| times the scatter |");
    for (taken, readings) in SWEPT {
        let _ = write!(text, " {} |", taken.words(readings));
    }
    let _ = writeln!(text, "\n|---|{}", "---|".repeat(SWEPT.len()));
    for (ratio, lines) in RATIOS.iter().zip(lines.chunks(SWEPT.len())) {
        let _ = write!(text, "| {ratio} |");
        for (_, tally) in lines {
            let _ = write!(text, " {:.1} |", tally.coverage());
        }
        text.push('\n');
    }
    text
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// "100,000"
fn thousands(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_is_filled_and_every_row_told() {
        let mut last = (0, 0);
        let page = page(1, 1, "the command", |done, of| last = (done, of));
        assert!(!page.contains("{{"), "a field is left over");
        assert_eq!(last.0, last.1);
        assert!(last.0 > 300, "{last:?}");
        for way in Way::ALL {
            assert!(page.contains(&format!("### {}", capital(way.name()))));
        }
    }

    #[test]
    fn big_numbers_have_commas() {
        assert_eq!(thousands(100_000), "100,000");
        assert_eq!(thousands(1_234_567), "1,234,567");
        assert_eq!(thousands(999), "999");
    }
}

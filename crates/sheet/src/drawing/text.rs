//! Measuring and wrapping labels before they are placed.
//!
//! Main type: [`Block`], one label wrapped into lines, with the room it needs. Widths come from the sheet's own
//! face (the wider of regular and semi-bold for each character), so a label never needs more room than was
//! kept for it. Kerning and ligatures are left out: they only make a label narrower.

use super::pen::Paint;

/// Advance widths of the characters from space to tilde, in thousandths of the lettering height.
const ADVANCE: [u16; 95] = [
    200, 315, 482, 513, 513, 841, 639, 275, 324, 324, 438, 513, 275, 322, 275, 350, //
    513, 513, 513, 513, 513, 513, 513, 513, 513, 513, 275, 275, 513, 513, 513, 444, //
    875, 558, 597, 576, 625, 538, 510, 628, 663, 282, 494, 597, 502, 745, 657, 674, //
    582, 674, 592, 545, 546, 655, 536, 800, 541, 501, 540, 324, 350, 324, 513, 500, //
    549, 516, 563, 462, 564, 507, 317, 520, 558, 262, 263, 522, 271, 843, 560, 549, //
    564, 564, 373, 431, 361, 556, 495, 748, 481, 495, 443, 324, 255, 324, 513,
];

/// Height of a line as a multiple of the lettering height.
const LEADING: f64 = 1.24;

/// Width of a character as a multiple of the lettering height.
fn advance(character: char) -> f64 {
    let index = (character as usize).wrapping_sub(0x20);
    if let Some(width) = ADVANCE.get(index) {
        return f64::from(*width) / 1000.0;
    }
    match character {
        '±' | '×' | '÷' | '−' | '·' | '°' | '\u{a0}' => 0.52,
        '\u{a1}'..='\u{24f}' => 0.86,
        _ => 1.05,
    }
}

/// Width of a text as a multiple of the lettering height.
fn measure(text: &str) -> f64 {
    text.chars().map(advance).sum()
}

/// How a run of words looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Face {
    /// Its colour.
    pub(super) paint: Paint,
    /// Whether it is set semi-bold.
    pub(super) weight: Weight,
}

/// Regular or semi-bold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    /// As body text.
    Regular,
    /// For what is read first.
    SemiBold,
}

impl Face {
    /// Ink, regular.
    pub(super) const PLAIN: Self = Self { paint: Paint::Ink, weight: Weight::Regular };
    /// Ink, semi-bold.
    pub(super) const STRONG: Self = Self { paint: Paint::Ink, weight: Weight::SemiBold };
    /// The second rank.
    pub(super) const SOFT: Self = Self { paint: Paint::Soft, weight: Weight::Regular };
    /// What was measured or typed.
    pub(super) const MEASURED: Self = Self { paint: Paint::Blue, weight: Weight::SemiBold };
}

/// One run of words in one face; a block is wrapped from several.
#[derive(Debug, Clone)]
pub(super) struct Run {
    /// The words.
    pub(super) text: String,
    /// Their face.
    pub(super) face: Face,
}

/// A run from a text.
pub(super) fn run(text: &str, face: Face) -> Run {
    Run { text: text.to_owned(), face }
}

/// Lettering: its height and how much wider it runs than the sheet's own face.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lettering {
    /// Height, in units of the view box.
    pub(super) size: f64,
    /// Width relative to the sheet's own face.
    pub(super) stretch: f64,
}

impl Lettering {
    /// The same face at another height.
    pub(super) fn scaled(self, factor: f64) -> Self {
        Self { size: self.size * factor, ..self }
    }

    /// Width of a text, in units of the view box.
    fn width(self, text: &str) -> f64 {
        measure(text) * self.size * self.stretch
    }
}

/// A label wrapped into lines.
#[derive(Debug, Clone)]
pub(super) struct Block {
    /// The lines, each a list of runs without spaces at its ends.
    pub(super) lines: Vec<Vec<Run>>,
    /// Width of the longest line.
    pub(super) width: f64,
    /// The lettering.
    pub(super) lettering: Lettering,
}

impl Block {
    /// Wraps paragraphs (each a list of runs) so that no line is wider than `max_width`.
    pub(super) fn wrap(paragraphs: &[Vec<Run>], max_width: f64, lettering: Lettering) -> Self {
        let lines: Vec<_> =
            paragraphs.iter().flat_map(|runs| break_lines(runs, max_width, lettering)).collect();
        let width = lines.iter().map(|line| line_width(line, lettering)).fold(0.0, f64::max);
        Self { lines, width, lettering }
    }

    /// One paragraph in one face.
    pub(super) fn plain(text: &str, face: Face, max_width: f64, lettering: Lettering) -> Self {
        Self::wrap(&[vec![run(text, face)]], max_width, lettering)
    }

    /// Distance between two baselines.
    pub(super) fn line_height(&self) -> f64 {
        self.lettering.size * LEADING
    }

    /// Height of all lines.
    pub(super) fn height(&self) -> f64 {
        self.lines.iter().map(|_| self.line_height()).sum()
    }
}

fn line_width(line: &[Run], lettering: Lettering) -> f64 {
    let spaces = line.len().saturating_sub(1);
    let spaces: f64 = (0..spaces).map(|_| lettering.width(" ")).sum();
    line.iter().map(|run| lettering.width(&run.text)).sum::<f64>() + spaces
}

/// Breaks runs between words, and inside a word that is wider than a line.
fn break_lines(runs: &[Run], max_width: f64, lettering: Lettering) -> Vec<Vec<Run>> {
    let space = lettering.width(" ");
    let mut lines: Vec<Vec<Run>> = Vec::new();
    let mut room = 0.0;
    for word in runs.iter().flat_map(|run| words(run, max_width, lettering)) {
        let width = lettering.width(&word.text);
        match lines.last_mut() {
            Some(line) if space + width <= room => {
                room -= space + width;
                append(line, word);
            }
            _ => {
                room = max_width - width;
                lines.push(vec![word]);
            }
        }
    }
    lines
}

/// Adds a word to a line, into the last run where the face is the same.
fn append(line: &mut Vec<Run>, word: Run) {
    match line.last_mut() {
        Some(last) if last.face == word.face => {
            last.text.push(' ');
            last.text.push_str(&word.text);
        }
        _ => line.push(word),
    }
}

/// The words of a run; a word too wide for a line is cut into pieces.
fn words(run: &Run, max_width: f64, lettering: Lettering) -> Vec<Run> {
    let words = run.text.split([' ', '\t', '\n', '\r']).filter(|word| !word.is_empty());
    let pieces = words.flat_map(|word| pieces(word, max_width, lettering));
    pieces.map(|text| Run { text, face: run.face }).collect()
}

fn pieces(word: &str, max_width: f64, lettering: Lettering) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for character in word.chars().filter(|character| !character.is_control()) {
        let Some(piece) = pieces.last_mut() else { continue };
        let width = lettering.width(piece) + lettering.width(&character.to_string());
        if width <= max_width || piece.is_empty() {
            piece.push(character);
        } else {
            pieces.push(character.to_string());
        }
    }
    pieces.retain(|piece| !piece.is_empty());
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    const LETTERING: Lettering = Lettering { size: 10.0, stretch: 1.0 };

    fn texts(text: &str, max_width: f64) -> Vec<String> {
        let block = Block::plain(text, Face::PLAIN, max_width, LETTERING);
        block.lines.iter().map(|line| line.iter().map(|run| run.text.as_str()).collect()).collect()
    }

    #[test]
    fn short_text_stays_on_one_line() {
        assert_eq!(texts("6.5 in", 200.0), ["6.5 in"]);
    }

    #[test]
    fn text_breaks_between_words() {
        assert_eq!(texts("horn weight, front face", 60.0), ["horn weight,", "front face"]);
    }

    #[test]
    fn a_word_wider_than_the_line_is_cut() {
        let lines = texts("mmmmmmmmmm", 30.0);
        assert_eq!(lines, ["mmm", "mmm", "mmm", "m"]);
    }

    #[test]
    fn empty_text_gives_no_line() {
        assert!(texts("  ", 50.0).is_empty());
    }

    #[test]
    fn control_characters_are_dropped() {
        assert_eq!(texts("a\u{0}b\u{1b}c", 200.0), ["abc"]);
    }

    #[test]
    fn runs_of_two_faces_share_a_line() {
        let runs = vec![run("6.5 in", Face::STRONG), run("horn weight", Face::PLAIN)];
        let block = Block::wrap(&[runs], 200.0, LETTERING);
        assert_eq!(block.lines.len(), 1);
        assert_eq!(block.lines[0].len(), 2);
    }
}

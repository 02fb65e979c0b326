//! Colours and lettering shared by the drawings and the sheet.
//!
//! [`Palette`] holds every colour as the text that goes into the SVG attribute, so that a page may pass
//! `var(--ink)` and the sheet a plain `#1d2a33`. [`Tone`] is the meaning behind a colour; whatever has a tone
//! also says it in words or by its shape.

use serde::{Deserialize, Serialize};

/// The meaning of a colour.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tone {
    /// Neither good nor bad.
    #[default]
    Plain,
    /// Within, valid, in date.
    Good,
    /// Outside, not valid, overdue.
    Bad,
    /// To be looked at: doubtful, soon due, capacity exceeded.
    Doubt,
}

/// Colours, as the text of an SVG attribute, and the lettering of a drawing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Palette {
    /// Lines and words of the first rank.
    pub ink: String,
    /// Words and lines of the second rank.
    pub soft: String,
    /// Hairlines.
    pub line: String,
    /// The ground that a label stands on.
    pub ground: String,
    /// A light tint of `soft`, for filled outlines.
    pub tint: String,
    /// The one blue: whatever was measured or typed.
    pub blue: String,
    /// Colour of [`Tone::Good`].
    pub good: String,
    /// A light tint of `good`, for the approved band.
    pub good_tint: String,
    /// Colour of [`Tone::Bad`].
    pub bad: String,
    /// Colour of [`Tone::Doubt`].
    pub doubt: String,
    /// The `font-family` of every label.
    pub font_family: String,
    /// How much wider the lettering runs than the sheet's own face (1 for that face). Labels are laid out by it.
    pub letter_width: f64,
}

impl Palette {
    /// Ink on paper, with the face that the sheet embeds.
    pub fn paper() -> Self {
        Self {
            ink: "#1d2a33".into(),
            soft: "#5c6b75".into(),
            line: "#b4bdc1".into(),
            ground: "#ffffff".into(),
            tint: "#e9edef".into(),
            blue: "#0b5cad".into(),
            good: "#1c6b45".into(),
            good_tint: "#e3f0e8".into(),
            bad: "#a32314".into(),
            doubt: "#8a5a00".into(),
            font_family: "'Source Sans 3', sans-serif".into(),
            letter_width: 1.0,
        }
    }

    /// CSS variables (`--ink`, `--soft`, `--line`, `--ground`, `--tint`, `--blue`, `--good`, `--good-tint`,
    /// `--bad`, `--doubt`) and the face of the page round the drawing.
    pub fn page() -> Self {
        Self {
            ink: "var(--ink)".into(),
            soft: "var(--soft)".into(),
            line: "var(--line)".into(),
            ground: "var(--ground)".into(),
            tint: "var(--tint)".into(),
            blue: "var(--blue)".into(),
            good: "var(--good)".into(),
            good_tint: "var(--good-tint)".into(),
            bad: "var(--bad)".into(),
            doubt: "var(--doubt)".into(),
            font_family: "inherit".into(),
            letter_width: 1.02,
        }
    }

    /// The colour of a tone.
    pub fn of(&self, tone: Tone) -> &str {
        match tone {
            Tone::Plain => &self.ink,
            Tone::Good => &self.good,
            Tone::Bad => &self.bad,
            Tone::Doubt => &self.doubt,
        }
    }
}

impl Default for Palette {
    fn default() -> Self {
        Self::paper()
    }
}

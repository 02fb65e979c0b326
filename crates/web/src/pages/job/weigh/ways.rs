//! The six methods as the page shows them: which fields, in which order, with which keys of the job sheet.
//!
//! Main type: [`Way`]. The keys are those of docs/job-sheet.md; a test enters every method through them.

/// What a field takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A mass with its unit.
    Mass,
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A moment with its side.
    Moment,
    /// The uncertainty of a moment, without a side.
    MomentWithin,
    /// The id of an instrument of this kind.
    Instrument(&'static str),
    /// One of two words.
    Choice(&'static [&'static str; 2]),
}

/// A field beside the readings.
#[derive(Debug)]
pub(super) struct Def {
    /// Its key.
    pub(super) key: &'static str,
    /// Its label.
    pub(super) label: &'static str,
    /// What it takes.
    pub(super) kind: Kind,
    /// Whether the weighing needs it.
    pub(super) needed: bool,
    /// What to put there.
    pub(super) hint: &'static str,
}

const fn def(key: &'static str, label: &'static str, kind: Kind, needed: bool, hint: &'static str) -> Def {
    Def { key, label, kind, needed, hint }
}

/// A method.
#[derive(Debug)]
pub(super) struct Way {
    /// Its word in the job sheet.
    pub(super) word: &'static str,
    /// Its word in an address, and the class of its drawing.
    pub(super) slug: &'static str,
    /// One sentence.
    pub(super) how: &'static str,
    /// The fields in the head of the readings.
    pub(super) head: &'static [Def],
    /// The fields on the drawing.
    pub(super) on_drawing: &'static [Def],
    /// What the readings are.
    pub(super) readings: Option<Reading>,
    /// Whether there is a second set of readings, at a second angle.
    pub(super) second: bool,
}

/// What a reading of a method is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reading {
    /// Mass or length.
    pub(super) kind: Kind,
    /// The words over the three sets: at rest, raising, lowering.
    pub(super) labels: [&'static str; 3],
}

/// The keys of the sets of readings.
pub(super) const SETS: [&str; 3] = ["readings", "raising", "lowering"];
/// The same at the second angle.
pub(super) const SECOND_SETS: [&str; 3] = ["second_readings", "second_raising", "second_lowering"];
/// The keys of a part: key, label, needed.
pub(super) const PART: [(&str, &str, bool); 7] = [
    ("name", "what", true),
    ("mass", "mass", true),
    ("mass_within", "mass within", false),
    ("arm", "arm", true),
    ("arm_within", "arm within", false),
    ("side", "side", true),
    ("change", "change", true),
];

const SIDES: &[&str; 2] = &["forward", "aft"];
const SCALE: Def = def("scale", "scale", Kind::Instrument("scale"), true, "");
const RULE: Def = def("rule", "rule", Kind::Instrument("rule"), true, "");
const SURFACE: Def =
    def("surface_mass", "surface mass", Kind::Mass, false, "with the next two: puts the levelling error in");
const TARE: Def =
    def("tare", "tare", Kind::Mass, false, "the sling or hook alone; 0 where the scale was zeroed with it");
const HEIGHT: Def = def(
    "cg_height_within",
    "centre of gravity no further off the chord than",
    Kind::Length,
    false,
    "above or below it; half of the thickness is on the safe side",
);
const LEVEL: Def =
    def("level_within", "levelled to within", Kind::Angle, false, "how closely the chord was levelled");

/// The methods, in the order of the choice.
pub(super) static WAYS: [Way; 6] = [
    Way {
        word: "trailing-edge scale",
        slug: "trailing-edge-scale",
        how: "A scale holds the trailing edge up in a sling.",
        head: &[SCALE],
        on_drawing: &[
            def("arm", "arm", Kind::Length, true, "hinge line to where the scale bears"),
            RULE,
            TARE,
            LEVEL,
            SURFACE,
            HEIGHT,
        ],
        readings: Some(Reading { kind: Kind::Mass, labels: ["at rest", "raising", "lowering"] }),
        second: false,
    },
    Way {
        word: "hung weight",
        slug: "hung-weight",
        how: "A known mass, hung at an arm, levels the surface.",
        head: &[def("side", "hung on which side", Kind::Choice(SIDES), true, ""), SCALE],
        on_drawing: &[
            def("arm", "arm", Kind::Length, true, "hinge line to where it hangs"),
            RULE,
            def("hanger", "pan or hook", Kind::Mass, false, "alone, weighed on the same scale"),
            def(
                "moves_with",
                "least to move it",
                Kind::Mass,
                false,
                "the smallest mass that visibly moves the surface",
            ),
            LEVEL,
            SURFACE,
            HEIGHT,
        ],
        readings: Some(Reading {
            kind: Kind::Mass,
            labels: ["levelled by", "just rises with", "just sinks with"],
        }),
        second: false,
    },
    Way {
        word: "balance beam",
        slug: "balance-beam",
        how: "A mass slides along a beam on the surface until it is level.",
        head: &[def("side", "slides on which side", Kind::Choice(SIDES), true, ""), RULE],
        on_drawing: &[
            def("sliding_mass", "sliding mass", Kind::Mass, true, ""),
            SCALE,
            def(
                "beam_moment",
                "moment of the beam",
                Kind::Moment,
                true,
                "beam and clamps without the sliding mass",
            ),
            def(
                "beam_uncertainty",
                "beam known to within",
                Kind::MomentWithin,
                false,
                "expanded uncertainty, k = 2",
            ),
            LEVEL,
            SURFACE,
            HEIGHT,
        ],
        readings: Some(Reading {
            kind: Kind::Length,
            labels: ["level at", "just rises at", "just sinks at"],
        }),
        second: false,
    },
    Way {
        word: "support scale",
        slug: "support-scale",
        how: "A platform scale stands under a support.",
        head: &[def("side", "support on which side", Kind::Choice(SIDES), true, ""), SCALE],
        on_drawing: &[
            def("arm", "arm", Kind::Length, true, "hinge line to where the surface bears"),
            RULE,
            def(
                "support_mass",
                "support alone",
                Kind::Mass,
                true,
                "what the scale shows; 0 where it was zeroed",
            ),
            def(
                "bearing_within",
                "bears within",
                Kind::Length,
                false,
                "half of the width in which the surface may bear",
            ),
            LEVEL,
            SURFACE,
            HEIGHT,
        ],
        readings: Some(Reading { kind: Kind::Mass, labels: ["at rest", "raising", "lowering"] }),
        second: false,
    },
    Way {
        word: "two attitudes",
        slug: "two-attitudes",
        how: "A trailing-edge scale, read level and at a second angle: it also gives the height of the centre of gravity.",
        head: &[SCALE],
        on_drawing: &[
            def("arm", "arm", Kind::Length, true, "hinge line to where the scale bears, along the chord"),
            RULE,
            TARE,
            def("second_angle", "second angle", Kind::Angle, true, "of the chord from level"),
            def("trailing_edge", "trailing edge", Kind::Choice(&["raised", "lowered"]), true, ""),
            def("level", "level", Kind::Instrument("level"), true, ""),
            LEVEL,
            def("surface_mass", "surface mass", Kind::Mass, true, "weighed on the same scale"),
        ],
        readings: Some(Reading { kind: Kind::Mass, labels: ["at rest", "raising", "lowering"] }),
        second: true,
    },
    Way {
        word: "parts list",
        slug: "parts-list",
        how: "Calculated from masses and arms, not weighed.",
        head: &[],
        on_drawing: &[
            def(
                "starting_moment",
                "starting moment",
                Kind::Moment,
                false,
                "as last weighed; empty counts as zero",
            ),
            def(
                "starting_uncertainty",
                "known within",
                Kind::MomentWithin,
                false,
                "expanded uncertainty, k = 2",
            ),
            def("scale", "scale", Kind::Instrument("scale"), false, ""),
            def("rule", "rule", Kind::Instrument("rule"), false, ""),
        ],
        readings: None,
        second: false,
    },
];

impl Way {
    /// The method of a word, of the sheet or of an address.
    pub(super) fn find(word: &str) -> Option<&'static Self> {
        WAYS.iter().find(|way| way.word == word || way.slug == word)
    }
    /// Its fields beside the readings.
    pub(super) fn defs(&self) -> impl Iterator<Item = &'static Def> + use<> {
        self.head.iter().chain(self.on_drawing)
    }
    /// The keys of its sets of readings.
    pub(super) fn sets(&self) -> impl Iterator<Item = &'static str> + use<> {
        let first = if self.readings.is_some() { SETS.as_slice() } else { &[] };
        let second = if self.second { SECOND_SETS.as_slice() } else { &[] };
        first.iter().chain(second).copied()
    }
    /// The label of a key.
    pub(super) fn label(&self, key: &str) -> Option<String> {
        if let Some(def) = self.defs().find(|def| def.key == key) {
            return Some(def.label.to_owned());
        }
        let labels = self.readings?.labels;
        let at = |keys: [&str; 3]| keys.iter().position(|known| *known == key).map(|index| labels[index]);
        match (at(SETS), at(SECOND_SETS)) {
            _ if key == SETS[0] => Some("readings".to_owned()),
            _ if key == SECOND_SETS[0] => Some("readings at the second angle".to_owned()),
            (Some(label), _) => Some(format!("readings “{label}”")),
            (None, Some(label)) => Some(format!("readings “{label}” at the second angle")),
            (None, None) => None,
        }
    }
}

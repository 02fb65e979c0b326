//! What an entry of a ledger holds: one deed, as it was typed.
//!
//! These are stored shapes: they must be readable for as long as a record must stand, so a variant or a key may be
//! added, and none may change its meaning. Quantities are kept as typed; the reader of job sheets gives them value.
//! Main types: [`Deed`], [`Fields`].

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The keys and values of one table of a job sheet, as typed.
pub type Fields = BTreeMap<String, Field>;

/// One value of a job sheet, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Field {
    /// A text, a quantity or a date.
    Text(String),
    /// Several of them.
    List(Vec<String>),
    /// The parts of a parts list.
    Parts(Vec<BTreeMap<String, String>>),
}

/// A text of a table; empty where it is not there.
#[must_use]
pub fn text<'f>(fields: &'f Fields, key: &str) -> &'f str {
    match fields.get(key) {
        Some(Field::Text(text)) => text,
        _ => "",
    }
}

/// A list of a table; empty where it is not there.
#[must_use]
pub fn list<'f>(fields: &'f Fields, key: &str) -> &'f [String] {
    match fields.get(key) {
        Some(Field::List(items)) => items,
        _ => &[],
    }
}

/// One deed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "deed", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Deed {
    /// A surface came in: who and what, as the table `[job]` of a sheet.
    Received {
        /// number, surface, part, serial and what else is known.
        job: Fields,
    },
    /// The incoming look.
    Looked {
        /// One finding an item of [`crate::record::way::LOOK`].
        findings: BTreeMap<String, Finding>,
    },
    /// A remark on the job.
    Noted {
        /// The remark.
        text: String,
    },
    /// A photograph; its bytes lie beside the ledger under their hash.
    Photographed {
        /// BLAKE3 of the file, hexadecimal.
        file: String,
        /// Its media type.
        media: String,
        /// What it shows.
        caption: String,
    },
    /// The approved card that this job is judged by, with its content as it stood.
    JudgedBy {
        /// The card's number.
        card: u64,
        /// Its content.
        content: Card,
    },
    /// A weighing as it was taken, with the instruments as they stood.
    Weighed {
        /// The table `[[weighing]]`.
        weighing: Fields,
        /// The tables `[[instrument]]` it names.
        instruments: Vec<Fields>,
        /// Zero and check weight before it.
        before: Option<BeforeWeighing>,
        /// Readings that were taken but do not count, each with its reason.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        struck: Vec<Struck>,
        /// What was worked out of it, for lists and charts.
        outcome: Outcome,
    },
    /// Mass was added or taken away.
    Corrected {
        /// The station.
        station: String,
        /// "add" or "remove".
        action: String,
        /// The mass, as typed.
        mass: String,
        /// What was done: form, part or lot, fastening.
        what: String,
    },
    /// A balance weight is meant to be made.
    WeightIntended {
        /// The weight sheet, as typed (TOML).
        sheet: String,
        /// The station that it is for; empty for none.
        station: String,
        /// The entry of the weighing that its wanted moment comes from, where it comes from one.
        weighing: Option<u64>,
        /// What was worked out of the sheet.
        outcome: WeightOutcome,
        /// The file that the sheet names, where it names one: its bytes lie beside the ledger under their hash.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mesh: Option<NamedFile>,
    },
    /// A casting of a weight lay on the scale.
    WeightWeighed {
        /// The entry of the weight that is meant.
        weight: u64,
        /// "as cast", or what was done to it since it was last on the scale.
        step: String,
        /// The table `[[cast]]`: mass, and where known arm, side, taken_arm, taken_side.
        cast: Fields,
        /// The scale as the shop knew it then: the table `[[instrument]]`; nothing in entries that name none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        scale: Option<Fields>,
        /// Zero and check weight before it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        before: Option<BeforeWeighing>,
    },
    /// A weight, or a piece of it, was fitted; its mass stands in the correction.
    WeightFitted {
        /// The entry of the weight that is meant.
        weight: u64,
        /// The entry of the correction that brought it.
        correction: u64,
        /// Which piece: "whole piece", "upper half".
        piece: String,
    },
    /// Holes are meant to be drilled into an old weight.
    DrillOutIntended {
        /// The weight sheet, as typed (TOML).
        sheet: String,
        /// The station of the old weight; empty for none.
        station: String,
        /// The entry of the weighing that the wanted moment comes from, where it comes from one.
        weighing: Option<u64>,
        /// What was worked out of the sheet.
        outcome: DrillOutcome,
    },
    /// They were drilled; the mass that went stands in the correction.
    DrilledOut {
        /// The entry of the holes that are meant.
        drill_out: u64,
        /// The entry of the correction.
        correction: u64,
        /// The holes in words: "4 × 3/8 in, 0.41 in deep to the tip".
        holes: String,
        /// Where the mass comes from: "weighed", or "by its holes".
        mass_from: String,
        /// How closely that mass is known, as typed; empty where nobody said.
        within: String,
    },
    /// A repair, paint job or other work between weighings.
    Worked {
        /// "paint", "repair", "cover", "other".
        kind: String,
        /// What was done.
        what: String,
    },
    /// An earlier entry is mended: the deed inside takes its place.
    Mended {
        /// The number of that entry in this ledger.
        entry: u64,
        /// Why.
        reason: String,
        /// What takes its place; nothing where it is struck.
        with: Option<Box<Deed>>,
    },
    /// The performer signs the last weighing.
    SignedOff(Signature),
    /// The independent inspector signs.
    Inspected(Signature),
    /// The inspector sends the job back.
    SentBack {
        /// Why.
        reason: String,
    },
    /// The release sheet was made.
    Released {
        /// The text for the log book, as the technician checked it.
        log_text: String,
    },
    /// A card of the limits library is proposed or revised.
    CardProposed {
        /// The card's number.
        card: u64,
        /// The card that it takes the place of once it is approved.
        revises: Option<u64>,
        /// Its content.
        content: Card,
    },
    /// A second person approves a card.
    CardApproved {
        /// The card's number.
        card: u64,
    },
    /// A card is refused or taken out of use.
    CardWithdrawn {
        /// The card's number.
        card: u64,
        /// Why.
        reason: String,
    },
    /// An instrument is entered or changed: the table `[[instrument]]`, and its name.
    InstrumentEntered {
        /// id, kind, resolution, capacity, calibration_uncertainty, certificate, due.
        instrument: Fields,
        /// Its name in words.
        name: String,
        /// The check weight that it is checked with, as typed; empty for none.
        check_weight: String,
        /// How far the check may be off, as typed; empty for none.
        check_within: String,
        /// The day of its last calibration.
        calibrated: String,
    },
    /// An instrument is taken out of use.
    InstrumentRetired {
        /// Its id.
        id: String,
        /// Why.
        reason: String,
    },
    /// A calibration line through check weights.
    LineFitted {
        /// The instrument.
        id: String,
        /// Each check weight and what the scale read, as typed.
        points: Vec<(String, String)>,
    },
    /// The daily check of a scale.
    Checked {
        /// The instrument.
        id: String,
        /// What it showed.
        check: BeforeWeighing,
    },
    /// The shop is named, or named anew.
    ShopNamed {
        /// Its name as printed.
        name: String,
        /// The number of its approval; empty for none.
        approval: String,
    },
    /// A person is entered or changed.
    PersonEntered {
        /// The login name.
        login: String,
        /// What the record is told about the person.
        person: Person,
    },
    /// An administrator set the password of somebody, and the PIN was taken away with it. Neither stands here.
    PasswordReset {
        /// The login name.
        login: String,
    },
    /// Somebody chose a password of their own. It does not stand here.
    PasswordChosen {
        /// The login name.
        login: String,
    },
    /// Somebody set the PIN that stands for their signature. It does not stand here.
    PinSet {
        /// The login name.
        login: String,
    },
}

impl Deed {
    /// Whether it belongs into the shop's own ledger; every other one belongs into the ledger of a job.
    #[must_use]
    pub fn is_of_the_shop(&self) -> bool {
        matches!(
            self,
            Self::CardProposed { .. }
                | Self::CardApproved { .. }
                | Self::CardWithdrawn { .. }
                | Self::InstrumentEntered { .. }
                | Self::InstrumentRetired { .. }
                | Self::LineFitted { .. }
                | Self::Checked { .. }
                | Self::ShopNamed { .. }
                | Self::PersonEntered { .. }
                | Self::PasswordReset { .. }
                | Self::PasswordChosen { .. }
                | Self::PinSet { .. }
        )
    }
}

/// What was found at one item of the incoming look.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Finding {
    /// "in order", "finding" or "not looked".
    pub state: String,
    /// In words.
    pub text: String,
}

/// A card of the limits library: what the shop copied out of its own approved data.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Card {
    /// What it is for, in words.
    pub title: String,
    /// The part numbers it applies to; a star at the end stands for any ending.
    pub parts: Vec<String>,
    /// The table `[limits]`.
    pub limits: Fields,
    /// The tables `[[station]]`.
    pub stations: Vec<Fields>,
    /// The table `[outline]`, where it is known.
    pub outline: Fields,
}

/// A reading that was taken but does not count.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Struck {
    /// The set it was taken in, by its key.
    pub set: String,
    /// The reading, as typed.
    pub reading: String,
    /// Why it does not count.
    pub reason: String,
}

/// Zero and check weight before a weighing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BeforeWeighing {
    /// What the scale showed with nothing on it, as typed.
    pub zero: String,
    /// What it showed with its check weight, as typed; empty where there is none.
    pub check: String,
}

/// What was worked out of a weighing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outcome {
    /// Static moment, kg m, positive tail-heavy, as a decimal text.
    pub moment_kg_m: String,
    /// Expanded uncertainty, kg m.
    pub expanded_kg_m: String,
    /// "within" or "outside".
    pub verdict: String,
    /// "clear", or why it is in doubt: a word of [`crate::mark::doubt`].
    pub doubt: String,
    /// The band it was judged by, kg m.
    pub band_kg_m: (String, String),
    /// Why it is not valid for release; empty where it is.
    pub reasons: Vec<String>,
}

/// What was worked out of a weight sheet: the finished piece, as decimal texts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WeightOutcome {
    /// Its mass with hardware and coating, kg.
    pub mass_kg: String,
    /// x of its centre, m, positive aft.
    pub arm_m: String,
    /// Its static moment, kg m, positive tail-heavy.
    pub moment_kg_m: String,
    /// Of that moment, before it is weighed, without that of the wanted one, kg m.
    pub standard_uncertainty_kg_m: String,
    /// What its casting is to weigh before holes, kg.
    pub casting_kg: String,
}

/// What was worked out of a drill sheet, as decimal texts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DrillOutcome {
    /// How many holes.
    pub holes: u32,
    /// Of each, m.
    pub diameter_m: String,
    /// Depth to the tip, m.
    pub tip_depth_m: String,
    /// What goes, kg.
    pub removed_kg: String,
    /// x of the holes, m, positive aft.
    pub arm_m: String,
    /// What that brings, kg m, positive towards tail-heavy.
    pub change_kg_m: String,
}

/// A file of the record that an entry names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NamedFile {
    /// As the sheet names it.
    pub name: String,
    /// BLAKE3 of its bytes, hexadecimal.
    pub file: String,
}

/// A signature.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Signature {
    /// Name as printed.
    pub name: String,
    /// Certificate number.
    pub certificate: String,
    /// Kind of certificate.
    pub kind: String,
    /// What was signed, in words.
    pub statement: String,
    /// The number of the weighing's entry that it is for.
    pub weighing: u64,
    /// The newest hash of the ledger that was signed.
    pub head: String,
}

/// A person of the shop, as the record knows them. Secrets lie elsewhere.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    /// Name as printed.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The working role of somebody who keeps people or data and also works: technician or inspector.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub also: Option<Role>,
    /// Certificate number; empty for none.
    pub certificate: String,
    /// Kind of certificate; empty for none.
    pub kind: String,
    /// Whether they may log in.
    pub active: bool,
}

impl Person {
    /// Whether they hold a role.
    #[must_use]
    pub fn holds(&self, role: Role) -> bool {
        self.role == role || self.also == Some(role)
    }
    /// Whether they may take readings and work on jobs.
    #[must_use]
    pub fn works(&self) -> bool {
        self.role.works() || self.also.is_some_and(Role::works)
    }
    /// Whether they may approve a card of somebody else: everybody but who is a technician alone.
    #[must_use]
    pub fn approves(&self) -> bool {
        self.role != Role::Technician
    }
    /// Their roles in words: "administrator and technician".
    #[must_use]
    pub fn roles(&self) -> String {
        match self.also {
            Some(also) => format!("{} and {}", self.role.word(), also.word()),
            None => self.role.word().to_owned(),
        }
    }
}

/// What a person may do; an administrator keeps people and data, and signs nothing by that alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Weighs, corrects, signs off.
    Technician,
    /// Inspects what others performed; may also weigh.
    Inspector,
    /// Keeps limits and instruments.
    DataKeeper,
    /// Keeps people; may do what a data keeper may.
    Administrator,
}

impl Role {
    /// All of them with their words.
    pub const ALL: [(&'static str, Self); 4] = [
        ("technician", Self::Technician),
        ("inspector", Self::Inspector),
        ("data-keeper", Self::DataKeeper),
        ("administrator", Self::Administrator),
    ];
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Technician => "technician",
            Self::Inspector => "inspector",
            Self::DataKeeper => "data keeper",
            Self::Administrator => "administrator",
        }
    }
    /// Whether they may take readings and work on jobs.
    #[must_use]
    pub fn works(self) -> bool {
        matches!(self, Self::Technician | Self::Inspector)
    }
    /// Whether they may keep limits and instruments.
    #[must_use]
    pub fn keeps_data(self) -> bool {
        matches!(self, Self::DataKeeper | Self::Administrator)
    }
}

//! The shop as it stands: people, instruments and the limits library, folded from the shop's own ledger.
//!
//! Main type: [`Shop`]. A card can be used once a person other than its author approved it; a revision takes the
//! place of the card it revises when it is approved, and jobs keep the content they were judged by.
//! [`Shop::allows`] holds the rules of who may do what.

use super::deed::{BeforeWeighing, Card, Deed, Field, Fields, Person, Role};
use super::job::{Refusal, Unreadable, deed_of};
use super::ledger::{Entry, Hash};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// The name of the shop's own ledger.
pub const LEDGER: &str = "shop";

/// Why no PIN is set behind a password that somebody else chose.
pub const OWN_PASSWORD_FIRST: &str = "somebody else set this password, so they know it; the PIN signs in your name, and comes after a password of your own";

/// The shop as it stands.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shop {
    /// People by login name.
    pub people: BTreeMap<String, Person>,
    /// Who set the password of a login last in place of its owner, and when.
    pub resets: BTreeMap<String, (String, String)>,
    /// The logins whose password somebody else set, and whose owner has not chosen another since.
    pub not_own: BTreeSet<String>,
    /// Instruments by id.
    pub instruments: BTreeMap<String, Instrument>,
    /// Its name; empty where none is entered.
    pub name: String,
    /// The number of its approval; empty where none is entered.
    pub approval: String,
    /// Cards by number.
    pub cards: BTreeMap<u64, LibraryCard>,
    /// The newest hash.
    pub head: Hash,
    /// How many entries there are.
    pub entries: u64,
}

/// An instrument with its history.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Instrument {
    /// The table `[[instrument]]` as it stands.
    pub fields: Fields,
    /// Its name in words.
    pub name: String,
    /// The check weight, as typed; empty for none.
    pub check_weight: String,
    /// How far the check may be off, as typed; empty for none.
    pub check_within: String,
    /// The day of its last calibration.
    pub calibrated: String,
    /// Why it was taken out of use.
    pub retired: Option<String>,
    /// The points of its calibration line.
    pub line: Vec<(String, String)>,
    /// Its daily checks.
    pub checks: Vec<Check>,
    /// Every state it was entered in.
    pub states: Vec<State>,
}

/// A daily check of a scale.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Check {
    /// When.
    pub at: String,
    /// Who.
    pub by: String,
    /// What it showed.
    pub before: BeforeWeighing,
    /// The check weight of its day, as typed; empty for none.
    pub weight: String,
    /// How far it might be off then, as typed; empty for none.
    pub within: String,
}

/// A state that an instrument was entered in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct State {
    /// When.
    pub at: String,
    /// Who.
    pub by: String,
    /// The table `[[instrument]]`.
    pub fields: Fields,
    /// The check weight, as typed; empty for none.
    pub check_weight: String,
    /// How far the check may be off, as typed; empty for none.
    pub check_within: String,
    /// The day of its last calibration.
    pub calibrated: String,
}

impl State {
    /// Whether it held on a day that is past. The day of its calibration says so, and lets a slip of the pen be put right
    /// later; without one it holds from when it was entered.
    fn held(&self, day: Date, until: &str) -> bool {
        match self.calibrated.parse::<Date>() {
            Ok(calibrated) => calibrated <= day,
            Err(_) => self.at.as_str() <= until,
        }
    }
}

impl Instrument {
    /// A text of its table; empty where it is not there.
    #[must_use]
    pub fn text(&self, key: &str) -> &str {
        super::deed::text(&self.fields, key)
    }
    /// The instrument as it stood at the end of a day that is past: its newest state that held on that day, its first one
    /// where none did, and the checks entered by then.
    ///
    /// # Inputs
    /// `until`: the end of that day, UTC, as the record writes times.
    #[must_use]
    pub fn as_of(&self, day: Date, until: &str) -> Self {
        let held = self.states.iter().rev().find(|state| state.held(day, until));
        let Some(state) = held.or(self.states.first()).cloned() else { return self.clone() };
        Self {
            fields: state.fields,
            name: self.name.clone(),
            check_weight: state.check_weight,
            check_within: state.check_within,
            calibrated: state.calibrated,
            retired: self.retired.clone(),
            line: Vec::new(),
            checks: self.checks.iter().filter(|check| check.at.as_str() <= until).cloned().collect(),
            states: Vec::new(),
        }
    }
    /// Its table for a weighing as it stands: with what its last check said, where that failed.
    #[must_use]
    pub fn table(&self) -> Fields {
        let mut table = self.fields.clone();
        if let Some(said) = super::check::failed(self) {
            table.insert("failed_check".to_owned(), Field::Text(said));
        }
        table
    }
    /// The day that its calibration runs out; none where none is stated.
    #[must_use]
    pub fn due(&self) -> Option<Date> {
        self.text("due").parse().ok()
    }
    /// How its due date stands on a day.
    #[must_use]
    pub fn due_state(&self, today: Date) -> DueState {
        let Some(due) = self.due() else { return DueState::Unknown };
        if due < today {
            return DueState::Past;
        }
        let warning = today.saturating_add(jiff::Span::new().days(WARNING_DAYS));
        if due <= warning { DueState::Soon } else { DueState::InDate }
    }
}

/// How many days before its due date an instrument is warned of.
pub const WARNING_DAYS: i32 = 30;

/// How an instrument's due date stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DueState {
    /// More than [`WARNING_DAYS`] to go.
    InDate,
    /// Fewer.
    Soon,
    /// Past.
    Past,
    /// None is stated.
    Unknown,
}

/// A card in the library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LibraryCard {
    /// Its number.
    pub number: u64,
    /// Its content.
    pub content: Card,
    /// Who proposed it, and when.
    pub proposed: (String, String),
    /// The card that it revises.
    pub revises: Option<u64>,
    /// Who approved it, and when.
    pub approved: Option<(String, String)>,
    /// The card that took its place.
    pub superseded: Option<u64>,
    /// Who withdrew it, and why.
    pub withdrawn: Option<(String, String)>,
}

impl LibraryCard {
    /// Whether it waits for a second person.
    #[must_use]
    pub fn waits(&self) -> bool {
        self.approved.is_none() && self.withdrawn.is_none()
    }
    /// Whether new jobs may be judged by it.
    #[must_use]
    pub fn in_use(&self) -> bool {
        self.approved.is_some() && self.superseded.is_none() && self.withdrawn.is_none()
    }
    /// Whether it is for a part number.
    #[must_use]
    pub fn is_for(&self, part: &str) -> bool {
        self.content.is_for(part)
    }
}

impl Shop {
    /// Folds the entries of the shop's ledger, in their order.
    ///
    /// # Errors
    /// - [`Unreadable`]: an entry holds a deed that this version does not know
    pub fn fold<'e>(entries: impl IntoIterator<Item = &'e Entry>) -> Result<Self, Unreadable> {
        let mut shop = Self::default();
        for entry in entries {
            let deed = deed_of(entry)?;
            shop.head = entry.hash;
            shop.entries = entry.number;
            shop.take(deed, &entry.at, &entry.by);
        }
        Ok(shop)
    }

    fn take(&mut self, deed: Deed, at: &str, by: &str) {
        let signed = (by.to_owned(), at.to_owned());
        match deed {
            Deed::PersonEntered { login, person } => {
                if by != person.name && !self.people.contains_key(&login) {
                    self.not_own.insert(login.clone());
                }
                self.people.insert(login, person);
            }
            Deed::PasswordReset { login } => {
                self.not_own.insert(login.clone());
                self.resets.insert(login, signed);
            }
            Deed::PasswordChosen { login } => {
                self.not_own.remove(&login);
            }
            Deed::ShopNamed { name, approval } => {
                self.name = name;
                self.approval = approval;
            }
            Deed::CardProposed { card, revises, content } => {
                let proposed = signed;
                self.cards.insert(
                    card,
                    LibraryCard {
                        number: card,
                        content,
                        proposed,
                        revises,
                        approved: None,
                        superseded: None,
                        withdrawn: None,
                    },
                );
            }
            Deed::CardApproved { card } => self.approve(card, signed),
            Deed::CardWithdrawn { card, reason } => {
                if let Some(card) = self.cards.get_mut(&card) {
                    card.withdrawn = Some((by.to_owned(), reason));
                }
            }
            other => self.take_instrument(other, at, by),
        }
    }

    fn approve(&mut self, number: u64, signed: (String, String)) {
        let Some(card) = self.cards.get_mut(&number) else { return };
        card.approved = Some(signed);
        let revises = card.revises;
        if let Some(old) = revises.and_then(|old| self.cards.get_mut(&old)) {
            old.superseded = Some(number);
        }
    }

    fn take_instrument(&mut self, deed: Deed, at: &str, by: &str) {
        match deed {
            Deed::InstrumentEntered { instrument, name, check_weight, check_within, calibrated } => {
                let Some(Field::Text(id)) = instrument.get("id").cloned() else { return };
                let known = self.instruments.entry(id).or_default();
                known.states.push(State {
                    at: at.to_owned(),
                    by: by.to_owned(),
                    fields: instrument.clone(),
                    check_weight: check_weight.clone(),
                    check_within: check_within.clone(),
                    calibrated: calibrated.clone(),
                });
                known.fields = instrument;
                known.name = name;
                known.check_weight = check_weight;
                known.check_within = check_within;
                known.calibrated = calibrated;
                known.retired = None;
            }
            Deed::InstrumentRetired { id, reason } => {
                if let Some(known) = self.instruments.get_mut(&id) {
                    known.retired = Some(reason);
                }
            }
            Deed::LineFitted { id, points } => {
                if let Some(known) = self.instruments.get_mut(&id) {
                    known.line = points;
                }
            }
            Deed::Checked { id, check } => {
                if let Some(known) = self.instruments.get_mut(&id) {
                    known.checks.push(Check {
                        at: at.to_owned(),
                        by: by.to_owned(),
                        before: check,
                        weight: known.check_weight.clone(),
                        within: known.check_within.clone(),
                    });
                }
            }
            _ => {}
        }
    }

    /// Its name with the number of its approval, as a sheet prints it; empty where no name is entered.
    #[must_use]
    pub fn printed(&self) -> String {
        match (self.name.as_str(), self.approval.as_str()) {
            ("", _) => String::new(),
            (name, "") => name.to_owned(),
            (name, approval) => format!("{name}, approval {approval}"),
        }
    }

    /// The person that a login name belongs to, while active.
    #[must_use]
    pub fn person(&self, login: &str) -> Option<&Person> {
        self.people.get(login).filter(|person| person.active)
    }

    /// The number of the next card.
    #[must_use]
    pub fn next_card(&self) -> u64 {
        self.cards.keys().next_back().map_or(1, |last| last + 1)
    }

    /// Whether a person may do a deed to the shop's ledger now.
    ///
    /// # Errors
    /// - [`Refusal`]: why not
    pub fn allows(&self, deed: &Deed, by: &Person) -> Result<(), Refusal> {
        match deed {
            _ if !deed.is_of_the_shop() => Err(Refusal::Ledger { ledger: "the shop" }),
            Deed::Checked { .. } => Ok(()),
            Deed::PasswordChosen { login } | Deed::PinSet { login } => self.may_choose(deed, login, by),
            Deed::PersonEntered { .. } | Deed::PasswordReset { .. } | Deed::ShopNamed { .. }
                if by.role != Role::Administrator =>
            {
                Err(Refusal::Role { needs: "an administrator" })
            }
            Deed::PersonEntered { login, person } => self.may_enter(login, person),
            Deed::PasswordReset { .. } | Deed::ShopNamed { .. } => Ok(()),
            Deed::CardApproved { card } => self.may_approve(*card, by),
            Deed::CardWithdrawn { card, .. } if self.waits(*card) && by.approves() => Ok(()),
            _ if !by.role.keeps_data() => Err(Refusal::Role { needs: "a data keeper or an administrator" }),
            Deed::CardWithdrawn { card, .. } => self.is_held(*card),
            Deed::CardProposed { card, .. } if self.cards.contains_key(card) => {
                Err(Refusal::NoSuchCard { card: *card, why: "is in the library already" })
            }
            Deed::CardProposed { revises: Some(old), .. } => self.is_held(*old),
            _ => Ok(()),
        }
    }

    /// A secret is chosen by its owner alone, and a PIN, which signs, only behind a password that nobody else knows.
    fn may_choose(&self, deed: &Deed, login: &str, by: &Person) -> Result<(), Refusal> {
        let refuse = |what: String| Err(Refusal::Person { what });
        if self.person(login).is_none_or(|owner| owner.name != by.name) {
            return refuse(format!("the secrets of {login} are for their owner to choose"));
        }
        if matches!(deed, Deed::PinSet { .. }) && self.not_own.contains(login) {
            return refuse(OWN_PASSWORD_FIRST.to_owned());
        }
        Ok(())
    }

    /// A name belongs to one person for good, since the record signs by it; and somebody can always let people in.
    fn may_enter(&self, login: &str, person: &Person) -> Result<(), Refusal> {
        let refuse = |what: String| Err(Refusal::Person { what });
        let known = self.people.get(login);
        if let Some(known) = known.filter(|known| known.name != person.name) {
            return refuse(format!("{login} is {} in the record, and a name stays", known.name));
        }
        let folded = person.name.to_lowercase();
        if self.people.iter().any(|(other, known)| other != login && known.name.to_lowercase() == folded) {
            return refuse(format!("{} is another person of the record", person.name));
        }
        let keeps = |person: &Person| person.role == Role::Administrator && person.active;
        let others = self.people.iter().any(|(other, known)| other != login && keeps(known));
        if !others && !keeps(person) && known.is_some_and(keeps) {
            return refuse(format!("{} is the only administrator who may log in", person.name));
        }
        Ok(())
    }

    /// Whether a card is there and has its place still: it waits, or it is in use.
    ///
    /// # Errors
    /// - [`Refusal::NoSuchCard`]: it is not there, it was withdrawn, or another one took its place
    pub fn is_held(&self, card: u64) -> Result<(), Refusal> {
        match self.cards.get(&card) {
            None => Err(Refusal::NoSuchCard { card, why: "is not in the library" }),
            Some(known) if known.waits() || known.in_use() => Ok(()),
            Some(_) => Err(Refusal::NoSuchCard { card, why: "is out of use by now" }),
        }
    }

    /// Whether a card waits for a second person, so that whoever may approve it may refuse it.
    fn waits(&self, card: u64) -> bool {
        self.cards.get(&card).is_some_and(LibraryCard::waits)
    }

    /// A second person approves: the author never, anyone else who may judge by it or keeps the data.
    fn may_approve(&self, card: u64, by: &Person) -> Result<(), Refusal> {
        self.is_held(card)?;
        let Some(card) = self.cards.get(&card).filter(|card| card.waits()) else {
            return Err(Refusal::NoSuchCard { card, why: "does not wait for approval" });
        };
        if !by.approves() {
            return Err(Refusal::Role { needs: "an inspector, a data keeper or an administrator" });
        }
        if card.proposed.0 == by.name {
            return Err(Refusal::OwnCard { name: by.name.clone(), card: card.number });
        }
        match card.revises {
            Some(old) if self.is_held(old).is_err() => Err(Refusal::NoSuchCard {
                card: card.number,
                why: "revises a card that is out of use by now; propose it anew",
            }),
            _ => Ok(()),
        }
    }
}

//! A job as it stands: the fold over its ledger.
//!
//! Main type: [`Job`]. Mended entries are replaced by what mends them, struck ones are left out; both stay in the
//! ledger and on the page. Whatever changes what was signed takes the signatures away: they stay in the ledger, and
//! the job must be signed again. [`Job::allows`] holds the rules of who may do what, and when.

use super::deed::{BeforeWeighing, Card, Deed, Fields, Finding, Outcome, Person, Signature, Struck, text};
use super::ledger::{Entry, Hash};
use super::sheet::SheetFields;
use super::shelf::Shelf;
use super::signed::{Act, voids};
use crate::{Assessment, Faults, JobSheet, Weighed, assess};
use hingeline_balance::Verdict;
use std::collections::{BTreeMap, BTreeSet};

/// The name of a job's ledger.
#[must_use]
pub fn ledger_of(number: &str) -> String {
    format!("job {number}")
}

/// A job as it stands.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Job {
    /// The table `[job]`.
    pub fields: Fields,
    /// The incoming look, by item.
    pub findings: BTreeMap<String, Finding>,
    /// Remarks and photographs are read from here, with everything else, in the order of the ledger.
    pub lines: Vec<Line>,
    /// The approved card with its number.
    pub card: Option<(u64, Card)>,
    /// The weighings that count, in their order.
    pub weighings: Vec<Weighing>,
    /// The corrections that count: entry number, station, action, mass, what.
    pub corrections: Vec<(u64, [String; 4])>,
    /// Work that counts: entry number, kind, what.
    pub works: Vec<(u64, [String; 2])>,
    /// The performer's signature, while it holds.
    pub signed: Option<Signature>,
    /// The inspector's signature, while it holds.
    pub inspected: Option<Signature>,
    /// The log text, once released.
    pub released: Option<String>,
    /// Everyone whose work the signatures stand for.
    pub performers: BTreeSet<String>,
    /// The newest hash.
    pub head: Hash,
    /// How many entries there are.
    pub entries: u64,
    /// Where the files that entries name are read; set by who keeps the record.
    pub shelf: Shelf,
}

/// An entry of the ledger with what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its number.
    pub number: u64,
    /// When.
    pub at: String,
    /// Who.
    pub by: String,
    /// What, as sealed.
    pub deed: Deed,
    /// The entry that mended or struck it last, and why.
    pub mended: Option<(u64, String)>,
}

/// A weighing that counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// The number of the entry that it stands in (of the first one, where it was mended).
    pub entry: u64,
    /// When it was entered.
    pub at: String,
    /// Who.
    pub by: String,
    /// The table `[[weighing]]`.
    pub fields: Fields,
    /// The instruments as they stood.
    pub instruments: Vec<Fields>,
    /// Zero and check weight.
    pub before: Option<BeforeWeighing>,
    /// Readings that were taken but do not count.
    pub struck: Vec<Struck>,
    /// What was worked out of it.
    pub outcome: Outcome,
}

impl Weighing {
    /// Whether it was calculated from a list of parts, and not weighed.
    #[must_use]
    pub fn is_calculated(&self) -> bool {
        text(&self.fields, "method") == "parts list"
    }
    /// "as found" or "as left".
    #[must_use]
    pub fn stage(&self) -> &str {
        text(&self.fields, "stage")
    }
}

/// An entry that this version cannot read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("entry {number} cannot be read: {why}")]
pub struct Unreadable {
    /// Its number.
    pub number: u64,
    /// What the reader says.
    pub why: String,
}

/// Why a deed is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The role may not do it.
    #[error("this needs {needs}")]
    Role {
        /// Who may.
        needs: &'static str,
    },
    /// The inspector performed some of the work.
    #[error("{name} took part in the work of this job, and an independent inspection needs another person")]
    NotIndependent {
        /// Who.
        name: String,
    },
    /// The author of a card is to approve it.
    #[error("{name} proposed card {card}, and its approval needs another person")]
    OwnCard {
        /// Who.
        name: String,
        /// The card.
        card: u64,
    },
    /// Something is missing before it.
    #[error("first: {what}")]
    Missing {
        /// What.
        what: String,
    },
    /// The job is released.
    #[error("the job is released; open a new one, or mend an entry with a reason")]
    Released,
    /// There is no such entry to mend, or it is struck already.
    #[error("entry {number} cannot be mended")]
    NoSuchEntry {
        /// Its number.
        number: u64,
    },
    /// What is to take the place of an entry is none of its kind.
    #[error("entry {number} cannot be mended by this: {why}")]
    OtherKind {
        /// The number of the entry.
        number: u64,
        /// Why not.
        why: &'static str,
    },
    /// Nothing can be done with a card as it stands.
    #[error("card {card} {why}")]
    NoSuchCard {
        /// The card.
        card: u64,
        /// Why not.
        why: &'static str,
    },
    /// It is done already.
    #[error("{what} already")]
    Done {
        /// What is done.
        what: &'static str,
    },
    /// A signature that is not that of the person who signs.
    #[error("this is not a signature of {name} with certificate number and kind")]
    Signature {
        /// Who signs.
        name: String,
    },
    /// A person cannot be entered so.
    #[error("{what}")]
    Person {
        /// Why not.
        what: String,
    },
    /// The deed belongs into the other kind of ledger.
    #[error("this is no entry of {ledger}")]
    Ledger {
        /// Of which ledger it is none.
        ledger: &'static str,
    },
}

/// The deed that an entry holds.
pub(super) fn deed_of(entry: &Entry) -> Result<Deed, Unreadable> {
    serde_json::from_str(&entry.body)
        .map_err(|error| Unreadable { number: entry.number, why: error.to_string() })
}

impl Job {
    /// Folds the entries of one ledger, in their order.
    ///
    /// # Errors
    /// - [`Unreadable`]: an entry holds a deed that this version does not know
    pub fn fold<'e>(entries: impl IntoIterator<Item = &'e Entry>) -> Result<Self, Unreadable> {
        let mut job = Self::default();
        for entry in entries {
            let deed = deed_of(entry)?;
            job.head = entry.hash;
            job.entries = entry.number;
            let (at, by) = (entry.at.clone(), entry.by.clone());
            job.lines.push(Line { number: entry.number, at, by, deed, mended: None });
        }
        job.mark_mended();
        let lines = job.lines.clone();
        let mut standing: BTreeMap<u64, Deed> = BTreeMap::new();
        for line in &lines {
            match &line.deed {
                Deed::Mended { entry, with, .. } => {
                    match with {
                        Some(deed) => standing.insert(*entry, (**deed).clone()),
                        None => standing.remove(entry),
                    };
                    job.void_signatures();
                    job.performers.insert(line.by.clone());
                }
                deed => {
                    standing.insert(line.number, deed.clone());
                    job.note_order(deed, line);
                }
            }
        }
        for line in &lines {
            if let Some(deed) = standing.remove(&line.number) {
                job.take(deed, line);
            }
        }
        job.judge_anew();
        Ok(job)
    }

    /// Where limits were chosen more than once, every weighing counts as the limits that stand now judge it; what it
    /// came to by those of its day stays in its entry.
    fn judge_anew(&mut self) {
        let chosen = self.lines.iter().filter(|line| chooses_limits(&line.deed)).count();
        if chosen < 2 {
            return;
        }
        match self.assessment() {
            Some(Ok(assessment)) => {
                for (weighing, weighed) in self.weighings.iter_mut().zip(&assessment.weighings) {
                    weighing.outcome = Outcome::of_weighing(&assessment, weighed);
                }
            }
            Some(Err(faults)) => {
                for weighing in &mut self.weighings {
                    weighing.outcome.reasons.push(format!("the limits chosen now cannot judge it: {faults}"));
                }
            }
            None => {}
        }
    }

    /// The job with one more deed that is no mend: what a deed that is written together with it finds.
    #[must_use]
    pub fn after(mut self, deed: &Deed, by: &str) -> Self {
        self.entries += 1;
        let line = Line {
            number: self.entries,
            at: String::new(),
            by: by.to_owned(),
            deed: deed.clone(),
            mended: None,
        };
        self.note_order(deed, &line);
        self.take(deed.clone(), &line);
        self.lines.push(line);
        self
    }

    fn mark_mended(&mut self) {
        let mends: Vec<(u64, u64, String)> = self
            .lines
            .iter()
            .filter_map(|line| match &line.deed {
                Deed::Mended { entry, reason, .. } => Some((*entry, line.number, reason.clone())),
                _ => None,
            })
            .collect();
        for (entry, by, reason) in mends {
            // A later mend of the same entry takes the place of an earlier one.
            for line in self.lines.iter_mut().filter(|line| line.number < by && mends_or_is(line, entry)) {
                line.mended = Some((by, reason.clone()));
            }
        }
    }

    /// Signatures are taken in the order of the ledger, since later deeds take them away.
    fn note_order(&mut self, deed: &Deed, line: &Line) {
        if voids(deed, Act::SignOff) {
            self.void_signatures();
        }
        match deed {
            Deed::SignedOff(signature) => self.signed = Some(signature.clone()),
            Deed::Inspected(signature) => self.inspected = Some(signature.clone()),
            Deed::Released { log_text } => self.released = Some(log_text.clone()),
            _ => {}
        }
        if performs(deed) {
            self.performers.insert(line.by.clone());
        }
    }

    fn void_signatures(&mut self) {
        self.signed = None;
        self.inspected = None;
        self.released = None;
    }

    fn take(&mut self, deed: Deed, line: &Line) {
        match deed {
            Deed::Received { job } => self.fields = job,
            Deed::Looked { findings } => self.findings.extend(findings),
            Deed::JudgedBy { card, content } => self.card = Some((card, content)),
            Deed::Weighed { weighing, instruments, before, struck, outcome } => {
                self.weighings.push(Weighing {
                    entry: line.number,
                    at: line.at.clone(),
                    by: line.by.clone(),
                    fields: weighing,
                    instruments,
                    before,
                    struck,
                    outcome,
                })
            }
            Deed::Corrected { station, action, mass, what } => {
                self.corrections.push((line.number, [station, action, mass, what]));
            }
            Deed::Worked { kind, what } => self.works.push((line.number, [kind, what])),
            _ => {}
        }
    }

    /// A text of the table `[job]`; empty where it is not there.
    #[must_use]
    pub fn text(&self, key: &str) -> &str {
        text(&self.fields, key)
    }

    /// The job as a job sheet, its stations with what they have left; none before it has limits.
    #[must_use]
    pub fn sheet(&self) -> Option<SheetFields> {
        let (_, card) = self.card.as_ref()?;
        let mut sheet = SheetFields::of(self.fields.clone(), card);
        sheet.station = self.stations_left();
        for weighing in &self.weighings {
            sheet.add(&weighing.fields, &weighing.instruments);
        }
        Some(sheet)
    }

    /// The job judged anew from its sheet; none before it has limits and a weighing.
    ///
    /// # Errors
    /// - [`Faults`]: what the reader of job sheets says
    pub fn assessment(&self) -> Option<Result<Assessment, Faults>> {
        let sheet = self.sheet().filter(|sheet| !sheet.weighing.is_empty())?;
        let text = sheet.text().ok()?;
        let worked_on_since = self.changed_since_weighing();
        Some(JobSheet::parse(&text).map(|sheet| Assessment { worked_on_since, ..assess(sheet, None) }))
    }

    /// The last weighing that counts, where it is an as-left one.
    #[must_use]
    pub fn as_left(&self) -> Option<&Weighing> {
        self.weighings.last().filter(|weighing| weighing.stage() == "as left")
    }

    /// The inspector's reason for sending the job back, with its entry, until it is signed off anew.
    #[must_use]
    pub fn sent_back(&self) -> Option<(&Line, &str)> {
        let last = self.lines.iter().rev().find_map(|line| match &line.deed {
            Deed::SentBack { reason } => Some(Some((line, reason.as_str()))),
            Deed::SignedOff(_) => Some(None),
            _ => None,
        });
        last.flatten()
    }

    /// When the job was received; none where no entry says so.
    #[must_use]
    pub fn received_at(&self) -> Option<&str> {
        let line = self.lines.iter().find(|line| matches!(line.deed, Deed::Received { .. }))?;
        Some(&line.at)
    }

    /// Whether work was done after the last weighing, so that it must be weighed again.
    #[must_use]
    pub fn changed_since_weighing(&self) -> bool {
        let last = self.weighings.last().map_or(0, |weighing| weighing.entry);
        let corrected = self.corrections.iter().map(|(entry, _)| *entry);
        corrected.chain(self.works.iter().map(|(entry, _)| *entry)).any(|entry| entry > last)
    }

    /// What is missing before the job may be signed off.
    #[must_use]
    pub fn before_sign_off(&self) -> Vec<String> {
        let mut missing = Vec::new();
        let mut want = |there: bool, what: &str| {
            if !there {
                missing.push(what.to_owned())
            }
        };
        want(self.card.is_some(), "choose the approved limits");
        if let Some(other) = self.missing_card() {
            want(false, &other);
        }
        let last = self.as_left();
        want(last.is_some(), "weigh the surface as left");
        want(!self.changed_since_weighing(), "weigh again: work was done after the last weighing");
        // What was weighed before the work says nothing about the surface as it is now.
        if let Some(last) = last.filter(|_| !self.changed_since_weighing()) {
            want(last.outcome.verdict == "within", "bring the surface within its limits");
            for reason in &last.outcome.reasons {
                want(false, reason);
            }
        }
        missing
    }

    /// Whether a person may do a deed to this job now.
    ///
    /// # Errors
    /// - [`Refusal`]: why not
    pub fn allows(&self, deed: &Deed, by: &Person) -> Result<(), Refusal> {
        let worker = by.works();
        let first = |what: Vec<String>| match what.into_iter().next() {
            Some(what) => Err(Refusal::Missing { what }),
            None => Ok(()),
        };
        if !worker {
            return Err(Refusal::Role { needs: "a technician or an inspector" });
        }
        match deed {
            _ if deed.is_of_the_shop() => Err(Refusal::Ledger { ledger: "a job" }),
            Deed::Noted { .. } | Deed::Photographed { .. } => Ok(()),
            Deed::Mended { entry, with, .. } => self.may_mend(*entry, with.as_deref()),
            Deed::Received { .. } if !self.lines.is_empty() => {
                Err(Refusal::Done { what: "the surface is received" })
            }
            _ if self.released.is_some() => Err(Refusal::Released),
            Deed::WeightWeighed { weight, .. } | Deed::WeightFitted { weight, .. }
                if self.weight(*weight).is_none() =>
            {
                first(vec![format!("enter the weight that is meant; entry {weight} is none")])
            }
            Deed::DrilledOut { drill_out, .. } if self.drill_out(*drill_out).is_none() => {
                first(vec![format!("enter the holes that are meant; entry {drill_out} is none")])
            }
            Deed::WeightFitted { .. } | Deed::DrilledOut { .. } => self.may_link(deed, None),
            Deed::Weighed { .. } if self.card.is_none() => {
                first(vec!["choose the approved limits".to_owned()])
            }
            Deed::SignedOff(_) if self.signed.is_some() => {
                Err(Refusal::Done { what: "the last weighing is signed off" })
            }
            Deed::SignedOff(signature) => {
                first(self.before_sign_off())?;
                is_of(signature, by)
            }
            Deed::Inspected(_) if self.inspected.is_some() => {
                Err(Refusal::Done { what: "the job is inspected" })
            }
            Deed::Inspected(signature) => {
                self.may_inspect(by)?;
                is_of(signature, by)
            }
            Deed::SentBack { .. } => self.may_inspect(by),
            Deed::Released { .. } if self.inspected.is_none() => {
                first(vec!["the independent inspection".to_owned()])
            }
            _ => Ok(()),
        }
    }

    /// What an entry says now: itself, or what mended it last; none where it was struck, or where there is no such
    /// entry. A mend says itself: what it put in another's place is asked of that one.
    #[must_use]
    pub fn stands(&self, number: u64) -> Option<&Deed> {
        let line = self.lines.iter().find(|line| line.number == number)?;
        let Some((by, _)) = line.mended.as_ref().filter(|_| !matches!(line.deed, Deed::Mended { .. })) else {
            return Some(&line.deed);
        };
        match &self.lines.iter().find(|other| other.number == *by)?.deed {
            Deed::Mended { with, .. } => with.as_deref(),
            _ => None,
        }
    }

    /// What the entry of a line says now, where that is still of the kind of its first deed: a mend stands in the place of
    /// the entry that it mends.
    pub(super) fn stands_of(&self, line: &Line) -> Option<&Deed> {
        let stands = self.stands(line.number)?;
        (std::mem::discriminant(stands) == std::mem::discriminant(&line.deed)).then_some(stands)
    }

    /// An entry may be mended again, by its own number, until it is struck; by a deed of its own kind. The entry that
    /// received the surface stays, and so does the number in it.
    fn may_mend(&self, number: u64, with: Option<&Deed>) -> Result<(), Refusal> {
        let mendable = |deed: &Deed| {
            !matches!(
                deed,
                Deed::Mended { .. }
                    | Deed::SignedOff(_)
                    | Deed::Inspected(_)
                    | Deed::SentBack { .. }
                    | Deed::Released { .. }
            )
        };
        let line = self.lines.iter().find(|line| line.number == number && mendable(&line.deed));
        let Some(stands) = line.and_then(|line| self.stands(line.number)) else {
            return Err(Refusal::NoSuchEntry { number });
        };
        let why = match (stands, with) {
            (Deed::Received { .. }, None) => "a job is nothing without its surface",
            (Deed::Received { job: old }, Some(Deed::Received { job }))
                if old.get("number") != job.get("number") =>
            {
                "the number of a job stays"
            }
            (_, None) => return Ok(()),
            (old, Some(new)) if std::mem::discriminant(old) == std::mem::discriminant(new) => {
                return self.may_link(new, Some(number));
            }
            _ => "it is another kind of entry",
        };
        Err(Refusal::OtherKind { number, why })
    }

    fn may_inspect(&self, by: &Person) -> Result<(), Refusal> {
        if !by.holds(super::deed::Role::Inspector) {
            return Err(Refusal::Role { needs: "an inspector" });
        }
        if self.signed.is_none() {
            return Err(Refusal::Missing { what: "the performer's sign-off".to_owned() });
        }
        if self.performers.contains(&by.name) {
            return Err(Refusal::NotIndependent { name: by.name.clone() });
        }
        Ok(())
    }
}

/// A signature is that of the person who gives it, and says by which certificate.
fn is_of(signature: &Signature, by: &Person) -> Result<(), Refusal> {
    let whole = [&signature.certificate, &signature.kind].iter().all(|text| !text.trim().is_empty());
    if whole && signature.name == by.name {
        return Ok(());
    }
    Err(Refusal::Signature { name: by.name.clone() })
}

/// Whether who enters a deed takes part in the work: everybody but who remarks, looks, inspects or releases.
fn performs(deed: &Deed) -> bool {
    !matches!(
        deed,
        Deed::Noted { .. }
            | Deed::Photographed { .. }
            | Deed::Looked { .. }
            | Deed::Inspected(_)
            | Deed::SentBack { .. }
            | Deed::Released { .. }
    )
}

/// Whether a line is an entry, or a mend of it.
fn mends_or_is(line: &Line, number: u64) -> bool {
    line.number == number || matches!(&line.deed, Deed::Mended { entry, .. } if *entry == number)
}

/// Whether a deed chooses the limits of a job, or mends such a choice.
fn chooses_limits(deed: &Deed) -> bool {
    match deed {
        Deed::JudgedBy { .. } => true,
        Deed::Mended { with: Some(with), .. } => chooses_limits(with),
        _ => false,
    }
}

impl Outcome {
    /// What was worked out of the last weighing of an assessment.
    #[must_use]
    pub fn of(assessment: &Assessment) -> Self {
        Self::of_weighing(assessment, assessment.last())
    }
    /// What was worked out of one weighing of an assessment.
    #[must_use]
    pub fn of_weighing(assessment: &Assessment, last: &Weighed) -> Self {
        use hingeline_quantity::Quantity;
        let band = &assessment.sheet.limits.band;
        Self {
            moment_kg_m: last.measured.static_moment().si().to_string(),
            expanded_kg_m: last.measured.expanded_uncertainty().si().to_string(),
            verdict: crate::result::verdict_word(last.judgement.verdict).to_owned(),
            doubt: crate::mark::doubt(last).to_owned(),
            band_kg_m: (band.from().si().to_string(), band.to().si().to_string()),
            reasons: last.reasons.iter().map(crate::words::reason).collect(),
        }
    }
    /// Whether it is within.
    #[must_use]
    pub fn within(&self) -> bool {
        self.verdict == crate::result::verdict_word(Verdict::Within)
    }
}

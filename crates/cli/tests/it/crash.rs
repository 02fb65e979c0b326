//! A server that is killed at any moment, while several people save, loses nothing that it acknowledged: it starts
//! again on the same folder, and its record verifies.
//!
//! Four hands save at once, each as fast as it is answered: remarks, photographs, fields of the bench as they are
//! typed, and whole jobs from receive to the weighing. An entry is acknowledged by the way to the next page (303), a
//! field by its new revision. What was sent and not acknowledged may be there or not, but whole. A cut of the power is
//! not tried here: what the system had taken over outlives the process. Main types: [`Hand`], [`Sent`].

use crate::server::{Answer, Gone, Server, ask, hingeline, kill, spawn};
use hingeline_store::Reader;
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::mpsc::{self, Sender};
use std::thread;
use std::time::Duration;

/// Shops in which it is tried, two at a time.
const SHOPS: u64 = 6;
/// How often each is killed while people save in it.
const ROUNDS: usize = 30;
/// The demo's own words for everybody.
const PASSWORD: &str = "hinge line level";
/// The form that is typed in.
const FORM: &str = "weigh as left";
/// What is typed on the bench field by field, and what is only sent with the form; the check of the scale is another
/// one each time.
const TYPED: [(&str, &str); 3] = [
    ("arm", "17 1/4 in"),
    ("raising", "0.19 lb; 0.20 lb; 0.19 lb"),
    ("lowering", "0.13 lb; 0.14 lb; 0.13 lb"),
];
const WEIGHING: [(&str, &str); 10] = [
    ("do", "enter"),
    ("stage", "as left"),
    ("method", "trailing-edge scale"),
    ("scale", "S-2"),
    ("rule", "R-1"),
    ("zero", "0.00 lb"),
    ("tare", "0.06 lb"),
    ("surface_mass", "11.2 lb"),
    ("cg_height_within", "0.5 in"),
    ("level_within", "0.5 deg"),
];

/// The day of the server's own clock.
#[allow(clippy::disallowed_methods, reason = "the server that is killed runs by the time of this machine")]
fn today() -> String {
    jiff::tz::TimeZone::system().to_datetime(jiff::Timestamp::now()).date().to_string()
}

/// What a hand does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Work {
    Remarks,
    Photographs,
    Fields,
    Jobs,
}

/// Each hand: its work, who it is, the job of the demo that it works on.
const HANDS: [(Work, &str, &str); 4] = [
    (Work::Remarks, "tarn", "HP-0236"),
    (Work::Photographs, "osterby", "HP-0229"),
    (Work::Fields, "tarn", "HP-0231"),
    (Work::Jobs, "osterby", "R-"),
];

/// An entry that was sent.
struct Sent {
    /// Its job, and its number in the ledger of that.
    job: String,
    number: u64,
    /// What no other entry there holds.
    mark: String,
    acknowledged: bool,
    /// The photograph that came with it, until it was looked at.
    photo: Vec<u8>,
    /// Whether it is a weighing, that empties its form and puts a check of the scale beside it.
    weighing: bool,
}

impl Sent {
    fn of(job: &str, number: u64, mark: String) -> Self {
        let job = job.to_owned();
        Self { job, number, mark, acknowledged: false, photo: Vec::new(), weighing: false }
    }
}

/// What may stand in a field: what was acknowledged last, and what was sent after that.
#[derive(Debug, Default)]
struct Field {
    stands: Option<String>,
    flying: Option<String>,
}

/// The form of one job.
#[derive(Debug, Default)]
struct Form {
    fields: BTreeMap<&'static str, Field>,
    entered: bool,
    rev: u64,
}

/// What happened in a shop.
#[derive(Debug, Default)]
struct Tally {
    kills: usize,
    /// What was acknowledged, the weighings among the entries.
    entries: usize,
    weighings: usize,
    fields: usize,
    /// Saves that were under way at a kill, and those of them that were written all the same.
    under_way: usize,
    written: usize,
}

/// One person at one device, over all starts of the server.
struct Hand {
    work: Work,
    job: String,
    cookie: String,
    random: Xoshiro256PlusPlus,
    /// Counts its saves, or its jobs.
    count: u64,
    sent: Vec<Sent>,
    forms: BTreeMap<String, Form>,
    tally: Tally,
}

/// A hand at work, until the server is gone.
struct Busy<'h> {
    hand: &'h mut Hand,
    address: &'h str,
    /// Hears of every save that is acknowledged.
    saved: Sender<()>,
}

fn escape(text: &str) -> String {
    text.bytes().map(|byte| format!("%{byte:02X}")).collect()
}

fn encoded(form: &[(&str, &str)]) -> Vec<u8> {
    let pairs: Vec<String> = form.iter().map(|(key, value)| format!("{key}={}", escape(value))).collect();
    pairs.join("&").into_bytes()
}

const ENCODED: &str = "content-type: application/x-www-form-urlencoded\r\n";
const MULTIPART: &str = "content-type: multipart/form-data; boundary=leaf\r\n";

/// Logs in; gives the line of the cookie.
fn log_in(server: &Server, login: &str) -> String {
    let form = encoded(&[("login", login), ("password", PASSWORD)]);
    let answer = ask(&server.address, "POST", "/log-in", ENCODED, &form).expect("an answer");
    assert_eq!(answer.status(), 303, "{login} cannot log in: {}", answer.text);
    let cookie = answer.header("set-cookie").split(';').next().expect("a pair");
    format!("cookie: {cookie}\r\n")
}

impl Hand {
    fn all(server: &Server, random: &mut Xoshiro256PlusPlus) -> Vec<Self> {
        let hand = |(work, login, job): (Work, &str, &str)| Self {
            work,
            job: job.to_owned(),
            cookie: log_in(server, login),
            random: Xoshiro256PlusPlus::seed_from_u64(random.next_u64()),
            count: 0,
            sent: Vec::new(),
            forms: BTreeMap::new(),
            tally: Tally::default(),
        };
        HANDS.into_iter().map(hand).collect()
    }
    fn mark(&mut self) -> String {
        self.count += 1;
        format!("{:?}-{:05}", self.work, self.count)
    }
    /// Small ones mostly, and one in six as a camera takes them: the larger, the longer it is written.
    fn photograph(&mut self, mark: &str) -> Vec<u8> {
        let large = self.random.random_range(0..6) == 0;
        let size = self.random.random_range(if large { 1_000_000..3_000_000 } else { 1..200_000 });
        [b"\x89PNG\r\n\x1A\n", mark.as_bytes(), &vec![0x5A; size]].concat()
    }
    fn get(&self, address: &str, path: &str) -> Result<Answer, Gone> {
        let answer = ask(address, "GET", path, &self.cookie, &[])?;
        assert_eq!(answer.status(), 200, "{path}: {}", answer.head);
        Ok(answer)
    }
}

impl Busy<'_> {
    /// Saves without end; gives how the server was gone.
    fn work(&mut self) -> Gone {
        let ended = match self.hand.work {
            Work::Remarks => self.remarks(),
            Work::Photographs => self.photographs(),
            Work::Fields => self.fields(),
            Work::Jobs => self.jobs(),
        };
        ended.expect_err("it goes on until the server is gone")
    }

    fn remarks(&mut self) -> Result<(), Gone> {
        let job = self.hand.job.clone();
        let mut seen = self.seen(&job)?;
        loop {
            let mark = self.hand.mark();
            let text = format!("{mark}: hinge 2 & 3\nare “new” + tight, 100 %");
            self.enter("note", Sent::of(&job, seen + 1, mark), &[("text", &text)])?;
            seen += 1;
        }
    }

    fn photographs(&mut self) -> Result<(), Gone> {
        let job = self.hand.job.clone();
        let mut seen = self.seen(&job)?;
        loop {
            let mark = self.hand.mark();
            let photo = self.hand.photograph(&mark);
            let body = multipart(&mark, &photo);
            let sent = Sent { photo, ..Sent::of(&job, seen + 1, mark) };
            self.put(&format!("/jobs/{job}/photo"), MULTIPART, &body, sent)?;
            seen += 1;
        }
    }

    fn fields(&mut self) -> Result<(), Gone> {
        let job = self.hand.job.clone();
        loop {
            for field in ["arm", "tare", "raising", "lowering"] {
                let mark = self.hand.mark();
                self.keep(&job, field, &format!(" {mark}: 17 1/4 in + ½ & 5 % = “é” "))?;
            }
        }
    }

    /// One job after the other: received, judged by a card, typed on the bench field by field, weighed. It goes on
    /// where the kill before left it.
    fn jobs(&mut self) -> Result<(), Gone> {
        loop {
            let job = format!("{}{}", self.hand.job, self.hand.count);
            match self.hand.sent.iter().filter(|sent| sent.job == job).count() {
                0 => self.receive(&job)?,
                1 => self.enter("limits", Sent::of(&job, 2, "judged-by".to_owned()), &[("card", "7")])?,
                2 => self.weigh(&job)?,
                _ => self.hand.count += 1,
            }
        }
    }

    fn receive(&mut self, job: &str) -> Result<(), Gone> {
        let mark = format!("surface {:05}", self.hand.count);
        let form = [("number", job), ("surface", &mark), ("part", "SK12-55-210"), ("serial", "0099")];
        let form = encoded(&form);
        self.put("/jobs", ENCODED, &form, Sent::of(job, 1, mark))
    }

    fn weigh(&mut self, job: &str) -> Result<(), Gone> {
        let check = format!("5.00{:05} lb", self.hand.count);
        let mut form = TYPED.to_vec();
        form.push(("check", &check));
        for (field, value) in form.clone() {
            self.keep(job, field, value)?;
        }
        form.extend(WEIGHING);
        // The jobs were received on this day.
        let today = today();
        form.push(("date", &today));
        let weighed = Sent { weighing: true, ..Sent::of(job, 3, check.clone()) };
        self.enter("weigh", weighed, &form)
    }

    /// How many entries a job has, as its page says.
    fn seen(&self, job: &str) -> Result<u64, Gone> {
        let page = self.hand.get(self.address, &format!("/jobs/{job}/note"))?;
        let (_, rest) = page.text.split_once("name=\"seen\" value=\"").expect("the hidden field");
        Ok(rest.split('"').next().and_then(|number| number.parse().ok()).expect("a number"))
    }

    /// Enters a form of a job.
    fn enter(&mut self, page: &str, sent: Sent, form: &[(&str, &str)]) -> Result<(), Gone> {
        let seen = (sent.number - 1).to_string();
        let mut form = form.to_vec();
        form.push(("seen", &seen));
        let path = format!("/jobs/{}/{page}", sent.job);
        self.put(&path, ENCODED, &encoded(&form), sent)
    }

    fn put(&mut self, path: &str, media: &str, body: &[u8], sent: Sent) -> Result<(), Gone> {
        self.hand.sent.push(sent);
        let answer = self.save(path, media, body)?;
        let to = answer.header("location");
        assert!(answer.status() == 303 && to.contains("done="), "{path}: {} {}", answer.head, answer.text);
        self.hand.tally.entries += 1;
        let sent = self.hand.sent.last_mut().expect("what was sent");
        sent.acknowledged = true;
        self.hand.tally.weighings += usize::from(sent.weighing);
        self.saved.send(()).expect("somebody listens");
        Ok(())
    }

    /// Saves one field of the bench.
    fn keep(&mut self, job: &str, field: &'static str, value: &str) -> Result<(), Gone> {
        let form = self.hand.forms.entry(job.to_owned()).or_default();
        let rev = form.rev.to_string();
        form.fields.entry(field).or_default().flying = Some(value.to_owned());
        let body = encoded(&[("form", FORM), ("field", field), ("value", value), ("rev", &rev)]);
        let answer = self.save(&format!("/jobs/{job}/weigh/draft"), ENCODED, &body)?;
        let said: serde_json::Value = serde_json::from_str(&answer.text).expect("JSON");
        assert_eq!(said["state"], "kept", "{} {said}", answer.head);
        let form = self.hand.forms.get_mut(job).expect("the form");
        form.rev = said["rev"].as_u64().expect("a revision");
        form.fields.insert(field, Field { stands: Some(value.to_owned()), flying: None });
        self.hand.tally.fields += 1;
        self.saved.send(()).expect("somebody listens");
        Ok(())
    }

    fn save(&mut self, path: &str, media: &str, body: &[u8]) -> Result<Answer, Gone> {
        let headers = format!("{}{media}", self.hand.cookie);
        let answer = ask(self.address, "POST", path, &headers, body);
        self.hand.tally.under_way += usize::from(matches!(answer, Err(Gone { sent: true })));
        answer
    }
}

fn multipart(caption: &str, photo: &[u8]) -> Vec<u8> {
    let part = |name: &str| format!("--leaf\r\ncontent-disposition: form-data; name=\"{name}\"");
    let (words, picture) = (part("caption"), part("photo"));
    let mut body = format!("{words}\r\n\r\n{caption}\r\n{picture}; filename=\"a.png\"\r\n\r\n").into_bytes();
    body.extend(photo);
    body.extend(b"\r\n--leaf--\r\n");
    body
}

// --- what stands after a kill ---

/// What is read back after a kill.
struct Stand {
    record: Reader,
    /// Every entry: ledger, number, body.
    bodies: BTreeMap<(String, u64), String>,
}

impl Stand {
    /// Reads a record that verifies.
    fn of(folder: &Path) -> Self {
        let record = Reader::open(folder).expect("a shop");
        let heads = record.verify().expect("it verifies");
        let entries = record.entries_from(1, heads.entries).expect("entries").into_iter();
        let bodies = entries.map(|stored| ((stored.entry.ledger, stored.entry.number), stored.entry.body));
        Self { record, bodies: bodies.collect() }
    }
    fn holds(&self, sent: &Sent) -> bool {
        let body = self.bodies.get(&(format!("job {}", sent.job), sent.number));
        body.is_some_and(|body| body.contains(&sent.mark))
    }
    /// How many checks of a scale in the shop's own ledger read this.
    fn checks(&self, mark: &str) -> usize {
        let own = self.bodies.range(("shop".to_owned(), 0)..);
        own.filter(|(_, body)| body.contains(mark)).count()
    }
    /// Every file that was not known yet is whole, and nothing lies there half written.
    fn files_are_whole(&self, known: &mut BTreeSet<String>) {
        for file in std::fs::read_dir(self.record.folder().join("files")).expect("the files") {
            let name = file.expect("a file").file_name().into_string().expect("text");
            if !known.contains(&name) {
                assert!(self.record.file(&name).expect("a whole file").is_some(), "{name}");
                known.insert(name);
            }
        }
    }
    fn photo_is(&self, sent: &Sent) {
        let body = &self.bodies[&(format!("job {}", sent.job), sent.number)];
        let deed: serde_json::Value = serde_json::from_str(body).expect("a deed");
        let bytes = self.record.file(deed["file"].as_str().expect("a name")).expect("whole");
        assert!(bytes.as_ref() == Some(&sent.photo), "another photograph than was sent: {}", sent.mark);
    }
}

impl Hand {
    /// Compares what stands with what was sent; gives how many entries of this hand stand. From here on, what stands
    /// counts as acknowledged, for somebody may have seen it.
    fn settle(&mut self, stand: &Stand) -> usize {
        let mut found = 0;
        for sent in &mut self.sent {
            let there = stand.holds(sent);
            assert!(
                there || !sent.acknowledged,
                "acknowledged and lost: {}, entry {} of {}",
                sent.mark,
                sent.number,
                sent.job
            );
            self.tally.written += usize::from(there && !sent.acknowledged);
            sent.acknowledged = there;
            found += usize::from(there);
            if sent.weighing {
                assert_eq!(
                    stand.checks(&sent.mark),
                    usize::from(there),
                    "a weighing and its check: {}",
                    sent.job
                );
                found += usize::from(there);
                self.forms.entry(sent.job.clone()).or_default().entered = there;
            }
            if there && !sent.photo.is_empty() {
                stand.photo_is(sent);
                sent.photo = Vec::new();
            }
        }
        self.sent.retain(|sent| sent.acknowledged);
        self.settle_forms(stand);
        found
    }

    fn settle_forms(&mut self, stand: &Stand) {
        for (job, form) in &mut self.forms {
            let kept = stand.record.draft(job, FORM).expect("a draft").fields;
            let mut kept: BTreeMap<String, String> =
                kept.into_iter().map(|field| (field.field, field.value)).collect();
            if form.entered {
                form.fields.clear();
            }
            for (name, field) in &mut form.fields {
                let value = kept.remove(*name);
                let flown = field.flying.is_some() && value == field.flying;
                assert!(flown || value == field.stands, "{name} of {job}: {value:?}, and {field:?} was sent");
                self.tally.written += usize::from(flown);
                *field = Field { stands: value, flying: None };
            }
            assert!(kept.is_empty(), "nobody typed {kept:?} into {job}");
        }
    }

    /// The pages show what was acknowledged.
    fn pages(&self, server: &Server) {
        let page = |path: String| self.get(&server.address, &path).expect("a page").text;
        let jobs: BTreeSet<&str> = self.sent.iter().map(|sent| sent.job.as_str()).collect();
        for job in jobs {
            let ledger = page(format!("/jobs/{job}/ledger.jsonl"));
            let mut sent = self.sent.iter().filter(|sent| sent.job == job);
            assert!(sent.all(|sent| ledger.contains(&sent.mark)), "{job}: {ledger}");
        }
        for (job, form) in self.forms.iter().filter(|(_, form)| !form.entered) {
            let bench = page(format!("/jobs/{job}/weigh?stage=as-left&method=trailing-edge"));
            for value in form.fields.values().filter_map(|field| field.stands.as_ref()) {
                let mark = value.trim().split(':').next().expect("a mark");
                assert!(bench.contains(mark), "{job}: no {mark} in {bench}");
            }
        }
    }
}

/// Lets the hands save, and kills the server somewhere in it.
fn save_and_kill(server: Server, hands: &mut [Hand], random: &mut Xoshiro256PlusPlus) {
    let address = server.address.clone();
    let (saved, heard) = mpsc::channel();
    thread::scope(|scope| {
        for hand in hands {
            let mut busy = Busy { hand, address: &address, saved: saved.clone() };
            scope.spawn(move || busy.work());
        }
        drop(saved);
        for _ in 0..random.random_range(0..24) {
            heard.recv().expect("somebody saves");
        }
        thread::sleep(Duration::from_micros(random.random_range(0..8000)));
        server.kill();
        while heard.recv().is_ok() {}
    });
}

/// Starts it again; one time in four it is killed once more while it starts.
fn start_again(folder: &Path, random: &mut Xoshiro256PlusPlus, tally: &mut Tally) -> Server {
    if random.random_range(0..4) == 0 {
        let mut child = spawn(folder, &["--demo"]);
        thread::sleep(Duration::from_micros(random.random_range(0..60_000)));
        kill(&mut child);
        tally.kills += 1;
    }
    Server::start(folder, &["--demo"])
}

fn verify(folder: &Path) {
    let said = hingeline().args(["ledger", "verify", "--folder"]).arg(folder).output().expect("it runs");
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
}

/// One shop, killed again and again.
fn shop(seed: u64) -> Tally {
    let place = tempfile::tempdir().expect("a place");
    let (folder, mut random) = (place.path(), Xoshiro256PlusPlus::seed_from_u64(seed));
    let mut server = Server::start(folder, &["--demo"]);
    let mut hands = Hand::all(&server, &mut random);
    let (demo, mut tally) = (Stand::of(folder).bodies.len(), Tally::default());
    let mut files = BTreeSet::new();
    for round in 1..=ROUNDS {
        save_and_kill(server, &mut hands, &mut random);
        tally.kills += 1;
        server = start_again(folder, &mut random, &mut tally);
        let stand = Stand::of(folder);
        let found: usize = hands.iter_mut().map(|hand| hand.settle(&stand)).sum();
        assert_eq!(stand.bodies.len(), demo + found, "an entry that nobody sent");
        stand.files_are_whole(&mut files);
        if round % 10 == 0 {
            verify(folder);
            hands.iter().for_each(|hand| hand.pages(&server));
        }
    }
    for hand in hands {
        tally.add(&hand.tally);
    }
    tally
}

impl Tally {
    fn add(&mut self, other: &Self) {
        self.kills += other.kills;
        self.entries += other.entries;
        self.weighings += other.weighings;
        self.fields += other.fields;
        self.under_way += other.under_way;
        self.written += other.written;
    }
}

#[test]
fn a_killed_server_loses_nothing_that_it_acknowledged() {
    let mut all = Tally::default();
    for pair in 0..SHOPS / 2 {
        thread::scope(|scope| {
            let shops = [2 * pair, 2 * pair + 1].map(|seed| scope.spawn(move || shop(seed)));
            for shop in shops {
                all.add(&shop.join().expect("a shop that loses nothing"));
            }
        });
    }
    assert!(all.kills >= 200, "{all:?}");
    assert!(all.entries >= 400 && all.weighings >= 20 && all.fields >= 400, "{all:?}");
    assert!(all.under_way >= 200, "the server was idle at its kills: {all:?}");
    assert!(all.written >= 20 && all.under_way - all.written >= 20, "both ways out are tried: {all:?}");
}

/// Without passwords in it a demo would shut everybody out for good.
#[test]
fn a_demo_that_is_killed_while_it_is_made_is_whole_at_the_next_start() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(7);
    for _ in 0..6 {
        let place = tempfile::tempdir().expect("a place");
        let mut child = spawn(place.path(), &["--demo"]);
        thread::sleep(Duration::from_millis(random.random_range(0..900)));
        kill(&mut child);
        let server = Server::start(place.path(), &["--demo"]);
        for login in ["tarn", "admin"] {
            log_in(&server, login);
        }
        verify(place.path());
    }
}

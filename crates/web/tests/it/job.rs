//! The way of a job through its pages, from receive to release. Here: a bench with its two people, and the steps up to
//! the correction; [`record`] has photographs, signatures, mends, ledger and sheet.

mod drill_out;
mod mesh;
mod record;
mod weight;

use crate::shop::{Browser, Reply, Shop};
use argon2::password_hash::phc::PasswordHash;
use argon2::{Algorithm, Argon2, Params, PasswordHasher, Version};
use hingeline_bench::record::deed::{Card, Deed, Field, Fields};
use hingeline_bench::record::job::{Job, ledger_of};
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::shop::LEDGER;
use hingeline_bench::record::weigh;

const PIN: &str = "4711";

fn fields(pairs: &[(&str, &str)]) -> Fields {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
}

fn card(from: &str, to: &str) -> Card {
    let mut limits =
        fields(&[("source", "SK12 repair manual, 55-20, revision 4"), ("from", from), ("to", to)]);
    limits.insert("configuration".to_owned(), Field::List(vec!["final paint".to_owned()]));
    Card {
        title: "SK12 elevator".to_owned(),
        parts: vec!["SK12-55-*".to_owned()],
        limits,
        stations: vec![fields(&[
            ("name", "horn weight"),
            ("arm", "6.5 in"),
            ("side", "forward"),
            ("capacity", "0.8 lb"),
            ("step", "0.01 lb"),
        ])],
        outline: fields(&[("nose", "7.5 in"), ("trailing_edge", "18.5 in")]),
    }
}

/// A hash that is quickly tried; how a PIN is really hashed is tested beside the log-in.
fn quick_hash(pin: &str) -> String {
    let params = Params::new(8, 1, 1, None).expect("params");
    let hash: PasswordHash = Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password(pin.as_bytes())
        .expect("a hash");
    hash.to_string()
}

/// A shop with limits, instruments and PINs.
fn shop() -> Shop {
    let shop = Shop::new();
    let setup = |deed: &Deed| shop.deed(LEDGER, "setup", deed);
    setup(&Deed::CardProposed { card: 1, revises: None, content: card("4.0 in-lb nose-heavy", "0 in-lb") });
    setup(&Deed::CardApproved { card: 1 });
    setup(&Deed::CardProposed {
        card: 2,
        revises: None,
        content: Card { parts: vec!["OTHER-1".to_owned()], ..card("1 in-lb nose-heavy", "0 in-lb") },
    });
    setup(&Deed::CardApproved { card: 2 });
    for instrument in [
        fields(&[("id", "S-2"), ("kind", "scale"), ("resolution", "0.01 lb"), ("due", "2027-03-01")]),
        fields(&[("id", "R-1"), ("kind", "rule"), ("resolution", "1/32 in"), ("due", "2027-03-01")]),
    ] {
        let nothing = String::new;
        setup(&Deed::InstrumentEntered {
            instrument,
            name: "bench".to_owned(),
            check_weight: nothing(),
            check_within: nothing(),
            calibrated: nothing(),
        });
    }
    for login in ["tarn", "osterby"] {
        shop.store().set_pin(login, Some(&quick_hash(PIN))).expect("a PIN");
    }
    shop
}

const SURFACE: [(&str, &str); 7] = [
    ("number", "HP-1"),
    ("surface", "right elevator half"),
    ("part", "SK12-55-210"),
    ("serial", "0087"),
    ("aircraft", "Skerry SK12"),
    ("work_order", "W-1187"),
    ("reason", "part of the horn weight lost"),
];
const LOOKED: [(&str, &str); 6] = [
    ("state.drain-holes", "in order"),
    ("state.trapped-water", "in order"),
    ("state.hinge-bearings", "in order"),
    ("state.weights", "in order"),
    ("state.structure", "in order"),
    ("state.complete", "in order"),
];
const CORRECTION: [(&str, &str); 6] = [
    ("station", "horn weight"),
    ("action", "add"),
    ("mass", "0.40 lb"),
    ("what", "lead cap"),
    ("lot", "melt 26-14"),
    ("fastening", "two screws, locked"),
];

/// One job with its two people.
struct Bench {
    shop: Shop,
    tarn: Browser,
    osterby: Browser,
}

impl Bench {
    fn new() -> Self {
        let shop = shop();
        let (tarn, osterby) = (shop.of("tarn"), shop.of("osterby"));
        Self { shop, tarn, osterby }
    }
    /// Received, looked over, its limits chosen.
    async fn with_limits() -> Self {
        let bench = Self::new();
        bench.tarn.post("/jobs", &SURFACE).await.goes("/jobs/HP-1/look?done=received");
        bench.enter(&bench.tarn, "/look", &LOOKED).await.goes("/jobs/HP-1?done=looked");
        bench.enter(&bench.tarn, "/limits", &[("card", "1")]).await.goes("/jobs/HP-1?done=limits");
        bench
    }
    /// Weighed outside, corrected, weighed within.
    async fn as_left() -> Self {
        let bench = Self::with_limits().await;
        bench.weigh("as found", "0.10 lb");
        bench.enter(&bench.tarn, "/correction", &CORRECTION).await.goes("/jobs/HP-1?done=corrected");
        bench.weigh("as left", "-0.12 lb");
        bench
    }
    async fn signed() -> Self {
        let bench = Self::as_left().await;
        bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.goes("/jobs/HP-1?done=signed");
        bench
    }
    async fn released() -> Self {
        let bench = Self::signed().await;
        bench.inspect(PIN).await.goes("/jobs/HP-1?done=inspected");
        let log = "Elevator balanced, see job HP-1.";
        bench
            .enter(&bench.tarn, "/release", &[("log_text", log)])
            .await
            .goes("/jobs/HP-1/release?done=released");
        bench
    }
    fn job(&self) -> Job {
        self.shop.store().job("HP-1").expect("a record").expect("a job")
    }
    /// A weighing past the page, as the use case enters it.
    fn weigh(&self, stage: &str, reading: &str) {
        self.weigh_with(stage, &[("readings", Field::List(vec![reading.to_owned()]))]);
    }
    fn weigh_with(&self, stage: &str, more: &[(&str, Field)]) {
        let mut weighing = fields(&[
            ("stage", stage),
            ("method", "trailing-edge scale"),
            ("date", "2026-10-02"),
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("arm", "17 1/4 in"),
        ]);
        weighing.extend(more.iter().map(|(key, field)| ((*key).to_owned(), field.clone())));
        weighing.insert("confirmed".to_owned(), Field::List(vec!["final paint".to_owned()]));
        let shop = self.shop.store().shop().expect("a shop");
        let deed = weigh::deed(&self.job(), &shop, &weighing, None, Vec::new(), weigh::Occasion::default())
            .expect("a weighing");
        self.shop.deed(&ledger_of("HP-1"), "T. tarn", &deed);
    }
    /// Sends a form with the newest number of entries.
    async fn enter(&self, who: &Browser, page: &str, form: &[(&str, &str)]) -> Reply {
        let seen = self.job().entries.to_string();
        let mut form = form.to_vec();
        form.push(("seen", &seen));
        who.post(&format!("/jobs/HP-1{page}"), &form).await
    }
    async fn inspect(&self, pin: &str) -> Reply {
        let mut form: Vec<(&str, &str)> =
            ["identity", "data", "weighing", "correction", "freedom"].map(|item| ("checked", item)).to_vec();
        form.push(("pin", pin));
        self.enter(&self.osterby, "/inspect", &form).await
    }
    async fn page(&self, rest: &str) -> Reply {
        self.tarn.get(&format!("/jobs/HP-1{rest}")).await
    }
}

#[tokio::test]
async fn a_whole_job_passes_through_two_pairs_of_hands() {
    let bench = Bench::with_limits().await;
    bench.page("").await.is(200).says("Not weighed yet").says("Weigh as found");
    bench.weigh("as found", "0.10 lb");
    bench.page("").await.says("Outside the approved limits").says("Correct it");
    bench
        .page("/correction")
        .await
        .is(200)
        .says("moment to move")
        .says("add 0.57 lb")
        .says("Molten metal and water");
    bench.enter(&bench.tarn, "/correction", &CORRECTION).await.goes("/jobs/HP-1?done=corrected");
    bench
        .page("")
        .await
        .says("Work was done since this weighing")
        .says("0.40 lb added at horn weight; lead cap; melt 26-14");
    bench.weigh("as left", "-0.12 lb");
    bench.page("").await.says("Within the approved limits").says("Sign off");
    bench.page("/sign").await.says("T. tarn").says("C-1");
    bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.goes("/jobs/HP-1?done=signed");
    bench.osterby.get("/jobs/HP-1/inspect").await.is(200).says("Check, then sign");
    bench.inspect(PIN).await.goes("/jobs/HP-1?done=inspected");
    let release = bench.page("/release").await.is(200).says("0.40 lb added at horn weight");
    assert!(release.text.contains("Inspected by O. osterby"), "{}", release.text);
    let log = [("log_text", "Elevator balanced, see job HP-1.")];
    bench.enter(&bench.tarn, "/release", &log).await.goes("/jobs/HP-1/release?done=released");
    bench
        .page("")
        .await
        .is(200)
        .says("Released")
        .says("Release sheet (PDF)")
        .says("Weighing 1, as found")
        .says("Weighing 2, as left");
    assert!(bench.job().released.is_some());
}

#[tokio::test]
async fn the_overview_draws_stand_and_band_twice() {
    let bench = Bench::as_left().await;
    let page = bench.page("").await.is(200);
    assert_eq!(page.text.matches("<svg").count(), 1 + 4, "a mark and two drawings for desk and phone");
    page.says("wide-only").says("phone-only").says("To the content");
}

// --- receive ---

#[tokio::test]
async fn a_number_is_proposed_and_counts_on() {
    let bench = Bench::with_limits().await;
    bench.tarn.get("/jobs/new").await.is(200).says("value=\"HP-2\"");
    shop().of("tarn").get("/jobs/new").await.says("value=\"J-0001\"");
}

#[tokio::test]
async fn everything_that_a_surface_misses_is_said_at_once() {
    let bench = Bench::new();
    let reply = bench.tarn.post("/jobs", &[("number", "../etc 1"), ("surface", "tab")]).await.is(422);
    reply
        .says("cannot be a job number")
        .says("part number is empty")
        .says("serial number is empty")
        .says("value=\"tab\"");
}

#[tokio::test]
async fn a_number_that_is_taken_is_refused_with_the_next_free_one() {
    let bench = Bench::with_limits().await;
    bench
        .tarn
        .post("/jobs", &SURFACE)
        .await
        .is(422)
        .says("job number HP-1 is taken")
        .says("the next free one is HP-2")
        .says("value=\"W-1187\"");
    assert_eq!(bench.job().entries, 3);
}

#[tokio::test]
async fn a_number_is_never_a_page() {
    let bench = Bench::new();
    for number in ["new", "..", "-1", "a b 1", "1?x", "x".repeat(41).as_str()] {
        let mut form = SURFACE.to_vec();
        form[0].1 = number;
        bench.tarn.post("/jobs", &form).await.is(422).says("cannot be a job number");
    }
    let mut form = SURFACE.to_vec();
    form[0].1 = "W/26.1_a";
    bench.tarn.post("/jobs", &form).await.goes("/jobs/W%2F26.1_a/look?done=received");
    bench.tarn.get("/jobs/W%2F26.1_a").await.is(200).says("W/26.1_a");
}

// --- look, limits, correction, work, note ---

#[tokio::test]
async fn a_look_without_states_or_words_is_refused() {
    let bench = Bench::with_limits().await;
    bench.page("/look").await.is(200).says("Drain holes open");
    bench.enter(&bench.tarn, "/look", &[]).await.is(422).says("nothing is chosen");
    let mut form = LOOKED.to_vec();
    form[1].1 = "finding";
    bench.enter(&bench.tarn, "/look", &form).await.is(422).says("the finding has no words");
    form.push(("text.trapped-water", "a spoonful at the outboard rib"));
    bench.enter(&bench.tarn, "/look", &form).await.is(303);
    bench.page("").await.says("a spoonful at the outboard rib");
    let none: Vec<(&str, &str)> = LOOKED.iter().map(|(item, _)| (*item, "not looked")).collect();
    bench.enter(&bench.tarn, "/look", &none).await.is(422).says("nothing was looked at");
}

#[tokio::test]
async fn only_an_approved_card_for_the_part_judges_a_job() {
    let bench = Bench::with_limits().await;
    let page = bench.page("/limits").await.is(200).says("SK12 repair manual");
    assert!(!page.text.contains("Card 2:"), "a card for another part is offered");
    for (card, said) in [
        ("", "the card is empty"),
        ("2", "card 2 is not approved for part"),
        ("x", "card x is not"),
        ("1", "judged by already"),
    ] {
        bench.enter(&bench.tarn, "/limits", &[("card", card)]).await.is(422).says(said);
    }
}

#[tokio::test]
async fn another_card_judges_every_weighing_anew() {
    let bench = Bench::as_left().await;
    let tighter = card("1.0 in-lb nose-heavy", "0 in-lb");
    bench.shop.deed(LEDGER, "setup", &Deed::CardProposed { card: 3, revises: None, content: tighter });
    bench.shop.deed(LEDGER, "setup", &Deed::CardApproved { card: 3 });
    assert!(bench.job().before_sign_off().is_empty());
    bench.enter(&bench.tarn, "/limits", &[("card", "3")]).await.is(422).says("judged anew");
    bench.enter(&bench.tarn, "/limits", &[("card", "3"), ("anew", "yes")]).await.is(303);
    bench.page("").await.says("Outside the approved limits");
    bench.page("/sign").await.says("bring the surface within its limits");
    bench
        .enter(&bench.tarn, "/sign", &[("pin", PIN)])
        .await
        .is(422)
        .says("bring the surface within its limits");
    bench.page("/ledger").await.says("within, this cannot be read so");
}

#[tokio::test]
async fn a_card_that_cannot_read_the_weighings_is_refused() {
    let bench = Bench::as_left().await;
    let mut other = card("4.0 in-lb nose-heavy", "0 in-lb");
    other.limits.insert("configuration".to_owned(), Field::List(vec!["primer only".to_owned()]));
    bench.shop.deed(LEDGER, "setup", &Deed::CardProposed { card: 3, revises: None, content: other });
    bench.shop.deed(LEDGER, "setup", &Deed::CardApproved { card: 3 });
    bench
        .enter(&bench.tarn, "/limits", &[("card", "3"), ("anew", "yes")])
        .await
        .is(422)
        .says("cannot judge the weighings of this job");
}

#[tokio::test]
async fn a_correction_is_read_as_it_is_typed() {
    let bench = Bench::with_limits().await;
    bench.weigh("as found", "0.10 lb");
    let check = async |key: &str, value: &str, said: &str| {
        let form: Vec<(&str, &str)> = CORRECTION
            .iter()
            .map(|(known, old)| (*known, if *known == key { value } else { *old }))
            .collect();
        bench.enter(&bench.tarn, "/correction", &form).await.is(422).says(said);
    };
    check("mass", "0.4", "“0.4” has no unit").await;
    check("mass", "0.4 in", "unit of length").await;
    check("mass", "-0.4 lb", "above 0 up to 500 kg").await;
    check("mass", "", "the mass is empty").await;
    check("station", "elsewhere", "no station of this job").await;
    check("action", "", "neither added nor taken away").await;
    check("what", "", "what was fitted or taken away is empty").await;
    bench.enter(&bench.tarn, "/correction", &[]).await.is(422).says("4 things are wrong");
}

#[tokio::test]
async fn a_calculated_mass_is_never_filled_in_as_a_weighed_one() {
    let bench = Bench::with_limits().await;
    bench.weigh("as found", "0.10 lb");
    bench.page("/correction").await.says("Enter what was done here");
    let page = bench.page("/correction?station=horn+weight&action=add&mass=0.57+lb").await;
    assert!(!page.text.contains("value=\"0.57 lb\""));
    page.says("value=\"add\" checked").says("worked out: 0.57 lb");
}

#[tokio::test]
async fn more_than_a_place_has_left_is_asked_about() {
    let bench = Bench::with_limits().await;
    bench.weigh("as found", "0.10 lb");
    let mut form = CORRECTION.to_vec();
    form[2].1 = "5 lb";
    bench
        .enter(&bench.tarn, "/correction", &form)
        .await
        .is(422)
        .says("5 lb added at horn weight is more than this place has left")
        .says("up to 0.8 lb (0 lb of 0.8 lb used in this job)")
        .says("It was done all the same");
    assert!(bench.job().corrections.is_empty());
    form.push(("all-the-same", "yes"));
    bench.enter(&bench.tarn, "/correction", &form).await.is(303);
    let what = &bench.job().corrections[0].1[3];
    assert_eq!(
        what,
        "lead cap; melt 26-14; two screws, locked; more than the 0.8 lb that was left here to be added: it was done all \
         the same"
    );
}

#[tokio::test]
async fn what_this_job_used_of_a_place_is_said() {
    let bench = Bench::with_limits().await;
    bench.weigh("as found", "0.30 lb");
    bench.enter(&bench.tarn, "/correction", &CORRECTION).await.is(303);
    let first = bench.page("/correction").await.says("weigh first");
    assert!(!first.text.contains("moment to move"));
    bench.weigh("as left", "0.20 lb");
    bench
        .page("/correction")
        .await
        .says("0.4 lb of 0.8 lb used by this job, 0.4 lb left")
        .says("cannot be done here alone")
        .says("this station can take 0.4 lb at most");
    let mut form = CORRECTION.to_vec();
    form[2].1 = "0.41 lb";
    bench.enter(&bench.tarn, "/correction", &form).await.is(422).says("up to 0.4 lb");
    // Mending the first one, its own mass is free again.
    let page = format!("/mend/{}", bench.job().corrections[0].0);
    form[2].1 = "0.8 lb";
    form.extend([("do", "mend"), ("reason", "misread")]);
    bench.enter(&bench.tarn, &page, &form).await.is(303);
}

#[tokio::test]
async fn the_drawing_asks_only_while_something_is_to_be_done() {
    let bench = Bench::with_limits().await;
    bench.weigh("as found", "0.10 lb");
    bench.page("").await.says("add 0.57 lb");
    bench.enter(&bench.tarn, "/correction", &CORRECTION).await.is(303);
    let page = bench.page("").await.says("weigh again: work was done after the last weighing");
    assert!(!page.text.contains("add 0.57 lb") && !page.text.contains("correct it and weigh again"));
    bench.weigh("as left", "-0.12 lb");
    let page = bench.page("").await;
    assert!(!page.text.contains(">add "), "a surface within is asked for nothing");
    bench.page("/correction").await.says("Nothing has to be changed. To reach the aim of").says("exactly:");
}

#[tokio::test]
async fn work_and_remarks_want_their_words() {
    let bench = Bench::as_left().await;
    bench.page("/work").await.is(200).says("chromate");
    bench
        .enter(&bench.tarn, "/work", &[])
        .await
        .is(422)
        .says("no kind of work is chosen")
        .says("what was done is empty");
    bench.enter(&bench.tarn, "/work", &[("kind", "paint"), ("what", "white, two coats")]).await.is(303);
    bench.page("").await.says("white, two coats").says("Weigh as left");
    bench.page("/note").await.is(200);
    bench.enter(&bench.tarn, "/note", &[]).await.is(422).says("the remark is empty");
    bench.enter(&bench.tarn, "/note", &[("text", "<b>hinge</b> 2 is new")]).await.is(303);
    bench.page("").await.says("&lt;b&gt;hinge&lt;/b&gt; 2 is new");
}

#[tokio::test]
async fn small_letters_of_a_plate_are_shown_in_capitals_before_they_are_entered() {
    let bench = Bench::new();
    let small = |more: &[(&'static str, &'static str)]| {
        let mut form: Vec<(&str, &str)> =
            SURFACE.iter().filter(|(key, _)| !["part", "aircraft"].contains(key)).copied().collect();
        form.extend([("part", "sk12-55-210"), ("aircraft", "Skerry sk12, g-abcd")]);
        form.extend(more);
        form
    };
    let page = bench.tarn.post("/jobs", &small(&[])).await.is(422).says("“sk12-55-210” has small letters");
    let page =
        page.says("value=\"SK12-55-210\"").says("value=\"Skerry SK12, G-ABCD\"").says("name=\"as-typed\"");
    assert!(!page.text.contains("0087” has"), "a number without letters is as it is");
    // Whoever says that the plate has them keeps them.
    bench.tarn.post("/jobs", &small(&[("as-typed", "yes")])).await.goes("/jobs/HP-1/look?done=received");
    assert_eq!(bench.job().text("part"), "sk12-55-210");
    let mend = small(&[("do", "mend"), ("reason", "as on the plate")]);
    bench.enter(&bench.tarn, "/mend/1", &mend).await.is(422).says("value=\"SK12-55-210\"");
}

#[tokio::test]
async fn what_hides_a_moment_comes_before_its_correction() {
    let bench = Bench::with_limits().await;
    let set = |reading: &str| Field::List(vec![reading.to_owned()]);
    let readings = [("raising", set("0.40 lb")), ("lowering", set("0.02 lb")), ("tare", text("0.20 lb"))];
    bench.weigh_with("as found", &readings);
    let page =
        bench.page("").await.is(200).says("Next: another weighing").says("free the bearings and weigh again");
    page.says("weigh?stage=as+found\">Weigh again</a>").says("Correct it all the same");
    let page = bench.page("/correction").await.is(200).says("First do this, and weigh again");
    page.says("is the second way");
}

//! The use case of the bench page: what the next weighing should show, readings to look at, the day, the arm, the
//! check of the scale, and what is said of sets that were changed over.

use super::{Ledger, as_left, card, corrected, fields, weighed};
use hingeline_bench::mark::{Mark, doubt, mark};
use hingeline_bench::record::deed::{BeforeWeighing, Deed, Field, Fields, Outcome};
use hingeline_bench::record::expected::{Expected, expected};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::log::log_text;
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::shop::{Instrument, Shop};
use hingeline_bench::record::weigh::{self, Occasion};
use hingeline_bench::{Assessment, CardSheet, System, arithmetic, words};
use hingeline_quantity::Quantity;
use jiff::civil::{Date, date};

/// A weighing that is taken now.
const NOW: Occasion<'static> = Occasion { mends: None, until: None };

fn shop() -> Shop {
    let mut shop = Shop::default();
    for pairs in [
        vec![("id", "S-2"), ("kind", "scale"), ("resolution", "0.01 lb"), ("due", "2027-03-01")],
        vec![("id", "R-1"), ("kind", "rule"), ("resolution", "1/32 in"), ("due", "2027-03-01")],
    ] {
        let fields = fields(&pairs);
        let instrument = Instrument {
            check_weight: "5 lb".to_owned(),
            check_within: "0.02 lb".to_owned(),
            fields,
            ..Instrument::default()
        };
        shop.instruments.insert(pairs[0].1.to_owned(), instrument);
    }
    shop
}

/// A job with limits and nothing weighed.
pub(super) fn with_limits() -> Ledger {
    let mut ledger = Ledger::default();
    let job =
        fields(&[("number", "HP-1"), ("surface", "elevator"), ("part", "SK12-55-210"), ("serial", "87")]);
    ledger.write("M. Tarn", &Deed::Received { job });
    ledger.write("M. Tarn", &Deed::JudgedBy { card: 1, content: card() });
    ledger
}

pub(super) fn set_up(method: &str, more: &[(&str, &str)]) -> Fields {
    let mut weighing = fields(&[
        ("stage", "as left"),
        ("method", method),
        ("date", "2026-10-02"),
        ("scale", "S-2"),
        ("rule", "R-1"),
        ("arm", "17 1/4 in"),
    ]);
    weighing.insert("confirmed".to_owned(), Field::List(vec!["final paint".to_owned()]));
    weighing.extend(fields(more));
    weighing
}

pub(super) fn list(readings: &[&str]) -> Field {
    Field::List(readings.iter().map(|reading| (*reading).to_owned()).collect())
}

fn turning(mut weighing: Fields, raising: &[&str], lowering: &[&str]) -> Fields {
    weighing.insert("raising".to_owned(), list(raising));
    weighing.insert("lowering".to_owned(), list(lowering));
    weighing
}

/// As found, then a correction of 0.6 lb at 6.5 in ahead of the hinge line.
fn after_a_correction() -> Job {
    let mut ledger = with_limits();
    let found = weighed(&ledger.job(), "as found", "0.25 lb");
    ledger.write("M. Tarn", &found);
    ledger.write("M. Tarn", &corrected());
    ledger.job()
}

fn after(job: &Job, weighing: &Fields) -> Expected {
    expected(job, &shop(), weighing, System::AsLimits).expect("a correction since the last weighing")
}

#[test]
fn what_is_expected_is_the_last_moment_and_every_correction_since() {
    let job = after_a_correction();
    let said = after(&job, &Fields::new());
    // 0.25 lb × 17.25 in less 0.6 lb × 6.5 in.
    assert!((said.moment.si() / (0.453_592_37 * 0.0254) - (0.25 * 17.25 - 0.6 * 6.5)).abs() < 1e-9);
    assert_eq!(said.changes, ["0.6 lb added at horn"]);
    assert!(said.reading.is_none() && !said.worked, "no set-up is typed yet");
    assert!(said.words().contains("is to be expected: 4.3"), "{}", said.words());
}

#[test]
fn nothing_is_expected_where_nothing_was_corrected() {
    let job = as_left().job();
    assert!(expected(&job, &shop(), &Fields::new(), System::AsLimits).is_none());
    assert!(expected(&with_limits().job(), &shop(), &Fields::new(), System::AsLimits).is_none());
}

#[test]
fn each_method_says_what_it_should_read() {
    let job = after_a_correction();
    let hung = set_up("hung weight", &[("side", "forward")]);
    // 0.4125 in-lb tail-heavy hung forward at 17.25 in: 0.0239 lb.
    let said = after(&job, &hung).reading.expect("a reading");
    assert!(said.starts_with("it should then be level with about 0.02"), "{said}");
    let other = set_up("hung weight", &[("side", "aft")]);
    let said = after(&job, &other).reading.expect("a reading");
    assert!(said.ends_with("on the other side of the hinge line"), "{said}");
    let scale = set_up("trailing-edge scale", &[("tare", "0.06 lb")]);
    let said = after(&job, &scale).reading.expect("a reading");
    assert!(said.starts_with("the scale should then read about 0.08"), "{said}");
    let beam = [("side", "forward"), ("sliding_mass", "0.5 lb"), ("beam_moment", "0.1 in-lb nose-heavy")];
    let mut beam = set_up("balance beam", &beam);
    beam.remove("arm");
    let said = after(&job, &beam).reading.expect("a place");
    assert!(said.starts_with("the sliding mass should then stand at about"), "{said}");
}

#[test]
fn work_of_unknown_mass_is_said() {
    let mut ledger = with_limits();
    let found = weighed(&ledger.job(), "as found", "0.25 lb");
    ledger.write("M. Tarn", &found);
    ledger.write("M. Tarn", &corrected());
    ledger.write("M. Tarn", &Deed::Worked { kind: "paint".to_owned(), what: "one coat".to_owned() });
    assert!(after(&ledger.job(), &Fields::new()).worked);
}

fn strays(raising: &[&str], lowering: &[&str]) -> Vec<(&'static str, usize)> {
    let weighing = turning(set_up("trailing-edge scale", &[("tare", "0.06 lb")]), raising, lowering);
    let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, None, NOW);
    assert!(preview.assessment.is_some(), "{:?}", preview.faults);
    preview.strays
}

#[test]
fn a_slip_among_few_readings_is_found() {
    let beside = ["0.13 lb", "0.12 lb"];
    assert_eq!(strays(&["0.12 lb", "1.2 lb"], &beside), [("raising", 1)]);
    assert_eq!(strays(&["1.3 lb", "0.12 lb"], &beside), [("raising", 0)]);
    assert_eq!(strays(&["0.19 lb", "0.20 lb"], &beside), []);
    assert_eq!(strays(&["1.9 lb"], &beside), [], "a single one has no others");
    assert_eq!(strays(&["0.12 lb", "1.2 lb"], &["1.2 lb", "0.13 lb"]), [], "nobody can say which is far off");
}

#[test]
fn a_larger_set_is_left_to_the_test_of_outliers() {
    assert_eq!(strays(&["1.3 lb", "0.12 lb", "0.13 lb"], &["0.12 lb"]), [("raising", 0)], "three are few");
    assert_eq!(strays(&["0.12 lb", "0.12 lb", "0.13 lb", "1.2 lb"], &["0.12 lb"]), []);
}

const TODAY: Date = date(2026, 10, 2);

#[test]
fn a_weighing_is_dated_no_later_than_today_and_not_long_before_its_job() {
    let day = |text: &str, received: Option<Date>| weigh::day(&fields(&[("date", text)]), received, TODAY);
    let received = Some(date(2026, 9, 28));
    for good in ["2026-08-28", "2026-09-28", "2026-10-01", "2026-10-02", "no day", ""] {
        assert!(day(good, received).is_none(), "{good}");
    }
    let late = day("2026-10-03", received).expect("refused");
    assert_eq!(late.what, "the day 2026-10-03 is after today");
    let allowed = "2026-08-28 to today, 2026-10-02";
    assert_eq!(late.allowed.as_deref(), Some(allowed));
    let early = day("2026-08-27", received).expect("refused");
    assert_eq!(early.what, "the day 2026-08-27 is more than 31 days before the job was entered, 2026-09-28");
    assert_eq!((early.allowed.as_deref(), early.key.as_deref()), (Some(allowed), Some("date")));
    assert!(day("2020-01-01", None).is_none(), "nobody knows when it was received");
}

#[test]
fn a_weighing_older_than_the_receipt_says_so() {
    let said = |text: &str| weigh::dated_early(&fields(&[("date", text)]), Some(date(2026, 9, 28)));
    let early = said("2026-09-27").expect("told");
    assert!(early.starts_with("dated 2026-09-27, before the job was entered here on 2026-09-28"), "{early}");
    assert_eq!((said("2026-09-28"), said("soon")), (None, None));
    assert_eq!(weigh::dated_early(&fields(&[("date", "2020-01-01")]), None), None);
}

#[test]
fn a_check_beyond_its_bound_makes_the_weighing_not_valid() {
    let weighing = set_up("trailing-edge scale", &[("tare", "0.06 lb")]);
    let weighing = turning(weighing, &["0.05 lb", "0.05 lb"], &["0.04 lb", "0.04 lb"]);
    let reasons = |check: &str| {
        let before = BeforeWeighing { zero: String::new(), check: check.to_owned() };
        let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, Some(&before), NOW);
        let last = preview.assessment.expect("whole").last().clone();
        last.reasons.iter().map(words::reason).collect::<Vec<_>>()
    };
    assert_eq!(reasons("5.01 lb"), Vec::<String>::new());
    let failed = "instrument S-2 failed its last check: 5.10 lb for 5 lb ± 0.02 lb";
    assert_eq!(reasons("5.10 lb"), [failed]);
}

/// The check weight reads right beyond a zero that is not one; the surface does not.
#[test]
fn a_scale_that_is_not_at_zero_makes_the_weighing_not_valid() {
    let weighing = set_up("hung weight", &[("side", "aft")]);
    let weighing = turning(weighing, &["0.05 lb", "0.05 lb"], &["0.06 lb", "0.06 lb"]);
    let reasons = |zero: &str, check: &str| {
        let before = BeforeWeighing { zero: zero.to_owned(), check: check.to_owned() };
        let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, Some(&before), NOW);
        let last = preview.assessment.expect("whole").last().clone();
        last.reasons.iter().map(words::reason).collect::<Vec<_>>()
    };
    assert_eq!(reasons("0.01 lb", "5.01 lb"), Vec::<String>::new());
    let said = "instrument S-2 failed its last check: empty it reads 0.50 lb, where 0.02 lb is allowed; set it to zero \
                and weigh again";
    assert_eq!(reasons("0.50 lb", "5.50 lb"), [said]);
    assert_eq!(reasons("0.50 lb", ""), [said], "a zero alone");
}

#[test]
fn a_reading_below_its_sling_is_not_good_and_says_so() {
    let weighing = set_up("trailing-edge scale", &[("tare", "0.06 lb")]);
    let judged = judged(&turning(weighing, &["0.05 lb", "0.05 lb"], &["0.04 lb", "0.04 lb"]));
    let last = judged.last();
    assert_eq!((mark(last), doubt(last)), (Mark::Doubt, "this cannot be read so"));
    let said = words::doubt(last, &words::Voice::of(last, judged.sheet.limits.units));
    assert!(said.starts_with("This cannot be read so") && said.ends_with(words::SLING_ONLY_PULLS), "{said}");
    assert!(words::likely(last).is_some_and(|likely| likely.contains("cannot be read so")));
}

#[test]
fn sets_of_hung_weights_that_were_changed_over_are_said_in_their_words() {
    let notes = |side: &str, raising: &str, lowering: &str| {
        let weighing = turning(set_up("hung weight", &[("side", side)]), &[raising; 2], &[lowering; 2]);
        let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, None, NOW);
        let assessment = preview.assessment.expect("whole");
        words::notes(&assessment, assessment.last()).join("\n")
    };
    let turned = "look whether the two sets were changed over";
    // A weight forward lifts the trailing edge: the larger one makes it rise. Aft it holds it down.
    assert!(!notes("forward", "0.12 lb", "0.11 lb").contains(turned));
    assert!(!notes("aft", "0.11 lb", "0.12 lb").contains(turned));
    let said = notes("forward", "0.11 lb", "0.12 lb");
    assert!(
        said.contains("“just rises with” the larger reading with the weight hung forward")
            && said.contains(turned)
    );
    let said = notes("aft", "0.12 lb", "0.11 lb");
    assert!(said.contains("“just sinks with” the larger reading with the weight hung aft"), "{said}");
}

fn judged(weighing: &Fields) -> Assessment {
    weigh::preview(&with_limits().job(), &shop(), weighing, None, NOW).assessment.expect("whole")
}

/// A weighing of hung weights, judged.
fn hung(more: &[(&str, &str)], raising: &str, lowering: &str) -> Assessment {
    let mut pairs = vec![("side", "forward")];
    pairs.extend(more);
    let weighing = turning(set_up("hung weight", &pairs), &[raising; 2], &[lowering; 2]);
    judged(&weighing)
}

#[test]
fn a_pan_that_is_left_out_typed_as_0_or_weighed_in_place_of_the_mass_is_said() {
    let notes = |more: &[(&str, &str)]| {
        let assessment = hung(more, "0.12 lb", "0.12 lb");
        words::notes(&assessment, assessment.last()).join("\n")
    };
    assert!(notes(&[]).contains("no pan or hook is given"));
    assert!(notes(&[("hanger", "0 lb")]).contains("the pan or hook is typed as 0"));
    let same = "as much as the pan or hook alone";
    assert!(notes(&[("hanger", "0.12 lb")]).contains(same) && notes(&[("hanger", "0.11 lb")]).contains(same));
    assert!(!notes(&[("hanger", "0.04 lb")]).contains("pan or hook"), "a pan of its own is no fault");
}

#[test]
fn what_hides_the_moment_comes_before_a_correction() {
    let first = |raising: &str, lowering: &str| {
        let weighing = set_up("trailing-edge scale", &[("tare", "0.40 lb")]);
        let assessment = judged(&turning(weighing, &[raising; 2], &[lowering; 2]));
        words::before_correcting(assessment.last()).join("\n")
    };
    assert!(first("0.60 lb", "0.22 lb").contains("free the bearings and weigh again"));
    assert!(first("0.60 lb", "0.61 lb").contains("changed over"));
    assert!(first("0.30 lb", "0.30 lb").is_empty() && first("0.61 lb", "0.60 lb").is_empty());
    assert!(
        first("0.10 lb", "0.09 lb").contains("use hung weight"),
        "nose-heavy beyond its limit, below the sling"
    );
}

#[test]
fn the_arithmetic_of_hung_weights_speaks_of_them_in_their_words() {
    let weighing =
        turning(set_up("hung weight", &[("side", "forward")]), &["0.12 lb", "0.13 lb"], &["0.11 lb"]);
    let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, None, NOW);
    let assessment = preview.assessment.expect("whole");
    let (last, units) = (assessment.last(), assessment.sheet.limits.units);
    let lines: Vec<String> = arithmetic::moment(last, units).iter().map(arithmetic::Step::line).collect();
    let lines = lines.join("\n");
    assert!(lines.contains("mean of “just rises with” = (0.12 + 0.13) ÷ 2 = 0.125 lb"), "{lines}");
    assert!(lines.contains("m = (mean of “just rises with” + mean of “just sinks with”) ÷ 2"), "{lines}");
    assert!(!lines.contains("raising") && !lines.contains("lowering"), "{lines}");
    let method = &last.taken.weighing.method;
    let names = last.measured.model.inputs.iter().map(|input| words::input_name(input, method));
    assert!(names.into_iter().all(|name| !name.contains("raising")));
    assert_eq!(words::set_word(method, "raising"), "just rises with");
    assert_eq!(words::set_word(method, "arm"), "arm");
}

#[test]
fn readings_between_the_steps_of_a_display_are_said_in_one_line() {
    let weighing = set_up("trailing-edge scale", &[("tare", "0 lb")]);
    let weighing = turning(weighing, &["0.121 lb", "0.122 lb", "0.12 lb"], &["0.113 lb"]);
    let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, None, NOW);
    let remarks = preview.assessment.expect("whole").last().taken.remarks.clone();
    assert_eq!(
        remarks,
        [
            "raising: 0.121 lb, 0.122 lb are not steps of the scale's display",
            "lowering: 0.113 lb is not a step of the scale's display"
        ]
    );
}

#[test]
fn a_doubt_is_said_in_a_few_words() {
    let likely = |method: &str, more: (&str, &str), reading: &str| {
        let mut weighing = set_up(method, &[more]);
        weighing.insert("readings".to_owned(), list(&[reading; 3]));
        let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, None, NOW);
        words::likely(preview.assessment.expect("whole").last())
    };
    assert_eq!(likely("hung weight", ("side", "aft"), "0.12 lb"), None, "clearly within");
    let within = likely("trailing-edge scale", ("tare", "0 lb"), "0 lb").expect("on the limit");
    assert!(within.starts_with("doubtful, ") && within.ends_with(" % likely within"), "{within}");
}

#[test]
fn friction_that_hides_the_verdict_is_no_good_mark_and_stands_in_the_record() {
    let marked = |raising: &str, lowering: &str| {
        let weighing = set_up("hung weight", &[("side", "aft")]);
        let weighing = turning(weighing, &[raising; 3], &[lowering; 3]);
        let preview = weigh::preview(&with_limits().job(), &shop(), &weighing, None, NOW);
        let assessment = preview.assessment.expect("whole");
        (mark(assessment.last()), Outcome::of(&assessment).doubt)
    };
    assert_eq!(marked("0.09 lb", "0.11 lb"), (Mark::Good, "clear".to_owned()));
    // Both lie clearly within; 0.12 lb × 17.25 in of friction is more than the 1.8 in-lb to the limit.
    assert_eq!(marked("0.01 lb", "0.25 lb"), (Mark::Doubt, "friction hides it".to_owned()));
}

fn card_sheet(limits: &str, outline: &str) -> CardSheet {
    let station = "[[station]]\nname = \"horn\"\narm = \"6.5 in\"\nside = \"forward\"\n";
    CardSheet::parse(&format!("[limits]\nsource = \"manual\"\n{limits}\n[outline]\n{outline}\n{station}"))
        .expect("a card")
}

#[test]
fn an_arm_beyond_what_is_known_of_the_surface_is_to_be_looked_at() {
    let moments = "from = \"4.0 in-lb nose-heavy\"\nto = \"0 in-lb\"";
    let drawn = card_sheet(moments, "nose = \"7.5 in\"\ntrailing_edge = \"18 1/2 in\"");
    let arm = |card: &CardSheet, arm: &str, side: &str| {
        weigh::arm_to_look_at(card, &fields(&[("arm", arm), ("side", side)]))
    };
    let edge = "look at this arm: the trailing edge is at 18.5 in";
    assert_eq!(arm(&drawn, "172 1/4 in", "").as_deref(), Some(edge));
    assert_eq!(arm(&drawn, "18 1/2 in", "aft"), None);
    let nose = "look at this arm: the nose is at 7.5 in";
    assert_eq!(arm(&drawn, "8 in", "forward").as_deref(), Some(nose));
    assert_eq!(arm(&drawn, "172", ""), None, "no arm yet");
    let bare = card_sheet(moments, "");
    assert_eq!(arm(&bare, "172 1/4 in", ""), None, "nothing is known");
    let readings = "at_arm = \"17 in\"\nfrom_reading = \"-0.1 lb\"\nto_reading = \"0 lb\"";
    let readings = card_sheet(readings, "");
    assert_eq!(arm(&readings, "25 in", ""), None);
    let manual = "look at this arm: the manual reads at 17 in";
    assert_eq!(arm(&readings, "26 in", "").as_deref(), Some(manual));
}

#[test]
fn the_text_for_the_log_book_says_the_limits_as_the_manual_does() {
    let mut ledger = with_limits();
    let mut content = card();
    for key in ["from", "to"] {
        content.limits.remove(key);
    }
    content.limits.extend(fields(&[
        ("at_arm", "17 in"),
        ("from_reading", "-0.25 lb"),
        ("to_reading", "0 lb"),
    ]));
    content.limits.insert("manual_plus".to_owned(), text("tail-heavy"));
    ledger.write("M. Tarn", &Deed::JudgedBy { card: 2, content });
    let found = weighed(&ledger.job(), "as left", "-0.12 lb");
    ledger.write("M. Tarn", &found);
    let job = ledger.job();
    let said = log_text(&job, &job.assessment().expect("weighed").expect("judged"), &[]);
    let limits =
        "limits -0.25 lb to 0 lb at 17 in, plus is tail-heavy (that is 4.25 in-lb nose-heavy to 0 in-lb)";
    assert!(said.contains(limits), "{said}");
}

#[test]
fn the_reason_of_a_send_back_stands_until_the_next_sign_off() {
    let mut ledger = as_left();
    let weighing = ledger.job().weighings[1].entry;
    assert!(ledger.job().sent_back().is_none());
    ledger.write("M. Tarn", &Deed::SignedOff(super::signature(weighing)));
    let back = ledger.write("J. Osterby", &Deed::SentBack { reason: "screw not locked".to_owned() });
    ledger.write("M. Tarn", &Deed::Noted { text: "locked".to_owned() });
    let job = ledger.job();
    assert_eq!(job.sent_back().map(|(line, why)| (line.number, why)), Some((back, "screw not locked")));
    assert!(job.signatures()[0].sent_back);
    ledger.write("M. Tarn", &Deed::SignedOff(super::signature(weighing)));
    assert!(ledger.job().sent_back().is_none());
}

#[test]
fn a_scale_whose_check_weight_nobody_read_on_the_day_is_said_on_the_sheet() {
    let mut job = after_a_correction();
    let weighing = job.weighings.last_mut().expect("a weighing");
    let mut shop = shop();
    let on_the_day = |_: &str, day: Date| day == date(2026, 10, 2);
    weighing.fields = set_up("trailing-edge scale", &[]);
    let said = weigh::unchecked(&shop, weighing, on_the_day);
    assert_eq!(
        said.as_deref(),
        Some("scale S-2 was not checked with its check weight on the day of this weighing")
    );
    weighing.before = Some(BeforeWeighing { zero: String::new(), check: "5.00 lb".to_owned() });
    assert_eq!(weigh::unchecked(&shop, weighing, on_the_day), None, "read with the weighing");
    weighing.before = None;
    shop.instruments.get_mut("S-2").expect("a scale").check_weight.clear();
    assert_eq!(weigh::unchecked(&shop, weighing, on_the_day), None, "it has no check weight");
}

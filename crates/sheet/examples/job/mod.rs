//! An invented job, as finished texts and numbers: nothing here is a real surface, shop or person.

use std::f64::consts::FRAC_PI_6;

use hingeline_sheet::Tone;
use hingeline_sheet::drawing::{
    BandDrawing, BandPoint, BenchDrawing, Heavy, Mark, Method, Part, PointKind, ScaleBar, SecondAttitude,
    Station,
};
use hingeline_sheet::paper::{
    Approved, BudgetRow, Change, ChangeRow, ConfigurationItem, Correction, CorrectionRow, Day, Footer,
    Formula, Instrument, Limit, Line, Paper, Reading, Signature, TitleBlock, Verdict, Weighing,
};

/// Metres in an inch.
pub(crate) const INCH: f64 = 0.0254;

/// Kilogram metres in an inch-pound (of mass).
pub(crate) const IN_LB: f64 = 0.0254 * 0.45359237;

/// Every method with its name.
pub(crate) const METHODS: [(Method, &str); 6] = [
    (Method::TrailingEdgeScale, "trailing-edge scale"),
    (Method::HungWeight, "hung weight"),
    (Method::BalanceBeam, "balance beam"),
    (Method::SupportScale, "support scale"),
    (Method::PartsList, "parts list"),
    (Method::TwoAttitudes, "two attitudes"),
];

fn texts(items: &[&str]) -> Vec<String> {
    items.iter().map(|item| (*item).to_owned()).collect()
}

/// As found only: outside the limits, with a correction to make.
pub(crate) fn as_found() -> Paper {
    Paper {
        title: title(),
        verdict: Verdict {
            tone: Tone::Bad,
            of: "as found, weighed on 2026-10-02".into(),
            sentence: "Outside the approved limits: tail-heavy by 21.6 in-lb".into(),
            doubt: "Clearly outside: the whole of 21.59 ± 0.26 in-lb tail-heavy lies outside the limits."
                .into(),
            not_valid: vec![],
            warnings: vec![],
        },
        approved: approved(1),
        bench: Some(bench(Method::TrailingEdgeScale, Heavy::TailHeavy)),
        band: Some(BandDrawing { points: vec![found_point()], ..band() }),
        weighings: vec![found()],
        correction: Some(correction()),
        instruments: instruments(),
        cautions: cautions(),
        signatures: signatures(),
        fine_print: fine_print(),
        footer: footer(),
        change: None,
        look: vec![],
        done: vec![],
        fitted: vec![],
        remarks: vec![],
        log: String::new(),
    }
}

/// As found and as left: within the limits after the correction.
pub(crate) fn as_left() -> Paper {
    Paper {
        verdict: Verdict {
            tone: Tone::Good,
            of: "as left, weighed on 2026-10-04".into(),
            sentence: "Within the approved limits: nose-heavy by 1.9 in-lb".into(),
            doubt: "Clearly within: the whole of 1.93 ± 0.26 in-lb nose-heavy lies within the limits.".into(),
            not_valid: vec![],
            warnings: vec![],
        },
        approved: approved(2),
        bench: Some(BenchDrawing {
            reading_label: "−0.052 lb".into(),
            heavy_label: "1.9 in-lb".into(),
            ..bench(Method::TrailingEdgeScale, Heavy::NoseHeavy)
        }),
        band: Some(BandDrawing { points: vec![found_point(), left_point()], ..band() }),
        weighings: vec![found(), left()],
        change: Some(change()),
        correction: Some(no_correction()),
        signatures: vec![
            Signature {
                name: "R. Hollis".into(),
                certificate: "HX-20417".into(),
                certificate_kind: "airframe mechanic".into(),
                date: "2026-10-04".into(),
                signed: "signed in the record, entry 14".into(),
                ..signatures()[0].clone()
            },
            signatures()[1].clone(),
        ],
        ..as_found()
    }
}

/// As found by any method, with the drawing that belongs to it.
pub(crate) fn by_method(method: Method, name: &str) -> Paper {
    let mut paper = as_found();
    paper.bench = Some(bench(method, Heavy::TailHeavy));
    paper.weighings[0].method = name.into();
    paper
}

/// A bad day: overdue scale, missing configuration, long names, doubtful verdict, many stations.
pub(crate) fn awkward() -> Paper {
    let long =
        "inboard horn balance weight of the replacement spar, front face, outer end, below the fairing";
    let mut paper = as_left();
    paper.title.surface =
        "left outboard elevator half with trim tab, horn and servo bracket, fabric covered".into();
    paper.title.part = "SK12-55-210-0001-REV4A-ALTERNATIVE-INSTALLATION-WITHOUT-A-BREAK-0123456789".into();
    paper.title.shop_detail =
        "Hangar 7, North Field, a long address that goes on, approval ALD-0001 (invented)".into();
    paper.verdict = Verdict {
        tone: Tone::Doubt,
        of: "as left, weighed on 2026-10-04".into(),
        sentence: "Within the approved limits: nose-heavy by 0.1 in-lb".into(),
        doubt: "Doubtful: 0.09 ± 0.26 in-lb nose-heavy reaches over the limit of 0 in-lb; probability within 76 %.".into(),
        not_valid: texts(&["scale S-2 is past its due date of 2026-09-01", "final paint is not confirmed"]),
        warnings: texts(&[
            "the friction moment is larger than the distance to the limit: free the bearings and weigh again",
        ]),
    };
    paper.weighings[1].not_valid = paper.verdict.not_valid.clone();
    paper.weighings[1].tone = Tone::Doubt;
    paper.weighings[1].verdict = "within, doubtful, not valid for release".into();
    paper.approved.configuration[0].confirmed = vec![true, false];
    paper.instruments[0].state = "past its due date".into();
    paper.instruments[0].tone = Tone::Bad;
    let row = correction().rows[0].clone();
    paper.correction = Some(Correction {
        rows: vec![CorrectionRow { station: long.into(), ..row.clone() }; 5],
        ..correction()
    });
    if let Some(bench) = &mut paper.bench {
        bench.stations = vec![
            station(long, -6.5, "6.5 in forward", "add 3.63 lb"),
            station("tip slug", -0.4, "0.4 in forward", ""),
            station(long, 3.0, "3 in aft", "remove 0.1 lb"),
            station("plate", 15.0, "15 in aft", ""),
        ];
    }
    paper.weighings.push(paper.weighings[1].clone());
    paper
}

fn title() -> TitleBlock {
    TitleBlock {
        document: "Static balance sheet".into(),
        shop: "Alderbrook Structures".into(),
        shop_detail: "Hangar 7, North Field".into(),
        job: "HP-0231".into(),
        surface: "right elevator half".into(),
        part: "SK12-55-210".into(),
        serial: "0087".into(),
        aircraft: "SK12, airframe 114".into(),
        date: "2026-10-04".into(),
        day: Some(Day { year: 2026, month: 10, day: 4 }),
        document_id: "HP-0231-B2".into(),
    }
}

fn approved(weighings: usize) -> Approved {
    let limit = |name: &str, moment: &str, reading: &str, sign: &str| Limit {
        name: name.into(),
        moment: moment.into(),
        reading: reading.into(),
        manual_sign: sign.into(),
    };
    let item = |text: &str| ConfigurationItem { text: text.into(), confirmed: vec![true; weighings] };
    Approved {
        source: "SK12 repair manual, 55-20, revision 4".into(),
        limits: vec![
            limit("from", "4.0 in-lb nose-heavy", "", "+4.0 in-lb"),
            limit("to", "0 in-lb", "", "0 in-lb"),
            limit("aim", "2.0 in-lb nose-heavy", "", "+2.0 in-lb"),
        ],
        sign_rule: "This manual counts nose-heavy as plus.".into(),
        configuration: vec![
            item("final paint"),
            item("tab fitted and locked at neutral"),
            item("hinge bearings clean and dry"),
        ],
    }
}

fn station(name: &str, arm_in: f64, arm_label: &str, note: &str) -> Station {
    Station { name: name.into(), arm_m: arm_in * INCH, arm_label: arm_label.into(), note: note.into() }
}

/// The bench by any method.
pub(crate) fn bench(method: Method, heavy: Heavy) -> BenchDrawing {
    let scale = BenchDrawing {
        method,
        arm_m: 17.25 * INCH,
        arm_label: "17 1/4 in".into(),
        reading_label: "1.312 lb".into(),
        device_label: "scale S-2".into(),
        stations: vec![station("horn weight, front face", -6.5, "6.5 in forward", "")],
        heavy,
        heavy_label: "21.6 in-lb".into(),
        scale_bar: ScaleBar { length_m: 5.0 * INCH, label: "5 in".into() },
        nose_m: None,
        trailing_edge_m: None,
        second: None,
        parts: vec![],
    };
    match method {
        Method::TrailingEdgeScale => scale,
        Method::HungWeight => BenchDrawing {
            arm_m: -9.0 * INCH,
            arm_label: "9 in forward".into(),
            reading_label: "2.40 lb".into(),
            device_label: "mass M-4".into(),
            ..scale
        },
        Method::BalanceBeam => BenchDrawing {
            arm_m: -11.2 * INCH,
            arm_label: "11.2 in forward".into(),
            reading_label: "1.93 lb".into(),
            device_label: "sliding mass of beam B-1".into(),
            ..scale
        },
        Method::SupportScale => BenchDrawing {
            arm_m: 12.0 * INCH,
            arm_label: "12 in".into(),
            trailing_edge_m: Some(18.5 * INCH),
            reading_label: "2.11 lb".into(),
            ..scale
        },
        Method::PartsList => BenchDrawing { parts: parts(), ..scale },
        Method::TwoAttitudes => BenchDrawing {
            second: Some(SecondAttitude {
                angle_rad: FRAC_PI_6,
                label: "30° trailing edge down, reading 1.12 lb".into(),
            }),
            ..scale
        },
    }
}

fn parts() -> Vec<Part> {
    let part = |arm_in: f64, label: &str| Part { arm_m: arm_in * INCH, label: label.into() };
    vec![
        part(-6.5, "horn weight, 3.20 lb at 6 1/2 in forward"),
        part(2.0, "spar doubler, 0.31 lb at 2 in aft"),
        part(9.5, "new rib 4, 0.42 lb at 9 1/2 in aft"),
        part(9.6, "old rib 4 taken out, 0.40 lb at 9 5/8 in aft"),
        part(16.0, "trailing-edge strip, 0.21 lb at 16 in aft"),
    ]
}

/// The band without points.
pub(crate) fn band() -> BandDrawing {
    let mark = |in_lb: f64, label: &str| Some(Mark { value_kg_m: in_lb * IN_LB, label: label.into() });
    BandDrawing {
        from: mark(-4.0, "4.0 in-lb nose-heavy"),
        to: mark(0.0, "0 in-lb"),
        aim: mark(-2.0, "2.0 in-lb nose-heavy"),
        zero_label: "0 in-lb".into(),
        points: vec![],
    }
}

fn found_point() -> BandPoint {
    BandPoint {
        kind: PointKind::AsFound,
        value_kg_m: 21.59 * IN_LB,
        expanded_uncertainty_kg_m: Some(0.26 * IN_LB),
        label: "as found: 21.59 ± 0.26 in-lb tail-heavy".into(),
        tone: Tone::Bad,
    }
}

fn left_point() -> BandPoint {
    BandPoint {
        kind: PointKind::AsLeft,
        value_kg_m: -1.93 * IN_LB,
        expanded_uncertainty_kg_m: Some(0.26 * IN_LB),
        label: "as left: 1.93 ± 0.26 in-lb nose-heavy".into(),
        tone: Tone::Good,
    }
}

fn reading(name: &str, typed: &[&str], instrument: &str, remark: &str) -> Reading {
    Reading { name: name.into(), typed: texts(typed), instrument: instrument.into(), remark: remark.into() }
}

fn formula(name: &str, symbols: &str, numbers: &str, result: &str) -> Formula {
    Formula { name: name.into(), symbols: symbols.into(), numbers: numbers.into(), result: result.into() }
}

fn line(name: &str, value: &str) -> Line {
    Line { name: name.into(), value: value.into() }
}

fn found() -> Weighing {
    Weighing {
        stage: "as found".into(),
        method: "trailing-edge scale".into(),
        date: "2026-10-02".into(),
        readings: vec![
            reading("raising", &["1.34 lb", "1.35 lb", "1.33 lb"], "S-2", "mean 1.3400 lb"),
            reading("lowering", &["1.28 lb", "1.29 lb", "1.28 lb"], "S-2", "mean 1.2833 lb"),
            reading("tare", &["0.06 lb"], "S-2", ""),
            reading("arm", &["17 1/4 in"], "R-1", ""),
        ],
        arithmetic: vec![
            formula(
                "reading",
                "r = (mean raising + mean lowering) / 2",
                "(1.3400 lb + 1.2833 lb) / 2",
                "1.3117 lb",
            ),
            formula(
                "static moment",
                "S = (r − t) × D",
                "(1.3117 lb − 0.06 lb) × 17 1/4 in",
                "21.59 in-lb tail-heavy",
            ),
            formula(
                "friction moment",
                "F = D × (mean raising − mean lowering) / 2",
                "17 1/4 in × (1.3400 lb − 1.2833 lb) / 2",
                "0.49 in-lb",
            ),
            formula("expanded uncertainty", "U = k u", "2.03 × 0.126 in-lb", "0.26 in-lb"),
        ],
        result: "21.59 ± 0.26 in-lb tail-heavy".into(),
        verdict: "outside the limits, clear".into(),
        tone: Tone::Bad,
        budget: budget(),
        summary: summary("less than 0.01 %"),
        not_valid: vec![],
        notes: texts(&[
            "The levelling error is left out: mass of the surface and height of its centre of gravity are not given.",
        ]),
    }
}

fn left() -> Weighing {
    Weighing {
        stage: "as left".into(),
        date: "2026-10-04".into(),
        readings: vec![
            reading("raising", &["−0.03 lb", "−0.02 lb", "−0.03 lb"], "S-2", "mean −0.0267 lb"),
            reading("lowering", &["−0.08 lb", "−0.07 lb", "−0.08 lb"], "S-2", "mean −0.0767 lb"),
            reading("tare", &["0.06 lb"], "S-2", ""),
            reading("arm", &["17 1/4 in"], "R-1", ""),
        ],
        arithmetic: vec![
            formula(
                "reading",
                "r = (mean raising + mean lowering) / 2",
                "(−0.0267 lb − 0.0767 lb) / 2",
                "−0.0517 lb",
            ),
            formula(
                "static moment",
                "S = (r − t) × D",
                "(−0.0517 lb − 0.06 lb) × 17 1/4 in",
                "1.93 in-lb nose-heavy",
            ),
            formula(
                "friction moment",
                "F = D × (mean raising − mean lowering) / 2",
                "17 1/4 in × (−0.0267 lb + 0.0767 lb) / 2",
                "0.43 in-lb",
            ),
            formula("expanded uncertainty", "U = k u", "2.02 × 0.121 in-lb", "0.24 in-lb"),
        ],
        result: "1.93 ± 0.24 in-lb nose-heavy".into(),
        verdict: "within the limits, clear".into(),
        tone: Tone::Good,
        summary: summary("more than 99.99 %"),
        ..found()
    }
}

fn budget() -> Vec<BudgetRow> {
    let row = |source: &str, evaluation: &str, u: &str, share: f64, label: &str| BudgetRow {
        source: source.into(),
        evaluation: evaluation.into(),
        standard_uncertainty: u.into(),
        share,
        share_label: label.into(),
    };
    vec![
        row("repeated readings", "A", "0.058 in-lb", 0.209, "21 %"),
        row("resolution of scale S-2, reading", "B", "0.050 in-lb", 0.157, "16 %"),
        row("resolution of scale S-2, tare", "B", "0.050 in-lb", 0.157, "16 %"),
        row("calibration of scale S-2", "B", "0.086 in-lb", 0.470, "47 %"),
        row("resolution of rule R-1, arm", "B", "0.011 in-lb", 0.008, "1 %"),
    ]
}

fn summary(probability: &str) -> Vec<Line> {
    vec![
        line("standard uncertainty u", "0.126 in-lb"),
        line("effective degrees of freedom", "73"),
        line("coverage factor k", "2.03"),
        line("probability within the limits", probability),
    ]
}

fn change() -> Change {
    let row = |name: &str, found: &str, left: &str, change: &str| ChangeRow {
        name: name.into(),
        as_found: found.into(),
        as_left: left.into(),
        change: change.into(),
    };
    Change {
        sentence: "The correction moved the static moment by 23.52 in-lb towards nose-heavy.".into(),
        rows: vec![
            row(
                "static moment",
                "21.59 in-lb tail-heavy",
                "1.93 in-lb nose-heavy",
                "23.52 in-lb towards nose-heavy",
            ),
            row("friction moment", "0.49 in-lb", "0.43 in-lb", "0.06 in-lb less"),
        ],
    }
}

fn correction() -> Correction {
    Correction {
        sentence: "To reach the aim of 2.0 in-lb nose-heavy, at one of these stations:".into(),
        rows: vec![
            CorrectionRow {
                station: "horn weight, front face".into(),
                arm: "6.5 in forward".into(),
                action: "add".into(),
                exact: "3.629 lb".into(),
                rounded: "3.63 lb".into(),
                arithmetic: "(21.59 + 2.0) in-lb / 6.5 in = 3.629 lb, standard uncertainty 0.019 lb".into(),
                predicted_moment: "2.0 in-lb nose-heavy".into(),
                predicted_reading: "−0.056 lb".into(),
                tone: Tone::Doubt,
                notes: texts(&["more than this station can take (0.8 lb)"]),
            },
            CorrectionRow {
                station: "trailing-edge trim plate".into(),
                arm: "15 in aft".into(),
                action: "remove".into(),
                exact: "1.573 lb".into(),
                rounded: "1.57 lb".into(),
                arithmetic: "(21.59 + 2.0) in-lb / 15 in = 1.573 lb, standard uncertainty 0.008 lb".into(),
                predicted_moment: "2.0 in-lb nose-heavy".into(),
                predicted_reading: "−0.053 lb".into(),
                tone: Tone::Doubt,
                notes: texts(&["more than may be removed here (0.1 lb)"]),
            },
        ],
    }
}

fn no_correction() -> Correction {
    Correction {
        sentence: "None is called for: the last weighing lies within the approved limits.".into(),
        rows: vec![],
    }
}

fn instruments() -> Vec<Instrument> {
    vec![
        Instrument {
            id: "S-2".into(),
            kind: "scale".into(),
            resolution: "0.01 lb".into(),
            calibration: "± 0.01 lb (k = 2)".into(),
            due: "2027-03-01".into(),
            state: "in date".into(),
            tone: Tone::Good,
        },
        Instrument {
            id: "R-1".into(),
            kind: "rule".into(),
            resolution: "1/32 in".into(),
            calibration: "not stated".into(),
            due: "none stated".into(),
            state: "no due date given".into(),
            tone: Tone::Doubt,
        },
    ]
}

fn cautions() -> Vec<String> {
    texts(&[
        "Flutter can destroy an aeroplane. The approved data and a licensed person decide; this sheet calculates and records.",
        "Lead dust and fume are poisonous: ventilation, gloves, no food or drink, wash before leaving. Local rules and the employer's programme come first.",
        "A damp mould, tool or ingot can throw molten metal: face shield, dry everything, never pour alone.",
    ])
}

fn signatures() -> Vec<Signature> {
    vec![
        Signature {
            role: "Performed by".into(),
            statement: "The readings above were taken by me, in the configuration confirmed above.".into(),
            ..Signature::default()
        },
        Signature {
            role: "Independent inspection".into(),
            statement: "The readings, the arm and the result were checked by me independently.".into(),
            ..Signature::default()
        },
    ]
}

fn fine_print() -> Vec<String> {
    texts(&[
        "The program computes and records. The approved data and a licensed person decide. Moments are mass moments about the hinge line with the chord level; tail-heavy: the trailing edge drops.",
        "Uncertainty by the law of propagation; coverage 95.45 % by the t-distribution with effective degrees of freedom. The verdict reads the approved data from the measured moment alone.",
    ])
}

fn footer() -> Footer {
    Footer {
        program: "Hingeline 0.1.0".into(),
        checks: "Published checks on this machine: 61 of 61 agree".into(),
        fingerprint: "5f2c1a9e7b04d38862c1f0a7e4935bd81c6670de2a95b4f3087ce1d94a62b5f0".into(),
    }
}

use super::*;

const SQUARE_INCH: f64 = INCH_M * INCH_M;

fn limits(name: &str, fit: Fit) -> Limits {
    Thread::named(name).expect(name).limits(fit).expect(name)
}

/// Ds min, Es min, En max, Kn max in a unit.
fn four(limits: &Limits, unit_m: f64) -> [f64; 4] {
    [
        limits.external_major_min_m,
        limits.external_pitch_min_m,
        limits.internal_pitch_max_m,
        limits.internal_minor_max_m,
    ]
    .map(|length| length / unit_m)
}

fn meets(computed: [f64; 4], printed: [f64; 4], half_a_unit: f64, what: &str) {
    for (computed, printed) in computed.into_iter().zip(printed) {
        assert!((computed - printed).abs() <= half_a_unit, "{what}: {computed} for {printed}");
    }
}

/// Machinery's Handbook, from memory; 1/4-20 also read in a public calculator of ASME B1.1.
#[test]
fn limits_of_quarter_inch_threads_are_the_printed_ones() {
    for (name, fit, printed) in [
        ("1/4-28", Fit::Class2, [0.2425, 0.2225, 0.2311, 0.220]),
        ("1/4-28", Fit::Class3, [0.2435, 0.2243, 0.2300, 0.2190]),
        ("1/4-20", Fit::Class2, [0.2408, 0.2127, 0.2224, 0.207]),
    ] {
        meets(four(&limits(name, fit), INCH_M), printed, 1e-9, name);
    }
}

/// A public table of UNC internal threads, class 2B (read): pitch max, minor max.
#[test]
fn limits_of_coarse_internal_threads_are_the_printed_ones() {
    for (name, pitch, minor) in [
        ("8-32", 0.1475, 0.139),
        ("10-24", 0.1672, 0.156),
        ("1/4-20", 0.2224, 0.207),
        ("5/16-18", 0.2817, 0.265),
        ("3/8-16", 0.3401, 0.321),
    ] {
        let [_, _, computed_pitch, computed_minor] = four(&limits(name, Fit::Class2), INCH_M);
        assert!((computed_pitch - pitch).abs() < 1e-9, "{name}: {computed_pitch}");
        assert!((computed_minor - minor).abs() < 1e-9, "{name}: {computed_minor}");
    }
}

/// efunda.com, Unified Screw Threads, Standard Series (read). Sizes too small for the table: they check the formulas.
#[test]
fn limits_of_small_threads_in_both_classes_are_the_printed_ones() {
    for (diameter, per_inch, fit, printed) in [
        (0.060, 80.0, Fit::Class2, [0.0563, 0.0496, 0.0542, 0.0514]),
        (0.060, 80.0, Fit::Class3, [0.0568, 0.0506, 0.0536, 0.0514]),
        (0.073, 64.0, Fit::Class2, [0.0686, 0.0603, 0.0655, 0.0623]),
        (0.073, 64.0, Fit::Class3, [0.0692, 0.0614, 0.0648, 0.0623]),
        (0.073, 72.0, Fit::Class2, [0.0689, 0.0615, 0.0665, 0.0635]),
        (0.073, 72.0, Fit::Class3, [0.0695, 0.0626, 0.0659, 0.0635]),
        (0.086, 56.0, Fit::Class2, [0.0813, 0.0717, 0.0772, 0.0737]),
        (0.086, 56.0, Fit::Class3, [0.0819, 0.0728, 0.0765, 0.0737]),
        (0.086, 64.0, Fit::Class2, [0.0816, 0.0733, 0.0786, 0.0753]),
        (0.086, 64.0, Fit::Class3, [0.0822, 0.0744, 0.0779, 0.0753]),
    ] {
        let thread = unified("small", diameter, per_inch);
        let computed = four(&thread.limits(fit).expect("unified"), INCH_M);
        meets(computed, printed, 1e-9, &format!("{diameter}-{per_inch} {fit:?}"));
    }
}

/// External: public tables of 6g (read). Internal: 6H, pitch tolerance of M4 and M5 read in a tap maker's catalogue
/// (118, 125 µm), the others from memory of ISO 965-2.
#[test]
fn limits_of_metric_threads_are_the_printed_ones() {
    for (name, printed) in [
        ("M4", [3.838, 3.433, 3.663, 3.422]),
        ("M5", [4.826, 4.361, 4.605, 4.334]),
        ("M6", [5.794, 5.212, 5.500, 5.153]),
        ("M8", [7.760, 7.042, 7.348, 6.912]),
    ] {
        meets(four(&limits(name, Fit::Medium), MM_M), printed, 1e-9, name);
    }
}

/// boltport.com (read): tensile stress areas, in². 5/16-24 is printed cut off, not rounded: the formula gives 0.05807.
#[test]
fn tensile_stress_areas_are_the_printed_ones() {
    for (name, printed, within) in [
        ("10-32", 0.0200, 0.000_05),
        ("1/4-28", 0.0364, 0.000_05),
        ("5/16-24", 0.0580, 0.000_1),
        ("3/8-24", 0.0878, 0.000_05),
    ] {
        let area = Thread::named(name).expect(name).tensile_area_m2() / SQUARE_INCH;
        assert!((area - printed).abs() <= within, "{name}: {area}");
    }
}

/// ISO 898-1, from memory: M4 8.78, M5 14.2, M6 20.1, M8 36.6 mm².
#[test]
fn metric_stress_areas_are_the_printed_ones() {
    for (name, printed, half_a_unit) in
        [("M4", 8.78, 0.005), ("M5", 14.2, 0.05), ("M6", 20.1, 0.05), ("M8", 36.6, 0.05)]
    {
        let area = Thread::named(name).expect(name).tensile_area_m2() * 1e6;
        assert!((area - printed).abs() <= half_a_unit, "{name}: {area}");
    }
}

/// Worked apart by the formulas of FED-STD-H28/2B from the printed limits.
#[test]
fn shear_areas_and_equal_strength_lengths_are_the_worked_ones() {
    for (name, fit, at, ass, asn, length) in [
        ("1/4-28", Fit::Class2, 0.03637, 0.09338, 0.13033, 0.1948),
        ("1/4-28", Fit::Class3, 0.03637, 0.10074, 0.13736, 0.1805),
        ("1/4-20", Fit::Class2, 0.03182, 0.09199, 0.13474, 0.1730),
    ] {
        let limits = limits(name, fit);
        let engagement = 0.25 * INCH_M;
        for (computed, printed, half_a_unit) in [
            (limits.tensile_area_m2 / SQUARE_INCH, at, 5e-6),
            (limits.external_shear_area_m2(engagement) / SQUARE_INCH, ass, 5e-6),
            (limits.internal_shear_area_m2(engagement) / SQUARE_INCH, asn, 5e-6),
            (limits.equal_strength_length_m() / INCH_M, length, 5e-5),
        ] {
            assert!((computed - printed).abs() <= half_a_unit, "{name} {fit:?}: {computed} for {printed}");
        }
    }
}

/// 1/4-28 2A/2B cut in lead of 1825 psi: 0.5 in strips at 476 lb, 1.0 in at 951 lb.
#[test]
fn a_thread_cut_in_lead_strips_at_the_worked_load() {
    let limits = limits("1/4-28", Fit::Class2);
    for (engagement, pounds) in [(0.5, 476.0), (1.0, 951.0)] {
        let load = limits.internal_shear_area_m2(engagement * INCH_M) / SQUARE_INCH * 1825.0;
        assert!((load - pounds).abs() <= 0.5, "{load}");
    }
    let area = limits.internal_shear_area_m2(0.5 * INCH_M) / SQUARE_INCH;
    assert!((area - 0.2607).abs() <= 0.000_05);
}

/// J by hand for 1/4-28 2A/2B, bolt 125 ksi in 45 ksi aluminium: 0.09338 × 125/(0.13033 × 45) = 1.990.
#[test]
fn a_soft_nut_needs_a_longer_engagement() {
    let limits = limits("1/4-28", Fit::Class2);
    assert!((limits.relative_strength(125.0, 45.0) - 1.990).abs() < 0.0005);
    let q = limits.required_engagement_m(125.0, 45.0) / INCH_M;
    assert!((q - 1.990 * 0.1948).abs() < 0.0003, "{q}");
    let hard = limits.required_engagement_m(125.0, 160.0);
    assert!((hard - limits.equal_strength_length_m()).abs() < 1e-15);
}

#[test]
fn threads_are_found_by_the_names_people_write() {
    for (text, name) in [
        ("10-32", "10-32 UNF"),
        ("#10-32 unf", "10-32 UNF"),
        ("1/4 - 28", "1/4-28 UNF"),
        ("m6", "M6"),
        ("M6 x 1", "M6"),
        ("M8×1.25", "M8"),
    ] {
        assert_eq!(Thread::named(text).expect(text).name, name);
    }
    for text in ["", "1/4", "M7", "10-33"] {
        assert!(matches!(Thread::named(text), Err(ThreadError::Unknown { .. })), "{text}");
    }
}

#[test]
fn a_designation_names_size_and_class() {
    for (text, name, fit) in [
        ("10-32 UNF-2B", "10-32 UNF", Fit::Class2),
        ("10-32 unf-3a", "10-32 UNF", Fit::Class3),
        ("#10-32", "10-32 UNF", Fit::Class2),
        ("1/4-28 UNF - 3B", "1/4-28 UNF", Fit::Class3),
        ("M5x0.8", "M5", Fit::Medium),
        ("M5x0,8-6H", "M5", Fit::Medium),
        ("M6-6g", "M6", Fit::Medium),
    ] {
        let (thread, found) = Thread::designated(text).expect(text);
        assert_eq!((thread.name, found), (name, fit), "{text}");
    }
    for text in ["", "-2B", "M5x1-6H", "10-32 UNF-5B"] {
        let error = Thread::designated(text).expect_err(text);
        assert_eq!(error, ThreadError::Unknown { text: text.to_owned() });
    }
    assert_eq!(Thread::designated("M5-2B"), Err(ThreadError::Fit { thread: "M5" }));
    assert_eq!(Thread::designated("10-32-6H"), Err(ThreadError::Fit { thread: "10-32 UNF" }));
}

#[test]
fn a_class_of_the_other_system_is_refused() {
    for (name, fit) in [("M6", Fit::Class2), ("M6", Fit::Class3), ("1/4-28", Fit::Medium)] {
        let thread = Thread::named(name).expect(name);
        assert_eq!(thread.limits(fit), Err(ThreadError::Fit { thread: thread.name }));
    }
}

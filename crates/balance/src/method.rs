//! The six ways to weigh a surface, each as the readings it needs and the model it makes of them.
//!
//! Each method knows its [`Model`] (inputs and expression), and what its scale must read at another moment.
//! The formulas with their reasons are in docs/formulas.md.
//! Source of the measuring methods: common practice of the trade (calculation, scale, balance beam); the
//! budgets follow JCGM 100 4.3 (rectangular for a step or a bound, normal for a certificate with k = 2).

use crate::expression::{Factor, Linear, Product};
use crate::model::{Input, Model, Source, Spread};
use crate::series::Readings;
use hingeline_quantity::{Angle, Length, Mass, Moment, Quantity};

/// What is known of a measuring instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Indicator<Q> {
    /// The smallest step of its display or graduation.
    pub resolution: Q,
    /// The expanded uncertainty (k = 2) of its certificate, where there is one.
    pub calibration: Option<Q>,
}

/// Which side of the hinge line something is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Ahead of the hinge line.
    Forward,
    /// Behind the hinge line.
    Aft,
}

impl Place {
    /// +1 aft, −1 forward: the sign of an arm there.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::Forward => -1.0,
            Self::Aft => 1.0,
        }
    }
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Forward => "forward",
            Self::Aft => "aft",
        }
    }
}

/// A scale that holds the trailing edge up at an arm: S = (r − tare) D.
#[derive(Debug, Clone, PartialEq)]
pub struct ScaleAtArm {
    /// Scale readings, kg.
    pub readings: Readings,
    /// The scale.
    pub scale: Indicator<Mass>,
    /// What the scale reads with its sling or hook alone.
    pub tare: Option<Mass>,
    /// Hinge line to where the scale bears.
    pub arm: Length,
    /// The rule of that arm.
    pub rule: Indicator<Length>,
}

/// A known mass hung at an arm levels the surface: S = −p a (m + hanger), p = −1 forward, +1 aft.
#[derive(Debug, Clone, PartialEq)]
pub struct HungWeight {
    /// The masses that levelled it, kg.
    pub readings: Readings,
    /// The scale that weighed them.
    pub scale: Indicator<Mass>,
    /// A pan or hook that hangs with them.
    pub hanger: Option<Mass>,
    /// Hinge line to where it hangs.
    pub arm: Length,
    /// Where it hangs.
    pub place: Place,
    /// The rule of that arm.
    pub rule: Indicator<Length>,
    /// The smallest mass that visibly moves the surface: try both adding and taking away, and enter the larger.
    pub moves_with: Option<Mass>,
}

/// A mass slid along a beam levels the surface: S = −B − p m a.
#[derive(Debug, Clone, PartialEq)]
pub struct BalanceBeam {
    /// The arms at which the sliding mass levelled it, m.
    pub readings: Readings,
    /// The rule of those arms.
    pub rule: Indicator<Length>,
    /// The sliding mass.
    pub sliding_mass: Mass,
    /// The scale that weighed it.
    pub scale: Indicator<Mass>,
    /// On which side of the hinge line it slides.
    pub place: Place,
    /// B: the moment of beam and fittings without the sliding mass.
    pub beam_moment: Moment,
    /// The expanded uncertainty (k = 2) of that.
    pub beam_uncertainty: Option<Moment>,
}

/// A platform scale under a support: S = q (r − support) a, q = +1 aft, −1 forward.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportScale {
    /// Scale readings, kg.
    pub readings: Readings,
    /// The scale.
    pub scale: Indicator<Mass>,
    /// The support's own mass.
    pub support_mass: Mass,
    /// Hinge line to where the surface bears on the support.
    pub arm: Length,
    /// The rule of that arm.
    pub rule: Indicator<Length>,
    /// Where the support stands.
    pub place: Place,
    /// Half of the width in which the surface may bear.
    pub bearing_within: Option<Length>,
}

/// One line of a parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is.
    pub name: String,
    /// Its mass.
    pub mass: Mass,
    /// Its arm, aft positive.
    pub arm: Length,
    /// +1 added, −1 removed.
    pub change: f64,
    /// Half of the width that its mass is known in, beyond scale and rule.
    pub mass_within: Option<Mass>,
    /// Half of the width that its arm is known in, beyond scale and rule.
    pub arm_within: Option<Length>,
}

/// Calculated, not weighed: S = start + Σ ± m x.
#[derive(Debug, Clone, PartialEq)]
pub struct PartsList {
    /// The moment before.
    pub start: Moment,
    /// The expanded uncertainty (k = 2) of that.
    pub start_uncertainty: Option<Moment>,
    /// What was added and removed.
    pub parts: Vec<Part>,
    /// The scale that weighed the parts.
    pub scale: Option<Indicator<Mass>>,
    /// The rule of their arms.
    pub rule: Option<Indicator<Length>>,
}

/// A trailing-edge scale read level and at a second angle: S = (r − tare) D, and the height of the centre of
/// gravity above the hinge line h = (r − r₂) D / (m tan θ).
#[derive(Debug, Clone, PartialEq)]
pub struct TwoAttitudes {
    /// The weighing in level.
    pub level: ScaleAtArm,
    /// Scale readings at the second angle, kg.
    pub tilted: Readings,
    /// The second angle, positive with the trailing edge up.
    pub angle: Angle,
    /// The tool that measured it.
    pub level_tool: Indicator<Angle>,
    /// The mass of the surface.
    pub surface_mass: Mass,
}

/// Builds a model piece by piece.
pub(crate) struct Builder {
    model: Model,
}

impl Builder {
    fn new() -> Self {
        Self { model: Model::default() }
    }

    /// The mean of some readings: a form with one type A input a set that has more than one reading.
    fn mean(&mut self, prefix: &str, readings: &Readings) -> Linear {
        let mut form = Linear::default();
        for (suffix, series, weight) in readings.sets() {
            let Some((scale, nu)) = series.uncertainty_of_mean() else {
                form.constant += weight * series.mean();
                continue;
            };
            let input = self.model.add(Input {
                name: format!("{prefix}{suffix}"),
                source: Source::Repeatability { count: series.count() },
                estimate: series.mean(),
                spread: Spread::Student { scale, degrees_of_freedom: nu },
                degrees_of_freedom: Some(nu),
            });
            form = form.plus(input, weight);
        }
        form
    }

    /// A step of a display or graduation: rectangular, half a step either way.
    fn step(&mut self, form: Linear, name: &str, source: Source, step: f64, coefficient: f64) -> Linear {
        self.uncertain(form, name, source, Spread::Rectangular { half_width: step / 2.0 }, coefficient)
    }

    /// A certificate's expanded uncertainty: normal with half of it.
    fn certificate<Q: Quantity>(
        &mut self,
        form: Linear,
        (name, source): (&str, Source),
        expanded: Option<Q>,
        coefficient: f64,
    ) -> Linear {
        match expanded {
            Some(expanded) => {
                self.uncertain(form, name, source, Spread::Normal { sigma: expanded.si() / 2.0 }, coefficient)
            }
            None => form,
        }
    }

    fn uncertain(
        &mut self,
        form: Linear,
        name: &str,
        source: Source,
        spread: Spread,
        coefficient: f64,
    ) -> Linear {
        let input = self.model.add(Input::type_b(name, source, spread));
        form.plus(input, coefficient)
    }

    /// An arm with its rule.
    fn arm(&mut self, arm: f64, rule: &Indicator<Length>) -> Linear {
        self.ruled(Linear::constant(arm), rule, 1.0)
    }

    fn ruled(&mut self, form: Linear, rule: &Indicator<Length>, coefficient: f64) -> Linear {
        let form =
            self.step(form, "rule graduation", Source::RuleGraduation, rule.resolution.si(), coefficient);
        self.certificate(form, ("rule certificate", Source::RuleCalibration), rule.calibration, coefficient)
    }

    /// A mass with the scale that weighed it.
    fn weighed(&mut self, form: Linear, display: &str, scale: &Indicator<Mass>, coefficient: f64) -> Linear {
        let form = self.step(form, display, Source::ScaleDisplay, scale.resolution.si(), coefficient);
        self.certificate(
            form,
            ("scale certificate", Source::ScaleCalibration),
            scale.calibration,
            coefficient,
        )
    }

    fn add(&mut self, product: Product) {
        self.model.expression.products.push(product);
    }
}

const READING_DISPLAY: &str = "scale display, reading";

impl ScaleAtArm {
    fn load(&self, builder: &mut Builder) -> Linear {
        let form = builder.mean("scatter of readings", &self.readings);
        let form = builder.weighed(form, READING_DISPLAY, &self.scale, 1.0);
        subtract_weighed(builder, form, "scale display, tare", self.tare, &self.scale)
    }

    pub(crate) fn model(&self) -> Model {
        let mut builder = Builder::new();
        let load = self.load(&mut builder);
        let arm = builder.arm(self.arm.si(), &self.rule);
        builder.add(Product::of(1.0, vec![load, arm]));
        builder.model
    }
}

/// Takes a tare that the same display showed off a load.
fn subtract_weighed(
    builder: &mut Builder,
    form: Linear,
    name: &str,
    tare: Option<Mass>,
    scale: &Indicator<Mass>,
) -> Linear {
    match tare {
        Some(tare) => {
            let form = form.shifted(-tare.si());
            builder.step(form, name, Source::ScaleDisplay, scale.resolution.si(), -1.0)
        }
        None => form,
    }
}

impl HungWeight {
    pub(crate) fn model(&self) -> Model {
        let mut builder = Builder::new();
        let form = builder.mean("scatter of hung masses", &self.readings);
        let mut form = match self.hanger {
            Some(hanger) => self.with_hanger(&mut builder, form.shifted(hanger.si())),
            None => builder.weighed(form, "scale display, hung mass", &self.scale, 1.0),
        };
        if let Some(moves_with) = self.moves_with {
            let spread = Spread::Rectangular { half_width: moves_with.si() };
            form = builder.uncertain(form, "smallest mass that moves it", Source::StatedMass, spread, 1.0);
        }
        let arm = builder.arm(self.arm.si(), &self.rule);
        builder.add(Product::of(-self.place.sign(), vec![form, arm]));
        builder.model
    }

    /// Mass and hanger are weighed apart and added: the display enters once for each, and the certified error
    /// of the scale, which may be the same at both loads, enters twice.
    fn with_hanger(&self, builder: &mut Builder, form: Linear) -> Linear {
        let step = self.scale.resolution.si();
        let form = builder.step(form, "scale display, hung mass", Source::ScaleDisplay, step, 1.0);
        let form = builder.step(form, "scale display, hanger", Source::ScaleDisplay, step, 1.0);
        builder.certificate(
            form,
            ("scale certificate, twice", Source::ScaleCalibration),
            self.scale.calibration,
            2.0,
        )
    }
}

impl BalanceBeam {
    pub(crate) fn model(&self) -> Model {
        let mut builder = Builder::new();
        let arm = builder.mean("scatter of slide positions", &self.readings);
        let arm = builder.ruled(arm, &self.rule, 1.0);
        let mass = builder.weighed(
            Linear::constant(self.sliding_mass.si()),
            "scale display, sliding mass",
            &self.scale,
            1.0,
        );
        builder.add(Product::of(-self.place.sign(), vec![mass, arm]));
        let beam = builder.certificate(
            Linear::constant(self.beam_moment.si()),
            ("beam's own moment", Source::StatedMoment),
            self.beam_uncertainty,
            1.0,
        );
        builder.add(Product::of(-1.0, vec![beam]));
        builder.model
    }
}

impl SupportScale {
    pub(crate) fn model(&self) -> Model {
        let mut builder = Builder::new();
        let form = builder.mean("scatter of readings", &self.readings);
        let form = builder.weighed(form, READING_DISPLAY, &self.scale, 1.0);
        let load = subtract_weighed(
            &mut builder,
            form,
            "scale display, support",
            Some(self.support_mass),
            &self.scale,
        );
        let mut arm = builder.arm(self.arm.si(), &self.rule);
        if let Some(within) = self.bearing_within {
            let spread = Spread::Rectangular { half_width: within.si() };
            arm = builder.uncertain(arm, "where it bears on the support", Source::StatedArm, spread, 1.0);
        }
        builder.add(Product::of(self.place.sign(), vec![load, arm]));
        builder.model
    }
}

impl PartsList {
    /// One input a part for each step, and one for each certificate, common to all parts: nobody knows whether
    /// the certified error has the same sign at each load, so the parts are added by their size.
    pub(crate) fn model(&self) -> Model {
        let mut builder = Builder::new();
        let start = builder.certificate(
            Linear::constant(self.start.si()),
            ("starting moment", Source::StatedMoment),
            self.start_uncertainty,
            1.0,
        );
        builder.add(Product::of(1.0, vec![start]));
        for part in &self.parts {
            let product = self.part(&mut builder, part);
            builder.add(product);
        }
        let (masses, arms) = self.sums();
        let scale = self.scale.and_then(|scale| scale.calibration);
        let rule = self.rule.and_then(|rule| rule.calibration);
        for (name, source, expanded, lever) in [
            ("scale certificate", Source::ScaleCalibration, scale.map(Quantity::si), arms),
            ("rule certificate", Source::RuleCalibration, rule.map(Quantity::si), masses),
        ] {
            let Some(expanded) = expanded else { continue };
            let spread = Spread::Normal { sigma: expanded / 2.0 };
            let form = builder.uncertain(Linear::default(), name, source, spread, 1.0);
            builder.add(Product::of(lever, vec![form]));
        }
        builder.model
    }

    /// Σ|m| and Σ|x| over the parts.
    fn sums(&self) -> (f64, f64) {
        self.parts.iter().fold((0.0, 0.0), |(masses, arms), part| {
            (masses + part.mass.si().abs(), arms + part.arm.si().abs())
        })
    }

    fn part(&self, builder: &mut Builder, part: &Part) -> Product {
        let mut mass = Linear::constant(part.mass.si());
        let mut arm = Linear::constant(part.arm.si());
        let name = |what: &str| format!("{}, {what}", part.name);
        if let Some(scale) = self.scale {
            let step = scale.resolution.si();
            mass = builder.step(mass, &name("scale display"), Source::ScaleDisplay, step, 1.0);
        }
        if let Some(within) = part.mass_within {
            let spread = Spread::Rectangular { half_width: within.si() };
            mass = builder.uncertain(mass, &name("stated mass"), Source::StatedMass, spread, 1.0);
        }
        if let Some(rule) = self.rule {
            let step = rule.resolution.si();
            arm = builder.step(arm, &name("rule graduation"), Source::RuleGraduation, step, 1.0);
        }
        if let Some(within) = part.arm_within {
            let spread = Spread::Rectangular { half_width: within.si() };
            arm = builder.uncertain(arm, &name("stated arm"), Source::StatedArm, spread, 1.0);
        }
        Product::of(part.change, vec![mass, arm])
    }
}

impl TwoAttitudes {
    pub(crate) fn model(&self) -> Model {
        self.level.model()
    }

    /// The model of the height h of the centre of gravity above the hinge line.
    ///
    /// h = (r − r₂) D / (m (tan θ − tan ε)), ε the unseen tilt of the chord in level: zero, and within
    /// `level_within` where that is stated. The display and the certificate enter once for each attitude, as if
    /// they were independent; the tare is the same in both and falls out. The mass of the surface is taken from
    /// the same scale.
    pub(crate) fn height_model(&self, level_within: Option<Angle>) -> Model {
        let mut builder = Builder::new();
        let level = builder.mean("scatter of readings, level", &self.level.readings);
        let level = builder.weighed(level, "scale display, level", &self.level.scale, 1.0);
        let tilted = builder.mean("scatter of readings, tilted", &self.tilted);
        let tilted = builder.weighed(tilted, "scale display, tilted", &self.level.scale, 1.0);
        let difference = minus(level, &tilted);
        let arm = builder.arm(self.level.arm.si(), &self.level.rule);
        let mass = builder.weighed(
            Linear::constant(self.surface_mass.si()),
            "scale display, surface mass",
            &self.level.scale,
            1.0,
        );
        let mut tangent = self.tangent(&mut builder);
        if let Some(within) = level_within {
            let half_width = within.si().tan();
            let spread = Spread::Rectangular { half_width };
            tangent = builder.uncertain(tangent, "levelling", Source::Levelling, spread, -1.0);
        }
        builder.add(Product {
            coefficient: 1.0,
            factors: vec![
                Factor::Times(difference),
                Factor::Times(arm),
                Factor::Over(mass),
                Factor::Over(tangent),
            ],
        });
        builder.model
    }

    /// tan θ, straight about the measured angle: its slope is 1 + tan² θ.
    fn tangent(&self, builder: &mut Builder) -> Linear {
        let tangent = self.angle.si().tan();
        let slope = 1.0 + tangent * tangent;
        let form = Linear::constant(tangent);
        let step = self.level_tool.resolution.si();
        let form = builder.step(form, "level, graduation", Source::LevelTool, step, slope);
        builder.certificate(
            form,
            ("level, certificate", Source::LevelTool),
            self.level_tool.calibration,
            slope,
        )
    }
}

fn minus(form: Linear, other: &Linear) -> Linear {
    let form = form.shifted(-other.constant);
    other.terms.iter().fold(form, |form, &(input, coefficient)| form.plus(input, -coefficient))
}

/// Adds a term of its own, in moment units, to a model.
pub(crate) fn add_levelling(model: &mut Model, half_width: Moment) {
    let spread = Spread::Rectangular { half_width: half_width.si() };
    let input = model.add(Input::type_b("levelling", Source::Levelling, spread));
    let form = Linear::default().plus(input, 1.0);
    model.expression.products.push(Product::of(1.0, vec![form]));
}

//! One weighing as it was taken: method, date, instruments, readings as typed, and as a [`Weighing`].
//!
//! [`Taken`] is what the record keeps. Each method reads its own keys; keys of another method are unknown here.

use crate::bounds::{self, Bound};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::job_sheet::{Instrument, InstrumentKind, PLACES, nearest_item, same_item};
use hingeline_balance::{
    BalanceBeam, HungWeight, Indicator, Levelling, Method, Part, PartsList, Place, Readings, ScaleAtArm,
    Series, SupportScale, TwoAttitudes, Weighing,
};
use hingeline_quantity::{Angle, Entered, Length, Mass, Moment, Quantity, Side, Unit};
use jiff::civil::Date;
use std::cell::{Cell, RefCell};
use std::ops::Range;

/// Before or after a correction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Before any correction.
    AsFound,
    /// In the condition that the approved data ask for.
    AsLeft,
}

impl Stage {
    /// The trade's word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::AsFound => "as found",
            Self::AsLeft => "as left",
        }
    }
}

/// A weighing as it was taken.
#[derive(Debug, Clone)]
pub struct Taken {
    /// As found or as left.
    pub stage: Stage,
    /// The day.
    pub date: Date,
    /// The items of the configuration that were confirmed, as typed.
    pub confirmed: Vec<String>,
    /// The instruments used, by their place in the sheet.
    pub instruments: Vec<usize>,
    /// What was written down, as typed.
    pub typed: Vec<Typed>,
    /// Whether it is a parts list without a starting moment.
    pub begins_nowhere: bool,
    /// Remarks that readings themselves give rise to (off the display's step).
    pub remarks: Vec<String>,
    /// The numbers.
    pub weighing: Weighing,
}

/// One line of what was written down.
#[derive(Debug, Clone)]
pub struct Typed {
    /// What it is.
    pub word: String,
    /// The texts as typed.
    pub texts: Vec<String>,
    /// The same as numbers: SI value and typed unit; empty where the texts are words.
    pub numbers: Vec<(f64, &'static Unit)>,
}

impl Typed {
    fn words(word: &str, text: String) -> Self {
        Self { word: word.to_owned(), texts: vec![text], numbers: Vec::new() }
    }
    fn number<Q: Quantity>(word: &str, entered: &Entered<Q>) -> Self {
        Self {
            word: word.to_owned(),
            texts: vec![entered.text.clone()],
            numbers: vec![(entered.value.si(), entered.unit)],
        }
    }
}

/// The six words for the methods.
const METHODS: [(&str, u8); 6] = [
    ("trailing-edge scale", 0),
    ("hung weight", 1),
    ("balance beam", 2),
    ("support scale", 3),
    ("parts list", 4),
    ("two attitudes", 5),
];

/// The word for a method in sheets and results.
#[must_use]
pub fn method_word(method: &Method) -> &'static str {
    let index = match method {
        Method::TrailingEdgeScale(_) => 0,
        Method::HungWeight(_) => 1,
        Method::BalanceBeam(_) => 2,
        Method::SupportScale(_) => 3,
        Method::PartsList(_) => 4,
        Method::TwoAttitudes(_) => 5,
    };
    METHODS[index].0
}

/// One line for all readings of a set that the display of the scale cannot show.
fn off_the_step(key: &str, off: &[(String, String)]) -> Option<String> {
    let texts: Vec<&str> =
        off.iter().filter(|(known, _)| known == key).map(|(_, text)| text.as_str()).collect();
    let verb = match texts.as_slice() {
        [] => return None,
        [_] => "is not a step",
        _ => "are not steps",
    };
    Some(format!("{}: {} {verb} of the scale's display", key.replace('_', " "), texts.join(", ")))
}

/// A weighing being read: its fields, and what was gathered on the way.
struct Reader<'r, 'a> {
    fields: Fields<'a>,
    instruments: &'r [Instrument],
    /// Whether every instrument of the sheet could be read: one that is not there may be one that has a fault.
    all_read: bool,
    plus: Option<Side>,
    typed: RefCell<Vec<Typed>>,
    used: RefCell<Vec<usize>>,
    remarks: RefCell<Vec<String>>,
    begins_nowhere: Cell<bool>,
}

pub(crate) fn read_weighing(
    mut fields: Fields<'_>,
    (instruments, all_read): (&[Instrument], bool),
    required: Option<&[String]>,
    plus: Option<Side>,
) -> Option<Taken> {
    let stage = fields.choice("stage", &[("as found", Stage::AsFound), ("as left", Stage::AsLeft)]);
    if let Some(stage) = stage {
        fields.rename(format!("{} ({})", fields.name(), stage.word()));
    }
    let method = fields.choice("method", &METHODS);
    let date = fields.date("date");
    let confirmed = read_confirmed(&fields, required);
    let reader = Reader {
        fields,
        instruments,
        all_read,
        plus,
        typed: RefCell::default(),
        used: RefCell::default(),
        remarks: RefCell::default(),
        begins_nowhere: Cell::default(),
    };
    let weighing = reader.weighing(method?);
    reader.fields.finish();
    Some(Taken {
        stage: stage?,
        date: date?,
        confirmed,
        instruments: reader.used.into_inner(),
        typed: reader.typed.into_inner(),
        begins_nowhere: reader.begins_nowhere.get(),
        remarks: reader.remarks.into_inner(),
        weighing: weighing?,
    })
}

fn read_confirmed(fields: &Fields<'_>, required: Option<&[String]>) -> Vec<String> {
    let confirmed = fields.maybe_texts("confirmed").unwrap_or_default();
    let Some(required) = required else {
        return Vec::new();
    };
    for (item, span) in &confirmed {
        if required.iter().any(|wanted| same_item(wanted, item)) {
            continue;
        }
        let what =
            format!("{}, confirmed: “{item}” is not in the configuration of the limits", fields.name());
        let fault = Fault::new(what, span.clone());
        if required.is_empty() {
            fields.push(fault.hint("list the items as configuration in [limits], or leave confirmed out"));
            continue;
        }
        let fault = fault.allowed(required.join("; "));
        fields.push(match nearest_item(item, required) {
            Some(near) => fault.hint(format!("did you mean “{near}”?")),
            None => fault.hint("confirm the items that the approved data ask for, in their words"),
        });
    }
    confirmed.into_iter().map(|(item, _)| item).collect()
}

impl Reader<'_, '_> {
    fn weighing(&self, method: u8) -> Option<Weighing> {
        match method {
            0 => self.levelled(self.scale_at_arm().map(Method::TrailingEdgeScale)),
            1 => self.levelled(self.hung_weight().map(Method::HungWeight)),
            2 => self.levelled(self.balance_beam().map(Method::BalanceBeam)),
            3 => self.levelled(self.support_scale().map(Method::SupportScale)),
            4 => {
                let list = Method::PartsList(self.parts_list()?);
                Some(Weighing { method: list, levelling: None, level_within: None })
            }
            _ => {
                let within = self.maybe::<Angle>("level within", "level_within", &bounds::LEVEL_WITHIN);
                let two = Method::TwoAttitudes(self.two_attitudes()?);
                Some(Weighing { method: two, levelling: None, level_within: within })
            }
        }
    }

    /// A weighing with its levelling; that is read even where the method's own keys have faults.
    fn levelled(&self, method: Option<Method>) -> Option<Weighing> {
        let levelling = self.levelling();
        Some(Weighing { method: method?, levelling, level_within: None })
    }

    fn note<Q: Quantity>(&self, word: &str, entered: Option<Entered<Q>>) -> Option<Entered<Q>> {
        if let Some(entered) = &entered {
            self.typed.borrow_mut().push(Typed::number(word, entered));
        }
        entered
    }
    fn maybe<Q: Quantity>(&self, word: &str, key: &'static str, bound: &Bound) -> Option<Q> {
        self.note(word, self.fields.maybe(key, bound)).map(|entered| entered.value)
    }
    fn required<Q: Quantity>(&self, word: &str, key: &'static str, bound: &Bound) -> Option<Q> {
        self.note(word, self.fields.quantity(key, bound)).map(|entered| entered.value)
    }
    fn arm(&self) -> Option<Length> {
        self.required("arm", "arm", &bounds::ARM)
    }
    fn place(&self) -> Option<Place> {
        let place = self.fields.choice("side", &PLACES)?;
        self.typed.borrow_mut().push(Typed::words("side", place.word().to_owned()));
        Some(place)
    }

    /// The instrument that a key names.
    fn instrument(&self, key: &'static str) -> Option<&InstrumentKind> {
        let id = self.fields.maybe_text(key)?;
        let Some(index) = self.instruments.iter().position(|instrument| instrument.id == id) else {
            if !self.all_read {
                return None;
            }
            let known: Vec<&str> = self.instruments.iter().map(|instrument| instrument.id.as_str()).collect();
            let what = format!("{}, {key}: there is no instrument “{id}” in this sheet", self.fields.name());
            let fault = Fault::new(what, self.fields.span_of(key));
            let fault = if known.is_empty() { fault } else { fault.allowed(known.join(", ")) };
            self.fields.push(fault.hint(format!("add [[instrument]] with id = \"{id}\", or name another")));
            return None;
        };
        let mut used = self.used.borrow_mut();
        if !used.contains(&index) {
            used.push(index);
        }
        Some(&self.instruments[index].kind)
    }
    fn require_key(&self, key: &'static str) {
        if !self.fields.has(key) {
            let fault = Fault::new(format!("{} has no {key}", self.fields.name()), self.fields.span_of(key));
            self.fields.push(fault.hint(format!("add {key} = \"…\" with the id of an [[instrument]]")));
        }
    }
    fn wrong_kind(&self, key: &'static str, found: &InstrumentKind) {
        let what = format!("{}, {key}: the instrument named is a {}", self.fields.name(), found.word());
        self.fields.push(
            Fault::new(what, self.fields.span_of(key)).allowed(format!("an instrument of kind \"{key}\"")),
        );
    }
    fn maybe_scale(&self) -> Scale {
        match self.instrument("scale")? {
            InstrumentKind::Scale(indicator, capacity) => Some((*indicator, *capacity)),
            other => {
                self.wrong_kind("scale", other);
                None
            }
        }
    }
    fn scale(&self) -> Scale {
        self.require_key("scale");
        self.maybe_scale()
    }
    fn maybe_rule(&self) -> Option<Indicator<Length>> {
        match self.instrument("rule")? {
            InstrumentKind::Rule(indicator) => Some(*indicator),
            other => {
                self.wrong_kind("rule", other);
                None
            }
        }
    }
    fn rule(&self) -> Option<Indicator<Length>> {
        self.require_key("rule");
        self.maybe_rule()
    }
    fn level_tool(&self) -> Option<Indicator<Angle>> {
        self.require_key("level");
        match self.instrument("level")? {
            InstrumentKind::Level(indicator) => Some(*indicator),
            other => {
                self.wrong_kind("level", other);
                None
            }
        }
    }

    /// A list of readings, none where the key is missing.
    fn series<Q: Quantity>(
        &self,
        word: &str,
        key: &'static str,
        bound: &Bound,
        of: &Check<'_, Q>,
    ) -> Option<Series> {
        let list = self.fields.maybe_list::<Q>(key, bound, "reading")?;
        self.typed.borrow_mut().push(Typed {
            word: word.to_owned(),
            texts: list.iter().map(|(entered, _)| entered.text.clone()).collect(),
            numbers: list.iter().map(|(entered, _)| (entered.value.si(), entered.unit)).collect(),
        });
        for (entered, span) in &list {
            of(entered, span.clone(), key);
        }
        Series::new(list.iter().map(|(entered, _)| entered.value.si()).collect())
    }

    /// Readings at rest, or raising and lowering, by three keys.
    fn readings<Q: Quantity>(
        &self,
        keys: [&'static str; 3],
        bound: &Bound,
        of: &Check<'_, Q>,
    ) -> Option<Readings> {
        let words = keys.map(|key| key.replace('_', " "));
        let [at_rest, raising, lowering] =
            [0, 1, 2].map(|index| self.series(&words[index], keys[index], bound, of));
        let [has_rest, has_raising, has_lowering] = keys.map(|key| self.fields.has(key));
        let name = self.fields.name();
        if has_rest && (has_raising || has_lowering) {
            let what = format!("{name} has both {} and {} or {}", keys[0], keys[1], keys[2]);
            self.fields.push(Fault::new(what, self.fields.span_of(keys[0])).hint("keep one way of reading"));
            return None;
        }
        if has_raising != has_lowering {
            let (there, gone) = if has_raising { (keys[1], keys[2]) } else { (keys[2], keys[1]) };
            let what = format!("{name} has {there} but no {gone}");
            self.fields.push(
                Fault::new(what, self.fields.span_of(there)).hint(format!("add {gone}, or use {}", keys[0])),
            );
            return None;
        }
        if !has_rest && !has_raising {
            let fault = Fault::new(format!("{name} has no {}", keys[0]), self.fields.span_of(keys[0]));
            self.fields
                .push(fault.hint(format!("add {} = [\"…\"], or {} and {}", keys[0], keys[1], keys[2])));
            return None;
        }
        match (at_rest, raising, lowering) {
            (Some(series), ..) => Some(Readings::AtRest(series)),
            (None, Some(raising), Some(lowering)) => Some(Readings::Turning { raising, lowering }),
            _ => None,
        }
    }

    /// Scale readings: each must be one that the scale can show.
    fn scale_readings(&self, keys: [&'static str; 3], bound: &Bound, scale: Scale) -> Option<Readings> {
        let off: RefCell<Vec<(String, String)>> = RefCell::default();
        let readings = self.readings::<Mass>(keys, bound, &|entered, span, key| {
            let Some((indicator, capacity)) = scale else {
                return;
            };
            if !self.fits(key, entered, span, capacity) {
                return;
            }
            let steps = entered.value.si() / indicator.resolution.si();
            if (steps - steps.round()).abs() > 1e-6 * steps.abs().max(1.0) {
                off.borrow_mut().push((key.to_owned(), entered.text.clone()));
            }
        });
        let off = off.into_inner();
        self.remarks.borrow_mut().extend(keys.iter().filter_map(|key| off_the_step(key, &off)));
        readings
    }

    /// Whether the scale can weigh so much; where not, it is a fault.
    fn fits(&self, key: &str, entered: &Entered<Mass>, span: Range<usize>, capacity: Option<Mass>) -> bool {
        let Some(capacity) = capacity.filter(|most| entered.value.abs().si() > most.si() * (1.0 + 1e-9))
        else {
            return true;
        };
        let what =
            format!("{}, {key}: {} is more than the scale can weigh", self.fields.name(), entered.text);
        let most = hingeline_quantity::significant(capacity.in_unit(entered.unit), 4);
        let allowed = format!("up to {most} {} (capacity of the scale)", entered.unit.symbol);
        self.fields
            .push(Fault::new(what, span).allowed(allowed).hint("check the number, or use a larger scale"));
        false
    }

    /// A mass that the scale of the weighing weighed.
    fn weighed(&self, word: &str, key: &'static str, bound: &Bound, scale: Scale) -> Option<Mass> {
        let entered = self.note(word, self.fields.maybe(key, bound))?;
        self.fits(key, &entered, self.fields.span_of(key), scale.and_then(|(_, capacity)| capacity));
        Some(entered.value)
    }

    fn required_weighed(&self, word: &str, key: &'static str, bound: &Bound, scale: Scale) -> Option<Mass> {
        if !self.fields.has(key) {
            return self.required(word, key, bound);
        }
        self.weighed(word, key, bound, scale)
    }

    /// Where it is given, all three of the levelling keys are.
    fn levelling(&self) -> Option<Levelling> {
        let keys = ["surface_mass", "cg_height_within", "level_within"];
        let mass = self.maybe("surface mass", keys[0], &bounds::MASS);
        let height = self.maybe("centre of gravity within", keys[1], &bounds::ARM_WITHIN);
        let within = self.maybe("level within", keys[2], &bounds::LEVEL_WITHIN);
        let there = keys.iter().filter(|key| self.fields.has(key)).count();
        if (1..3).contains(&there) {
            let gone: Vec<&str> = keys.into_iter().filter(|key| !self.fields.has(key)).collect();
            let what = format!("{}: the levelling has no {}", self.fields.name(), gone.join(" and no "));
            let first = keys.into_iter().find(|key| self.fields.has(key)).unwrap_or(keys[0]);
            let fault = Fault::new(what, self.fields.span_of(first));
            self.fields.push(
                fault
                    .allowed("all three of surface_mass, cg_height_within and level_within, or none")
                    .hint("add what is missing"),
            );
        }
        Some(Levelling { surface_mass: mass?, cg_height_within: height?, level_within: within? })
    }

    fn scale_at_arm(&self) -> Option<ScaleAtArm> {
        let (scale, rule, arm) = (self.scale(), self.rule(), self.arm());
        let tare = self.weighed("tare", "tare", &bounds::TARE, scale);
        let readings = self.scale_readings(["readings", "raising", "lowering"], &bounds::READING, scale);
        Some(ScaleAtArm { readings: readings?, scale: scale?.0, tare, arm: arm?, rule: rule? })
    }

    fn hung_weight(&self) -> Option<HungWeight> {
        let (scale, rule, arm, place) = (self.scale(), self.rule(), self.arm(), self.place());
        let hanger = self.weighed("hanger", "hanger", &bounds::TARE, scale);
        let moves_with = self.maybe("moves with", "moves_with", &bounds::SCALE_STEP);
        let readings = self.scale_readings(["readings", "raising", "lowering"], &bounds::MASS, scale);
        Some(HungWeight {
            readings: readings?,
            scale: scale?.0,
            hanger,
            arm: arm?,
            place: place?,
            rule: rule?,
            moves_with,
        })
    }

    fn balance_beam(&self) -> Option<BalanceBeam> {
        let (scale, rule, place) = (self.scale(), self.rule(), self.place());
        let sliding_mass = self.required_weighed("sliding mass", "sliding_mass", &bounds::MASS, scale);
        let beam_moment = self.moment("beam moment", "beam_moment");
        if beam_moment.is_none() && !self.fields.has("beam_moment") {
            let fault = Fault::new(
                format!("{} has no beam_moment", self.fields.name()),
                self.fields.span_of("beam_moment"),
            );
            self.fields.push(fault.hint(
                "add beam_moment = \"1.2 in-lb nose-heavy\": beam and fittings without the sliding mass",
            ));
        }
        let beam_uncertainty = self.maybe("beam uncertainty", "beam_uncertainty", &bounds::MOMENT_WITHIN);
        let readings =
            self.readings::<Length>(["readings", "raising", "lowering"], &bounds::ARM, &|_, _, _| {});
        Some(BalanceBeam {
            readings: readings?,
            rule: rule?,
            sliding_mass: sliding_mass?,
            scale: scale?.0,
            place: place?,
            beam_moment: beam_moment?,
            beam_uncertainty,
        })
    }

    fn moment(&self, word: &str, key: &'static str) -> Option<Moment> {
        self.note(word, self.fields.maybe_moment(key, &bounds::MOMENT, self.plus))
            .map(|entered| entered.value)
    }

    fn support_scale(&self) -> Option<SupportScale> {
        let (scale, rule, arm, place) = (self.scale(), self.rule(), self.arm(), self.place());
        let support_mass = self.required_weighed("support", "support_mass", &bounds::TARE, scale);
        let bearing_within = self.maybe("bears within", "bearing_within", &bounds::ARM_WITHIN);
        let readings = self.scale_readings(["readings", "raising", "lowering"], &bounds::READING, scale);
        Some(SupportScale {
            readings: readings?,
            scale: scale?.0,
            support_mass: support_mass?,
            arm: arm?,
            rule: rule?,
            place: place?,
            bearing_within,
        })
    }

    fn two_attitudes(&self) -> Option<TwoAttitudes> {
        let level = self.scale_at_arm();
        let scale = self.maybe_scale();
        let tilted = self.scale_readings(
            ["second_readings", "second_raising", "second_lowering"],
            &bounds::READING,
            scale,
        );
        let angle: Option<Angle> = self.required("second angle", "second_angle", &bounds::SECOND_ANGLE);
        let turned = self.fields.choice("trailing_edge", &[("raised", 1.0), ("lowered", -1.0)]);
        if let Some(turned) = turned {
            let word = if turned > 0.0 { "raised" } else { "lowered" };
            self.typed.borrow_mut().push(Typed::words("trailing edge", word.to_owned()));
        }
        let level_tool = self.level_tool();
        let surface_mass = self.required_weighed("surface mass", "surface_mass", &bounds::MASS, scale);
        Some(TwoAttitudes {
            level: level?,
            tilted: tilted?,
            angle: angle? * turned?,
            level_tool: level_tool?,
            surface_mass: surface_mass?,
        })
    }

    fn parts_list(&self) -> Option<PartsList> {
        let scale = self.maybe_scale().map(|(indicator, _)| indicator);
        let rule = self.maybe_rule();
        let start = self.moment("starting moment", "starting_moment");
        let start_uncertainty =
            self.maybe("starting uncertainty", "starting_uncertainty", &bounds::MOMENT_WITHIN);
        let tables = self.fields.tables("part");
        if tables.is_empty() {
            let fault =
                Fault::new(format!("{} has no part", self.fields.name()), self.fields.span_of("part"));
            self.fields.push(fault.hint("add [[weighing.part]] with name, mass, arm, side and change"));
        }
        let count = tables.len();
        let parts: Vec<Part> = tables.into_iter().filter_map(|fields| self.part(&fields)).collect();
        let start = if self.fields.has("starting_moment") {
            start?
        } else {
            self.begins_nowhere.set(true);
            Moment::ZERO
        };
        (parts.len() == count && count > 0).then_some(PartsList {
            start,
            start_uncertainty,
            parts,
            scale,
            rule,
        })
    }

    fn part(&self, fields: &Fields<'_>) -> Option<Part> {
        let name = fields.text("name");
        let mass: Option<Entered<Mass>> = fields.quantity("mass", &bounds::MASS);
        let arm: Option<Entered<Length>> = fields.quantity("arm", &bounds::ARM);
        let place = fields.choice("side", &PLACES);
        let change = fields.choice("change", &[("added", 1.0), ("removed", -1.0)]);
        let mass_within: Option<Entered<Mass>> = fields.maybe("mass_within", &bounds::SCALE_STEP);
        let arm_within: Option<Entered<Length>> = fields.maybe("arm_within", &bounds::ARM_WITHIN);
        fields.finish();
        let (name, mass, arm, place, change) = (name?, mass?, arm?, place?, change?);
        let word = if change > 0.0 { "added" } else { "removed" };
        let line = format!("{}, {} {}, {word}", mass.text, arm.text, place.word());
        let numbers = vec![(mass.value.si(), mass.unit), (arm.value.si(), arm.unit)];
        self.typed.borrow_mut().push(Typed { word: name.clone(), texts: vec![line], numbers });
        Some(Part {
            name,
            mass: mass.value,
            arm: arm.value * place.sign(),
            change,
            mass_within: mass_within.map(|entered| entered.value),
            arm_within: arm_within.map(|entered| entered.value),
        })
    }
}

/// The scale of a weighing with the most it can weigh, where it could be read.
type Scale = Option<(Indicator<Mass>, Option<Mass>)>;

/// What is looked at in each reading: the reading, its place in the text, and its key.
type Check<'c, Q> = dyn Fn(&Entered<Q>, Range<usize>, &str) + 'c;

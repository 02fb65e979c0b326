//! Reading `[[thread]]`: the threads that the bolts pull on, a bolt in an insert or an insert in lead.

use super::bounds::SIZE;
use super::ratio::STRENGTH;
use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_ballast::Cited;
use hingeline_ballast::fastening::{Grip, LEAD_SHEAR, ThreadedIn};
use hingeline_ballast::thread::{Limits, Thread};
use hingeline_quantity::{Entered, Length, Quantity};

const METALS: [(&str, ThreadedIn); 2] = [("hard metal", ThreadedIn::HardMetal), ("lead", ThreadedIn::Lead)];

pub(super) fn read_thread(fields: Fields<'_>) -> Option<Grip> {
    let name = fields.text("name");
    let limits = read_limits(&fields);
    let engagement: Option<Entered<Length>> = fields.quantity("engagement", &SIZE);
    let external = STRENGTH.wanted(&fields, "external_strength");
    let external_source = fields.maybe_text("external_source").unwrap_or_default();
    let internal = fields.choice("cut_in", &METALS);
    let internal_pa = read_internal(&fields, internal);
    fields.finish();
    Some(Grip {
        name: name?,
        limits: limits?,
        engagement_m: engagement?.value.si(),
        external_pa: Cited::entered(external?, &external_source),
        internal_pa: internal_pa?,
        internal: internal?,
    })
}

/// What is entered; of lead, where nothing is, the figure of the table.
fn read_internal(fields: &Fields<'_>, cut_in: Option<ThreadedIn>) -> Option<Cited> {
    let source = fields.maybe_text("internal_source").unwrap_or_default();
    if cut_in == Some(ThreadedIn::Lead) && !fields.has("internal_strength") {
        let _ = STRENGTH.maybe(fields, "internal_strength");
        return Some(LEAD_SHEAR.clone());
    }
    Some(Cited::entered(STRENGTH.wanted(fields, "internal_strength")?, &source))
}

fn read_limits(fields: &Fields<'_>) -> Option<Limits> {
    let text = fields.text("thread")?;
    let found = Thread::designated(&text).and_then(|(thread, fit)| thread.limits(fit));
    found
        .map_err(|error| {
            let what = format!("{}, thread: {error}", fields.name());
            let hint = "write size and class, such as \"10-32 UNF-2B\" or \"M5x0.8-6H\"";
            fields.push(Fault::said(&what, fields.span_of("thread")).hint(hint));
        })
        .ok()
}

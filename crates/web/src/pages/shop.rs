//! The name of the shop and the number of its approval, as they stand on every sheet.

use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, form_summary};
use crate::visit::{Answer, Visit, go_saying};
use hingeline_bench::record::deed::Deed;
use maud::{Markup, html};

/// Characters of either at most: both stand in one line of a sheet.
const LONGEST: usize = 80;

/// GET /shop
pub(crate) async fn page(visit: Visit) -> Answer {
    let filled = Filled::with([("shop", &visit.shop.name), ("approval", &visit.shop.approval)]);
    visit.page("The shop", content(&visit, &filled))
}

fn content(visit: &Visit, filled: &Filled) -> Markup {
    html! {
        div.narrow {
            h1 { "The shop" }
            p.lead { "New jobs carry this. Jobs that are there keep what they have." }
            (form_summary(filled))
            form.card method="post" action="/shop" {
                (parts::seen(visit.shop.entries))
                (fields(filled, Field::line("shop", "Name of the shop").needed()))
                div.row { button type="submit" { "Enter" } a.button.quiet href="/people" { "Cancel" } }
            }
        }
    }
}

/// The two fields, here and at the set-up.
pub(super) fn fields(filled: &Filled, name: Field<'_>) -> Markup {
    html! {
        (name.show(filled))
        (Field::line("approval", "Approval number").hint("as the authority gave it").show(filled))
    }
}

/// The deed that a form describes.
pub(super) fn read(typed: &Typed, wrong: &mut Wrong) -> Deed {
    for (field, word) in [("shop", "the name of the shop"), ("approval", "the approval number")] {
        if LONGEST < typed.get(field).chars().count() {
            let said = Said::new(format!("{word} is longer than {LONGEST} characters"));
            wrong.say(field, said.allowed(format!("up to {LONGEST} characters")).hint("shorten it"));
        }
    }
    Deed::ShopNamed { name: typed.get("shop").to_owned(), approval: typed.get("approval").to_owned() }
}

/// POST /shop
pub(crate) async fn enter(visit: Visit, typed: Typed) -> Answer {
    let mut wrong = Wrong::default();
    wrong.need(&typed, "shop", "the name of the shop");
    let deed = read(&typed, &mut wrong);
    if !wrong.is_empty() {
        return visit.refused("The shop", content(&visit, &Filled::refused(typed, wrong)));
    }
    visit.enter_shop(&deed, &typed).await?;
    go_saying("/shop", "shop")
}

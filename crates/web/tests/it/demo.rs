//! The demo shop.

use crate::shop::Shop;
use hingeline_bench::record::way::Step;

fn demo() -> Shop {
    let shop = Shop::with(|config| config.demo = true);
    hingeline_web::demo::fill(&shop.app).expect("the demo keeps the rules");
    shop
}

#[test]
fn it_is_made_once_and_its_chain_fits() {
    let shop = demo();
    let heads = shop.store().verify().expect("it fits");
    hingeline_web::demo::fill(&shop.app).expect("again");
    assert_eq!(shop.store().verify().expect("it fits"), heads);
}

#[test]
fn its_jobs_stand_at_different_steps() {
    let shop = demo();
    let step = |number: &str| shop.store().job(number).expect("read").expect("a job").now();
    assert_eq!(step("HP-0231"), Step::Correction, "weighed as found, still to be corrected");
    assert_eq!(step("HP-0229"), Step::Correction);
    assert_eq!(step("HP-0238"), Step::Inspection);
    assert_eq!(step("HP-0240"), Step::Receive);
    let released = |number: &str| shop.store().job(number).expect("read").expect("a job").released.is_some();
    for number in ["HP-0228", "HP-0098", "HP-0141", "HP-0187"] {
        assert!(released(number), "{number}");
    }
}

#[test]
fn one_surface_has_a_history_of_years() {
    let shop = demo();
    let history = shop.store().history("SK12-55-210", "0087").expect("a history");
    assert_eq!(history.points.len(), 8);
    assert_eq!(history.points[0].date[..4], *"2021");
    assert!(history.points.iter().all(|point| point.valid), "{:?}", history.points);
}

#[test]
fn its_instruments_and_cards_stand_in_every_state() {
    let shop = demo();
    let today = shop.app.clock().day(shop.app.clock().now());
    let state = shop.store().shop().expect("a shop");
    use hingeline_bench::record::shop::DueState;
    let of = |id: &str| state.instruments[id].due_state(today);
    assert_eq!(
        [of("S-2"), of("S-6"), of("S-1"), of("L-1")],
        [DueState::InDate, DueState::Soon, DueState::Past, DueState::Unknown]
    );
    assert!(state.instruments["R-2"].retired.is_some());
    assert_eq!(state.cards[&1].superseded, Some(7));
    assert!(state.cards[&7].in_use() && !state.cards[&8].in_use());
}

#[tokio::test]
async fn its_secrets_are_printed_in_the_demo_and_nowhere_else() {
    let page = demo().stranger().get("/log-in").await.says("hinge line level");
    assert!(page.text.contains("osterby"));
    let page = Shop::new().stranger().get("/log-in").await;
    assert!(!page.text.contains("hinge line level") && !page.text.contains("demo"));
}

#[tokio::test]
async fn its_people_log_in_and_see_their_pages() {
    let shop = demo();
    let form = [("login", "tarn"), ("password", "hinge line level")];
    shop.stranger().post("/log-in", &form).await.goes("/");
    for path in
        ["/", "/limits", "/limits/4", "/limits/7", "/instruments", "/instruments/S-2", "/people", "/me"]
    {
        shop.of("tarn").get(path).await.is(200);
    }
}

#[tokio::test]
async fn a_calculated_plan_is_never_marked_as_a_weighing_is() {
    let shop = demo();
    let tarn = shop.of("tarn");
    tarn.get("/jobs").await.is(200).says("calculated, within");
    tarn.get("/jobs/HP-0237").await.is(200).says("calculated, within");
}

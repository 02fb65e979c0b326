//! A balance weight under the hand: the form is worked out again on each entry, and the picture is turned.

use crate::shop::TARN;
use hingeline_browser_tests::browser::{DESK, PHONE, TABLET};
use hingeline_browser_tests::{Browser, Server};
use std::path::Path;

/// The design of the main job's weight, as a new one.
const DESIGN: &str = "/jobs/HP-0231/weights/new?from=6";
const BIG: &str = "const big = document.querySelector('.weight-headline .big');
    return Boolean(big) && big.innerText.includes(arguments[0]);";

async fn design(browser: &Browser, server: &Server) {
    browser.log_in(server, TARN).await;
    browser.go(&server.at(DESIGN)).await;
    browser
        .until("the picture is there", "return !document.querySelector('canvas[data-surface]').hidden", &[])
        .await;
}

/// What the picture shows, in short.
async fn picture(browser: &Browser) -> String {
    let script = "return document.querySelector('canvas[data-surface]').toDataURL();";
    browser.ask(script, &[]).await.as_str().expect("a picture").to_owned()
}

#[tokio::test]
async fn every_entry_is_worked_out_while_it_is_typed() {
    let server = Server::demo();
    let browser = Browser::open(DESK).await;
    design(&browser, &server).await;
    browser.until("the piece", BIG, &["Cast a cap 0.130 in thick"]).await;
    browser.fill("Span", "5 in").await;
    browser.until("a longer piece is thinner", BIG, &["Cast a cap 0.117 in thick"]).await;
    browser.fill("Span", "5 furlongs").await;
    let said = "const field = document.querySelector('[name=\"form.span\"]').closest('.field');
        return field.classList.contains('wrong') && field.innerText.includes('furlongs');";
    browser.until("what is wrong stands beside the field", said, &[]).await;
    browser.fill("Span", "4 1/2 in").await;
    browser.until("it is right again", BIG, &["Cast a cap 0.130 in thick"]).await;
    browser.until("nothing is wrong", "return !document.querySelector('#weight-form .wrong')", &[]).await;
    // Another form has other fields, and what belongs to the first comes back with it.
    browser.select("Form", "round bar").await;
    browser
        .until("its diameter", "return Boolean(document.querySelector('[name=\"form.diameter\"]'))", &[])
        .await;
    browser.select("Form", "cap").await;
    browser.until("the cap is back", BIG, &["Cast a cap 0.130 in thick"]).await;
    browser.close().await;
}

#[tokio::test]
async fn what_was_typed_is_back_with_its_form_and_its_rows() {
    let server = Server::demo();
    let browser = Browser::open(DESK).await;
    browser.log_in(&server, TARN).await;
    let page = server.at("/jobs/HP-0229/weights/new");
    browser.go(&page).await;
    browser.select("Form", "round bar").await;
    browser
        .until("its diameter", "return Boolean(document.querySelector('[name=\"form.diameter\"]'))", &[])
        .await;
    browser.fill("Diameter", "20 mm").await;
    let add = "[...document.querySelectorAll('#weight-form button')].find((button) => button.value === 'add hardware').click();";
    browser.ask(add, &[]).await;
    browser.until("a row", "return Boolean(document.querySelector('[name=\"hardware.0.mass\"]'))", &[]).await;
    browser.fill("Mass of one", "3.5 g").await;
    browser.go(&server.at("/jobs")).await;
    browser.go(&page).await;
    let back = "const of = (name) => document.querySelector(`[name=\"${name}\"]`)?.value;
        return of('form.kind') === 'round bar' && of('form.diameter') === '20 mm' && of('hardware.0.mass') === '3.5 g';";
    browser.until("everything is back", back, &[]).await;
    browser.says("is back; it is not entered yet").await;
    browser.close().await;
}

#[tokio::test]
async fn what_is_typed_while_a_row_is_on_its_way_stays() {
    let server = Server::demo();
    let browser = Browser::open(DESK).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at("/jobs/HP-0229/weights/new")).await;
    let both = "[...document.querySelectorAll('#weight-form button')].find((button) => button.value === 'add hardware').click();
        const name = document.querySelector('[name=\"weight.name\"]');
        name.value = 'typed on';
        name.dispatchEvent(new Event('input', { bubbles: true }));";
    browser.ask(both, &[]).await;
    browser.until("a row", "return Boolean(document.querySelector('[name=\"hardware.0.mass\"]'))", &[]).await;
    let name = browser.ask("return document.querySelector('[name=\"weight.name\"]').value", &[]).await;
    assert_eq!(name.as_str(), Some("typed on"));
    browser.close().await;
}

#[tokio::test]
async fn rows_that_are_pressed_quickly_all_come_and_go() {
    let server = Server::demo();
    let browser = Browser::open(DESK).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at("/jobs/HP-0229/weights/new")).await;
    let press = "for (const value of arguments[0].split(','))
        [...document.querySelectorAll('#weight-form button')].find((button) => button.value === value).click();";
    let rows = "return document.querySelectorAll('#weight-form [name$=\".name\"][name^=\"hole.\"]').length === Number(arguments[0]);";
    browser.ask(press, &["add hole,add hole,add hole"]).await;
    browser.until("three holes", rows, &["3"]).await;
    browser.ask(press, &["without hole.0,without hole.2"]).await;
    browser.until("one hole", rows, &["1"]).await;
    let left = "return Boolean(document.querySelector('[name=\"hole.1.name\"]'));";
    browser.until("the one between", left, &[]).await;
    browser.close().await;
}

/// The shop answers late, or not at all.
const LATE: &str = "const real = window.fetch;
    window.fetch = async (...of) => { await new Promise((go) => setTimeout(go, 400)); return real(...of); };
    window.real = real;";
const NEVER: &str =
    "window.real = window.fetch; window.fetch = () => Promise.reject(new TypeError('no line'));";
const AGAIN: &str = "window.fetch = window.real;";

#[tokio::test]
async fn what_is_chosen_while_a_row_is_on_its_way_stays() {
    let server = Server::demo();
    let browser = Browser::open(DESK).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at("/jobs/HP-0229/weights/new")).await;
    browser.ask(LATE, &[]).await;
    let both = "[...document.querySelectorAll('#weight-form button')].find((button) => button.value === 'add hardware').click();
        setTimeout(() => {
          const side = document.querySelector('[name=\"weight.old_side\"]');
          side.value = 'aft';
          side.dispatchEvent(new Event('input', { bubbles: true }));
        }, 150);";
    browser.ask(both, &[]).await;
    browser.until("a row", "return Boolean(document.querySelector('[name=\"hardware.0.mass\"]'))", &[]).await;
    let side = browser.ask("return document.querySelector('[name=\"weight.old_side\"]').value", &[]).await;
    assert_eq!(side.as_str(), Some("aft"));
    browser.close().await;
}

#[tokio::test]
async fn a_piece_of_numbers_typed_before_says_so() {
    let server = Server::demo();
    let browser = Browser::open(PHONE).await;
    design(&browser, &server).await;
    browser.until("the piece", BIG, &["Cast a cap 0.130 in thick"]).await;
    browser.ask(NEVER, &[]).await;
    browser.fill("Span", "5 in").await;
    browser.says("Not worked out anew").await;
    browser.until("the old piece", BIG, &["0.130 in thick"]).await;
    browser.ask(AGAIN, &[]).await;
    browser.fill("Span", "5.0 in").await;
    browser.until("the new piece", BIG, &["Cast a cap 0.117 in thick"]).await;
    browser.until("nothing old", "return !document.querySelector('.old-said')", &[]).await;
    browser.close().await;
}

#[tokio::test]
async fn keys_of_the_browser_are_left_to_it() {
    let server = Server::demo();
    let browser = Browser::open(DESK).await;
    design(&browser, &server).await;
    let taken = "const of = (on, key, more) => on.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true, ...more }));
        const canvas = document.querySelector('canvas[data-surface]');
        const file = Object.assign(document.createElement('input'), { type: 'file' });
        document.querySelector('#weight-form').append(file);
        const span = document.querySelector('[name=\"form.span\"]');
        return [of(canvas, 'ArrowLeft', { altKey: true }), of(canvas, 'ArrowLeft', {}), of(file, 'Enter', {}), of(span, 'Enter', {})].join();";
    assert_eq!(browser.ask(taken, &[]).await.as_str(), Some("true,false,true,false"));
    browser.close().await;
}

/// The form of a second design, with a drill that was added and filled in.
async fn with_a_drill(browser: &Browser) {
    browser.fill("Span", "5 in").await;
    browser
        .ask(
            "[...document.querySelectorAll('#weight-form button')].find((button) => button.value === 'add tool.drill').click();",
            &[],
        )
        .await;
    browser
        .until("a drill", "return Boolean(document.querySelector('[name=\"tool.2.diameters\"]'))", &[])
        .await;
    browser.fill("Deepest, to the tip", "0.3 in").await;
}

const DRILL: &str = "const of = (name) => document.querySelector(`[name=\"${name}\"]`)?.value;
    return Boolean(document.querySelector('.kept')) && of('form.span') === '5 in' && of('tool.2.kind') === 'drill'
        && of('tool.2.deepest') === '0.3 in' && of('tool.2.diameters') === '' && of('tool.1.kind') === 'file'
        && of('weight.name') === arguments[0];";

#[tokio::test]
async fn a_design_outlives_any_number_of_loads_whole() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.log_in(&server, TARN).await;
    let page = server.at("/jobs/HP-0229/weights/new");
    browser.go(&page).await;
    browser.fill("What it is", "bar at the horn").await;
    with_a_drill(&browser).await;
    for _ in 0..3 {
        browser.go(&page).await;
        browser.until("all of it", DRILL, &["bar at the horn"]).await;
    }
    // One more field, and the rest stays.
    browser.fill("What it is", "cap").await;
    browser.go(&page).await;
    browser.until("all of it and one more", DRILL, &["cap"]).await;
    // What is refused stays too, under the address of its answer.
    browser.press("Enter as intended").await;
    browser.says("nothing was written").await;
    browser.go(&page).await;
    browser.until("all of it after the answer", DRILL, &["cap"]).await;
    // Dropped, and that undone.
    let press = "return document.querySelector('.kept button')";
    browser.element(press, &[]).await.click().await.expect("it is dropped");
    browser.says("Dropped.").await;
    browser.until("no drill", "return !document.querySelector('[name=\"tool.2.kind\"]')", &[]).await;
    browser.element(press, &[]).await.click().await.expect("it is put back");
    browser.until("all of it again", DRILL, &["cap"]).await;
    browser.element(press, &[]).await.click().await.expect("it is dropped");
    browser.says("Dropped.").await;
    browser.go(&page).await;
    browser.until("an empty form", "return !document.querySelector('.kept')", &[]).await;
    browser.close().await;
}

#[tokio::test]
async fn a_design_goes_from_the_device_once_it_is_entered_and_the_summary_with_what_it_says() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    design(&browser, &server).await;
    browser.fill("Span", "-3 in").await;
    browser.press("Enter as intended").await;
    browser.says("One thing is wrong; nothing was written").await;
    browser.fill("Span", "5 in").await;
    let gone = "return !document.querySelector('.notice.bad[tabindex]')";
    browser.until("the summary went with the last fault", gone, &[]).await;
    browser.press("Enter as intended").await;
    browser.says("The weight is entered as intended").await;
    browser.go(&server.at(DESIGN)).await;
    browser
        .until(
            "the design as it was",
            "return document.querySelector('[name=\"form.span\"]').value === '4 1/2 in'",
            &[],
        )
        .await;
    browser.until("nothing is kept", "return !document.querySelector('.kept')", &[]).await;
    browser.close().await;
}

#[tokio::test]
async fn the_picture_is_turned_by_keys_buttons_and_the_hand() {
    let server = Server::demo();
    for look in [TABLET, PHONE] {
        let browser = Browser::open(look).await;
        design(&browser, &server).await;
        let at_first = picture(&browser).await;
        let turn = "const canvas = document.querySelector('canvas[data-surface]');
            canvas.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowLeft', bubbles: true}));";
        browser.ask(turn, &[]).await;
        let other = "return document.querySelector('canvas[data-surface]').toDataURL() !== arguments[0];";
        browser.until("it turned", other, &[&at_first]).await;
        browser.ask("document.querySelector('[data-turn=home]').click();", &[]).await;
        let same = "return document.querySelector('canvas[data-surface]').toDataURL() === arguments[0];";
        browser.until("it is as at first", same, &[&at_first]).await;
        let drag = "const canvas = document.querySelector('canvas[data-surface]');
            canvas.setPointerCapture = () => {};
            const box = canvas.getBoundingClientRect();
            const at = (kind, x) => canvas.dispatchEvent(new PointerEvent(kind, {pointerId: 1, clientX: box.left + x, clientY: box.top + 40}));
            at('pointerdown', 40); at('pointermove', 90); at('pointerup', 90);";
        browser.ask(drag, &[]).await;
        browser.until("it was dragged", other, &[&at_first]).await;
        browser.close().await;
    }
}

#[tokio::test]
async fn without_script_the_buttons_do_it() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.without_script().await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at(DESIGN)).await;
    browser.fill("Span", "5 in").await;
    browser.press("Add a hole").await;
    browser.says("Cast a cap 0.117 in thick").await;
    browser.press("Enter as intended").await;
    browser.says("The weight is entered as intended").await;
    browser.close().await;
}

#[tokio::test]
async fn a_file_is_sent_as_soon_as_it_is_chosen_and_judged_at_its_field() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at("/jobs/HP-0229/weights/new")).await;
    browser.select("Form", "mesh").await;
    browser.until("its file", "return Boolean(document.querySelector('[name=upload]'))", &[]).await;
    browser.fill("Arm of the file's origin", "5.6 in").await;
    browser.select("Side", "forward").await;
    browser.fill("Heaviest finished piece", "").await;
    browser.select("One unit of the file", "in").await;
    let taken =
        "return !document.querySelector('.weight-headline').innerText.includes('One unit of the file')";
    browser.until("its unit", taken, &[]).await;
    let chosen = "return document.querySelector('[name=upload]')";
    let demo =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/weights").canonicalize().expect("the demo");
    let file = |name: &str| demo.join(name).to_str().expect("a path").to_owned();
    let sheet = file("HP-0240-horn-mesh.toml");
    browser.element(chosen, &[]).await.send_keys(&sheet).await.expect("a file is chosen");
    browser.says("not a mesh").await;
    let horn = file("HP-0240-horn.stl");
    browser.element(chosen, &[]).await.send_keys(&horn).await.expect("a file is chosen");
    browser.until("what it gives", BIG, &["This measured piece gives"]).await;
    browser.says("Here: HP-0240-horn.stl").await;
    // The file is not sent again: its hash goes with every entry.
    browser.fill("Arm of the file's origin", "6.6 in").await;
    browser.until("what it gives there", BIG, &["This measured piece gives"]).await;
    let sent = "return document.querySelector('[name=upload]').files.length === 0
        && document.querySelector('[name=mesh]').value.length === 64;";
    browser.until("the hash stands in the form", sent, &[]).await;
    browser.close().await;
}

#[tokio::test]
async fn holes_are_worked_out_while_they_are_typed() {
    let server = Server::demo();
    let browser = Browser::open(PHONE).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at("/jobs/HP-0239/drill-outs/new?from=5")).await;
    browser.until("the holes", BIG, &["Drill "]).await;
    browser.fill("Most holes", "2").await;
    browser.until("what stops them", BIG, &["Holes there will not do"]).await;
    browser.fill("Deepest, to the tip", "4 in").await;
    browser.until("deeper holes", BIG, &["Drill 2 "]).await;
    browser.fill("Deepest, to the tip", "3 lb").await;
    browser.says("a length is wanted").await;
    browser.close().await;
}

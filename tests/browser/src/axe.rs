//! The accessibility rules, and the width of a page. Main function: [`faults`].

use crate::browser::Browser;
use serde_json::Value;
use std::path::Path;
use std::sync::OnceLock;

/// The rules as npm put them beside this crate.
///
/// # Panics
/// Where they are not there.
fn rules() -> &'static str {
    static RULES: OnceLock<String> = OnceLock::new();
    RULES.get_or_init(|| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("node_modules/axe-core/axe.min.js");
        std::fs::read_to_string(path).expect("the accessibility rules: run scripts/prepare")
    })
}

/// Runs every rule and gives what is broken, and how many rules held.
const RUN: &str = r"
const done = arguments[arguments.length - 1];
axe.run(document, {resultTypes: ['violations']}).then((result) => done([
  result.passes.length,
  result.violations.flatMap((rule) => rule.nodes.map((node) =>
    `${rule.id} (${rule.impact}): ${node.target.join(' ')}: ${(node.failureSummary || '').replace(/\s+/g, ' ').slice(0, 300)}`)),
]), (error) => done([99, [`the rules stopped: ${error}`]]));
";

/// What makes a page wider than its window.
const WIDE: &str = r"
const width = Number(arguments[0]);
const page = Math.max(document.documentElement.scrollWidth, window.innerWidth);
if (page <= width) return [];
const inside = (node) => {
  for (let over = node.parentElement; over; over = over.parentElement) {
    if (getComputedStyle(over).overflowX !== 'visible') return true;
  }
  return false;
};
const name = (node) => node.tagName.toLowerCase() + (node.id ? '#' + node.id : '')
  + [...node.classList].map((word) => '.' + word).join('');
const wide = [...document.body.querySelectorAll('*')].filter((node) => node.getBoundingClientRect().right > width + 0.5 && !inside(node));
return [`the page is ${page} wide, the window ${width}: ${wide.slice(0, 6).map(name).join(', ')}`];
";

/// Everything that is wrong with the page that is shown, by rule and place.
///
/// # Panics
/// Where the rules do not run, or look at nothing.
pub async fn faults(browser: &Browser) -> Vec<String> {
    browser.client.execute(rules(), vec![]).await.expect("the rules are read");
    let answer = browser.client.execute_async(RUN, vec![]).await.expect("the rules run");
    let held = answer[0].as_u64().unwrap_or(0);
    assert!(held > 5, "only {held} rules looked at {}", browser.path().await);
    let wide = browser.ask(WIDE, &[&browser.look.width.to_string()]).await;
    texts(&answer[1]).chain(texts(&wide)).collect()
}

fn texts(list: &Value) -> impl Iterator<Item = String> {
    let list = list.as_array().cloned().unwrap_or_default();
    list.into_iter().filter_map(|text| text.as_str().map(str::to_owned))
}

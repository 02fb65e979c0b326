//! What a person does with a finger or a mouse: fields by their label, choices by their words, buttons by their text.

use crate::browser::Browser;
use crate::server::{Person, Server};
use fantoccini::elements::Element;

/// Whether the page is another one than that which was left.
const ARRIVED: &str = "return !window.leaving && document.readyState === 'complete';";

/// Finds in a page what a person would: fields by label, choices by legend and word, links and buttons by text.
pub(crate) const FIND: &str = r"
const squeeze = (text) => text.replace(/\s+/g, ' ').trim();
const clean = (node) => {
  const copy = node.cloneNode(true);
  for (const part of copy.querySelectorAll('input, select, textarea, .optional, .unit, [aria-hidden=true]')) part.remove();
  return squeeze(copy.textContent);
};
const seen = (node) => node.getClientRects().length > 0 && getComputedStyle(node).visibility !== 'hidden';
const like = (nodes, words) => {
  const found = [...nodes].filter((node) => seen(node) && !node.classList.contains('unseen'));
  return found.find((node) => clean(node) === words) || found.find((node) => clean(node).startsWith(words)) || null;
};
const main = document.querySelector('main') || document;
const labelled = (words) => {
  const label = like(main.querySelectorAll('label'), words);
  return label ? label.control : null;
};
const chosen = (legend, word) => {
  const group = [...main.querySelectorAll('fieldset')].find((set) => set.querySelector('legend') && clean(set.querySelector('legend')).startsWith(legend));
  return group ? like(group.querySelectorAll('label'), word) : null;
};
const pressed = (words) => like(main.querySelectorAll('button, a, summary'), words);
";

fn find(what: &str) -> String {
    format!("{FIND}\nreturn {what};")
}

impl Browser {
    async fn centred(&self, element: &Element) {
        // Clear of the keypad, where that is open.
        let script = "arguments[0].scrollIntoView({block: 'center'});
            const pad = document.querySelector('#keypad:not([hidden])');
            if (pad && !pad.contains(arguments[0])) scrollBy(0, pad.offsetHeight / 2);";
        let argument = serde_json::to_value(element).expect("an element");
        self.client.execute(script, vec![argument]).await.expect("it scrolls");
    }
    async fn click(&self, element: &Element, what: &str) {
        self.centred(element).await;
        element.click().await.unwrap_or_else(|error| panic!("{what} cannot be clicked: {error}"));
    }

    /// Types into the field with a label, in place of what stood there.
    ///
    /// # Panics
    /// Where there is no such field or it takes no text.
    pub async fn fill(&self, label: &str, text: &str) {
        let field = self.element(&find("labelled(arguments[0])"), &[label]).await;
        self.centred(&field).await;
        field.clear().await.unwrap_or_else(|error| panic!("{label} cannot be emptied: {error}"));
        field.send_keys(text).await.unwrap_or_else(|error| panic!("{label} cannot be typed into: {error}"));
    }
    /// What stands in the field with a label.
    pub async fn value(&self, label: &str) -> String {
        let field = self.element(&find("labelled(arguments[0])"), &[label]).await;
        field.prop("value").await.expect("a field").unwrap_or_default()
    }
    /// Chooses from the list with a label the line that begins with `words`.
    ///
    /// # Panics
    /// Where there is no such list or line.
    pub async fn select(&self, label: &str, words: &str) {
        let script = "const list = labelled(arguments[0]);
            return list && [...list.options].find((line) => squeeze(line.textContent).startsWith(arguments[1])) || null;";
        let line = self.element(&format!("{FIND}\n{script}"), &[label, words]).await;
        line.click().await.unwrap_or_else(|error| panic!("{label}: {words} cannot be chosen: {error}"));
    }
    /// Chooses a word under a legend.
    pub async fn choose(&self, legend: &str, word: &str) {
        let label = self.element(&find("chosen(arguments[0], arguments[1])"), &[legend, word]).await;
        self.click(&label, word).await;
    }
    /// Ticks the box with a label, where it is not ticked yet.
    pub async fn tick(&self, words: &str) {
        let label = self.element(&find("like(main.querySelectorAll('label'), arguments[0])"), &[words]).await;
        let script = find("like(main.querySelectorAll('label'), arguments[0]).control.checked");
        if self.ask(&script, &[words]).await != true {
            self.click(&label, words).await;
        }
    }
    /// Presses a link or a button and waits for the page that it leads to; where nothing happens for a while, once
    /// more, as a person would.
    pub async fn press(&self, words: &str) {
        for patience in [100, 0] {
            let button = self.element(&find("pressed(arguments[0])"), &[words]).await;
            self.leaving().await;
            self.click(&button, words).await;
            if self.comes_true(ARRIVED, patience).await {
                return;
            }
        }
        self.arrived(words).await;
    }
    /// Marks the page, so that the next one is told from it.
    pub(crate) async fn leaving(&self) {
        self.ask("window.leaving = true;", &[]).await;
    }
    /// Waits for a page that is not the marked one.
    pub(crate) async fn arrived(&self, after: &str) {
        self.until(&format!("a new page after “{after}”"), ARRIVED, &[]).await;
    }
    /// Waits until the page says something; where lines break does not matter.
    pub async fn says(&self, words: &str) {
        let script = r"const squeeze = (text) => text.replace(/\s+/g, ' ');
            return squeeze(document.body.innerText).toLowerCase().includes(squeeze(arguments[0]).toLowerCase());";
        self.until(&format!("“{words}”"), script, &[words]).await;
    }
    /// Waits until the page is at a path.
    pub async fn is_at(&self, path: &str) {
        self.until(path, "return location.pathname === arguments[0];", &[path]).await;
    }
    /// Logs in and stands on the first page.
    pub async fn log_in(&self, server: &Server, person: Person) {
        self.go(&server.at("/log-in")).await;
        self.fill("Login name", person.login).await;
        self.fill("Password", person.password).await;
        self.press("Log in").await;
        self.is_at("/").await;
    }
}

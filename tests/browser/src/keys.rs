//! What a person does with the keyboard alone: Tab to where it is, type, Enter.

use crate::browser::Browser;
use crate::hand::FIND;
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::key::Key;

/// Steps with Tab at most before something counts as not to be reached.
const STEPS: usize = 250;

/// What has the focus: its words, as a label, a legend with the word, or its own text.
const HAS: &str = r"
const at = document.activeElement;
if (!at || at === document.body) return '';
const group = at.closest('fieldset');
const legend = group && group.querySelector('legend') ? clean(group.querySelector('legend')) + ': ' : '';
const label = at.labels && at.labels.length ? clean(at.labels[0]) : '';
if (at.type === 'radio') return legend + label;
return label || at.getAttribute('aria-label') || clean(at);
";

impl Browser {
    /// Presses a key.
    ///
    /// # Panics
    /// Where the browser is gone.
    pub async fn key(&self, key: Key) {
        self.type_keys(&char::from(key).to_string()).await;
    }
    /// Types, key by key.
    ///
    /// # Panics
    /// Where the browser is gone.
    pub async fn type_keys(&self, text: &str) {
        let mut keys = KeyActions::new("keyboard".to_owned());
        for value in text.chars() {
            keys = keys.then(KeyAction::Down { value }).then(KeyAction::Up { value });
        }
        self.client.perform_actions(keys).await.unwrap_or_else(|error| panic!("{text}: {error}"));
    }
    /// The words of what has the focus.
    pub async fn focus(&self) -> String {
        self.ask(&format!("{FIND}{HAS}"), &[]).await.as_str().unwrap_or_default().to_owned()
    }
    /// Goes on with Tab until something with these words has the focus.
    ///
    /// # Panics
    /// Where that does not happen, or the focus cannot be seen.
    pub async fn tab_to(&self, words: &str) {
        self.tab_until(words, |here| here.starts_with(words)).await;
    }
    async fn tab_until(&self, words: &str, there: impl Fn(&str) -> bool) {
        let mut passed = Vec::new();
        for _ in 0..STEPS {
            self.key(Key::Tab).await;
            let here = self.focus().await;
            if there(&here) {
                self.focus_is_seen(words).await;
                return;
            }
            passed.push(here);
        }
        panic!("Tab does not reach “{words}” on {}; it passed {passed:?}", self.path().await);
    }
    async fn focus_is_seen(&self, words: &str) {
        // A field may be drawn by its label; then that is what shows the focus.
        let script = r"
            const at = document.activeElement;
            const marked = (node) => {
              const style = getComputedStyle(node);
              return (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0) || style.boxShadow !== 'none';
            };
            const near = [at, at.nextElementSibling, at.parentElement, at.closest('label'), at.closest('fieldset'), at.closest('.at')];
            return near.some((node) => node && marked(node));";
        let seen = self.ask(script, &[]).await;
        assert_eq!(seen, true, "the focus on “{words}” cannot be seen, on {}", self.path().await);
    }
    /// Types into the field with a label, in place of what stood there.
    pub async fn key_fill(&self, label: &str, text: &str) {
        self.tab_to(label).await;
        let control = char::from(Key::Control);
        let mut keys = KeyActions::new("keyboard".to_owned());
        for action in [
            KeyAction::Down { value: control },
            KeyAction::Down { value: 'a' },
            KeyAction::Up { value: 'a' },
            KeyAction::Up { value: control },
        ] {
            keys = keys.then(action);
        }
        self.client.perform_actions(keys).await.expect("the keyboard works");
        self.type_keys(text).await;
    }
    /// Chooses a word under a legend: to the group with Tab, within it with Space and the arrows.
    ///
    /// # Panics
    /// Where the word is not reached.
    pub async fn key_choose(&self, legend: &str, word: &str) {
        self.tab_until(legend, |here| here.starts_with(legend) && here.contains(": ")).await;
        if self.ask("return document.activeElement.checked", &[]).await != true {
            self.key(Key::Space).await;
        }
        for _ in 0..12 {
            let here = self.focus().await;
            if here.ends_with(&format!(": {word}")) {
                assert_eq!(
                    self.ask("return document.activeElement.checked", &[]).await,
                    true,
                    "{legend}: {word}"
                );
                return;
            }
            self.key(Key::Down).await;
        }
        panic!("the arrows do not reach “{word}” of “{legend}”, on {}", self.path().await);
    }
    /// Chooses from the list with a label the line that begins with `words`.
    ///
    /// # Panics
    /// Where the line is not reached.
    pub async fn key_select(&self, label: &str, words: &str) {
        self.tab_to(label).await;
        for _ in 0..20 {
            let script = "const list = document.activeElement; return list.options[list.selectedIndex].textContent.trim();";
            if self.ask(script, &[]).await.as_str().unwrap_or_default().starts_with(words) {
                return;
            }
            self.key(Key::Down).await;
        }
        panic!("the arrows do not reach “{words}” of “{label}”, on {}", self.path().await);
    }
    /// Ticks the box with a label, where it is not ticked yet.
    pub async fn key_tick(&self, label: &str) {
        self.tab_to(label).await;
        if self.ask("return document.activeElement.checked", &[]).await != true {
            self.key(Key::Space).await;
        }
    }
    /// Goes to a link or a button, presses Enter and waits for the page that it leads to.
    pub async fn key_press(&self, words: &str) {
        self.tab_to(words).await;
        self.leaving().await;
        self.key(Key::Enter).await;
        self.arrived(words).await;
    }
}

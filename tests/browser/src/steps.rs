//! A task as a list of steps, done by hand or by the keyboard alone. Main types: [`Step`], [`By`].

use crate::browser::Browser;
use fantoccini::key::Key;

/// One step of a task, in the words of the page.
#[derive(Debug, Clone, Copy)]
pub enum Step<'a> {
    /// Types into the field with this label.
    Fill(&'a str, &'a str),
    /// Types readings into the field with this label, one after the other.
    Read(&'a str, &'a [&'a str]),
    /// Chooses from the list with this label.
    Select(&'a str, &'a str),
    /// Chooses a word under this legend.
    Choose(&'a str, &'a str),
    /// Ticks the box with this label.
    Tick(&'a str),
    /// Presses this link or button and waits for its page.
    Press(&'a str),
    /// Waits until the page says this.
    Says(&'a str),
}

/// What the steps are done with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// A finger or a mouse.
    Hand,
    /// The keyboard alone.
    Keys,
}

impl Browser {
    /// Does a list of steps.
    pub async fn does(&self, by: By, steps: &[Step<'_>]) {
        for step in steps {
            match by {
                By::Hand => self.by_hand(*step).await,
                By::Keys => self.by_keys(*step).await,
            }
        }
    }

    async fn by_hand(&self, step: Step<'_>) {
        match step {
            Step::Fill(label, text) => self.fill(label, text).await,
            Step::Read(label, readings) => {
                for reading in readings {
                    self.fill(label, reading).await;
                    self.client
                        .active_element()
                        .await
                        .expect("a field")
                        .send_keys(&char::from(Key::Enter).to_string())
                        .await
                        .expect("Enter");
                }
            }
            Step::Select(label, words) => self.select(label, words).await,
            Step::Choose(legend, word) => self.choose(legend, word).await,
            Step::Tick(label) => self.tick(label).await,
            Step::Press(words) => self.press(words).await,
            Step::Says(words) => self.says(words).await,
        }
    }

    async fn by_keys(&self, step: Step<'_>) {
        match step {
            Step::Fill(label, text) => self.key_fill(label, text).await,
            Step::Read(label, readings) => {
                self.tab_to(label).await;
                for reading in readings {
                    self.type_keys(reading).await;
                    self.key(Key::Enter).await;
                }
            }
            Step::Select(label, words) => self.key_select(label, words).await,
            Step::Choose(legend, word) => self.key_choose(legend, word).await,
            Step::Tick(label) => self.key_tick(label).await,
            Step::Press(words) => self.key_press(words).await,
            Step::Says(words) => self.says(words).await,
        }
    }
}

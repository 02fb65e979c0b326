//! One Chromium of one person, driven through chromedriver. Main types: [`Browser`], [`Look`].

use crate::child::Child;
use fantoccini::elements::{Element, ElementRef};
use fantoccini::wd::{Capabilities, WebDriverCompatibleCommand};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::process::Command;
use std::time::Duration;
use tempfile::TempDir;
use tokio::time::timeout;

/// How often something is looked for before it counts as missing, and how long between.
const TRIES: u32 = 300;
const PAUSE: Duration = Duration::from_millis(70);
/// How long a page may take over one answer.
const LONGEST: Duration = Duration::from_secs(60);

/// Light or dark, as the device asks for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Light {
    /// Dark ink on light paper.
    Light,
    /// The other way round.
    Dark,
}

impl Light {
    /// The word of the media query.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// What a window is like.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// For messages and file names.
    pub name: &'static str,
    /// Width in CSS pixels.
    pub width: u32,
    /// Height in CSS pixels.
    pub height: u32,
    /// Whether it is a touch screen.
    pub touch: bool,
}

/// A desktop with a mouse.
pub const DESK: Look = Look { name: "desk", width: 1280, height: 900, touch: false };
/// A tablet at the bench.
pub const TABLET: Look = Look { name: "tablet", width: 820, height: 1180, touch: true };
/// A small phone.
pub const PHONE: Look = Look { name: "phone", width: 360, height: 740, touch: true };

/// A browser with a profile of its own.
#[derive(Debug)]
pub struct Browser {
    /// The session.
    pub client: Client,
    /// Its window.
    pub look: Look,
    _driver: Child,
    _profile: TempDir,
}

/// A command of the browser's own protocol, which the web driver hands on.
#[derive(Debug)]
struct Own(Value);

impl WebDriverCompatibleCommand for Own {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/goog/cdp/execute", session.unwrap_or_default()))
    }
    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.0.to_string()))
    }
}

impl Browser {
    /// Opens a window, light.
    ///
    /// # Panics
    /// Where Chromium or its driver does not start.
    pub async fn open(look: Look) -> Self {
        let profile = tempfile::tempdir().expect("a folder");
        let driver = Child::start(Command::new("chromedriver").args(["--port=0"]));
        let port = driver.says(|line| {
            let rest = line.split("started successfully on port ").nth(1)?;
            rest.trim_end_matches('.').parse::<u16>().ok()
        });
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(capabilities(look, &profile));
        let client = builder.connect(&format!("http://127.0.0.1:{port}")).await.expect("a browser opens");
        let browser = Self { client, look, _driver: driver, _profile: profile };
        browser.light(Light::Light).await;
        browser
    }

    /// Sends a command of the browser's own protocol.
    ///
    /// # Panics
    /// Where the browser refuses it.
    pub async fn own(&self, command: &str, params: Value) {
        let own = Own(json!({"cmd": command, "params": params}));
        self.client.issue_cmd(own).await.unwrap_or_else(|error| panic!("{command}: {error}"));
    }
    /// Light or dark, as the device asks for it.
    pub async fn light(&self, light: Light) {
        let features = json!([{"name": "prefers-color-scheme", "value": light.word()},
            {"name": "prefers-reduced-motion", "value": "reduce"}]);
        self.own("Emulation.setEmulatedMedia", json!({"media": "", "features": features})).await;
    }
    /// Lets no script of a page through. (A page has none but those that it loads: its policy allows no others.)
    pub async fn without_script(&self) {
        self.own("Network.enable", json!({})).await;
        self.own("Network.setBlockedURLs", json!({"urls": ["*.js"]})).await;
    }

    /// Goes to an address.
    ///
    /// # Panics
    /// Where the browser cannot.
    pub async fn go(&self, address: &str) {
        let gone = timeout(LONGEST, self.client.goto(address)).await.expect("the page comes in time");
        gone.unwrap_or_else(|error| panic!("{address}: {error}"));
    }
    /// The path of the page, with what stands behind the question mark.
    ///
    /// # Panics
    /// Where the browser is gone.
    pub async fn path(&self) -> String {
        self.ask("return location.pathname + location.search", &[])
            .await
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }
    /// Runs a script of ours in the page and gives its answer.
    ///
    /// # Panics
    /// Where the script fails.
    pub async fn ask(&self, script: &str, args: &[&str]) -> Value {
        let args = args.iter().map(|arg| json!(arg)).collect();
        let answer =
            timeout(LONGEST, self.client.execute(script, args)).await.expect("the page answers in time");
        answer.unwrap_or_else(|error| panic!("{error}\nin: {script}"))
    }
    /// The element that a script gives, as soon as there is one.
    ///
    /// # Panics
    /// Where there is none in time; says what the page shows.
    pub async fn element(&self, script: &str, args: &[&str]) -> Element {
        for _ in 0..TRIES {
            let found = self.ask(script, args).await;
            let id = found.as_object().and_then(|object| object.values().next()).and_then(Value::as_str);
            if let Some(id) = id {
                return Element::from_element_id(self.client.clone(), ElementRef::from(id.to_owned()));
            }
            tokio::time::sleep(PAUSE).await;
        }
        panic!("no {args:?} on {}", self.shown().await);
    }
    /// Whether a script says true within so many tries.
    pub(crate) async fn comes_true(&self, script: &str, tries: u32) -> bool {
        for _ in 0..tries {
            let answer = self.client.execute(script, Vec::new()).await;
            if answer.is_ok_and(|answer| answer == json!(true)) {
                return true;
            }
            tokio::time::sleep(PAUSE).await;
        }
        false
    }
    /// Waits until a script says true.
    ///
    /// # Panics
    /// Where it does not in time; says what the page shows.
    pub async fn until(&self, what: &str, script: &str, args: &[&str]) {
        for _ in 0..TRIES {
            // While a page is changing there may be nothing to ask.
            let answer = self.client.execute(script, args.iter().map(|arg| json!(arg)).collect()).await;
            if answer.is_ok_and(|answer| answer == json!(true)) {
                return;
            }
            tokio::time::sleep(PAUSE).await;
        }
        panic!("{what}: not on {}", self.shown().await);
    }
    /// The path and the text of the page, for a message.
    async fn shown(&self) -> String {
        let text = self.ask("return document.body ? document.body.innerText : ''", &[]).await;
        format!("{}, which shows:\n{}", self.path().await, text.as_str().unwrap_or_default())
    }
    /// A picture of the whole page, from its head to its foot.
    ///
    /// # Panics
    /// Where the browser makes none.
    pub async fn whole_picture(&self) -> Vec<u8> {
        let height = self.ask("return document.documentElement.scrollHeight", &[]).await;
        let height = height.as_u64().unwrap_or(0).clamp(u64::from(self.look.height), 15_000);
        let size = |height: u64| json!({"width": self.look.width, "height": height, "deviceScaleFactor": 1, "mobile": self.look.touch});
        self.own("Emulation.setDeviceMetricsOverride", size(height)).await;
        let picture = self.client.screenshot().await.expect("a picture");
        self.own("Emulation.setDeviceMetricsOverride", size(u64::from(self.look.height))).await;
        picture
    }
    /// Closes it.
    pub async fn close(self) {
        let _ = self.client.clone().close().await;
    }
}

fn capabilities(look: Look, profile: &TempDir) -> Capabilities {
    let flags = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-dev-shm-usage",
        "--hide-scrollbars",
        "--lang=en",
    ];
    let mut args: Vec<String> = flags.iter().map(|flag| (*flag).to_owned()).collect();
    args.push(format!("--user-data-dir={}", profile.path().display()));
    args.push(format!("--window-size={},{}", look.width.max(500), look.height));
    let metrics = json!({"width": look.width, "height": look.height, "pixelRatio": 1,
        "touch": look.touch, "mobile": look.touch});
    let options = json!({"binary": "/usr/bin/chromium", "args": args,
        "mobileEmulation": {"deviceMetrics": metrics}});
    let mut capabilities = Capabilities::new();
    capabilities.insert("browserName".to_owned(), json!("chrome"));
    capabilities.insert("goog:chromeOptions".to_owned(), options);
    capabilities
}

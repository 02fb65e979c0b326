//! Sessions: a random token in a cookie that no script reads; the store keeps its hash. And the cookie of the theme.

use crate::app::App;
use crate::problem::Problem;
use crate::secrets;
use axum::http::{HeaderMap, HeaderValue, header};
use jiff::{SignedDuration, Timestamp};

/// How long a session lasts without use.
pub(crate) const IDLE: SignedDuration = SignedDuration::from_hours(12);
const NAME: &str = "hingeline";
const TAKEN: &str = "hingeline-taken";
const THEME: &str = "hingeline-theme";

/// A value of the request's cookies.
fn cookie<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(key, _)| *key == name)
        .map(|(_, value)| value)
}

/// The token of a request: 64 hexadecimal digits, anything else is none.
pub(crate) fn token_of(headers: &HeaderMap) -> Option<String> {
    let token = cookie(headers, NAME)?;
    let sound = token.len() == 64 && token.bytes().all(|byte| byte.is_ascii_hexdigit());
    sound.then(|| token.to_owned())
}

/// When a session that is used now ends.
pub(crate) fn end(now: Timestamp) -> Timestamp {
    now.saturating_add(IDLE).unwrap_or(Timestamp::MAX)
}

/// Starts a session; gives its cookie.
pub(crate) async fn start(app: &App, login: &str) -> Result<HeaderValue, Problem> {
    let (token, now, login) = (secrets::token(), app.clock().now(), login.to_owned());
    let kept = token.clone();
    app.ask(move |store| {
        store.end_sessions_past(now)?;
        store.start_session(&kept, &login, now, end(now))
    })
    .await?;
    set(app, NAME, &token, "; HttpOnly; SameSite=Strict")
}

/// The cookie that takes the session's away.
pub(crate) fn forget(app: &App) -> Result<HeaderValue, Problem> {
    set(app, NAME, "", "; HttpOnly; SameSite=Strict; Max-Age=0")
}

/// The cookie that tells a page's script which form was taken last.
pub(crate) fn taken(app: &App, path: &str) -> Result<HeaderValue, Problem> {
    set(app, TAKEN, &crate::parts::escape(path), "; SameSite=Strict; Max-Age=60")
}

fn set(app: &App, name: &str, value: &str, rest: &str) -> Result<HeaderValue, Problem> {
    let secure = if app.config().secure { "; Secure" } else { "" };
    HeaderValue::from_str(&format!("{name}={value}; Path=/{rest}{secure}"))
        .map_err(|error| Problem::Defect { what: error.to_string() })
}

/// Light, dark, or as the device has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Theme {
    /// As the device has it.
    #[default]
    Device,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl Theme {
    /// All of them, with the word in the cookie.
    pub(crate) const ALL: [(&'static str, Self); 3] =
        [("device", Self::Device), ("light", Self::Light), ("dark", Self::Dark)];

    pub(crate) fn read(word: &str) -> Self {
        Self::ALL.iter().find(|(known, _)| *known == word).map_or(Self::Device, |(_, theme)| *theme)
    }
    pub(crate) fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, theme)| *theme == self).map_or("device", |(word, _)| word)
    }
    pub(crate) fn of(headers: &HeaderMap) -> Self {
        cookie(headers, THEME).map_or(Self::Device, Self::read)
    }
    pub(crate) fn keep(self, app: &App) -> Result<HeaderValue, Problem> {
        set(app, THEME, self.word(), "; SameSite=Lax; Max-Age=31536000")
    }
}

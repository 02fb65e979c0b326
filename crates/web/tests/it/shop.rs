//! A shop with one person of each role, and a browser of one of them.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Request, StatusCode, header};
use hingeline_bench::record::deed::{Deed, Person, Role};
use hingeline_bench::record::ledger::Draft;
use hingeline_bench::record::shop::LEDGER;
use hingeline_store::{Store, Write};
use hingeline_web::{App, Clock, Config, app};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::net::SocketAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use tempfile::TempDir;
use tower::ServiceExt;

/// 2026-10-02, 08:00 UTC.
pub(crate) const BEGIN: i64 = 1_790_928_000;

/// The people: login, role.
pub(crate) const PEOPLE: [(&str, Role); 4] = [
    ("tarn", Role::Technician),
    ("osterby", Role::Inspector),
    ("sandell", Role::DataKeeper),
    ("admin", Role::Administrator),
];

pub(crate) struct Shop {
    pub(crate) app: App,
    now: Arc<AtomicI64>,
    _folder: TempDir,
}

impl Shop {
    /// Nobody in it.
    pub(crate) fn empty() -> Self {
        Self::with(|_| {})
    }
    /// As the program starts, its settings changed.
    pub(crate) fn with(change: impl FnOnce(&mut Config)) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let now = Arc::new(AtomicI64::new(BEGIN));
        let hand = Arc::clone(&now);
        let time = move || Timestamp::from_second(hand.load(Ordering::SeqCst)).expect("a time");
        let mut config = Config {
            folder: folder.path().to_owned(),
            names: vec!["bench.test".to_owned()],
            secure: false,
            demo: false,
            clock: Clock::new(time, TimeZone::UTC),
        };
        change(&mut config);
        let app = App::open(config).expect("a shop");
        Self { app, now, _folder: folder }
    }
    /// One person of each role; nobody has a password or a PIN.
    pub(crate) fn new() -> Self {
        let shop = Self::empty();
        for (login, role) in PEOPLE {
            shop.person(login, role);
        }
        shop
    }
    pub(crate) fn store(&self) -> &Store {
        self.app.store()
    }
    pub(crate) fn person(&self, login: &str, role: Role) {
        let person = Person {
            name: format!("{}. {login}", &login[..1].to_uppercase()),
            role,
            also: None,
            certificate: "C-1".to_owned(),
            kind: "airframe".to_owned(),
            active: true,
        };
        self.deed(LEDGER, "setup", &Deed::PersonEntered { login: login.to_owned(), person });
    }
    /// Writes a deed past all rules.
    pub(crate) fn deed(&self, ledger: &str, by: &str, deed: &Deed) {
        let seen = self.store().entries(ledger).expect("entries").len() as u64;
        let body = serde_json::to_string(deed).expect("JSON");
        let draft = Draft {
            ledger: ledger.to_owned(),
            at: "2026-10-02T08:00:00Z".to_owned(),
            by: by.to_owned(),
            body,
        };
        self.store().append(&[Write { draft, seen }]).expect("an entry");
    }
    /// Lets time pass.
    pub(crate) fn wait(&self, seconds: i64) {
        self.now.fetch_add(seconds, Ordering::SeqCst);
    }
    /// How many entries the shop's own ledger has.
    pub(crate) fn seen(&self) -> String {
        self.store().shop().expect("a shop").entries.to_string()
    }
    /// A browser that nobody has logged in with.
    pub(crate) fn stranger(&self) -> Browser {
        Browser { router: app(self.app.clone()), cookie: None, host: "127.0.0.1:8080".to_owned() }
    }
    /// A browser of a person who is logged in.
    pub(crate) fn of(&self, login: &str) -> Browser {
        let token = format!("{:064x}", u64::from_str_radix(&blake(login), 16).expect("hex"));
        let now = Timestamp::from_second(self.now.load(Ordering::SeqCst)).expect("a time");
        let until = now + jiff::SignedDuration::from_hours(12);
        // Asked for a second time, the session is there already.
        let _ = self.store().start_session(&token, login, now, until);
        Browser { cookie: Some(format!("hingeline={token}")), ..self.stranger() }
    }
    /// A browser of the person with a role.
    pub(crate) fn as_role(&self, role: Role) -> Browser {
        let (login, _) = PEOPLE.iter().find(|(_, known)| *known == role).expect("a role");
        self.of(login)
    }
}

fn blake(text: &str) -> String {
    text.bytes().fold(7u64, |sum, byte| sum.wrapping_mul(31).wrapping_add(u64::from(byte))).to_string()
}

#[derive(Clone)]
pub(crate) struct Browser {
    router: Router,
    pub(crate) cookie: Option<String>,
    pub(crate) host: String,
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) text: String,
}

impl Reply {
    pub(crate) fn location(&self) -> &str {
        self.headers.get(header::LOCATION).map_or("", |value| value.to_str().expect("text"))
    }
    #[track_caller]
    pub(crate) fn is(self, status: u16) -> Self {
        assert_eq!(self.status.as_u16(), status, "{}", self.text);
        self
    }
    #[track_caller]
    pub(crate) fn says(self, words: &str) -> Self {
        let found = self.text.contains(words) || read(&self.text).contains(words);
        assert!(found, "no “{words}” in:\n{}", self.text);
        self
    }
    #[track_caller]
    pub(crate) fn goes(self, to: &str) -> Self {
        assert_eq!((self.status.as_u16(), self.location()), (303, to), "{}", self.text);
        self
    }
}

/// A page as it is read: words that are kept whole on their line are words as any other.
fn read(page: &str) -> String {
    let mut parts = page.split("<span class=\"whole-word\">");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| text + &part.replacen("</span>", "", 1))
}

impl Browser {
    pub(crate) async fn send(&self, request: Request<Body>) -> Reply {
        let (status, headers, bytes) = self.answer(request).await;
        Reply { status, headers, text: String::from_utf8_lossy(&bytes).into_owned() }
    }
    /// The same, for what is no text.
    pub(crate) async fn bytes(&self, request: Request<Body>) -> (HeaderMap, Vec<u8>) {
        let (_, headers, bytes) = self.answer(request).await;
        (headers, bytes)
    }
    async fn answer(&self, request: Request<Body>) -> (StatusCode, HeaderMap, Vec<u8>) {
        let mut request = request;
        let host = self.host.parse().expect("a host");
        request.headers_mut().entry(header::HOST).or_insert(host);
        if let Some(cookie) = &self.cookie {
            request.headers_mut().insert(header::COOKIE, cookie.parse().expect("a cookie"));
        }
        request.extensions_mut().insert(ConnectInfo(SocketAddr::from(([127, 0, 0, 1], 40_000))));
        let response = self.router.clone().oneshot(request).await.expect("an answer");
        let (parts, body) = response.into_parts();
        let bytes = to_bytes(body, 64 << 20).await.expect("a body");
        (parts.status, parts.headers, bytes.to_vec())
    }
    pub(crate) async fn get(&self, path: &str) -> Reply {
        self.send(Request::get(path).body(Body::empty()).expect("a request")).await
    }
    pub(crate) async fn post(&self, path: &str, form: &[(&str, &str)]) -> Reply {
        let body: Vec<String> = form.iter().map(|(k, v)| format!("{}={}", escape(k), escape(v))).collect();
        let request = Request::post(path)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from(body.join("&")));
        self.send(request.expect("a request")).await
    }
}

fn escape(text: &str) -> String {
    text.bytes().map(|byte| format!("%{byte:02X}")).collect()
}

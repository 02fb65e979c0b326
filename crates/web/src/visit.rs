//! Who is asking, on which day, for what. Main type: [`Visit`], the first argument of every handler.
//!
//! Two layers: [`recognise`] stands round everything and renders whatever went wrong; [`admit`] stands round each row of
//! the table and lets in who may.

use crate::app::App;
use crate::form::{Typed, Wrong};
use crate::guard;
use crate::layout;
use crate::pages::job::weigh;
use crate::problem::Problem;
use crate::routes::Who;
use crate::secrets::{self, Secret, Tried};
use crate::session::{self, Theme};
use axum::extract::{ConnectInfo, FromRequestParts, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use hingeline_bench::record::deed::{Deed, Person};
use hingeline_bench::record::job::{Job, ledger_of};
use hingeline_bench::record::ledger::{Draft, Stored};
use hingeline_bench::record::shop::{LEDGER, Shop};
use hingeline_store::{Credential, Head, Write};
use jiff::Timestamp;
use jiff::civil::Date;
use maud::Markup;
use std::net::SocketAddr;
use std::sync::Arc;

/// What a handler gives.
pub(crate) type Answer = Result<Response, Problem>;

/// The person who is logged in.
#[derive(Debug, Clone)]
pub(crate) struct Me {
    /// The login name.
    pub(crate) login: String,
    /// What the record knows about them.
    pub(crate) person: Person,
}

/// One request, with what every page needs.
#[derive(Debug, Clone)]
pub(crate) struct Visit {
    /// What all pages share.
    pub(crate) app: App,
    /// Who is logged in.
    pub(crate) me: Option<Me>,
    /// The shop as it stands.
    pub(crate) shop: Arc<Shop>,
    /// The newest entry of the whole shop.
    pub(crate) head: Head,
    /// The time.
    pub(crate) now: Timestamp,
    /// The day, in the shop's zone.
    pub(crate) today: Date,
    /// Light or dark.
    pub(crate) theme: Theme,
    /// The path that was asked for.
    pub(crate) path: String,
    /// The page that the visitor sees: this one, or the one whose form was sent.
    pub(crate) here: String,
    /// What stands behind its question mark.
    pub(crate) query: Typed,
    /// The token of the session.
    pub(crate) token: Option<String>,
    /// Whether the request comes from this machine itself.
    pub(crate) from_here: bool,
    /// Whether the browser says that no page of ours led here.
    pub(crate) from_outside: bool,
    /// Whether a form was sent, so that this page is the answer to it.
    pub(crate) posted: bool,
}

/// What is done in the same moment as deeds are entered.
enum With {
    /// No more.
    Nothing,
    /// What was typed into forms that are at an end with it is forgotten.
    NoDrafts {
        /// Of which job.
        job: String,
        /// Which forms.
        forms: Vec<String>,
    },
    /// What lets a person in is set.
    Credential(Credential),
}

impl Visit {
    /// The person who is logged in.
    pub(crate) fn me(&self) -> Result<&Me, Problem> {
        self.me.as_ref().ok_or_else(|| Problem::Forbidden { needs: "a log-in".to_owned() })
    }
    /// Whether the person who is logged in may use a row of the table.
    pub(crate) fn may(&self, who: Who) -> bool {
        let Some(me) = &self.me else { return who.admits(None) };
        who.admits(Some(me.person.role)) || me.person.also.is_some_and(|also| who.admits(Some(also)))
    }
    /// A time of the record as the shop's clock shows it.
    pub(crate) fn local(&self, at: &str) -> String {
        self.app.clock().local(at)
    }
    /// The end of a day that is past in the shop, as the record writes times; none for today, or for no day.
    pub(crate) fn end_of(&self, day: &str) -> Option<String> {
        let day = day.trim().parse::<Date>().ok().filter(|day| *day < self.today)?;
        Some(self.app.clock().end_of(day))
    }
    /// The day of a time of the record, by the shop's clock.
    pub(crate) fn day_of(&self, at: &str) -> String {
        self.local(at).chars().take(10).collect()
    }
    /// A whole page.
    pub(crate) fn page(&self, title: &str, content: Markup) -> Answer {
        Ok(layout::page(self, title, content).into_response())
    }
    /// The page of a form that is refused (422): what was typed, with everything that is wrong.
    pub(crate) fn refused(&self, title: &str, content: Markup) -> Answer {
        Ok((StatusCode::UNPROCESSABLE_ENTITY, layout::page(self, title, content)).into_response())
    }

    /// A job.
    pub(crate) async fn job(&self, number: &str) -> Result<Job, Problem> {
        let wanted = number.to_owned();
        let job = self.app.ask(move |store| store.job(&wanted)).await?;
        job.ok_or_else(|| Problem::not_found(format!("job {number}")))
    }

    /// A job with its weights worked out, for pages that tell of them: on a thread that may wait, since the file of one
    /// may be large.
    pub(crate) async fn job_and_weights(&self, number: &str) -> Result<Job, Problem> {
        let job = self.job(number).await?;
        let weights = job.weights();
        let mesh = weights.iter().find_map(|weight| weight.mesh.clone());
        let work = move || weights.iter().for_each(|weight| drop(weight.worked()));
        self.app.work_out(mesh.as_ref(), work).await?;
        Ok(job)
    }

    /// Enters a deed in the shop's ledger, where the rules allow it. `typed` holds the form with its field `seen`.
    pub(crate) async fn enter_shop(&self, deed: &Deed, typed: &Typed) -> Result<Stored, Problem> {
        let me = self.me()?;
        self.shop.allows(deed, &me.person)?;
        self.append(LEDGER, std::slice::from_ref(deed), typed, With::Nothing).await
    }

    /// Enters a deed in the shop's ledger, and what lets a person in from now on: both or none.
    pub(crate) async fn enter_person(
        &self,
        deed: &Deed,
        typed: &Typed,
        credential: Credential,
    ) -> Result<Stored, Problem> {
        self.shop.allows(deed, &self.me()?.person)?;
        self.append(LEDGER, std::slice::from_ref(deed), typed, With::Credential(credential)).await
    }

    /// Enters deeds in a job's ledger, where the rules allow each, and forgets what was typed into forms that they end.
    ///
    /// `typed` holds the form with its field `seen`. Where somebody wrote in between, nothing is written and the page
    /// of [`Problem::Stale`] keeps what was typed.
    pub(crate) async fn enter_job(
        &self,
        number: &str,
        deeds: &[Deed],
        typed: &Typed,
    ) -> Result<Stored, Problem> {
        let me = self.me()?;
        let mut job = self.job(number).await?;
        if job.entries == typed.seen() {
            for deed in deeds {
                self.shop.allows_in(&job, deed, &me.person)?;
                job = job.after(deed, &me.person.name);
            }
        }
        let forms = deeds.iter().flat_map(weigh::ended_by).collect();
        self.append(&ledger_of(number), deeds, typed, With::NoDrafts { job: number.to_owned(), forms }).await
    }

    /// Opens the ledger of a new job with its first deed; [`Problem::Stale`] where there is one of that number.
    pub(crate) async fn open_job(&self, number: &str, deed: &Deed, typed: &Typed) -> Result<Stored, Problem> {
        Job::default().allows(deed, &self.me()?.person)?;
        let mut first = typed.clone();
        first.set("seen", "0");
        self.append(&ledger_of(number), std::slice::from_ref(deed), &first, With::Nothing).await
    }

    async fn append(
        &self,
        ledger: &str,
        deeds: &[Deed],
        typed: &Typed,
        with: With,
    ) -> Result<Stored, Problem> {
        let by = self.me()?.person.name.clone();
        let writes = writes(ledger, deeds, typed.seen(), self.now, &by)?;
        let stored = self.app.ask(move |store| match with {
            With::NoDrafts { job, forms } => store.enter(&writes, &job, &forms),
            With::Credential(credential) => store.begin(&writes, &[credential]),
            With::Nothing => store.append(&writes),
        });
        match stored.await {
            Ok(stored) => stored
                .into_iter()
                .last()
                .ok_or_else(|| Problem::Defect { what: "no deed was given".to_owned() }),
            Err(Problem::Stale { ledger, seen, entries, .. }) => {
                Err(Problem::Stale { ledger, seen, entries, typed: Box::new(typed.clone()) })
            }
            Err(problem) => Err(problem),
        }
    }

    /// Tries the PIN in the form of a signature, once all else is right, so that a slip elsewhere costs no try.
    pub(crate) async fn sign(&self, typed: &Typed, wrong: &mut Wrong) -> Result<(), Problem> {
        // Who has none hears of it at once, not after everything else is right.
        let login = self.me()?.login.clone();
        let known = self.app.ask(move |store| store.credential(&login)).await?;
        if known.is_none_or(|known| known.pin.is_none()) {
            if let Some(said) = secrets::said(self, Secret::Pin, Tried::NotSet) {
                wrong.say("pin", said);
            }
            return Ok(());
        }
        wrong.need(typed, "pin", "the PIN");
        if wrong.is_empty() {
            let tried =
                secrets::attempt(&self.app, &self.me()?.login, Secret::Pin, typed.exact("pin")).await?;
            if let Some(said) = secrets::said(self, Secret::Pin, tried) {
                wrong.say("pin", said);
            }
        }
        Ok(())
    }
}

/// Drafts of entries, as the store takes them.
pub(crate) fn writes(
    ledger: &str,
    deeds: &[Deed],
    seen: u64,
    now: Timestamp,
    by: &str,
) -> Result<Vec<Write>, Problem> {
    let write = |deed: &Deed| {
        let body =
            serde_json::to_string(deed).map_err(|error| Problem::Defect { what: error.to_string() })?;
        // To the second: nobody reads the record in microseconds.
        let at = now.strftime("%Y-%m-%dT%H:%M:%SZ").to_string();
        let draft = Draft { ledger: ledger.to_owned(), at, by: by.to_owned(), body };
        Ok(Write { draft, seen })
    };
    deeds.iter().map(write).collect()
}

impl<S: Send + Sync> FromRequestParts<S> for Visit {
    type Rejection = Problem;
    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Problem> {
        let visit = parts.extensions.get::<Self>().cloned();
        visit.ok_or_else(|| Problem::Defect { what: "a page outside the table of routes".to_owned() })
    }
}

/// Goes to another page after a form was entered (303).
pub(crate) fn go(to: &str) -> Answer {
    let to = HeaderValue::from_str(to).map_err(|error| Problem::Defect { what: error.to_string() })?;
    Ok((StatusCode::SEE_OTHER, [(header::LOCATION, to)]).into_response())
}

/// Goes there and says a sentence of [`crate::parts::DONE`] at its top.
pub(crate) fn go_saying(to: &str, done: &str) -> Answer {
    let joint = if to.contains('?') { '&' } else { '?' };
    go(&format!("{to}{joint}done={done}"))
}

/// What a browser does with a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Given {
    /// It keeps it.
    ToKeep,
    /// It shows it.
    ToSee,
}

/// A file; in its name a sign that some system minds becomes a line.
pub(crate) fn file(given: Given, media: &'static str, name: &str, body: impl IntoResponse) -> Answer {
    let plain = |sign: char| if sign.is_ascii_alphanumeric() || "._-".contains(sign) { sign } else { '_' };
    let name: String = name.chars().map(plain).collect();
    let how = match given {
        Given::ToKeep => "attachment",
        Given::ToSee => "inline",
    };
    let disposition = format!("{how}; filename=\"{name}\"");
    let headers = [(header::CONTENT_TYPE, media.to_owned()), (header::CONTENT_DISPOSITION, disposition)];
    Ok((headers, body).into_response())
}

/// Round everything: finds out who asks, and renders what went wrong.
pub(crate) async fn recognise(State(app): State<App>, mut request: Request, next: Next) -> Response {
    let asked = Asked::of(&request);
    let visit = match read(&app, asked).await {
        Ok(visit) => visit,
        Err(problem) => return layout::bare(&problem),
    };
    request.extensions_mut().insert(visit.clone());
    let mut response = next.run(request).await;
    let problem = response.extensions().get::<Problem>().cloned();
    if let Some(problem) = problem {
        return layout::problem(&visit, &problem).await;
    }
    if visit.posted && visit.me.is_some() && response.status() == StatusCode::SEE_OTHER {
        // Tells the page that what was typed is taken, so that the device need not keep it.
        if let Ok(cookie) = session::taken(&visit.app, &visit.path) {
            response.headers_mut().append(header::SET_COOKIE, cookie);
        }
    }
    response
}

/// What of a request tells who asks, and for what.
struct Asked {
    token: Option<String>,
    theme: Theme,
    path: String,
    here: String,
    query: Typed,
    from_here: bool,
    from_outside: bool,
    posted: bool,
}

impl Asked {
    fn of(request: &Request) -> Self {
        let peer = request.extensions().get::<ConnectInfo<SocketAddr>>();
        let site = request.headers().get("sec-fetch-site");
        Self {
            token: session::token_of(request.headers()),
            theme: Theme::of(request.headers()),
            path: request.uri().path().to_owned(),
            here: here(request),
            query: Typed::of_query(request.uri().query()),
            from_here: peer.is_some_and(|ConnectInfo(peer)| peer.ip().to_canonical().is_loopback()),
            from_outside: site.is_some_and(|site| site != "same-origin"),
            posted: request.method() == Method::POST,
        }
    }
}

/// The page to come back to: of a form it is the page that it stands on.
fn here(request: &Request) -> String {
    if request.method() == Method::GET {
        return request.uri().path().to_owned();
    }
    let referer = request.headers().get(header::REFERER).and_then(|value| value.to_str().ok());
    let rest = referer.and_then(|referer| referer.split_once("://")).map(|(_, rest)| rest);
    let host = guard::asked(request).unwrap_or_default();
    inside(rest.and_then(|rest| rest.strip_prefix(host.as_str())).unwrap_or("/")).to_owned()
}

/// A path of this shop; anything else leads to the first page.
pub(crate) fn inside(to: &str) -> &str {
    // A browser leaves tabs and line ends out of an address before it reads it.
    let plain = to.bytes().all(|byte| (0x21..0x7f).contains(&byte) && byte != b'\\');
    let sound = plain && to.starts_with('/') && !to.starts_with("//");
    if sound { to } else { "/" }
}

async fn read(app: &App, asked: Asked) -> Result<Visit, Problem> {
    let now = app.clock().now();
    let token = asked.token.clone();
    let found = app.ask(move |store| {
        let (shop, head) = (store.shop()?, store.head()?);
        let Some(token) = token else { return Ok((shop, head, None)) };
        Ok((shop, head, store.use_session(&token, now, session::end(now))?))
    });
    let (shop, head, session) = found.await?;
    let me = session.and_then(|session| {
        let person = shop.person(&session.login)?.clone();
        Some(Me { login: session.login, person })
    });
    let Asked { token, theme, path, here, query, from_here, from_outside, posted } = asked;
    let today = app.clock().day(now);
    let token = token.filter(|_| me.is_some());
    Ok(Visit {
        app: app.clone(),
        me,
        shop,
        head,
        now,
        today,
        theme,
        path,
        here,
        query,
        token,
        from_here,
        from_outside,
        posted,
    })
}

/// Round one row of the table: lets in who may.
pub(crate) async fn admit(State(who): State<Who>, visit: Visit, request: Request, next: Next) -> Response {
    if visit.may(who) {
        return next.run(request).await;
    }
    if visit.me.is_some() {
        return Problem::Forbidden { needs: who.words().to_owned() }.into_response();
    }
    let begin = if visit.shop.people.is_empty() { "/set-up".to_owned() } else { sign_in(&visit) };
    go(&begin).unwrap_or_else(IntoResponse::into_response)
}

/// The log-in page, with the page to come back to; where a form was sent, it says that nothing of it was entered.
fn sign_in(visit: &Visit) -> String {
    let to = crate::parts::escape(&visit.here);
    match (visit.posted, visit.here.as_str()) {
        (true, _) => format!("/log-in?out=yes&to={to}"),
        (false, "/") => "/log-in".to_owned(),
        (false, _) => format!("/log-in?to={to}"),
    }
}

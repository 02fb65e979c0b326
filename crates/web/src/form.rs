//! Forms: what was typed, and what is wrong with it. Main types: [`Typed`], [`Wrong`], [`Filled`].
//!
//! A form is shown from a [`Filled`]: the values that stand in it and what is to be said beside each field. After a
//! faulty entry the same form is shown again with what was typed and everything that is wrong with it.

use crate::app::App;
use crate::problem::Problem;
use axum::body::Bytes;
use axum::extract::multipart::MultipartError;
use axum::extract::{FromRequest, Multipart, Request};
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;

/// The fields of a form as they were sent, in their order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Typed {
    pairs: Vec<(String, String)>,
    files: Vec<Upload>,
}

/// A file of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Upload {
    /// The field.
    pub(crate) field: String,
    /// The file's own name.
    pub(crate) name: String,
    /// The media type as the browser says it.
    pub(crate) media: String,
    /// What is in it.
    pub(crate) bytes: Bytes,
}

impl Typed {
    /// A form with these values.
    pub(crate) fn of<K: Into<String>, V: Into<String>>(pairs: impl IntoIterator<Item = (K, V)>) -> Self {
        Self { pairs: pairs.into_iter().map(|(k, v)| (k.into(), v.into())).collect(), files: Vec::new() }
    }
    /// The value of a field without the space around it; empty where it is missing.
    pub(crate) fn get(&self, name: &str) -> &str {
        self.pairs.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.trim())
    }
    /// The value as it was sent, space and all (passwords).
    pub(crate) fn exact(&self, name: &str) -> &str {
        self.pairs.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value)
    }
    /// Whether a field was sent and is not empty.
    pub(crate) fn has(&self, name: &str) -> bool {
        !self.get(name).is_empty()
    }
    /// Every value sent under a name, the empty ones left out.
    pub(crate) fn all(&self, name: &str) -> Vec<&str> {
        let found = self.pairs.iter().filter(|(key, _)| key == name);
        found.map(|(_, value)| value.trim()).filter(|value| !value.is_empty()).collect()
    }
    /// Whether one of the values sent under a name is this one (boxes that are ticked).
    pub(crate) fn ticked(&self, name: &str, value: &str) -> bool {
        self.all(name).contains(&value)
    }
    /// A whole number.
    pub(crate) fn number(&self, name: &str) -> Option<u64> {
        self.get(name).parse().ok()
    }
    /// How many entries the page knew when it was made: the hidden field of [`crate::parts::seen`].
    pub(crate) fn seen(&self) -> u64 {
        self.number("seen").unwrap_or(0)
    }
    /// The lines of a field, the empty ones left out.
    pub(crate) fn lines(&self, name: &str) -> Vec<String> {
        self.get(name).lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect()
    }
    /// The numbers N of all fields "name.N.key", in order.
    pub(crate) fn rows(&self, name: &str) -> Vec<usize> {
        let number =
            |key: &String| key.strip_prefix(name)?.strip_prefix('.')?.split('.').next()?.parse().ok();
        let mut rows: Vec<usize> = self.pairs.iter().filter_map(|(key, _)| number(key)).collect();
        rows.sort_unstable();
        rows.dedup();
        rows
    }
    /// Puts a value in, in place of what stood there.
    pub(crate) fn set(&mut self, name: &str, value: impl Into<String>) {
        self.pairs.retain(|(key, _)| key != name);
        self.pairs.push((name.to_owned(), value.into()));
    }
    /// All of them.
    pub(crate) fn pairs(&self) -> &[(String, String)] {
        &self.pairs
    }
    /// A file, where one was chosen.
    pub(crate) fn file(&self, field: &str) -> Option<&Upload> {
        self.files.iter().find(|file| file.field == field && !file.bytes.is_empty())
    }

    fn read(text: &str) -> Self {
        let pairs = text.split('&').filter(|part| !part.is_empty()).map(|part| {
            let (key, value) = part.split_once('=').unwrap_or((part, ""));
            (unescape(key), unescape(value))
        });
        Self { pairs: pairs.collect(), files: Vec::new() }
    }

    /// The fields behind the question mark of an address.
    pub(crate) fn of_query(query: Option<&str>) -> Self {
        Self::read(query.unwrap_or(""))
    }
}

/// A part of a form's text, with its escapes read; what is no escape stays as it is.
fn unescape(part: &str) -> String {
    let bytes = part.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while at < bytes.len() {
        let digits = part.get(at + 1..at + 3).filter(|two| two.bytes().all(|byte| byte.is_ascii_hexdigit()));
        let escaped = digits.and_then(|two| u8::from_str_radix(two, 16).ok());
        match (bytes[at], escaped) {
            (b'%', Some(byte)) => {
                out.push(byte);
                at += 2;
            }
            (b'+', _) => out.push(b' '),
            (byte, _) => out.push(byte),
        }
        at += 1;
    }
    String::from_utf8_lossy(&out).replace("\r\n", "\n")
}

impl FromRequest<App> for Typed {
    type Rejection = Problem;
    async fn from_request(request: Request, state: &App) -> Result<Self, Problem> {
        let media = request.headers().get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok());
        let media = media.unwrap_or("").to_ascii_lowercase();
        if media.starts_with("multipart/form-data") {
            let parts = Multipart::from_request(request, state).await;
            return multipart(parts.map_err(refused)?).await;
        }
        if !media.is_empty() && !media.starts_with("application/x-www-form-urlencoded") {
            return Err(Problem::Unreadable { what: format!("it is {media}, and a form is wanted") });
        }
        let bytes = Bytes::from_request(request, state).await.map_err(refused)?;
        let text =
            std::str::from_utf8(&bytes).map_err(|error| Problem::Unreadable { what: error.to_string() })?;
        Ok(Self::read(text))
    }
}

fn refused<E: IntoResponse + std::fmt::Display>(error: E) -> Problem {
    let what = error.to_string();
    match error.into_response().status() {
        StatusCode::PAYLOAD_TOO_LARGE => Problem::TooLarge { typed: Box::default() },
        _ => Problem::Unreadable { what },
    }
}

async fn multipart(mut parts: Multipart) -> Result<Typed, Problem> {
    let mut typed = Typed::default();
    let wrong = |error: MultipartError, typed: &Typed| match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => {
            // What was read before the file that was too much can be shown again.
            let typed = Typed { pairs: typed.pairs.clone(), files: Vec::new() };
            Problem::TooLarge { typed: Box::new(typed) }
        }
        _ => Problem::Unreadable { what: error.body_text() },
    };
    while let Some(part) = parts.next_field().await.map_err(|error| wrong(error, &typed))? {
        let field = part.name().unwrap_or("").to_owned();
        let file = part.file_name().map(str::to_owned);
        let media = part.content_type().unwrap_or("application/octet-stream").to_owned();
        let bytes = part.bytes().await.map_err(|error| wrong(error, &typed))?;
        match file {
            Some(name) => typed.files.push(Upload { field, name, media, bytes }),
            None => {
                let value = String::from_utf8_lossy(&bytes).replace("\r\n", "\n");
                typed.pairs.push((field, value));
            }
        }
    }
    Ok(typed)
}

/// One thing that is wrong with a field.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Said {
    /// What is wrong, with what was given.
    pub(crate) what: String,
    /// What is allowed.
    pub(crate) allowed: Option<String>,
    /// What to do.
    pub(crate) hint: Option<String>,
    /// Where to do it: address and words.
    pub(crate) at: Option<(&'static str, &'static str)>,
}

impl Said {
    pub(crate) fn new(what: impl Into<String>) -> Self {
        Self { what: what.into(), ..Self::default() }
    }
    pub(crate) fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
    /// The page on which it is done.
    pub(crate) fn at(mut self, address: &'static str, words: &'static str) -> Self {
        self.at = Some((address, words));
        self
    }
}

impl From<&hingeline_bench::Fault> for Said {
    fn from(fault: &hingeline_bench::Fault) -> Self {
        Self { what: fault.what.clone(), allowed: fault.allowed.clone(), hint: fault.hint.clone(), at: None }
    }
}

/// Everything that is wrong with a form, by field, in the order in which it was found; the empty name is for the form as a whole.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Wrong {
    by_field: Vec<(String, Vec<Said>)>,
}

impl Wrong {
    pub(crate) fn say(&mut self, field: impl Into<String>, said: Said) {
        let field = field.into();
        match self.by_field.iter_mut().find(|(known, _)| *known == field) {
            Some((_, all)) => all.push(said),
            None => self.by_field.push((field, vec![said])),
        }
    }
    pub(crate) fn is_empty(&self) -> bool {
        self.by_field.is_empty()
    }
    pub(crate) fn of(&self, field: &str) -> &[Said] {
        self.by_field.iter().find(|(known, _)| known == field).map_or(&[], |(_, said)| said)
    }
    pub(crate) fn all(&self) -> impl Iterator<Item = (&str, &Said)> {
        self.by_field.iter().flat_map(|(field, said)| said.iter().map(move |said| (field.as_str(), said)))
    }
    /// The same in the order of the form, first what is said of the form as a whole. A field that was not sent (no
    /// choice made) keeps its place behind the one that was judged before it.
    fn in_order<'w>(&'w self, typed: &Typed) -> Vec<(&'w str, &'w Said)> {
        let place = |field: &str| typed.pairs.iter().position(|(key, _)| key == field).map(|place| place + 1);
        let mut last = 0;
        let mut placed: Vec<(usize, (&str, &Said))> = Vec::new();
        for (field, said) in self.all() {
            last = if field.is_empty() { 0 } else { place(field).unwrap_or(last) };
            placed.push((last, (field, said)));
        }
        placed.sort_by_key(|(place, _)| *place);
        placed.into_iter().map(|(_, said)| said).collect()
    }
    /// Says that a field is empty where it is; gives its value.
    pub(crate) fn need<'t>(&mut self, typed: &'t Typed, field: &str, label: &str) -> &'t str {
        let value = typed.get(field);
        if value.is_empty() {
            self.say(field, Said::new(format!("{label} is empty")).hint("fill it in"));
        }
        value
    }
}

/// What stands in a form, and what is said beside it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Filled {
    /// The values.
    pub(crate) typed: Typed,
    /// What is wrong.
    pub(crate) wrong: Wrong,
}

impl Filled {
    /// A form that nobody has sent yet.
    pub(crate) fn with<K: Into<String>, V: Into<String>>(pairs: impl IntoIterator<Item = (K, V)>) -> Self {
        Self { typed: Typed::of(pairs), wrong: Wrong::default() }
    }
    /// Everything that is wrong, in the order of the form.
    pub(crate) fn wrong_in_order(&self) -> Vec<(&str, &Said)> {
        self.wrong.in_order(&self.typed)
    }
    /// A form that was sent, with all that is wrong with it.
    pub(crate) fn refused(typed: Typed, wrong: Wrong) -> Self {
        Self { typed, wrong }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_are_read_and_what_is_none_stays() {
        let typed = Typed::read("a=1+2&b=%C2%B5m&c=100%&d=%zz&e&=f&g=x%0D%0Ay&%C3%A4=1&h=%+5");
        let pairs = [
            ("a", "1 2"),
            ("b", "µm"),
            ("c", "100%"),
            ("d", "%zz"),
            ("e", ""),
            ("", "f"),
            ("g", "x\ny"),
            ("ä", "1"),
            ("h", "% 5"),
        ];
        assert_eq!(typed, Typed::of(pairs));
    }

    #[test]
    fn no_text_makes_it_panic() {
        for text in ["%", "%%", "%a", "=%", "&&&", "a=%f", "%ff=%fe", "é%é", "+%2", "a=\u{1F600}%F0%9F"] {
            Typed::read(text);
        }
    }

    #[test]
    fn fields_of_one_name_and_rows_are_found() {
        let typed = Typed::read("r=1&r=&r=+2+&p.3.a=x&p.1.a=y&p.x.a=z&pp.2.a=n&p.1.b=m");
        assert_eq!(typed.all("r"), ["1", "2"]);
        assert_eq!(typed.rows("p"), [1, 3]);
        assert!(typed.ticked("r", "2") && !typed.ticked("r", "3"));
        assert_eq!((typed.get("missing"), typed.number("r"), typed.seen()), ("", Some(1), 0));
        assert_eq!(Typed::of([("l", " a \n\n b\n")]).lines("l"), ["a", "b"]);
    }

    #[test]
    fn what_is_wrong_is_said_in_the_order_of_the_form() {
        let typed = Typed::of([("a", "1"), ("b", "2"), ("c", "3")]);
        let mut wrong = Wrong::default();
        for field in ["c", "not sent", "a", "", "b"] {
            wrong.say(field, Said::new("x"));
        }
        let filled = Filled::refused(typed, wrong);
        let fields: Vec<&str> = filled.wrong_in_order().into_iter().map(|(field, _)| field).collect();
        assert_eq!(fields, ["", "a", "b", "c", "not sent"]);
    }

    #[test]
    fn a_value_is_put_in_place_of_what_stood_there() {
        let mut typed = Typed::of([("a", "1"), ("b", "2"), ("a", "3")]);
        typed.set("a", "4");
        assert_eq!(typed.all("a"), ["4"]);
    }
}

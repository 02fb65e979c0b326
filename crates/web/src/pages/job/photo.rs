//! Photographs: taken in from a phone's camera, kept under their hash, shown again only by a job that holds them.
//!
//! What a file is, its first bytes say; neither its name nor what the browser calls it is believed or kept.

use super::{at, name, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field};
use crate::problem::Problem;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Job;
use maud::{Markup, html};

/// The largest photograph, in bytes.
pub(crate) const LARGEST: usize = 10 * 1024 * 1024;
/// The largest form that is read at all: a photograph and its words.
pub(crate) const LARGEST_FORM: usize = LARGEST + 2 * 1024 * 1024;
/// Characters of a caption at most.
const LONGEST: usize = 300;

const MEDIA: [&str; 3] = ["image/jpeg", "image/png", "image/webp"];

/// GET /jobs/{number}/photo
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    visit.page(&name(&job, "Photograph"), content(&job, &Filled::default()))
}

/// POST /jobs/{number}/photo
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Result<Typed, Problem>) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let typed = match typed {
        Err(Problem::TooLarge { typed }) => {
            let said = Said::new("the file is larger than this page takes").allowed(ALLOWED);
            wrong.say("photo", said.hint("take it with a lower resolution, or save it smaller"));
            let page = content(&job, &Filled::refused(*typed, wrong));
            let page = visit.refused(&name(&job, "Photograph"), page)?;
            return Ok((StatusCode::PAYLOAD_TOO_LARGE, page).into_response());
        }
        typed => typed?,
    };
    let caption = caption(&typed, &mut wrong);
    let media = judge(&typed, &mut wrong);
    let photo = typed.file("photo").map(|file| file.bytes.clone());
    let (Some(media), Some(photo), true) = (media, photo, wrong.is_empty()) else {
        return visit.refused(&name(&job, "Photograph"), content(&job, &Filled::refused(typed, wrong)));
    };
    let file = visit.app.ask(move |store| store.put_file(&photo)).await?;
    let deed = Deed::Photographed { file, media: media.to_owned(), caption };
    // A photograph contradicts nothing that was written in between, and could not be kept on the page that says so.
    let mut newest = typed;
    newest.set("seen", job.entries.to_string());
    visit.enter_job(&number, &[deed], &newest).await?;
    go_saying(&at(&number, ""), "photographed")
}

/// The words under a photograph.
pub(super) fn caption(typed: &Typed, wrong: &mut Wrong) -> String {
    let caption = wrong.need(typed, "caption", "what it shows").to_owned();
    if caption.chars().count() > LONGEST {
        wrong.say(
            "caption",
            Said::new("the words are too many")
                .allowed(format!("up to {LONGEST} characters"))
                .hint("put the rest into a remark"),
        );
    }
    caption
}

/// The media type of the file, or what is wrong with it.
fn judge(typed: &Typed, wrong: &mut Wrong) -> Option<&'static str> {
    let Some(file) = typed.file("photo") else {
        wrong.say(
            "photo",
            Said::new("no photograph is chosen").allowed(ALLOWED).hint("take one, or choose a file"),
        );
        return None;
    };
    if file.bytes.len() > LARGEST {
        let said = Said::new(format!("the file has {} MB", megabytes(file.bytes.len()))).allowed(ALLOWED);
        wrong.say("photo", said.hint("take it with a lower resolution"));
    }
    let media = media(&file.bytes);
    if media.is_none() {
        let said = Said::new("the file is no photograph that browsers show").allowed(ALLOWED);
        wrong.say(
            "photo",
            said.hint("save it as JPEG first; what counts is what is in the file, not its name"),
        );
    }
    media
}

const ALLOWED: &str = "JPEG, PNG or WebP, up to 10 MB";

/// Megabytes to one place, rounded up, so that what is too large never reads as allowed.
fn megabytes(bytes: usize) -> String {
    let tenths = (bytes * 10).div_ceil(1024 * 1024);
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// What a file is by its first bytes.
fn media(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0xFF, 0xD8, 0xFF, ..] => Some(MEDIA[0]),
        [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1A, b'\n', ..] => Some(MEDIA[1]),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some(MEDIA[2]),
        _ => None,
    }
}

/// GET /jobs/{number}/photo/{hash}
pub(crate) async fn show(visit: Visit, Path((number, hash)): Path<(String, String)>) -> Answer {
    let job = visit.job(&number).await?;
    let missing = || Problem::not_found(format!("photograph {hash} in job {number}"));
    let media = media_of(&job, &hash).ok_or_else(missing)?;
    let wanted = hash.clone();
    let bytes = visit.app.ask(move |store| store.file(&wanted)).await?.ok_or_else(missing)?;
    let headers = [
        (header::CONTENT_TYPE, media),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::CONTENT_SECURITY_POLICY, "default-src 'none'"),
        (header::CACHE_CONTROL, "private, max-age=31536000, immutable"),
    ];
    Ok((headers, bytes).into_response())
}

/// The media type of a photograph that the job holds, a struck one too.
fn media_of(job: &Job, hash: &str) -> Option<&'static str> {
    let held = job.lines.iter().find_map(|line| match &line.deed {
        Deed::Photographed { file, media, .. } if file == hash => Some(media),
        _ => None,
    })?;
    MEDIA.into_iter().find(|known| known == held)
}

/// A photograph, small, with its words.
pub(super) fn thumbnail(job: &Job, file: &str, caption: &str, beside: &Markup) -> Markup {
    let to = at(job.text("number"), &format!("/photo/{}", parts::escape(file)));
    html! {
        figure.photo {
            a href=(to) { img src=(to) alt=(caption) loading="lazy"; }
            figcaption { (caption) (beside) }
        }
    }
}

fn content(job: &Job, filled: &Filled) -> Markup {
    let number = job.text("number");
    let wrong = filled.wrong.of("photo");
    let form = html! {
        form.card.flow.column method="post" action=(at(number, "/photo")) enctype="multipart/form-data" {
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            // Before the file, so that it is read even where the file is too large.
            (Field::line("caption", "What it shows").hint("damage, old weight, new weight fitted, set-up on the stand").needed().show(filled))
            div.field.wrong[!wrong.is_empty()] {
                label for="f-photo" { "Photograph" }
                p.hint #f-photo-hint { (ALLOWED) "; a phone offers its camera" }
                @if !wrong.is_empty() {
                    div.said #f-photo-wrong { @for said in wrong { (parts::said(said)) } }
                }
                input #f-photo type="file" name="photo" accept="image/jpeg,image/png,image/webp" data-preview="photo-preview" aria-describedby="f-photo-hint";
                img #photo-preview.preview alt="the photograph that was chosen" hidden;
            }
            div.row { button type="submit" { "Put it into the record" } a.button.quiet href=(at(number, "")) { "Back to the job" } }
        }
    };
    step(job, None, "Photograph", "It is kept in the record as it is, under its own hash.", &form)
}

#[cfg(test)]
mod tests {
    use super::{media, megabytes};

    #[test]
    fn the_first_bytes_say_what_a_file_is() {
        assert_eq!(media(b"\xFF\xD8\xFF\xE0rest"), Some("image/jpeg"));
        assert_eq!(media(b"\x89PNG\r\n\x1A\nrest"), Some("image/png"));
        assert_eq!(media(b"RIFF\x10\0\0\0WEBPVP8 "), Some("image/webp"));
        for other in [&b""[..], b"\xFF\xD8", b"GIF89a", b"<svg xmlns=", b"RIFF\x10\0\0\0WAVE", b"%PDF-1.7"] {
            assert_eq!(media(other), None);
        }
    }

    #[test]
    fn what_is_too_large_never_reads_as_allowed() {
        assert_eq!(megabytes(10 * 1024 * 1024 + 1), "10.1");
        assert_eq!(megabytes(10 * 1024 * 1024), "10.0");
    }
}

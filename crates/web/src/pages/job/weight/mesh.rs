//! The file of a piece that was drawn elsewhere: taken in, kept in the record under its hash, given out again.
//!
//! Only a file that is a closed surface is kept; what is wrong with another is said beside its field. The form carries
//! the file's name and its hash, so that it is sent once.

use super::{read, weight_at};
use crate::app::Heavy;
use crate::form::{Filled, Said, Typed, Upload, Wrong};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Given, Visit, file};
use axum::extract::Path;
use axum::http::header;
use hingeline_bench::record::deed::NamedFile;
use hingeline_bench::record::job::Job;
use hingeline_bench::weight::{Worked, refusal};
use maud::{Markup, html};
use std::sync::Arc;

/// The largest file, in bytes.
const LARGEST: usize = 64 * 1024 * 1024;
/// The largest form that is read at all: a file and the fields round it.
pub(crate) const LARGEST_FORM: usize = LARGEST + 1024 * 1024;
/// Signs of a file's name at most.
const LONGEST_NAME: usize = 100;
const ALLOWED: &str = "STL, OBJ or 3MF, up to 64 MB";

/// The field of the name, in the sheet.
const NAME: &str = "form.file";
/// The field of the hash, beside the sheet.
const HASH: &str = "mesh";
/// The field of a file that is sent.
const SENT: &str = "upload";

/// The file that a form names.
pub(super) fn named(typed: &Typed) -> Option<NamedFile> {
    let (name, file) = (typed.get(NAME).to_owned(), typed.get(HASH).to_owned());
    (typed.get("form.kind") == "mesh" && !name.is_empty() && !file.is_empty())
        .then_some(NamedFile { name, file })
}

/// Puts the file of an entry into a form.
pub(super) fn put(typed: &mut Typed, mesh: Option<&NamedFile>) {
    if let Some(mesh) = mesh {
        typed.set(HASH, mesh.file.clone());
    }
}

/// Keeps a file that was sent with a form, and puts it into the form; says what is wrong with it.
pub(super) async fn take(
    visit: &Visit,
    job: &Job,
    typed: &mut Typed,
    wrong: &mut Wrong,
) -> Result<(), Problem> {
    let Some(sent) = typed.file(SENT).cloned() else { return Ok(()) };
    let name = plain_name(&sent);
    // Whoever may not enter the weight leaves nothing in the record.
    let refused = match job.released {
        Some(_) => Some(("the job is released", "a job that is open")),
        None if !visit.may(Who::Worker) => {
            Some(("you may not enter weights", "from a technician or an inspector"))
        }
        None => None,
    };
    if let Some((why, allowed)) = refused {
        let said = Said::new(format!("“{name}” is not taken in: {why}")).allowed(allowed);
        wrong.say(NAME, said.hint("work with the sizes of the other forms here; nothing was kept"));
        return Ok(());
    }
    let unit = typed.get("form.unit").to_owned();
    if sent.bytes.len() > LARGEST {
        wrong.say(NAME, too_large(&format!("“{name}” is larger than this page takes")));
        return Ok(());
    }
    let (of, read, store) = (name.clone(), sent.bytes.clone(), Arc::clone(visit.app.store()));
    let kept = visit.app.heavy(Heavy::Mesh, move || match refusal(&of, &read, &unit) {
        Some(fault) => Ok(Err(fault)),
        None => store.put_file(&read).map(Ok),
    });
    match kept.await?? {
        Ok(hash) => {
            typed.set(NAME, name);
            typed.set(HASH, hash);
        }
        Err(fault) => wrong.say(NAME, Said { what: plainly(&fault.what), ..Said::from(&fault) }),
    }
    Ok(())
}

/// What is said of a file that is too large.
pub(super) fn too_large(what: &str) -> Said {
    let hint = "export it with fewer triangles, or as binary STL; nothing was entered";
    Said::new(what).allowed(ALLOWED).hint(hint)
}

/// The name of a file without its folder, as it stands in a sheet.
fn plain_name(sent: &Upload) -> String {
    let name = sent.name.rsplit(['/', '\\']).next().unwrap_or("");
    let name: String =
        name.chars().filter(|sign| !sign.is_control() && *sign != '"').take(LONGEST_NAME).collect();
    if name.trim().is_empty() { "mesh".to_owned() } else { name.trim().to_owned() }
}

/// What the reader of sheets says of the file, in the words of the page.
pub(super) fn said(typed: &Typed, said: Said) -> Said {
    if typed.has(NAME) && !typed.has(HASH) {
        let what = format!("“{}” is only a name: the file itself is not here yet", typed.get(NAME));
        return Said::new(what).allowed(ALLOWED).hint("choose the file from this device");
    }
    let what = plainly(&said.what);
    if what.contains("cannot be had") {
        return Said::new(what).allowed(ALLOWED).hint("choose it again from this device");
    }
    Said { what, ..said }
}

fn plainly(what: &str) -> String {
    what.trim_start_matches("form, file ").trim_start_matches("File: ").to_owned()
}

/// The field: the file that is there, and another in its place.
pub(super) fn field(filled: &Filled, label: &str, worked: Option<&Worked>) -> Markup {
    let name = filled.typed.get(NAME);
    let here = filled.typed.has(NAME) && filled.typed.has(HASH);
    let wrong = filled.wrong.of(NAME);
    let notes = worked.and_then(|worked| worked.sheet.mesh.as_ref()).map(|mesh| mesh.notes.as_slice());
    html! {
        div.field.full.wrong[!wrong.is_empty()] {
            label for="f-form-file" { (label) }
            p.hint #f-form-file-hint { (ALLOWED) "; a closed surface. It is kept as it is, under its own hash, as soon as it is chosen; the entry names it." }
            @if here { p.mesh-file { span aria-hidden="true" { "✓ " } "Here: " strong { (name) } ". Choose another to take its place." } }
            @for note in notes.into_iter().flatten() { p.mesh-note { span aria-hidden="true" { "! " } (note) } }
            @if !wrong.is_empty() { div.said #f-form-file-wrong { @for said in wrong { (read::said_of(said)) } } }
            input type="hidden" name=(NAME) value=(name);
            input type="hidden" name=(HASH) value=(filled.typed.get(HASH));
            input #f-form-file type="file" name=(SENT) accept=".stl,.obj,.3mf,model/stl,model/obj,model/3mf" data-most=(LARGEST)
                data-too-large={ "The file is larger than this page takes. Allowed: " (ALLOWED) "." }
                data-not-sent="The file did not arrive. Look at the connection, and choose it again." aria-describedby="f-form-file-hint";
            div.row.no-script { button.quiet type="submit" name="do" value="redraw" { "Send the file and work it out" } }
        }
    }
}

/// The file of a weight in the record, on the page of that weight.
pub(super) fn card(to: &str, mesh: &NamedFile) -> Markup {
    html! {
        div.card {
            h2 { "The file as it was taken in" }
            p { a href=(to) { (mesh.name) } }
            p.hint.mesh-file { "BLAKE3 " span.mono { (mesh.file) } }
        }
    }
}

/// GET /jobs/{number}/weights/{entry}/mesh
pub(crate) async fn give(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let mesh = weight.mesh.ok_or_else(|| Problem::not_found(format!("file of weight {entry}")))?;
    let (shelf, wanted) = (job.shelf, mesh.clone());
    let read = visit.app.ask(move |_| Ok(shelf.read(Some(&wanted)))).await?;
    let bytes = read.map_err(|why| Problem::not_found(format!("{}: {why}", mesh.name)))?;
    let headers = [
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::CONTENT_SECURITY_POLICY, "default-src 'none'"),
    ];
    file(Given::ToKeep, "application/octet-stream", &mesh.name, (headers, bytes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::Bytes;

    #[test]
    fn a_name_keeps_no_folder_and_no_sign_that_ends_a_text() {
        let of = |name: &str| {
            let (field, media) = (SENT.to_owned(), String::new());
            plain_name(&Upload { field, name: name.to_owned(), media, bytes: Bytes::new() })
        };
        assert_eq!(of("C:\\cad\\horn.stl"), "horn.stl");
        assert_eq!(of("../../etc/horn weight.stl"), "horn weight.stl");
        assert_eq!(of("a\"b\n.stl"), "ab.stl");
        assert_eq!(of(" / "), "mesh");
        assert_eq!(of(&"x".repeat(500)).len(), LONGEST_NAME);
    }
}

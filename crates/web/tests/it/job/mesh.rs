//! A piece that was drawn elsewhere: its file is taken in, judged at its field, kept, and given out again.

use super::Bench;
use crate::shop::Reply;
use axum::body::{Body, Bytes};
use axum::http::{Request, header};
use futures_util::StreamExt;
use hingeline_bench::record::weight::BalanceWeight;
use std::convert::Infallible;
use std::fs;
use std::path::PathBuf;

const HORN: &[u8] = include_bytes!("../../../../../demo/weights/HP-0240-horn.stl");
const SHEET: &str = include_str!("../../../../../demo/weights/HP-0240-horn-mesh.toml");

const PIECE: [(&str, &str); 12] = [
    ("station", "horn weight"),
    ("weight.job", "HP-1"),
    ("weight.name", "horn weight as drawn"),
    ("weight.moment", "7.75 in-lb nose-heavy"),
    ("weight.material", "lead, 4 % antimony"),
    ("form.kind", "mesh"),
    ("form.unit", "in"),
    ("form.arm", "5.6 in"),
    ("form.side", "forward"),
    ("form.along", "1/2 in"),
    ("vary.what", "nothing"),
    ("space.swing", "7.3 in"),
];

fn with<'a>(change: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = PIECE.iter().filter(|(key, _)| !change.iter().any(|(other, _)| other == key));
    kept.copied().chain(change.iter().copied()).collect()
}

/// A large body in pieces, as it comes over a line.
fn in_pieces(body: &[u8]) -> Body {
    let pieces: Vec<Result<Bytes, Infallible>> =
        body.chunks(1 << 16).map(|piece| Ok(Bytes::copy_from_slice(piece))).collect();
    let wait = |piece| async move {
        tokio::task::yield_now().await;
        piece
    };
    Body::from_stream(futures_util::stream::iter(pieces).then(wait))
}

/// Sends the form with a file, as a browser without script does.
async fn send(bench: &Bench, form: &[(&str, &str)], file: Option<(&str, &[u8])>) -> Reply {
    let seen = bench.job().entries.to_string();
    let mut body = Vec::new();
    for (field, value) in form.iter().copied().chain([("seen", seen.as_str())]) {
        body.extend(
            format!("--x\r\nContent-Disposition: form-data; name=\"{field}\"\r\n\r\n{value}\r\n").bytes(),
        );
    }
    let (name, bytes) = file.unwrap_or(("", b""));
    body.extend(format!("--x\r\nContent-Disposition: form-data; name=\"upload\"; filename=\"{name}\"\r\nContent-Type: model/stl\r\n\r\n").bytes());
    body.extend(bytes);
    body.extend(b"\r\n--x--\r\n");
    let request = Request::post("/jobs/HP-1/weights/new")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=x");
    let body = if body.len() < 1 << 20 { Body::from(body) } else { in_pieces(&body) };
    bench.tarn.send(request.body(body).expect("a request")).await
}

async fn found() -> Bench {
    let bench = Bench::with_limits().await;
    bench.weigh("as found", "0.10 lb");
    bench
}

fn weight(bench: &Bench) -> BalanceWeight {
    bench.job().weights().pop().expect("a weight")
}

fn hash() -> String {
    blake3::hash(HORN).to_hex().to_string()
}

fn kept(bench: &Bench) -> PathBuf {
    bench.shop.store().folder().join("files").join(hash())
}

async fn intended() -> (Bench, String) {
    let bench = found().await;
    let file = Some(("C:\\cad\\horn 3.stl", HORN));
    send(&bench, &with(&[("do", "enter")]), file).await.is(303);
    let at = format!("/weights/{}", weight(&bench).entry);
    (bench, at)
}

#[tokio::test]
async fn a_file_is_sent_once_and_then_carried_by_its_hash() {
    let bench = found().await;
    let page = send(&bench, &with(&[("do", "redraw")]), Some(("horn.stl", HORN))).await.is(200);
    let page = page
        .says("Here: <strong>horn.stl</strong>")
        .says("This measured piece gives 7.")
        .says("24 triangles");
    page.says(&format!("<input type=\"hidden\" name=\"mesh\" value=\"{}\">", hash()));
    assert!(kept(&bench).exists() && bench.job().weights().is_empty(), "it is kept and not entered");
    let hash = hash();
    let carried = with(&[("form.file", "horn.stl"), ("mesh", &hash)]);
    let answer = bench.enter(&bench.tarn, "/weights/preview", &carried).await.is(200);
    let answer = answer.says("data-state=\"whole\"").says("more than the wanted 7.750 in-lb nose-heavy");
    answer.says("text STL, 24 triangles");
    // In metres it would be as long as a boat: that stands at the field.
    let metres = with(&[("form.file", "horn.stl"), ("mesh", &hash), ("form.unit", "m"), ("do", "redraw")]);
    bench
        .enter(&bench.tarn, "/weights/new", &metres)
        .await
        .is(200)
        .says("which is unlikely for a balance weight");
    // The choice of another form keeps it for later.
    let cap = with(&[("form.file", "horn.stl"), ("mesh", &hash), ("form.kind", "cap"), ("do", "redraw")]);
    bench
        .enter(&bench.tarn, "/weights/new", &cap)
        .await
        .is(200)
        .says("name=\"form.file\" value=\"horn.stl\"")
        .says(&format!("name=\"mesh\" value=\"{hash}\""));
}

#[tokio::test]
async fn a_file_that_is_no_closed_surface_is_told_at_its_field_and_not_kept() {
    let bench = found().await;
    let files = || fs::read_dir(bench.shop.store().folder().join("files")).expect("a folder").count();
    let text = String::from_utf8(HORN.to_vec()).expect("text");
    let facets: Vec<&str> = text.split_inclusive("endfacet\n").collect();
    let open = facets[1..].concat();
    let open = format!("solid horn\n{open}");
    let turned =
        text.replacen("vertex 0 0 -0.4\n  vertex 0 0 0.4\n", "vertex 0 0 0.4\n  vertex 0 0 -0.4\n", 1);
    assert_ne!(turned, text);
    let flat = "solid f\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\nfacet \
                normal 0 0 -1\nouter loop\nvertex 0 0 0\nvertex 0 1 0\nvertex 1 0 0\nendloop\nendfacet\nendsolid f\n";
    for (name, bytes, said) in [
        ("open.stl", open.as_bytes(), "3 open edges"),
        ("turned.stl", turned.as_bytes(), "turned"),
        ("flat.stl", flat.as_bytes(), "volume"),
        ("words.stl", b"my dear horn weight", "not a mesh"),
        ("short.stl", &HORN[..200], "“short.stl”"),
    ] {
        for what in ["redraw", "enter"] {
            let page = send(&bench, &with(&[("do", what)]), Some((name, bytes))).await.is(422);
            page.says("f-form-file-wrong").says(said).says("value=\"5.6 in\"");
        }
    }
    assert_eq!((files(), bench.job().weights().len()), (0, 0));
}

#[tokio::test]
async fn a_released_job_takes_no_file_in() {
    let bench = Bench::released().await;
    let page = send(&bench, &with(&[("do", "redraw")]), Some(("horn.stl", HORN))).await.is(422);
    page.says("“horn.stl” is not taken in: the job is released").says("f-form-file-wrong");
    assert!(!kept(&bench).exists());
}

#[tokio::test]
async fn without_a_file_or_with_a_name_alone_it_is_asked_for() {
    let bench = found().await;
    let page = send(&bench, &with(&[("do", "enter")]), None).await.is(422);
    page.says("File is empty").says("href=\"#f-form-file\"");
    let named = with(&[("do", "enter"), ("form.file", "horn.stl")]);
    send(&bench, &named, None).await.is(422).says("the file itself is not here yet");
    for hash in ["0".repeat(64).as_str(), "../../etc/passwd", "x"] {
        let form = with(&[("do", "enter"), ("form.file", "horn.stl"), ("mesh", hash)]);
        send(&bench, &form, None).await.is(422).says("cannot be had").says("choose it again");
    }
    // A sheet that names a file is taken, and the file chosen in the form.
    let paste = [("do", "read-sheet"), ("sheet", SHEET)];
    let page = bench.enter(&bench.tarn, "/weights/new", &paste).await.is(200);
    page.says("HP-0240-horn.stl").says("is only a name: the file itself is not here yet");
    assert!(bench.job().weights().is_empty());
}

#[tokio::test]
async fn a_form_that_is_too_large_is_refused_with_what_was_read_of_it() {
    let bench = found().await;
    let huge = vec![0; 66 << 20];
    let page = send(&bench, &with(&[("do", "redraw")]), Some(("huge.stl", &huge))).await.is(413);
    page.says("larger than this page takes").says("up to 64 MB").says("value=\"5.6 in\"");
    let large = vec![0; (64 << 20) + 1];
    send(&bench, &with(&[("do", "redraw")]), Some(("large.stl", &large))).await.is(422).says("up to 64 MB");
}

#[tokio::test]
async fn the_entry_holds_name_and_hash_and_the_file_is_given_out_again() {
    let (bench, at) = intended().await;
    let meant = weight(&bench);
    let mesh = meant.mesh.clone().expect("a file");
    assert_eq!((mesh.name.as_str(), mesh.file), ("horn 3.stl", hash()));
    assert!(meant.sheet.contains("file = \"horn 3.stl\""), "{}", meant.sheet);
    assert_eq!(meant.worked().expect("a piece").sheet.kind, "mesh");
    let reply = bench.page(&format!("{at}/mesh")).await.is(200);
    assert_eq!(reply.text.as_bytes(), HORN);
    assert_eq!(reply.headers[header::CONTENT_DISPOSITION], "attachment; filename=\"horn_3.stl\"");
    assert_eq!(reply.headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
    bench.page(&at).await.is(200).says("horn 3.stl").says(&hash()).says("This measured piece gives 7.");
    bench.page("/ledger").await.is(200).says("from the file horn 3.stl").says(&hash());
    let again = bench.page(&format!("/weights/new?from={}", meant.entry)).await.is(200);
    again.says("Here: <strong>horn 3.stl</strong>").says("This measured piece gives 7.");
    bench.shop.store().verify().expect("it fits");
    bench.page("/weights/99/mesh").await.is(404);
}

#[tokio::test]
async fn a_weight_without_a_file_has_none_to_give() {
    let bench = found().await;
    let bar = [
        ("do", "enter"),
        ("weight.name", "bar"),
        ("weight.moment", "1 in-lb nose-heavy"),
        ("weight.material", "lead"),
        ("form.kind", "round bar"),
        ("form.diameter", "3/4 in"),
        ("form.arm", "6 in"),
        ("form.side", "forward"),
        ("vary.what", "span"),
        ("vary.least", "0.1 in"),
        ("vary.most", "6 in"),
    ];
    bench.enter(&bench.tarn, "/weights/new", &bar).await.is(303);
    bench.page(&format!("/weights/{}/mesh", weight(&bench).entry)).await.is(404);
}

#[tokio::test]
async fn a_file_that_is_gone_or_changed_is_told_wherever_the_weight_is_shown() {
    let (bench, at) = intended().await;
    let fit = [
        ("piece", "the whole piece"),
        ("station", "horn weight"),
        ("mass", "1.3 lb"),
        ("what", "horn"),
        ("all-the-same", "yes"),
    ];
    bench.enter(&bench.tarn, &format!("{at}/fit"), &fit).await.is(303);
    for (break_it, said) in [
        (
            (|path| fs::write(path, b"another one").expect("changed")) as fn(&PathBuf),
            "was changed since it was entered",
        ),
        (|path| fs::remove_file(path).expect("removed"), "does not have the file any more"),
    ] {
        break_it(&kept(&bench));
        for page in [at.as_str(), "/weights", ""] {
            let page = bench.page(page).await.is(200).says("cannot be worked out any more").says(said);
            page.says("horn weight as drawn");
        }
        for page in ["/correction", "/weigh?stage=as-left", "/ledger"] {
            bench.page(page).await.is(200);
        }
        bench.page(&format!("{at}/mesh")).await.is(404).says(said);
        for page in ["/trim", "/fit", "/drawing.pdf", "/pattern.stl"] {
            bench.page(&format!("{at}{page}")).await.is(400).says(said);
        }
        let again = bench.page(&format!("/weights/new?from={}", weight(&bench).entry)).await.is(200);
        again.says("choose it again from this device");
    }
    bench.shop.store().put_file(HORN).expect("put right");
    bench.page(&at).await.is(200).says("This measured piece gives 7.");
}

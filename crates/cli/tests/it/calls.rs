//! Calls: exit status, what goes to stdout and stderr, nothing half-written.

use assert_cmd::Command;
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;

pub(crate) fn demo(name: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo")).join(name)
}

pub(crate) fn hingeline() -> Command {
    Command::new(env!("CARGO_BIN_EXE_hingeline"))
}

/// Exit status, stdout, stderr.
pub(crate) fn call(command: &mut Command) -> (i32, String, String) {
    let out = command.output().expect("it runs");
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("UTF-8");
    (out.status.code().expect("a status"), text(&out.stdout), text(&out.stderr))
}

#[test]
fn status_says_within_or_outside() {
    let status = |name: &str| call(hingeline().arg("balance").arg(demo(name))).0;
    assert_eq!(status("HP-0228-aileron.toml"), 0);
    assert_eq!(status("HP-0231-elevator.toml"), 1);
}

#[test]
fn wrong_sheets_go_to_stderr_with_line_and_hint() {
    let folder = TempDir::new().expect("a folder");
    let sheet = folder.path().join("wrong.toml");
    let text = fs::read_to_string(demo("HP-0231-elevator.toml")).expect("the demo");
    fs::write(&sheet, text.replace("tare = ", "tear = ").replace("\"17 1/4 in\"", "\"17 1/4\""))
        .expect("written");
    let pdf = folder.path().join("out.pdf");
    let (status, out, err) = call(hingeline().arg("balance").arg(&sheet).arg("--pdf").arg(&pdf));
    assert_eq!(status, 2);
    assert_eq!(out, "");
    let err = err.replace(&folder.path().display().to_string(), "FOLDER");
    insta::assert_snapshot!(err, @r#"
    error: weighing 1 (as found), arm: “17 1/4” has no unit
      at: FOLDER/wrong.toml:52:8
      52 | arm = "17 1/4"
         |        ^^^^^^
      allowed: a number with one of in, ft, mm, cm, m
    hint: write 17 1/4 in, or another unit of length
    error: weighing 1 (as found): unknown key “tear”
      at: FOLDER/wrong.toml:53:1
      53 | tear = "0.06 lb"
         | ^^^^
      allowed: arm, cg_height_within, confirmed, date, level_within, lowering, method, raising, readings, rule, scale, stage, surface_mass, tare
    hint: did you mean “tare”?
    2 faults in FOLDER/wrong.toml; nothing was written
    "#);
    assert!(!pdf.exists(), "nothing is written for a wrong sheet");
    assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 1, "nothing is left beside it");
}

#[test]
fn paper_is_written_whole_and_the_same_each_time() {
    let folder = TempDir::new().expect("a folder");
    let write = |name: &str, paper: &str| {
        let out = folder.path().join(name);
        let (status, _, err) = call(
            hingeline()
                .arg("balance")
                .arg(demo("HP-0231-elevator.toml"))
                .args(["--paper", paper, "--pdf"])
                .arg(&out),
        );
        assert_eq!((status, err.starts_with("wrote ")), (1, true), "{err}");
        fs::read(out).expect("the paper")
    };
    let (one, two, letter) = (write("one.pdf", "a4"), write("two.pdf", "a4"), write("three.pdf", "letter"));
    assert!(one.starts_with(b"%PDF-"));
    assert!(one == two, "the same sheet gives the same bytes");
    assert!(one != letter);
    assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 3);
}

#[test]
fn paper_never_takes_the_place_of_a_sheet() {
    let folder = TempDir::new().expect("a folder");
    let sheet = folder.path().join("job.toml");
    fs::copy(demo("HP-0231-elevator.toml"), &sheet).expect("copied");
    let before = fs::read(&sheet).expect("the sheet");
    for out in ["job.toml", "other.toml", "./job.toml"] {
        let (status, _, err) =
            call(hingeline().arg("balance").arg(&sheet).arg("--pdf").arg(folder.path().join(out)));
        assert_eq!(status, 2);
        assert!(err.contains("would take the place of a sheet"), "{err}");
    }
    assert_eq!(fs::read(&sheet).expect("the sheet"), before);
}

#[test]
fn a_sheet_that_is_no_text_is_named_with_its_line() {
    let folder = TempDir::new().expect("a folder");
    let sheet = folder.path().join("latin.toml");
    fs::write(&sheet, b"[job]\nnumber = \"\xe9\"\n").expect("written");
    let (status, _, err) = call(hingeline().arg("balance").arg(&sheet));
    assert_eq!(status, 2);
    assert!(err.contains("is not UTF-8 text") && err.contains("line 2"), "{err}");
    let (status, out, _) = call(hingeline().arg("balance").arg(folder.path()).arg("--json"));
    assert_eq!(status, 2);
    assert!(out.contains("faults"), "{out}");
}

#[test]
fn paper_that_cannot_be_written_is_an_error() {
    let (status, out, err) = call(
        hingeline().arg("balance").arg(demo("HP-0231-elevator.toml")).args(["--pdf", "/nowhere/at/all.pdf"]),
    );
    assert_eq!(status, 2);
    assert_eq!(out, "");
    assert!(err.contains("cannot write /nowhere/at/all.pdf"), "{err}");
}

#[test]
fn a_folder_gives_one_list_and_the_worst_status() {
    let folder = TempDir::new().expect("a folder");
    fs::copy(demo("HP-0228-aileron.toml"), folder.path().join("b.toml")).expect("copied");
    fs::copy(demo("HP-0231-elevator.toml"), folder.path().join("a.toml")).expect("copied");
    fs::write(folder.path().join("notes.txt"), "no sheet").expect("written");
    let run = || call(hingeline().arg("balance").arg(folder.path()).arg("--json"));
    let (status, out, err) = run();
    assert_eq!((status, err.as_str()), (1, ""));
    let list: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(list.as_array().expect("a list").len(), 2);
    assert!(list[0]["file"].as_str().expect("a name").ends_with("a.toml"));
    assert_eq!(list[0]["result"]["job"]["number"], "HP-0231");
    assert_eq!(run().1, out, "the order does not depend on the threads");
    fs::write(folder.path().join("c.toml"), "[job]\n").expect("written");
    let (status, out, err) = run();
    assert_eq!(status, 2);
    assert!(err.contains("job has no number"), "{err}");
    let list: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(list[2]["faults"][0]["line"], 1);
    assert_eq!(list[0]["result"]["job"]["number"], "HP-0231", "the other sheets are there all the same");
}

#[test]
fn files_that_are_not_there() {
    let (status, _, err) = call(hingeline().args(["balance", "/nowhere/sheet.toml"]));
    assert_eq!(status, 2);
    assert!(err.contains("cannot read /nowhere/sheet.toml"), "{err}");
    let empty = TempDir::new().expect("a folder");
    let (status, _, err) = call(hingeline().arg("balance").arg(empty.path()));
    assert_eq!(status, 2);
    assert!(err.contains("no job sheet in"), "{err}");
    assert_eq!(call(hingeline().args(["balance"])).0, 2);
    assert_eq!(call(hingeline().args(["ballance"])).0, 2);
}

#[test]
fn monte_carlo_is_seeded() {
    let run = |seed: &str| {
        let sheet = demo("HP-0231-elevator.toml");
        call(hingeline().arg("balance").arg(sheet).args(["--json", "--monte-carlo", "20000", "--seed", seed]))
            .1
    };
    assert_eq!(run("7"), run("7"));
    assert_ne!(run("7"), run("8"));
}

#[test]
fn self_check_agrees_and_names_its_sources() {
    let (status, out, err) = call(hingeline().arg("self-check"));
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for source in
        ["JCGM 100", "JCGM 101", "JCGM 106", "ILAC-G8", "figure 10-10", "common practice", "from memory"]
    {
        assert!(out.contains(source), "{source}");
    }
}

//! Writes a picture of every page of the demo shop, at three widths, light and dark, into the folder that is named.
#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a command for developers stops where it fails and says what it did"
)]

use hingeline_browser_tests::browser::{DESK, Look, PHONE, TABLET};
use hingeline_browser_tests::pages::{self, Page, Visit};
use hingeline_browser_tests::{Browser, Light, Person, Server};
use std::path::{Path, PathBuf};

const PASSWORD: &str = "hinge line level";
const PEOPLE: [Person; 3] = [
    Person { login: "osterby", password: PASSWORD, pin: "2207" },
    Person { login: "admin", password: PASSWORD, pin: "6190" },
    Person { login: "tarn", password: PASSWORD, pin: "4471" },
];

#[tokio::main]
async fn main() {
    let folder = PathBuf::from(std::env::args().nth(1).expect("the folder for the pictures"));
    std::fs::create_dir_all(&folder).expect("the folder");
    for look in [PHONE, TABLET, DESK] {
        println!("{} pictures of {} pixels", of_a_width(look, &folder).await, look.width);
    }
}

async fn of_a_width(look: Look, folder: &Path) -> usize {
    let server = Server::demo();
    let browser = Browser::open(look).await;
    let (pages, _) = pages::all(&browser, &server, &PEOPLE).await;
    let mut visit = Visit::default();
    for (index, page) in pages.iter().enumerate() {
        visit.to(&browser, &server, page).await;
        for light in [Light::Light, Light::Dark] {
            browser.light(light).await;
            let name = format!("{index:02}-{}-{}-{}.png", file_name(page), look.width, light.word());
            std::fs::write(folder.join(name), browser.whole_picture().await).expect("a picture");
        }
    }
    browser.close().await;
    pages.len() * 2
}

fn file_name(page: &Page) -> String {
    let words = |sign: char| if sign.is_ascii_alphanumeric() { sign } else { '-' };
    let name: String = page.name().chars().map(words).take(60).collect();
    let name = name.trim_matches('-');
    if name.is_empty() { "first".to_owned() } else { name.to_owned() }
}

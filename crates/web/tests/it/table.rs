//! The table of routes, walked with every role.

use crate::shop::{PEOPLE, Shop};
use axum::http::Method;
use hingeline_web::routes::{Who, table};

/// A path with something in place of what changes.
fn filled(path: &str) -> String {
    let parts = path.split('/').map(|part| if part.starts_with('{') { "x" } else { part });
    parts.collect::<Vec<_>>().join("/")
}

#[tokio::test]
async fn every_row_lets_in_who_may_and_nobody_else() {
    let shop = Shop::new();
    for row in table() {
        let path = filled(row.path);
        for (login, role) in PEOPLE {
            let browser = shop.of(login);
            let reply = match row.method {
                Method::GET => browser.get(&path).await,
                _ => browser.post(&path, &[]).await,
            };
            let told = format!("{} {path} as {login}: {} {}", row.method, reply.status, reply.text);
            assert!(!reply.status.is_server_error(), "{told}");
            assert_eq!(reply.status != 403, row.who.admits(Some(role)), "{told}");
        }
    }
}

#[tokio::test]
async fn nobody_who_is_not_logged_in_gets_past_the_log_in() {
    let shop = Shop::new();
    for row in table().into_iter().filter(|row| row.who != Who::Everyone) {
        let path = filled(row.path);
        let reply = match row.method {
            Method::GET => shop.stranger().get(&path).await,
            _ => shop.stranger().post(&path, &[]).await,
        };
        assert_eq!(reply.status, 303, "{} {path}", row.method);
        assert!(reply.location().starts_with("/log-in"), "{path} leads to {}", reply.location());
    }
}

#[tokio::test]
async fn no_form_without_fields_is_taken() {
    let shop = Shop::new();
    for row in table().into_iter().filter(|row| row.method == Method::POST) {
        let path = filled(row.path);
        let before = shop.store().head().expect("a head");
        for (login, _) in PEOPLE {
            shop.of(login).post(&path, &[]).await;
        }
        assert_eq!(shop.store().head().expect("a head"), before, "{path} wrote something");
    }
}

#[tokio::test]
async fn no_strange_address_or_form_is_a_fault_of_ours() {
    let shop = Shop::new();
    let strange =
        ["0", "-1", "18446744073709551616", "%00", "a%2Fb", "%F0%9F%92%A9", "%27%22%3C%3E", "%0D%0A"];
    let form = [
        ("seen", "18446744073709551615"),
        ("seen", "-1"),
        ("name", "\u{0}\u{202e}"),
        ("station.9.arm", "NaN"),
    ];
    for row in table().into_iter().filter(|row| row.path.contains('{')) {
        for part in strange {
            let parts = row.path.split('/').map(|each| if each.starts_with('{') { part } else { each });
            let path = parts.collect::<Vec<_>>().join("/");
            for (login, role) in PEOPLE {
                if !row.who.admits(Some(role)) {
                    continue;
                }
                let reply = match row.method {
                    Method::GET => shop.of(login).get(&path).await,
                    _ => shop.of(login).post(&path, &form).await,
                };
                assert!(!reply.status.is_server_error(), "{} {path} as {login}: {}", row.method, reply.text);
            }
        }
    }
}

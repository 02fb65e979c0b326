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
